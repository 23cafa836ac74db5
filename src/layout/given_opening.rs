//! One opening of a group on its way to a place: its size, its art and its outline.

use kurbo::{Rect, Size, Vec2};

use super::boards::{ListedBoard, read_bevel};
use super::given_art::{GivenArt, read_art, sight_of};
use crate::fault::Certain;
use crate::geometry::Outline;
use crate::job::{Proportion, Scope, ShapeChoice, WrittenOpening, WrittenPicture, WrittenPosition};
use crate::mat::{Art, Bevel, Edge, numbered, quarters};
use crate::problem::Problem;
use crate::tolerance::{AGREES_MM, SAME_TURN_DEGREES};

/// An opening of a group. All lengths in millimetres.
#[derive(Debug, Clone)]
pub(super) struct GivenOpening<'a> {
    pub(super) number: usize,
    /// What the framer calls it; may be empty.
    pub(super) name: &'a str,
    /// The ratio from which its size follows.
    pub(super) ratio: Option<Proportion>,
    pub(super) shape: &'a ShapeChoice,
    pub(super) scope: Scope,
    pub(super) at: Option<&'a WrittenPosition>,
    pub(super) art: Option<GivenArt>,
    pub(super) title: Option<Title<'a>>,
    pub(super) picture: Option<&'a WrittenPicture>,
    /// The bevel of the opening in each layer of the group.
    bevels: Vec<Bevel>,
    /// How far the sight outline in each layer lies outside that of the layer in which the sizes are given.
    sights: Vec<f64>,
    /// How far the outline that sizes refer to lies outside the sight outline in the layer in which they are given.
    shift: f64,
    /// How far it is turned clockwise, in degrees, at least zero and less than a whole turn.
    pub(super) turn: f64,
    /// The box that its outline fills before it is turned, if it is given, for the outline that sizes refer to.
    fit: Option<Size>,
}

/// A small opening below another one.
#[derive(Debug, Clone)]
pub(super) struct Title<'a> {
    pub(super) item: Box<GivenOpening<'a>>,
    /// Width of the bar between the two.
    pub(super) gap: f64,
}

/// What all openings of a group have in boards.
pub(super) struct GroupBoards<'a> {
    /// The boards of the group, the top one first.
    pub(super) sheets: &'a [ListedBoard],
    /// Which of them the sizes are given for.
    pub(super) base: usize,
    /// Which outline the sizes refer to.
    pub(super) edge: Edge,
}

impl<'a> GivenOpening<'a> {
    pub(super) fn read(
        opening: &'a WrittenOpening,
        number: usize,
        scope: Scope,
        boards: &GroupBoards<'_>,
    ) -> Result<Self, Problem> {
        let bevels = boards
            .sheets
            .iter()
            .map(|sheet| match &opening.bevel {
                Some(bevel) => read_bevel(bevel, sheet.bevel, &scope.key("bevel")),
                None => Ok(sheet.bevel),
            })
            .collect::<Result<Vec<_>, _>>()?;
        let base = bevels.get(boards.base).zip(boards.sheets.get(boards.base));
        let (bevel, sheet) = base.certain("board that the sizes are given for");
        let shift = bevel.outside_sight(boards.edge, sheet.board.thickness);
        let turn = read_turn(opening, &scope)?;
        let art = read_art(opening, &scope)?;
        let fit = read_fit(opening, art.as_ref(), shift, &scope)?;
        let title = read_title(opening, number, &scope, boards)?;
        let sights = sights(boards, &bevels);
        Ok(Self {
            number,
            name: &opening.name,
            ratio: read_ratio(opening, &scope)?,
            shape: &opening.shape,
            scope,
            at: opening.at.as_ref(),
            art,
            title,
            picture: opening.picture.as_ref(),
            bevels,
            sights,
            shift,
            turn,
            fit,
        })
    }

    /// Returns the bevel in a layer of the group.
    pub(super) fn bevel(&self, layer: usize) -> Bevel {
        self.bevels.get(layer).copied().certain("bevel for this board of the group")
    }

    /// Returns how far the sight outline in a layer lies outside the outline that [`GivenOpening::outline`] makes.
    pub(super) fn sight_outside(&self, layer: usize) -> f64 {
        self.sights.get(layer).certain("sight outline for this board of the group") - self.shift
    }

    /// Returns how far the outline to which borders are measured, in the top layer, lies outside that of [`GivenOpening::outline`].
    pub(super) fn growth(&self, boards: &GroupBoards<'_>) -> f64 {
        let top = boards.sheets.first().certain("board in the group");
        self.sight_outside(0) + self.bevel(0).outside_sight(boards.edge, top.board.thickness)
    }

    /// Tells whether an outline of the opening has no room for all of it in one of the boards.
    pub(super) fn trims(&self, outline: &Outline, boards: &GroupBoards<'_>) -> bool {
        let distances = boards.sheets.iter().enumerate().flat_map(|(layer, sheet)| {
            let outside = |edge: Edge| self.bevel(layer).outside_sight(edge, sheet.board.thickness);
            [Edge::Sight, Edge::Face, Edge::Back].map(|edge| self.sight_outside(layer) + outside(edge))
        });
        let distances: Vec<f64> = distances.collect();
        // A convex outline that grows loses nothing.
        let only_grows = distances.iter().all(|&distance| distance >= 0.0) && outline.is_convex();
        !only_grows && distances.iter().any(|&distance| outline.offset(distance).is_err())
    }

    /// Tells whether the openings of several boards follow from the one outline.
    pub(super) fn has_reveals(&self) -> bool {
        self.sights.len() > 1
    }

    /// Returns number and name as drawings and problems show them.
    pub(super) fn title_words(&self) -> String {
        numbered(self.number, self.name)
    }

    /// Gives the opening the box that its outline is to fill before it is turned.
    pub(super) fn fit_into(&mut self, size: Size) {
        self.fit = Some(size);
    }

    /// Tells whether the job gives the size of the opening.
    pub(super) fn has_size(&self) -> bool {
        self.fit.is_some() || self.shape.shape().has_own_size()
    }

    /// Returns the outlines that sizes refer to, placed to each other but not on the mat: most shapes are one; `room` is the
    /// box to fill if the job gives no size.
    pub(super) fn outlines(&self, room: Option<Size>) -> Result<Vec<Outline>, Problem> {
        let scope = self.scope.key("shape").key(self.shape.word());
        let quarters = self.quarters();
        let room = match (room, quarters) {
            (Some(room), Some(quarters)) if quarters % 2 == 1 => Some(Size::new(room.height, room.width)),
            (Some(_), None) if !self.has_size() => {
                let message = "the borders alone do not give the size of a turned opening";
                return Err(self.scope.key("turn").error("not-enough", message, "give the opening `art` or `size`"));
            }
            (room, _) => room,
        };
        let outlines = self.shape.shape().outlines(self.fit.or(room), &scope)?;
        if outlines.len() > 1 && (self.art.is_some() || self.picture.is_some()) {
            let message =
                format!("one work lies behind one opening, but the outline makes {} openings", outlines.len());
            let help = "give each opening a table of its own, with the `id` of its path";
            return Err(self
                .scope
                .key("art")
                .error("contradiction", message, help)
                .with_count("openings", outlines.len()));
        }
        if self.turn == 0.0 {
            return Ok(outlines);
        }
        let about = united(&outlines).center();
        Ok(outlines.iter().map(|outline| outline.turned(self.turn.to_radians(), about)).collect())
    }

    /// Returns the number of quarter turns if the opening is turned by whole ones.
    pub(super) fn quarters(&self) -> Option<u32> {
        quarters(self.turn)
    }

    /// Returns the art behind a sight opening, turned with it.
    pub(super) fn art_behind(&self, sight: &Outline) -> Option<Art> {
        let given = self.art?;
        let about = sight.bounds().center();
        let (art, turn) = match self.quarters() {
            Some(quarters) => ((0..quarters).fold(given, |art, _| art.quarter_turned()), 0.0),
            None => (given, self.turn.to_radians()),
        };
        let GivenArt { margin, depth, .. } = given;
        let behind = Art { opening: self.number, rect: Rect::ZERO, turn, about, margin, depth };
        Some(Art { rect: art.behind(behind.bounds_of(sight)), ..behind })
    }
}

fn read_turn(opening: &WrittenOpening, scope: &Scope) -> Result<f64, Problem> {
    let turn = opening.turn.unwrap_or(0.0);
    // Beyond this the degrees of a number are no longer exact to the tolerance of a turn.
    if turn.abs() <= 36_000.0 {
        let turn = turn.rem_euclid(360.0);
        return Ok(if 360.0 - turn < SAME_TURN_DEGREES { 0.0 } else { turn });
    }
    Err(scope
        .key("turn")
        .error("turn", format!("an opening cannot be turned by {turn} degrees"), "give it in degrees, from -360 to 360")
        .with_degrees("turn", turn))
}

/// Returns how far the sight outline of each board lies outside that of the board that the sizes are given for.
fn sights(boards: &GroupBoards<'_>, bevels: &[Bevel]) -> Vec<f64> {
    let mut below_top = Vec::with_capacity(boards.sheets.len());
    let mut inside = 0.0;
    let mut above: Option<(&ListedBoard, Bevel)> = None;
    for (sheet, &bevel) in boards.sheets.iter().zip(bevels) {
        if let Some((sheet_above, bevel_above)) = above {
            inside += sheet.inside(bevel, sheet_above, bevel_above);
        }
        below_top.push(inside);
        above = Some((sheet, bevel));
    }
    let base = below_top.get(boards.base).copied().certain("board that the sizes are given for");
    below_top.into_iter().map(|inside| base - inside).collect()
}

/// Reads the title of an opening, which has neither a place nor a title of its own.
fn read_title<'a>(
    opening: &'a WrittenOpening,
    number: usize,
    scope: &Scope,
    boards: &GroupBoards<'_>,
) -> Result<Option<Title<'a>>, Problem> {
    let Some(title) = &opening.title else {
        return Ok(None);
    };
    let title_scope = scope.key("title");
    if title.title.is_some() || title.at.is_some() {
        let message = "a title lies below its opening and has no title of its own";
        return Err(title_scope.error("contradiction", message, "remove `at` and `title` here"));
    }
    let gap = opening.title_gap.as_ref().map_or(Ok(scope.usual().title_gap), |gap| scope.key("title_gap").mm(gap))?;
    Ok(Some(Title { item: Box::new(GivenOpening::read(title, number, title_scope, boards)?), gap }))
}

/// Reads the ratio of an opening, which goes with nothing else that gives its size.
fn read_ratio(opening: &WrittenOpening, scope: &Scope) -> Result<Option<Proportion>, Problem> {
    let other = match (&opening.size, &opening.art) {
        (Some(_), _) => "`size`",
        (_, Some(_)) => "`art`",
        _ if opening.shape.shape().has_own_size() => "the keys of its shape",
        _ => return Ok(opening.ratio),
    };
    let Some(ratio) = opening.ratio else { return Ok(None) };
    let message = format!("`ratio` = {ratio} and {other} both say how large the opening is");
    Err(scope.key("ratio").error("contradiction", message, format!("remove `ratio` or {other}")))
}

/// Works out the box of the outline that sizes refer to, from `size`, from the art, or from both if they agree.
fn read_fit(
    opening: &WrittenOpening,
    art: Option<&GivenArt>,
    shift: f64,
    scope: &Scope,
) -> Result<Option<Size>, Problem> {
    let own = opening.shape.shape().has_own_size();
    let from_art = match art {
        Some(GivenArt { size, reach: Some(reach), .. }) => {
            Some(sight_of(*size, reach, scope)? + 2.0 * Size::new(shift, shift))
        }
        _ => None,
    };
    let Some(size) = &opening.size else {
        return Ok(if own { None } else { from_art });
    };
    if own {
        return Err(scope.key("size").error(
            "contradiction",
            format!("the keys of `{}` already give the size of the opening", opening.shape.word()),
            "remove `size`, or the keys that give it",
        ));
    }
    let size = scope.key("size").size(size)?;
    if let Some(from_art) = from_art {
        let difference = from_art - size;
        let worst = if difference.width.abs() > difference.height.abs() { difference.width } else { difference.height };
        if worst.abs() > AGREES_MM {
            let show = |size: Size| scope.ruler().tell_size(size.width, size.height);
            return Err(scope
                .key("size")
                .error(
                    "contradiction",
                    format!(
                        "`art` with its overlap or margin makes an opening of {}, but `size` is {}: {} apart",
                        show(from_art),
                        show(size),
                        scope.ruler().tell(worst.abs())
                    ),
                    "remove `size`, or remove `overlap`/`margin` (both count per side) so that they follow",
                )
                .with_size("from_art", from_art)
                .with_size("size", size)
                .with_mm("apart", worst.abs()));
        }
    }
    Ok(Some(size))
}

/// Returns the smallest upright rectangle round outlines.
pub(super) fn united(outlines: &[Outline]) -> Rect {
    outlines.iter().map(Outline::bounds).reduce(|a, b| a.union(b)).unwrap_or_default()
}

/// Returns the vector that brings a rectangle's top left corner to a place.
pub(super) fn bring_to(bounds: Rect, corner: kurbo::Point) -> Vec2 {
    corner - bounds.origin()
}
