//! From a sheet with boards beside each other to the program of a machine.

use kurbo::{Line, Point, Rect, Vec2};

use super::board_work::BoardWork;
use super::contour::WorkItem;
use super::findings::two_angles;
use super::follow::{Pose, SEEN_MM};
use super::plan::SheetWork;
use super::profile::Machine;
use super::tool_model::ToolModel;
use super::written::SideUp;
use crate::checked::Checked;
use crate::fault::Certain;
use crate::length::exact_mm;
use crate::mat::{Layer, Mat, Placement};
use crate::problem::{KeyPath, Problem};
use crate::program::{Program, ToolKind, WorkKind};
use crate::sheets::{NestedBoard, NestedSheet, SharedEdge, shared_edges};
use crate::tolerance::{SAME_ANGLE_DEG, SAME_LENGTH_MM, SHARED_EDGE_MM};

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
struct WorkedBoard<'s> {
    mat: &'s Mat,
    layer: &'s Layer,
    work: BoardWork,
}

/// The work on a sheet as it is collected.
struct SheetPlanner<'s> {
    machine: &'s Machine,
    sheet: &'s NestedSheet<'s>,
    known: Vec<WorkedBoard<'s>>,
    items: Vec<WorkItem>,
    works: Vec<WorkKind>,
    before: Vec<(usize, usize)>,
    problems: Vec<Problem>,
    remarks: Vec<String>,
}

impl<'s> SheetPlanner<'s> {
    fn new(machine: &'s Machine, sheet: &'s NestedSheet<'s>) -> Self {
        let mut known: Vec<WorkedBoard<'s>> = Vec::new();
        for NestedBoard { mat, layer, .. } in &sheet.boards {
            if !known.iter().any(|known| known.is(mat, layer)) {
                known.push(WorkedBoard { mat, layer, work: BoardWork::new(machine, mat, layer) });
            }
        }
        let (items, works, before) = (Vec::new(), Vec::new(), Vec::new());
        Self { machine, sheet, known, items, works, before, problems: Vec::new(), remarks: Vec::new() }
    }

    fn is_back_up(&self) -> bool {
        self.machine.side_up == SideUp::Back
    }

    fn work(mut self) -> SheetWork<'s> {
        for board in &self.sheet.boards {
            self.add_board(board);
        }
        if self.machine.tool(WorkKind::Edge).is_some() {
            self.add_edges();
            self.check_order();
        }
        self.check_angles();
        let size = self.sheet.size;
        // Whatever the profile says, a board that is loose is not worked on.
        let stage = |work: &WorkKind| if *work == WorkKind::Edge { usize::MAX } else { self.machine.stage(*work) };
        SheetWork {
            machine: self.machine,
            size,
            stages: self.works.iter().map(stage).collect(),
            items: self.items,
            works: self.works,
            before: self.before,
            beside: [false, true].map(|turned| self.machine.reference_part(size, turned)),
            title: format!("{} - {}", self.sheet.title(), self.machine.side_up.words()),
            thickness: self.known.first().map_or(0.0, |known| known.layer.board.thickness),
            of_boards: each_once(self.known.iter().flat_map(|known| known.work.problems.iter().cloned())),
            remarks: each_once(
                self.known.iter().flat_map(|known| known.work.remarks.iter().cloned()).chain(self.remarks),
            ),
            problems: self.problems,
        }
    }

    /// Adds the work on a board, but for its edge.
    fn add_board(&mut self, board: &NestedBoard<'_>) {
        let placement = self.sheet.placement(board, self.is_back_up());
        let Some(known) = self.known.iter().find(|known| known.is(board.mat, board.layer)) else { return };
        let mut places: Vec<Option<usize>> = Vec::with_capacity(known.work.items.len());
        for (item, work) in known.work.items.iter().zip(&known.work.works) {
            let belongs = *work != WorkKind::Edge;
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

    /// Returns the boards as rectangles on the sheet, with what the tool takes away of the waste round them.
    fn cut_round(&self) -> Vec<Rect> {
        let aside = self.machine.model(WorkKind::Edge).map_or(0.0, ToolModel::aside);
        // A thin line between two mats may as well take half of its width from each.
        let aside = if self.are_too_near() { 0.0 } else { aside };
        self.sheet.rects(self.is_back_up()).into_iter().map(|rect| rect.inflate(aside, aside)).collect()
    }

    /// Tells whether mats lie nearer to each other than the tool for edges is wide.
    fn are_too_near(&self) -> bool {
        let half = self.machine.model(WorkKind::Edge).map_or(0.0, |model| 0.5 * model.width);
        let wide: Vec<Rect> =
            self.sheet.rects(self.is_back_up()).into_iter().map(|rect| rect.inflate(half, half)).collect();
        let overlaps = |(place, one): (usize, &Rect)| {
            wide.iter().skip(place + 1).any(|other| {
                let over = one.intersect(*other);
                over.width() > SHARED_EDGE_MM && over.height() > SHARED_EDGE_MM
            })
        };
        half > 0.0 && wide.iter().enumerate().any(overlaps)
    }

    /// Refuses mats that lie nearer to each other than a tool is wide that would be seen to take too much of them.
    fn check_gaps(&mut self) {
        let Some(model) = self.machine.model(WorkKind::Edge).filter(|_| self.are_too_near()) else { return };
        let (width, kind) = (exact_mm(model.width), model.kind.words());
        if 0.5 * model.width < SEEN_MM {
            self.remarks.push(format!("where mats share an edge, the {kind} takes half of its {width} from each"));
            return;
        }
        let message = format!(
            "mats lie closer together than {width}, the width that the {kind} of {} removes between them",
            self.machine.name
        );
        let help = format!("set kerf = \"{width}\" in the stock, so that they are laid that far apart");
        let problem = Problem::error("machine-width", KeyPath::root(), message, help).with_mm("width", model.width);
        self.problems.push(problem);
    }

    /// Tells whether a cut runs along an edge of the sheet, which the factory has cut.
    fn is_sheet_edge(&self, line: &Line) -> bool {
        // The middle of a tool of some width would run beside the edge.
        let aside = self.machine.model(WorkKind::Edge).map_or(0.0, ToolModel::aside);
        let whole = self.sheet.size.to_rect();
        let near = |a: f64, b: f64| (a - b).abs() <= aside + SHARED_EDGE_MM;
        let upright = near(line.p0.x, line.p1.x) && (near(line.p0.x, whole.x0) || near(line.p0.x, whole.x1));
        let level = near(line.p0.y, line.p1.y) && (near(line.p0.y, whole.y0) || near(line.p0.y, whole.y1));
        upright || level
    }

    /// Adds the cuts that part the boards. What the factory has cut is left as it is unless the profile asks for it.
    fn add_edges(&mut self) {
        self.check_gaps();
        let boards = self.cut_round();
        let pose = self.edge_pose();
        let mut short: Vec<Point> = Vec::new();
        let mut kept = 0;
        for edge in self.edges(&boards) {
            let item = match edge {
                SharedEdge::Round(place) => self.sheet.boards.get(place).and_then(|board| self.own_edge(board)),
                SharedEdge::Straight(line) if !self.machine.cut_sheet_edges && self.is_sheet_edge(&line) => {
                    kept += 1;
                    None
                }
                SharedEdge::Straight(line) => {
                    let (from, to) = self.run_on(line, &boards, &mut short);
                    WorkItem::of_line(&[from, to]).map(|item| item.posed(pose.clone()))
                }
            };
            if let Some(item) = item {
                self.items.push(item);
                self.works.push(WorkKind::Edge);
            }
        }
        if kept > 0 {
            let lines = if kept == 1 { "edge" } else { "edges" };
            self.remarks.push(format!(
                "{kept} {lines} of mats lie on edges of the sheet, and are left as the factory cut them"
            ));
        }
        if let Some(first) = short.first() {
            let (lead, x, y) = (exact_mm(self.machine.over_run.lead), first.x, first.y);
            let message = match short.len() {
                1 => format!(
                    "one cut along an outer edge should over-run its corner by {lead} at {x:.1}, {y:.1} mm on the sheet, but another mat lies there; the cut stops short of it"
                ),
                ends => format!(
                    "{ends} cuts along outer edges should over-run their corners by {lead}, but other mats lie there, the first at {x:.1}, {y:.1} mm on the sheet; the cuts stop short of them"
                ),
            };
            let help = "separate the mats by hand there, or leave a gap between them";
            self.problems.push(
                Problem::warning("machine-over-run", KeyPath::root(), message, help)
                    .with_count("ends", short.len())
                    .with_mm("over_run", self.machine.over_run.lead)
                    .with_mm("x", first.x)
                    .with_mm("y", first.y),
            );
        }
    }

    /// Returns the cuts that part the boards; a board with an edge on that of the sheet is cut side by side, so that this one can be left.
    fn edges(&self, boards: &[Rect]) -> Vec<SharedEdge> {
        let mut edges = Vec::new();
        for edge in shared_edges(boards, self.machine.beyond_edge()) {
            match edge {
                SharedEdge::Round(place) if !self.machine.cut_sheet_edges => {
                    let sides: Vec<Line> = sides(*boards.get(place).certain("board with this edge")).to_vec();
                    if sides.iter().any(|side| self.is_sheet_edge(side)) {
                        edges.extend(sides.into_iter().map(SharedEdge::Straight));
                    } else {
                        edges.push(edge);
                    }
                }
                edge => edges.push(edge),
            }
        }
        edges
    }

    /// Returns how the tool stands while it cuts edges: as it does round a board that lies alone.
    fn edge_pose(&self) -> Pose {
        let alone = self.known.iter().find_map(|known| {
            let place = known.work.works.iter().position(|work| *work == WorkKind::Edge)?;
            known.work.items.get(place)
        });
        alone.map_or_else(Pose::default, |item| item.pose.clone())
    }

    /// Returns the edge of a board that lies apart, followed as it would be alone.
    fn own_edge(&self, board: &NestedBoard<'_>) -> Option<WorkItem> {
        let known = self.known.iter().find(|known| known.is(board.mat, board.layer))?;
        let place = known.work.works.iter().position(|work| *work == WorkKind::Edge)?;
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

    /// Refuses a sheet whose boards need two angles of a blade that is set once for a file.
    fn check_angles(&mut self) {
        let machine = self.machine;
        let is_set_once = |model: &ToolModel| model.kind == ToolKind::BevelKnife && !model.turns_between;
        if !machine.model(WorkKind::Cut).is_some_and(is_set_once) {
            return;
        }
        let angles =
            self.known.iter().flat_map(|known| known.work.angles().into_iter().map(|angle| (angle, &known.mat.name)));
        let mut known: Vec<(f64, &String)> = Vec::new();
        for (angle, name) in angles {
            if !known.iter().any(|(other, _)| (other - angle).abs() <= SAME_ANGLE_DEG) {
                known.push((angle, name));
            }
        }
        if let [(first, one), (second, other), ..] = known.as_slice()
            && one != other
        {
            let what = format!("{one} is to be cut at {first}° and {other} at {second}°");
            self.problems.push(two_angles(machine, what));
        }
    }

    /// Warns if the profile would do something else after the outer edges.
    fn check_order(&mut self) {
        let machine = self.machine;
        let edge = machine.tool(WorkKind::Edge).certain("tool for outer edges");
        let later: Vec<&str> = machine
            .tools
            .iter()
            .skip(edge + 1)
            .filter(|tool| self.works.contains(&tool.work))
            .map(|tool| tool.work.name())
            .collect();
        if !later.is_empty() {
            let message = format!(
                "{} has the outer edges before {}; on a sheet of several mats they are cut last, so that no mat comes loose too early",
                machine.name,
                later.join(", ")
            );
            let help = "list edge last in the order of the profile";
            self.problems.push(Problem::warning("machine-order", KeyPath::root(), message, help));
        }
    }
}

/// Returns the sides of a rectangle, from left to right and from top to bottom.
fn sides(rect: Rect) -> [Line; 4] {
    let (a, b) = (rect.origin(), Point::new(rect.x1, rect.y1));
    [Line::new(a, (b.x, a.y)), Line::new((a.x, b.y), b), Line::new(a, (a.x, b.y)), Line::new((b.x, a.y), b)]
}

/// Leaves out what was there before.
fn each_once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut once: Vec<T> = Vec::new();
    for one in all {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    once
}

impl WorkedBoard<'_> {
    fn is(&self, mat: &Mat, layer: &Layer) -> bool {
        std::ptr::eq(self.mat, mat) && std::ptr::eq(self.layer, layer)
    }
}

fn placed(item: &WorkItem, placement: &Placement) -> WorkItem {
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
