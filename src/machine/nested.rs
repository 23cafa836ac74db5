//! From a sheet with boards beside each other to the program of a machine.

use kurbo::{Line, Point, Rect, Vec2};

use super::board_work::BoardWork;
use super::contour::Item;
use super::plan::SheetWork;
use super::profile::Machine;
use super::program::Program;
use super::written::{SideUp, Work};
use crate::checked::Checked;
use crate::length::exact_mm;
use crate::mat::{Layer, Mat, Placement};
use crate::problem::{KeyPath, Problem};
use crate::sheets::{NestedBoard, NestedSheet, SharedEdge};
use crate::tolerance::{SAME_LENGTH_MM, SHARED_EDGE_MM};

impl Machine {
    /// Returns what is wrong with the work on one board of a mat, or worth a look, wherever it lies; see [`Machine::plan`].
    #[must_use]
    pub fn check(&self, mat: &Mat, layer: &Layer) -> Vec<Problem> {
        BoardWork::new(self, mat, layer).problems
    }

    /// Plans what the machine does with a sheet on which boards lie beside each other.
    ///
    /// Each kind of work is done on all boards before the next, and the outer edges are cut last, whatever the order of the
    /// profile, so that every board is held until then. An edge that boards share is cut once; a board that lies apart is cut
    /// all round as it would be alone.
    ///
    /// Problems are those of the sheet as a whole: `machine-bed` (the strokes leave the bed), `machine-over-run` (an edge
    /// should run on where another board lies) and `machine-order`. Those of single boards come from [`Machine::check`]; there
    /// is not a program if one of them is an error.
    pub fn plan_sheet(&self, sheet: &NestedSheet<'_>) -> Checked<Program> {
        let planner = SheetPlanner::new(self, sheet);
        let wrong = planner.known.iter().any(|known| known.work.problems.iter().any(Problem::is_error));
        let planned = planner.work().finish();
        Checked { value: planned.value.filter(|_| !wrong), ..planned }
    }
}

/// The work on a board that may lie in several places.
struct Known<'s> {
    mat: &'s Mat,
    layer: &'s Layer,
    work: BoardWork,
}

/// The work on a sheet as it is collected.
struct SheetPlanner<'s> {
    machine: &'s Machine,
    sheet: &'s NestedSheet<'s>,
    known: Vec<Known<'s>>,
    items: Vec<Item>,
    works: Vec<Work>,
    before: Vec<(usize, usize)>,
    problems: Vec<Problem>,
}

impl<'s> SheetPlanner<'s> {
    fn new(machine: &'s Machine, sheet: &'s NestedSheet<'s>) -> Self {
        let mut known: Vec<Known<'s>> = Vec::new();
        for NestedBoard { mat, layer, .. } in &sheet.boards {
            if !known.iter().any(|known| known.is(mat, layer)) {
                known.push(Known { mat, layer, work: BoardWork::new(machine, mat, layer) });
            }
        }
        let (items, works, before) = (Vec::new(), Vec::new(), Vec::new());
        Self { machine, sheet, known, items, works, before, problems: Vec::new() }
    }

    fn is_back_up(&self) -> bool {
        self.machine.side_up == SideUp::Back
    }

    fn work(mut self) -> SheetWork<'s> {
        for board in &self.sheet.boards {
            self.add_board(board);
        }
        if self.machine.tool(Work::Edge).is_some() {
            self.add_edges();
            self.check_order();
        }
        let size = self.sheet.size;
        // Whatever the profile says, a board that is loose is not worked on.
        let stage = |work: &Work| if *work == Work::Edge { usize::MAX } else { self.machine.stage(*work) };
        SheetWork {
            machine: self.machine,
            size,
            stages: self.works.iter().map(stage).collect(),
            items: self.items,
            works: self.works,
            before: self.before,
            beside: [false, true].map(|turned| self.machine.reference_part(size, turned)),
            title: format!("{} - {}", self.sheet.title(), self.machine.side_up.words()),
            problems: self.problems,
        }
    }

    /// Adds the work on a board, but for its edge.
    fn add_board(&mut self, board: &NestedBoard<'_>) {
        let placement = self.sheet.placement(board, self.is_back_up());
        let Some(known) = self.known.iter().find(|known| known.is(board.mat, board.layer)) else { return };
        let mut places: Vec<Option<usize>> = Vec::with_capacity(known.work.items.len());
        for (item, work) in known.work.items.iter().zip(&known.work.works) {
            let belongs = *work != Work::Edge;
            places.push(belongs.then_some(self.items.len()));
            if belongs {
                self.items.push(placed(item, &placement));
                self.works.push(*work);
            }
        }
        let place = |item: usize| places.get(item).copied().flatten();
        let before = known.work.before.iter();
        self.before.extend(before.filter_map(|&(first, then)| Some((place(first)?, place(then)?))));
    }

    /// Adds the cuts that part the boards.
    fn add_edges(&mut self) {
        let from_back = self.is_back_up();
        let boards = self.sheet.rects(from_back);
        let mut short: Vec<Point> = Vec::new();
        for edge in self.sheet.edges(from_back, self.machine.beyond_edge()) {
            let item = match edge {
                SharedEdge::Round(place) => self.sheet.boards.get(place).and_then(|board| self.own_edge(board)),
                SharedEdge::Straight(line) => {
                    let (from, to) = self.run_on(line, &boards, &mut short);
                    Item::of_line(&[from, to])
                }
            };
            if let Some(item) = item {
                self.items.push(item);
                self.works.push(Work::Edge);
            }
        }
        if let Some(first) = short.first() {
            let (lead, x, y) = (exact_mm(self.machine.over_run.lead), first.x, first.y);
            let message = match short.len() {
                1 => format!(
                    "one cut along an outer edge should run on {lead} beyond its corner at {x:.1}, {y:.1} mm on the sheet, but another mat lies there; it stops short of it"
                ),
                ends => format!(
                    "{ends} cuts along outer edges should run on {lead} beyond their corners, but another mat lies there, the first at {x:.1}, {y:.1} mm on the sheet; they stop short of it"
                ),
            };
            let help = "part the mats by hand there, or leave a gap between them";
            self.problems.push(
                Problem::warning("machine-over-run", KeyPath::root(), message, help)
                    .with_count("ends", short.len())
                    .with_mm("over_run", self.machine.over_run.lead)
                    .with_mm("x", first.x)
                    .with_mm("y", first.y),
            );
        }
    }

    /// Returns the edge of a board that lies apart, followed as it would be alone.
    fn own_edge(&self, board: &NestedBoard<'_>) -> Option<Item> {
        let known = self.known.iter().find(|known| known.is(board.mat, board.layer))?;
        let place = known.work.works.iter().position(|work| *work == Work::Edge)?;
        Some(placed(known.work.items.get(place)?, &self.sheet.placement(board, self.is_back_up())))
    }

    /// Lets a straight cut run on at both ends, as far as it reaches no board; notes the ends where that is too short.
    fn run_on(&self, line: Line, boards: &[Rect], short: &mut Vec<Point>) -> (Point, Point) {
        let over_run = self.machine.over_run;
        if !over_run.follows_bevel || over_run.lead <= SAME_LENGTH_MM {
            return (line.p0, line.p1);
        }
        let along = (line.p1 - line.p0).normalize();
        let mut end = |from: Point, along: Vec2| {
            let free = boards.iter().filter_map(|board| reaches(from, along, *board)).fold(over_run.lead, f64::min);
            if free < over_run.lead - SAME_LENGTH_MM {
                short.push(from);
            }
            from + along * free
        };
        (end(line.p0, -along), end(line.p1, along))
    }

    /// Warns if the profile would do something else after the outer edges.
    fn check_order(&mut self) {
        let machine = self.machine;
        let edge = machine.tool(Work::Edge).unwrap_or(usize::MAX);
        let later: Vec<&str> = machine
            .tools
            .iter()
            .skip(edge.saturating_add(1))
            .filter(|tool| self.works.contains(&tool.work))
            .map(|tool| tool.work.name())
            .collect();
        if !later.is_empty() {
            let message = format!(
                "{} has the outer edges before {}; on a sheet of several mats they are cut last, so that no mat is loose before its time",
                machine.name,
                later.join(", ")
            );
            let help = "list edge last in the order of the profile";
            self.problems.push(Problem::warning("machine-order", KeyPath::root(), message, help));
        }
    }
}

impl Known<'_> {
    fn is(&self, mat: &Mat, layer: &Layer) -> bool {
        std::ptr::eq(self.mat, mat) && std::ptr::eq(self.layer, layer)
    }
}

fn placed(item: &Item, placement: &Placement) -> Item {
    item.placed(|segment| placement.segment_from_board(segment))
}

/// Returns how far a level or upright cut can run on from a point until it is inside a board; `None` if it never is.
fn reaches(from: Point, along: Vec2, board: Rect) -> Option<f64> {
    let inside = board.inset(-SHARED_EDGE_MM);
    let level = along.x.abs() > along.y.abs();
    let (across, low, high) = if level { (from.y, inside.y0, inside.y1) } else { (from.x, inside.x0, inside.x1) };
    if across <= low || across >= high {
        return None;
    }
    let (at, forward) = if level { (from.x, along.x > 0.0) } else { (from.y, along.y > 0.0) };
    let (near, far) = if level { (board.x0, board.x1) } else { (board.y0, board.y1) };
    let (to_near, to_far) = if forward { (near - at, far - at) } else { (at - far, at - near) };
    (to_far > SHARED_EDGE_MM).then_some(to_near.max(0.0))
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect, Vec2};

    use super::reaches;

    #[test]
    fn a_cut_stops_at_a_board_and_runs_on_along_its_edge() {
        let board = Rect::new(10.0, 0.0, 20.0, 10.0);
        let right = Vec2::new(1.0, 0.0);
        for (from, along, expected) in [
            ((8.0, 5.0), right, Some(2.0)),
            ((10.0, 5.0), right, Some(0.0)),
            // Along its edge, and away from it.
            ((8.0, 0.0), right, None),
            ((8.0, 10.0), right, None),
            ((20.0, 5.0), right, None),
            ((8.0, 5.0), -right, None),
            ((23.0, 5.0), -right, Some(3.0)),
            ((15.0, -4.0), Vec2::new(0.0, 1.0), Some(4.0)),
            ((15.0, 12.0), Vec2::new(0.0, -1.0), Some(2.0)),
            ((10.0, 12.0), Vec2::new(0.0, -1.0), None),
        ] {
            assert_eq!(reaches(Point::from(from), along, board), expected, "{from:?} {along:?}");
        }
    }
}
