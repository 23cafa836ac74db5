//! A group of openings that is laid out together, and the boards that it is cut through.

use std::ops::Range;

use kurbo::{Point, Size};

use super::boards::ListedBoard;
use super::borders::{GivenBorders, solve};
use super::by_hand::put;
use super::cluster::{Cluster, fill};
use super::given_opening::{GivenOpening, GroupBoards};
use super::grid::{Gap, MOST_OPENINGS, OpeningGrid};
use super::outer::GivenOuter;
use super::placed_opening::PlacedOpening;
use super::proportioned::Proportioned;
use super::solved::SolvedAxis;
use crate::fault::Certain;
use crate::job::{Arrangement, BorderEnd, Scope, WrittenBorder, WrittenJob, WrittenOpening, WrittenRing};
use crate::mat::Edge;
use crate::problem::Problem;

/// A group as a job gives it: openings with an arrangement and borders, repeated through some of the boards.
pub(super) struct OpeningGroup<'a> {
    /// The boards that it is cut through, counted from the top.
    pub(super) layers: Range<usize>,
    /// Which of these boards the sizes are given for, counted within the group.
    base: usize,
    openings: &'a [WrittenOpening],
    arrangement: Option<&'a Arrangement>,
    border: Option<&'a WrittenBorder>,
    scope: Scope,
}

impl<'a> OpeningGroup<'a> {
    /// Finds the groups of a job: the job's own openings reach down to the first board with openings of its own, and
    /// those of a board reach down to the next such board.
    pub(super) fn find_all(job: &'a WrittenJob, scope: &Scope) -> Vec<Self> {
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

    /// Tells whether its borders are counted to the edge of the art.
    pub(super) fn counts_to_art(&self) -> bool {
        self.border.is_some_and(|border| border.counted_to == BorderEnd::Art)
    }

    /// Reads the openings of the group; all problems are reported.
    pub(super) fn items(
        &self,
        first_number: usize,
        boards: &GroupBoards<'_>,
    ) -> Result<Vec<GivenOpening<'a>>, Vec<Problem>> {
        let at = |index: usize| {
            let scope = self.scope.key("opening");
            // A single table has no list position of its own; the reader falls back to the table.
            scope.index(index)
        };
        if self.openings.len() > MOST_OPENINGS {
            let message = format!("{} openings cannot be cut from one mat", self.openings.len());
            return Err(vec![
                self.scope
                    .key("opening")
                    .error("arrangement", message, format!("give at most {MOST_OPENINGS}"))
                    .with_count("openings", self.openings.len())
                    .with_count("most", MOST_OPENINGS),
            ]);
        }
        let mut items = Vec::with_capacity(self.openings.len());
        let mut problems = Vec::new();
        for (index, opening) in self.openings.iter().enumerate() {
            match GivenOpening::read(opening, first_number + index, at(index), boards) {
                Ok(item) => items.push(item),
                Err(problem) => problems.push(problem),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(items)
    }

    fn grid(&self, openings: usize) -> Result<OpeningGrid, Problem> {
        OpeningGrid::read(self.arrangement, openings, &self.scope.key("arrangement"))
    }

    /// Works out the size of the mat, if it is not known yet, and the place of every opening.
    pub(super) fn place(
        &self,
        items: Vec<GivenOpening<'a>>,
        outer: &GivenOuter,
        boards: &GroupBoards<'_>,
        first_number: usize,
    ) -> Result<(Size, Vec<PlacedOpening<'a>>), Vec<Problem>> {
        let (by_hand, arranged): (Vec<_>, Vec<_>) = items.into_iter().partition(|item| item.at.is_some());
        if arranged.is_empty() && self.arrangement.is_some_and(Arrangement::has_places) {
            let message = "openings placed by hand cannot have rows, columns or a ring";
            let help = "remove `at`, or the rows and columns; `arrangement.repeat` repeats what is placed by hand";
            return Err(vec![self.scope.key("arrangement").error("contradiction", message, help)]);
        }
        let mixed = !by_hand.is_empty() && !arranged.is_empty();
        let mut size = outer.size;
        let mut placed = Vec::new();
        if !arranged.is_empty() {
            let (mat, openings) = self.arrange(arranged, outer, boards)?;
            size = Some(mat);
            placed = openings;
        }
        let Some(size) = size else {
            let message = "the size of the mat does not follow from openings that are placed by hand";
            return Err(vec![self.scope.error("not-enough", message, "give `outer` or `frame`")]);
        };
        if !by_hand.is_empty() {
            placed.extend(self.put_all(by_hand, placed.is_empty(), size, boards)?);
        }
        if placed.len() > MOST_OPENINGS {
            let message = format!("{} openings cannot be cut from one mat", placed.len());
            return Err(vec![
                self.scope
                    .error("arrangement", message, format!("give at most {MOST_OPENINGS}"))
                    .with_count("openings", placed.len())
                    .with_count("most", MOST_OPENINGS),
            ]);
        }
        if mixed {
            // In the order of the file.
            placed.sort_by_key(|opening: &PlacedOpening<'_>| opening.item.number);
        }
        for (index, opening) in placed.iter_mut().enumerate() {
            opening.item.number = first_number + index;
        }
        Ok((size, placed))
    }

    /// Places openings by hand; with nothing else in the group its repetition counts for them.
    fn put_all(
        &self,
        items: Vec<GivenOpening<'a>>,
        alone: bool,
        size: Size,
        boards: &GroupBoards<'_>,
    ) -> Result<Vec<PlacedOpening<'a>>, Vec<Problem>> {
        let (group, corner) = Cluster::joined(all(items.into_iter().map(|item| put(item, size, boards)))?);
        let group = if alone { self.repeated(group).map_err(|problem| vec![problem])? } else { group };
        Ok(group.placed(corner).collect())
    }

    /// Arranges openings in rows and columns, or in a ring, within their borders.
    fn arrange(
        &self,
        items: Vec<GivenOpening<'a>>,
        outer: &GivenOuter,
        boards: &GroupBoards<'_>,
    ) -> Result<(Size, Vec<PlacedOpening<'a>>), Vec<Problem>> {
        let one = |problem: Problem| vec![problem];
        let border_scope = if self.border.is_some() { self.scope.key("border") } else { self.scope.clone() };
        let mut given = GivenBorders::read(self.border, &border_scope).map_err(one)?;
        let mut items = items;
        if items.iter().any(|item| item.ratio.is_some()) {
            let grid = self.grid(items.len()).map_err(one)?;
            let settled = Proportioned { grid: &grid, outer: outer.size, given: &given, boards, scope: &self.scope };
            settled.size_all(&mut items)?;
            given.equal |= given.is_open();
        }
        let sized = items.iter().filter(|item| item.has_size()).count();
        let (solved, group) = if sized == items.len() {
            let (group, mut given) = self.sized_group(items, outer, given, &border_scope, boards)?;
            if let Some(amount) = given.amount {
                given.set_all(amount.border_round(group.size, group.area(), outer.size, &border_scope).map_err(one)?);
            }
            let within = match given.counted_to {
                BorderEnd::Opening => group.size.to_rect(),
                BorderEnd::Art => group.art_bounds(self.base).map_err(one)?,
            };
            let [mut across, mut down] = choose(outer, within.size(), &given, &border_scope).map_err(one)?;
            // What follows counts to the openings.
            across = across.widened([-within.x0, within.x1 - group.size.width]);
            down = down.widened([-within.y0, within.y1 - group.size.height]);
            ([across, down], group)
        } else if sized == 0 {
            if given.counted_to == BorderEnd::Art {
                let message = "borders are measured to the art, but the openings have no art";
                return Err(one(border_scope.key("counted_to").error(
                    "not-enough",
                    message,
                    "give each opening `art`",
                )));
            }
            if let Some(amount) = given.amount {
                let opening_area = |border: f64, mat: Size| {
                    let share = |outer: f64| SolvedAxis { outer, before: border, after: border };
                    let group = self.filling_group(items.clone(), &[share(mat.width), share(mat.height)], boards)?;
                    Ok(group.area())
                };
                given.set_all(amount.border_within(outer.size, &border_scope, opening_area)?);
            }
            let solved = solve(sides(outer.size), [None, None], &given, &border_scope).map_err(one)?;
            let group = self.filling_group(items, &solved, boards)?;
            (solved, group)
        } else {
            let (message, help) = ("this opening has no size, but others do", "give it `art` or `size`");
            let unsized_items = items.iter().filter(|item| !item.has_size());
            return Err(unsized_items.map(|item| item.scope.error("not-enough", message, help)).collect());
        };
        let [across, down] = solved;
        let placed = group.placed(Point::new(across.before, down.before)).collect();
        Ok((Size::new(across.outer, down.outer), placed))
    }

    /// Joins openings of known size to one cluster; bars that are to equal the borders settle the borders too.
    fn sized_group(
        &self,
        items: Vec<GivenOpening<'a>>,
        outer: &GivenOuter,
        mut given: GivenBorders,
        border_scope: &Scope,
        boards: &GroupBoards<'_>,
    ) -> Result<(Cluster<'a>, GivenBorders), Vec<Problem>> {
        let one = |problem: Problem| vec![problem];
        let scope = self.scope.key("arrangement");
        let mut clusters = all(items.into_iter().map(|item| Cluster::new(item, None, boards)))?;
        let block = if let Some(ring) = self.arrangement.and_then(|arrangement| arrangement.ring.as_ref()) {
            let scope = scope.key("ring");
            let radius = scope.key("radius").mm(&ring.radius).map_err(one)?;
            fill_ring(&mut clusters, ring, &scope).map_err(one)?;
            Cluster::ring(clusters, radius, ring.start.to_radians(), ring.centre_piece)
        } else {
            let mut grid = self.grid(clusters.len()).map_err(one)?;
            fill(&mut clusters, grid.rows * grid.columns);
            let sizes: Vec<Size> = clusters.iter().map(|cluster| cluster.size).collect();
            let (bare, _) = grid.place(&sizes);
            if given.counted_to == BorderEnd::Art && grid.gaps.iter().any(|gap| !matches!(gap, Gap::Width(_))) {
                let message = "bars follow from the rest only if borders are measured to the opening, not to the art";
                let help = "give the width of the bars, or remove `counted_to`";
                return Err(one(border_scope.key("counted_to").error("contradiction", message, help)));
            }
            given.settle_gaps(&mut grid, bare, outer.size, border_scope).map_err(one)?;
            Cluster::block(clusters, &grid)
        };
        Ok((self.repeated(block).map_err(one)?, given))
    }

    /// Gives openings of no size of their own equal shares of what the borders leave.
    fn filling_group(
        &self,
        items: Vec<GivenOpening<'a>>,
        solved: &[SolvedAxis; 2],
        boards: &GroupBoards<'_>,
    ) -> Result<Cluster<'a>, Vec<Problem>> {
        let grid = self.grid(items.len()).map_err(|problem| vec![problem])?;
        let plain =
            self.arrangement.is_none_or(|arrangement| arrangement.ring.is_none() && arrangement.repeat.is_none());
        if !plain || grid.gaps.iter().any(|gap| !matches!(gap, Gap::Width(_))) {
            let message = "openings in a ring, in a repeated group, or between bars without a width need sizes";
            return Err(vec![self.scope.key("arrangement").error(
                "not-enough",
                message,
                "give each opening `art` or `size`",
            )]);
        }
        let room = |solved: &SolvedAxis, gaps: f64, count: usize| (solved.group() - gaps) / count.max(1) as f64;
        let [across, down] = solved;
        let gaps = grid.gap_sums();
        let room = Size::new(room(across, gaps.width, grid.columns), room(down, gaps.height, grid.rows));
        let mut clusters = all(items.into_iter().map(|item| Cluster::new(item, Some(room), boards)))?;
        fill(&mut clusters, grid.rows * grid.columns);
        Ok(Cluster::block(clusters, &grid))
    }

    /// Repeats a group as the arrangement says.
    fn repeated(&self, block: Cluster<'a>) -> Result<Cluster<'a>, Problem> {
        match self.arrangement.and_then(|arrangement| arrangement.repeat.as_ref()) {
            None => Ok(block),
            Some(repeat) => {
                let grid = OpeningGrid::read_repeat(repeat, &self.scope.key("arrangement").key("repeat"))?;
                Ok(Cluster::block(vec![block; grid.rows * grid.columns], &grid))
            }
        }
    }
}

/// Repeats a single satellite as often as the ring says.
fn fill_ring<'a>(clusters: &mut Vec<Cluster<'a>>, ring: &WrittenRing, scope: &Scope) -> Result<(), Problem> {
    let middle: Vec<Cluster<'a>> =
        if ring.centre_piece { clusters.drain(..1.min(clusters.len())).collect() } else { Vec::new() };
    if let Some(count) = ring.count {
        if count == 0 || count > MOST_OPENINGS || (clusters.len() > 1 && clusters.len() != count) {
            let message =
                format!("a ring of {count} openings does not match the {} openings given for it", clusters.len());
            return Err(scope
                .key("count")
                .error("contradiction", message, "give one opening to be repeated, or leave out `count`")
                .with_count("count", count)
                .with_count("openings", clusters.len()));
        }
        fill(clusters, count);
    }
    if clusters.is_empty() {
        return Err(scope.error(
            "not-enough",
            "there is no opening for the ring",
            "add an [[opening]] after the centre piece",
        ));
    }
    clusters.splice(0..0, middle);
    Ok(())
}

/// Solves for a known group, trying the sizes of a list if the job says so.
fn choose(outer: &GivenOuter, group: Size, given: &GivenBorders, scope: &Scope) -> Result<[SolvedAxis; 2], Problem> {
    let group = [Some(group.width), Some(group.height)];
    let Some((sizes, least)) = &outer.choices else {
        return solve(sides(outer.size), group, given, scope);
    };
    let wide_enough = |solved: &[SolvedAxis; 2]| {
        solved.iter().all(|side| side.before.min(side.after) >= least - crate::tolerance::SAME_LENGTH_MM)
    };
    let found = sizes.iter().filter_map(|&size| solve(sides(Some(size)), group, given, scope).ok()).find(wide_enough);
    found.ok_or_else(|| {
        let show = |mm| scope.ruler().tell(mm);
        let largest = sizes.last().map_or_else(String::new, |size| scope.ruler().show_size(size.width, size.height));
        scope
            .error(
                "does-not-fit",
                format!("no size in the list, up to {largest}, leaves borders of {} round the openings", show(*least)),
                "choose another list, a smaller `minimum_border`, or give `outer`",
            )
            .with_size("largest", sizes.last().copied())
            .with_mm("border", *least)
    })
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

/// Returns the boards of a group.
pub(super) fn boards_of<'s>(group: &OpeningGroup<'_>, sheets: &'s [ListedBoard], edge: Edge) -> GroupBoards<'s> {
    GroupBoards {
        sheets: sheets.get(group.layers.clone()).certain("board for each layer of the group"),
        base: group.base,
        edge,
    }
}
