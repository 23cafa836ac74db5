//! One opening of a group on its way to a place: its size, its art and its outline.

use kurbo::{Rect, Size, Vec2};

use super::boards::{Sheet, read_bevel};
use crate::geometry::Outline;
use crate::job::{At, Measure, PerSide, Scope, ShapeChoice, WrittenOpening, WrittenPicture};
use crate::mat::{Art, Bevel, Edge};
use crate::problem::Problem;

/// Width of the bar above a title where a job gives none (common practice, no source); its face stays above the least bar.
const TITLE_GAP_MM: f64 = 19.05;

/// Overlap per side where a job gives art and nothing else (common practice, no source).
const OVERLAP_MM: f64 = 25.4 / 8.0;

/// How far the art reaches beyond the sight opening on each side, in millimetres; below zero where paper shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// A work behind an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GivenArt {
    size: Size,
    /// `None` if the opening has a size of its own and the art lies centred behind it.
    reach: Option<Reach>,
    /// Whether the job asks for paper to show round the art.
    pub(super) margin: bool,
    /// How far it stands out from its mount.
    depth: Option<f64>,
}

/// An opening of a group. All lengths in millimetres.
#[derive(Debug, Clone)]
pub(super) struct Item<'a> {
    pub(super) number: usize,
    pub(super) shape: &'a ShapeChoice,
    pub(super) scope: Scope,
    pub(super) at: Option<&'a At>,
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
    turn: f64,
    /// The box that its outline fills before it is turned, if it is given, for the outline that sizes refer to.
    fit: Option<Size>,
}

/// A small opening below another one.
#[derive(Debug, Clone)]
pub(super) struct Title<'a> {
    pub(super) item: Box<Item<'a>>,
    /// Width of the bar between the two.
    pub(super) gap: f64,
}

/// What all openings of a group have in common.
pub(super) struct Common<'a> {
    /// The boards of the group, the top one first.
    pub(super) sheets: &'a [Sheet],
    /// Which of them the sizes are given for.
    pub(super) base: usize,
    /// Which outline the sizes refer to.
    pub(super) edge: Edge,
}

impl<'a> Item<'a> {
    pub(super) fn read(
        opening: &'a WrittenOpening,
        number: usize,
        scope: Scope,
        common: &Common<'_>,
    ) -> Result<Self, Problem> {
        let bevels = common
            .sheets
            .iter()
            .map(|sheet| match &opening.bevel {
                Some(bevel) => read_bevel(bevel, sheet.bevel, &scope.key("bevel")),
                None => Ok(sheet.bevel),
            })
            .collect::<Result<Vec<_>, _>>()?;
        let shift = match (bevels.get(common.base), common.sheets.get(common.base)) {
            (Some(bevel), Some(sheet)) => bevel.outside_sight(common.edge, sheet.board.thickness),
            _ => 0.0,
        };
        let turn = read_turn(opening, &scope)?;
        let art = read_art(opening, &scope)?;
        let fit = read_fit(opening, art.as_ref(), shift, &scope)?;
        let title = read_title(opening, number, &scope, common)?;
        let sights = sights(common, &bevels);
        Ok(Self {
            number,
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
        self.bevels.get(layer).copied().unwrap_or_default()
    }

    /// Returns how far the sight outline in a layer lies outside the outline that [`Item::outline`] makes.
    pub(super) fn sight_outside(&self, layer: usize) -> f64 {
        self.sights.get(layer).copied().unwrap_or_default() - self.shift
    }

    /// Returns how far the outline to which borders are measured, in the top layer, lies outside that of [`Item::outline`].
    pub(super) fn growth(&self, common: &Common<'_>) -> f64 {
        let shift =
            common.sheets.first().map_or(0.0, |sheet| self.bevel(0).outside_sight(common.edge, sheet.board.thickness));
        self.sight_outside(0) + shift
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
                let message = "the size of a turned opening does not follow from the room that the borders leave";
                return Err(self.scope.key("turn").error("not-enough", message, "give the opening `art` or `size`"));
            }
            (room, _) => room,
        };
        let outlines = self.shape.shape().outlines(self.fit.or(room), &scope)?;
        if outlines.len() > 1 && (self.art.is_some() || self.picture.is_some()) {
            let message = format!("one work lies behind one opening, but these are {}", outlines.len());
            let help = "give each opening a table of its own, with the `id` of its path";
            return Err(self.scope.key("art").error("contradiction", message, help));
        }
        if self.turn == 0.0 {
            return Ok(outlines);
        }
        let about = united(&outlines).center();
        Ok(outlines.iter().map(|outline| outline.turned(self.turn.to_radians(), about)).collect())
    }

    /// Returns the number of quarter turns if the opening is turned by whole ones.
    fn quarters(&self) -> Option<u32> {
        [0, 1, 2, 3].into_iter().find(|&quarters| (self.turn - 90.0 * f64::from(quarters)).abs() < SAME_TURN_DEGREES)
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

impl GivenArt {
    /// Returns where the art lies behind a sight opening with the given bounds.
    fn behind(self, sight: Rect) -> Rect {
        let Some(Reach { left, right, top, bottom }) = self.reach else {
            return Rect::from_center_size(sight.center(), self.size);
        };
        // The outline may be smaller than the box that the art leaves, as a circle is; what is over is shared.
        let spare = self.size - sight.size() - Size::new(left + right, top + bottom);
        let corner = sight.origin() - Vec2::new(left + 0.5 * spare.width, top + 0.5 * spare.height);
        Rect::from_origin_size(corner, self.size)
    }

    /// Returns the art turned clockwise by a quarter with its opening.
    fn quarter_turned(self) -> Self {
        let turned =
            |reach: Reach| Reach { top: reach.left, right: reach.top, bottom: reach.right, left: reach.bottom };
        Self { size: Size::new(self.size.height, self.size.width), reach: self.reach.map(turned), ..self }
    }
}

/// Turns in degrees that differ by no more than this are the same turn.
const SAME_TURN_DEGREES: f64 = 1e-9;

fn read_turn(opening: &WrittenOpening, scope: &Scope) -> Result<f64, Problem> {
    let turn = opening.turn.unwrap_or(0.0);
    // Beyond this the degrees of a number are no longer exact to the tolerance of a turn.
    if turn.abs() <= 36_000.0 {
        let turn = turn.rem_euclid(360.0);
        return Ok(if 360.0 - turn < SAME_TURN_DEGREES { 0.0 } else { turn });
    }
    Err(scope.key("turn").error("turn", format!("{turn} is no turn"), "give it in degrees, from -360 to 360"))
}

/// Returns how far the sight outline of each board lies outside that of the board that the sizes are given for.
fn sights(common: &Common<'_>, bevels: &[Bevel]) -> Vec<f64> {
    let mut below_top = Vec::with_capacity(common.sheets.len());
    let mut inside = 0.0;
    let mut above: Option<(&Sheet, Bevel)> = None;
    for (sheet, &bevel) in common.sheets.iter().zip(bevels) {
        if let Some((sheet_above, bevel_above)) = above {
            inside += sheet.inside(bevel, sheet_above, bevel_above);
        }
        below_top.push(inside);
        above = Some((sheet, bevel));
    }
    let base = below_top.get(common.base).copied().unwrap_or_default();
    below_top.into_iter().map(|inside| base - inside).collect()
}

/// Reads the title of an opening, which has neither a place nor a title of its own.
fn read_title<'a>(
    opening: &'a WrittenOpening,
    number: usize,
    scope: &Scope,
    common: &Common<'_>,
) -> Result<Option<Title<'a>>, Problem> {
    let Some(title) = &opening.title else {
        return Ok(None);
    };
    let title_scope = scope.key("title");
    if title.title.is_some() || title.at.is_some() {
        let message = "a title lies below its opening and has no title of its own";
        return Err(title_scope.error("contradiction", message, "remove `at` and `title` here"));
    }
    let gap = opening.title_gap.as_ref().map_or(Ok(TITLE_GAP_MM), |gap| scope.key("title_gap").mm(gap))?;
    Ok(Some(Title { item: Box::new(Item::read(title, number, title_scope, common)?), gap }))
}

fn read_art(opening: &WrittenOpening, scope: &Scope) -> Result<Option<GivenArt>, Problem> {
    let (reach, margin) = read_reach(opening, scope)?;
    let Some(art) = &opening.art else {
        let without = match (reach, &opening.art_depth) {
            (None, None) => return Ok(None),
            (Some(_), _) => "`overlap` and `margin` say how the opening differs from the art, but there is no `art`",
            (None, Some(_)) => "`art_depth` says how deep the art is, but there is no `art`",
        };
        return Err(scope.error("not-enough", without, "give the width and height of the art"));
    };
    let size = scope.key("art").size(art)?;
    let sized = opening.size.is_some() || opening.shape.shape().has_own_size();
    let usual = Reach { left: OVERLAP_MM, right: OVERLAP_MM, top: OVERLAP_MM, bottom: OVERLAP_MM };
    let reach = if sized { reach } else { Some(reach.unwrap_or(usual)) };
    let depth = opening.art_depth.as_ref().map(|depth| scope.key("art_depth").mm(depth)).transpose()?;
    Ok(Some(GivenArt { size, reach, margin, depth }))
}

/// Reads overlap or margin; the four keys say the same thing, so that at most one may be there.
fn read_reach(opening: &WrittenOpening, scope: &Scope) -> Result<(Option<Reach>, bool), Problem> {
    let per_side = |key: &'static str, sides: &PerSide, sign: f64| read_per_side(sides, &scope.key(key), sign);
    let total = |key: &'static str, total: &Measure, sign: f64| {
        let side = 0.5 * sign * scope.key(key).mm(total)?;
        Ok(Reach { left: side, right: side, top: side, bottom: side })
    };
    let mut given = Vec::new();
    if let Some(overlap) = &opening.overlap {
        given.push(("overlap", per_side("overlap", overlap, 1.0)?));
    }
    if let Some(overlap) = &opening.overlap_total {
        given.push(("overlap_total", total("overlap_total", overlap, 1.0)?));
    }
    if let Some(margin) = &opening.margin {
        given.push(("margin", per_side("margin", margin, -1.0)?));
    }
    if let Some(margin) = &opening.margin_total {
        given.push(("margin_total", total("margin_total", margin, -1.0)?));
    }
    match given.as_slice() {
        [] => Ok((None, false)),
        [(key, reach)] => Ok((Some(*reach), key.starts_with("margin"))),
        [(first, _), (second, _), ..] => Err(scope.key(*second).error(
            "contradiction",
            format!("`{first}` and `{second}` both say how the opening differs from the art"),
            "keep one of the two: overlap hides the edge of the art, margin shows paper round it",
        )),
    }
}

fn read_per_side(sides: &PerSide, scope: &Scope, sign: f64) -> Result<Reach, Problem> {
    let side = |key: &'static str, own: &Option<Measure>| match (own, &sides.all) {
        (Some(own), _) => scope.key(key).mm(own).map(|length| sign * length),
        (None, Some(all)) => scope.mm(all).map(|length| sign * length),
        (None, None) => Err(scope.error(
            "not-enough",
            format!("the {key} side is not given"),
            "give left, right, top and bottom, or `all` for those that have no key of their own",
        )),
    };
    Ok(Reach {
        left: side("left", &sides.left)?,
        right: side("right", &sides.right)?,
        top: side("top", &sides.top)?,
        bottom: side("bottom", &sides.bottom)?,
    })
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
            format!("the keys of `{}` give the size of the opening already", opening.shape.word()),
            "remove `size`, or the keys that give it",
        ));
    }
    let size = scope.key("size").size(size)?;
    if let Some(from_art) = from_art {
        let difference = from_art - size;
        let worst = if difference.width.abs() > difference.height.abs() { difference.width } else { difference.height };
        if worst.abs() > 0.01 {
            let show = |size: Size| scope.ruler().show_size(size.width, size.height);
            return Err(scope.key("size").error(
                "contradiction",
                format!(
                    "`art` with its overlap or margin makes an opening of {}, but `size` is {}: {} apart",
                    show(from_art),
                    show(size),
                    scope.ruler().show(worst.abs())
                ),
                "remove `size`, or remove `overlap`/`margin` (both count per side) so that they follow",
            ));
        }
    }
    Ok(Some(size))
}

fn sight_of(art: Size, reach: &Reach, scope: &Scope) -> Result<Size, Problem> {
    let sight = art - Size::new(reach.left + reach.right, reach.top + reach.bottom);
    if sight.width > 0.0 && sight.height > 0.0 {
        return Ok(sight);
    }
    let shown = scope.ruler().show_size(art.width, art.height);
    Err(scope.key("art").error(
        "does-not-fit",
        format!("the overlap per side leaves nothing of art of {shown}"),
        "make `overlap` smaller; it counts on every side",
    ))
}

/// Returns the smallest upright rectangle round outlines.
pub(super) fn united(outlines: &[Outline]) -> Rect {
    outlines.iter().map(Outline::bounds).reduce(|a, b| a.union(b)).unwrap_or_default()
}

/// Returns the vector that brings a rectangle's top left corner to a place.
pub(super) fn bring_to(bounds: Rect, corner: kurbo::Point) -> Vec2 {
    corner - bounds.origin()
}
