//! A group of openings that is laid out together, and the boards that it is cut through.

use std::ops::Range;

use kurbo::{Point, Rect, Size, Vec2};

use super::boards::Sheet;
use super::borders::{GivenBorders, Solved, solve};
use super::grid::{Grid, MOST_OPENINGS};
use super::item::{Common, Item, bring_to};
use super::outer::GivenOuter;
use crate::geometry::Outline;
use crate::job::{Arrangement, At, Job, Measure, Scope, WrittenBorder, WrittenOpening};
use crate::mat::Edge;
use crate::problem::Problem;

/// A group as a job gives it: openings with an arrangement and borders, repeated through some of the boards.
pub(super) struct Group<'a> {
    /// The boards that it is cut through, counted from the top.
    pub(super) layers: Range<usize>,
    /// Which of these boards the sizes are given for, counted within the group.
    base: usize,
    openings: &'a [WrittenOpening],
    arrangement: Option<&'a Arrangement>,
    border: Option<&'a WrittenBorder>,
    scope: Scope,
}

/// An opening with its place.
pub(super) struct Placed<'a> {
    pub(super) item: Item<'a>,
    /// The outline that sizes refer to, in the board that they are given for, placed on the mat.
    pub(super) outline: Outline,
}

impl<'a> Group<'a> {
    /// Finds the groups of a job: the job's own openings reach down to the first board with openings of its own, and
    /// those of a board reach down to the next such board.
    pub(super) fn find_all(job: &'a Job, scope: &Scope) -> Vec<Self> {
        let boards = job.layer.len().max(1);
        let own: Vec<usize> = job
            .layer
            .iter()
            .enumerate()
            .filter(|(_, layer)| !layer.opening.is_empty())
            .map(|(index, _)| index)
            .collect();
        let ends = own.iter().copied().skip(1).chain([boards]);
        let mut groups = Vec::new();
        let first_own = own.first().copied().unwrap_or(boards);
        if first_own > 0 {
            groups.push(Self {
                layers: 0..first_own,
                // What the art is seen through: the lowest board.
                base: first_own - 1,
                openings: &job.opening,
                arrangement: job.arrangement.as_ref(),
                border: job.border.as_ref(),
                scope: scope.clone(),
            });
        }
        for (&start, end) in own.iter().zip(ends) {
            if let Some(layer) = job.layer.get(start) {
                groups.push(Self {
                    layers: start..end,
                    base: 0,
                    openings: &layer.opening,
                    arrangement: layer.arrangement.as_ref(),
                    border: layer.border.as_ref(),
                    scope: scope.key("layer").index(start),
                });
            }
        }
        groups
    }

    /// Returns the index of the board that the sizes are given for, counted from the top.
    pub(super) fn base_layer(&self) -> usize {
        self.layers.start + self.base
    }

    /// Returns the place of the group in the job.
    pub(super) const fn scope(&self) -> &Scope {
        &self.scope
    }

    /// Reads the openings of the group, repeating a single one to fill its rows and columns; all problems are reported.
    pub(super) fn items(&self, first_number: usize, common: &Common<'_>) -> Result<Vec<Item<'a>>, Vec<Problem>> {
        let at = |index: usize| {
            let scope = self.scope.key("opening");
            // A single table has no list position of its own; the reader falls back to the table.
            scope.index(index)
        };
        if self.openings.len() > MOST_OPENINGS {
            let message = format!("{} openings cannot be cut from one mat", self.openings.len());
            return Err(vec![self.scope.key("opening").error(
                "arrangement",
                message,
                format!("give at most {MOST_OPENINGS}"),
            )]);
        }
        let mut items = Vec::with_capacity(self.openings.len());
        let mut problems = Vec::new();
        for (index, opening) in self.openings.iter().enumerate() {
            match Item::read(opening, first_number + index, at(index), common) {
                Ok(item) => items.push(item),
                Err(problem) => problems.push(problem),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        if let [only] = items.as_slice() {
            let grid = self.grid(1).map_err(|problem| vec![problem])?;
            items = (0..grid.rows * grid.columns).map(|cell| only.numbered(first_number + cell)).collect();
        }
        Ok(items)
    }

    fn grid(&self, openings: usize) -> Result<Grid, Problem> {
        Grid::read(self.arrangement, openings, &self.scope.key("arrangement"))
    }

    /// Works out the size of the mat, if it is not known yet, and the place of every opening.
    pub(super) fn place(
        &self,
        items: Vec<Item<'a>>,
        outer: &GivenOuter,
        common: &Common<'_>,
    ) -> Result<(Size, Vec<Placed<'a>>), Vec<Problem>> {
        let (by_hand, arranged): (Vec<_>, Vec<_>) = items.into_iter().partition(|item| item.at.is_some());
        let mut size = outer.size;
        let mut placed = Vec::new();
        if !arranged.is_empty() {
            let (mat, openings) = self.arrange(arranged, outer, common)?;
            size = Some(mat);
            placed = openings;
        }
        let Some(size) = size else {
            let message = "the size of the mat does not follow from openings that are placed by hand";
            return Err(vec![self.scope.error("not-enough", message, "give `outer` or `frame`")]);
        };
        let mut problems = Vec::new();
        for item in by_hand {
            match put(item, size, common) {
                Ok(opening) => placed.push(opening),
                Err(problem) => problems.push(problem),
            }
        }
        placed.sort_by_key(|placed| placed.item.number);
        if problems.is_empty() { Ok((size, placed)) } else { Err(problems) }
    }

    /// Arranges openings in rows and columns within their borders.
    fn arrange(
        &self,
        items: Vec<Item<'a>>,
        outer: &GivenOuter,
        common: &Common<'_>,
    ) -> Result<(Size, Vec<Placed<'a>>), Vec<Problem>> {
        let one = |problem: Problem| vec![problem];
        let border_scope = if self.border.is_some() { self.scope.key("border") } else { self.scope.clone() };
        let given = GivenBorders::read(self.border, &border_scope).map_err(one)?;
        let grid = self.grid(items.len()).map_err(one)?;
        let sized = items.iter().filter(|item| item.has_size()).count();
        let (solved, outlines) = if sized == items.len() {
            let outlines = all(items.iter().map(|item| Sized::new(item, None, common)))?;
            let (group, _) = grid.place(&outlines.iter().map(Sized::size).collect::<Vec<_>>());
            (choose(outer, group, &given, &border_scope).map_err(one)?, outlines)
        } else if sized == 0 {
            let room = |solved: &Solved, gaps: f64, count: usize| (solved.group() - gaps) / count.max(1) as f64;
            let solved = solve(sides(outer.size), [None, None], &given, &border_scope).map_err(one)?;
            let [across, down] = &solved;
            let cell =
                Size::new(room(across, grid.gaps().width, grid.columns), room(down, grid.gaps().height, grid.rows));
            (solved, all(items.iter().map(|item| Sized::new(item, Some(cell), common)))?)
        } else {
            return Err(items
                .iter()
                .filter(|item| !item.has_size())
                .map(|item| {
                    item.scope.error(
                        "not-enough",
                        "this opening has no size, but others have",
                        "give it `art` or `size`",
                    )
                })
                .collect());
        };
        let [across, down] = solved;
        let slots: Vec<Size> = outlines.iter().map(|outline| outline.slot).collect();
        let (_, corners) = grid.place(&slots);
        let start = Vec2::new(across.before, down.before);
        let placed = items.into_iter().zip(outlines).zip(corners).map(|((item, sized), corner)| {
            let spare = 0.5 * (sized.slot - sized.size());
            let outline = sized.outline.translated(bring_to(sized.bounds, corner + start + spare.to_vec2()));
            Placed { item, outline }
        });
        Ok((Size::new(across.outer, down.outer), placed.collect()))
    }
}

/// The outline of an opening with the bounds to which borders are measured, at any place.
struct Sized {
    outline: Outline,
    bounds: Rect,
    slot: Size,
}

impl Sized {
    /// `cell` is the room for an opening whose size the job does not give.
    fn new(item: &Item<'_>, cell: Option<Size>, common: &Common<'_>) -> Result<Self, Problem> {
        let growth = item.growth(common);
        let room = cell.map(|cell| cell - 2.0 * Size::new(growth, growth));
        if room.is_some_and(|room| room.width <= 0.0 || room.height <= 0.0) {
            let message = "borders, bars and reveals leave no room for the opening";
            return Err(item.scope.error("does-not-fit", message, "make them narrower or the mat larger"));
        }
        let outline = item.outline(room)?;
        let bounds = if growth == 0.0 {
            outline.bounds()
        } else {
            outline
                .offset(growth)
                .map_err(|error| super::cut::no_bevel(item, &error, growth, "the opening of the top board"))?
                .bounds()
        };
        // An outline need not fill the room that it was given, but never asks for more.
        let slot = cell.unwrap_or(bounds.size());
        Ok(Self { outline, bounds, slot })
    }

    fn size(&self) -> Size {
        self.bounds.size()
    }
}

/// Solves for a known group, trying the sizes of a list if the job says so.
fn choose(outer: &GivenOuter, group: Size, given: &GivenBorders, scope: &Scope) -> Result<[Solved; 2], Problem> {
    let group = [Some(group.width), Some(group.height)];
    let Some((sizes, least)) = &outer.choices else {
        return solve(sides(outer.size), group, given, scope);
    };
    let wide_enough = |solved: &[Solved; 2]| {
        solved.iter().all(|side| side.before.min(side.after) >= least - crate::tolerance::SAME_LENGTH_MM)
    };
    let found = sizes.iter().filter_map(|&size| solve(sides(Some(size)), group, given, scope).ok()).find(wide_enough);
    found.ok_or_else(|| {
        let show = |mm| scope.ruler().show(mm);
        let largest = sizes.last().map_or_else(String::new, |size| scope.ruler().show_size(size.width, size.height));
        scope.error(
            "does-not-fit",
            format!("no size of the list, up to {largest}, leaves borders of {} round the openings", show(*least)),
            "choose another list, a smaller `minimum_border`, or give `outer`",
        )
    })
}

/// Places an opening by its distances from the edges.
fn put<'a>(item: Item<'a>, outer: Size, common: &Common<'_>) -> Result<Placed<'a>, Problem> {
    let scope = item.scope.key("at");
    let Some(at) = item.at else {
        return Err(scope.error("not-enough", "the opening has no place", "give it `at`"));
    };
    if !item.has_size() {
        let message = "an opening that is placed by hand needs a size";
        return Err(item.scope.error("not-enough", message, "give it `art` or `size`"));
    }
    let sized = Sized::new(&item, None, common)?;
    let At { left, right, top, bottom } = at;
    let x = corner([("left", left), ("right", right)], outer.width, sized.size().width, &scope)?;
    let y = corner([("top", top), ("bottom", bottom)], outer.height, sized.size().height, &scope)?;
    let outline = sized.outline.translated(bring_to(sized.bounds, Point::new(x, y)));
    Ok(Placed { item, outline })
}

/// Works out one coordinate of the top left corner from the distance to one of two opposite edges.
fn corner(
    [(first, before), (second, after)]: [(&'static str, &Option<Measure>); 2],
    outer: f64,
    size: f64,
    scope: &Scope,
) -> Result<f64, Problem> {
    match (before, after) {
        (Some(before), None) => scope.key(first).signed_mm(before),
        (None, Some(after)) => Ok(outer - size - scope.key(second).signed_mm(after)?),
        (Some(_), Some(_)) => {
            let message = format!("`{first}` and `{second}` both place the opening, whose size is known");
            Err(scope.key(second).error("contradiction", message, "keep one of the two"))
        }
        (None, None) => {
            let message = format!("the distance from the {first} or the {second} edge is missing");
            Err(scope.error("not-enough", message, format!("give `{first}` or `{second}`")))
        }
    }
}

fn sides(size: Option<Size>) -> [Option<f64>; 2] {
    [size.map(|size| size.width), size.map(|size| size.height)]
}

/// Keeps all results, or else all problems.
fn all<T>(results: impl Iterator<Item = Result<T, Problem>>) -> Result<Vec<T>, Vec<Problem>> {
    let mut kept = Vec::new();
    let mut problems = Vec::new();
    for result in results {
        match result {
            Ok(value) => kept.push(value),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(kept) } else { Err(problems) }
}

/// Returns what the openings of a group have in common.
pub(super) fn common<'s>(group: &Group<'_>, sheets: &'s [Sheet], edge: Edge) -> Common<'s> {
    Common { sheets: sheets.get(group.layers.clone()).unwrap_or_default(), base: group.base, edge }
}
