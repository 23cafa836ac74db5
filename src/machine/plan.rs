//! From a board to the program of a machine: what is done, in which order, and where on the bed.

use kurbo::{Point, Rect, Size, Vec2};

use super::board_work::BoardWork;
use super::contour::WorkItem;
use super::order::StrokeOrderTask;
use super::placing::Placing;
use super::profile::Machine;
use super::words;
use super::written::{BoardTurn, SideUp};
use crate::checked::Checked;
use crate::fault::Certain;
use crate::geometry::Segment;
use crate::length::exact_mm;
use crate::mat::{Layer, Mat};
use crate::problem::{KeyPath, Problem};
use crate::program::{Pass, Program, Stroke, ToolKind, WorkAccount, WorkKind};
use crate::tolerance::SAME_LENGTH_MM;

impl Machine {
    /// Plans what the machine does with one board of a mat.
    ///
    /// Work for which the machine has no tool is left out; a program may have no passes at all. Lines follow the outlines on
    /// the side of the board that lies up. Problems have codes: `machine-bed` (the drawing does not fit), `machine-curve` (a
    /// straight-line head cannot follow a curve), `machine-over-run` (a cut beyond a corner would reach another opening), `machine-lead-in`,
    /// `machine-label`.
    pub fn plan(&self, mat: &Mat, layer: &Layer) -> Checked<Program> {
        let BoardWork { size, items, works, before, problems, remarks } = BoardWork::new(self, mat, layer);
        let board = if mat.layers.len() > 1 { format!(" - {} board", layer.name) } else { String::new() };
        let title = format!("{}{board} - {}", mat.name, self.side_up.words());
        let stages = works.iter().map(|work| self.stage(*work)).collect();
        let beside = [size.to_rect(); 2];
        let thickness = layer.board.thickness;
        let of_boards = Vec::new();
        SheetWork {
            machine: self,
            size,
            thickness,
            items,
            works,
            stages,
            before,
            beside,
            title,
            problems,
            of_boards,
            remarks,
        }
        .finish()
    }

    /// Returns the place of the tool for a kind of work.
    pub(super) fn stage(&self, work: WorkKind) -> usize {
        self.tool(work).certain("tool for this kind of work")
    }

    /// Lists whether a board may lie turned, what is tried first coming first.
    pub(super) const fn turns(&self) -> &'static [bool] {
        match self.turn {
            BoardTurn::Never => &[false],
            BoardTurn::Always => &[true],
            BoardTurn::ToFit => &[false, true],
        }
    }
}

impl SideUp {
    /// Says which side lies up.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Back => "back up, mirrored",
            Self::Face => "face up",
        }
    }
}

/// All work on a sheet, on its way to the bed.
pub(super) struct SheetWork<'a> {
    pub(super) machine: &'a Machine,
    /// Of the sheet, in millimetres.
    pub(super) size: Size,
    /// Of the board, in millimetres.
    pub(super) thickness: f64,
    pub(super) items: Vec<WorkItem>,
    /// The kind of work of each item.
    pub(super) works: Vec<WorkKind>,
    /// The stage of each item: those of a lower one come first.
    pub(super) stages: Vec<usize>,
    /// Pairs of items of which the first is done before the second.
    pub(super) before: Vec<(usize, usize)>,
    /// The part of the sheet beside which the reference line lies, as the sheet lies and turned by a quarter.
    pub(super) beside: [Rect; 2],
    pub(super) title: String,
    pub(super) problems: Vec<Problem>,
    /// Those of single boards, which are reported elsewhere and stand in the account.
    pub(super) of_boards: Vec<Problem>,
    /// What the account says beside.
    pub(super) remarks: Vec<String>,
}

/// Said of machines without a tool that cuts.
const DRAWS_ONLY: &str =
    "no cuts: this machine only draws; cut openings and outer edge by hand or on another machine (views cut, cut-face)";

impl SheetWork<'_> {
    /// Lays the sheet on the bed, and puts the strokes in order.
    pub(super) fn finish(mut self) -> Checked<Program> {
        let turns = self.machine.turns();
        let fitting = turns.iter().copied().find(|&turned| self.excess(turned).is_none());
        if let (None, Some(&turned)) = (fitting, turns.first()) {
            let problem = self.too_large(turned);
            self.problems.push(problem);
        }
        let program = fitting.filter(|_| !self.problems.iter().any(Problem::is_error));
        let program = program.map(|turned| self.program(turned));
        Checked { value: program, problems: self.problems }
    }

    fn program(&mut self, turned: bool) -> Program {
        let placing = Placing::new(&self.machine.controller.origin, self.size, turned);
        self.add_reference(turned);
        let task = StrokeOrderTask {
            items: &self.items,
            stages: self.stages.clone(),
            before: self.before.clone(),
            home: placing.back(Point::ORIGIN),
        };
        let route = task.route();
        let mut passes: Vec<Pass> = Vec::new();
        for (item, start) in route.steps {
            let (work, item) = self.works.get(item).zip(self.items.get(item)).certain("work of this number");
            let tool = self.machine.tools.iter().find(|tool| tool.work == *work).certain("tool for this kind of work");
            let start = item.starts.get(start).certain("start of this number");
            let strokes = item.made(start).into_iter().map(|stroke| placed(&stroke, &placing));
            match passes.last_mut().filter(|pass| pass.tool.work == *work) {
                Some(pass) => pass.strokes.extend(strokes),
                None => passes.push(Pass { tool: tool.clone(), strokes: strokes.collect() }),
            }
        }
        let account = self.account(&passes);
        let on_bed = placing.rect(self.size.to_rect());
        let strokes = passes.iter().flat_map(|pass| &pass.strokes);
        let extent =
            strokes.flat_map(|stroke| &stroke.segments).fold(on_bed, |extent, segment| extent.union(segment.bounds()));
        Program {
            title: self.title.clone(),
            machine: self.machine.name.clone(),
            controller: self.machine.controller.clone(),
            passes,
            extent,
            board: on_bed,
            turned,
            travel: route.travel,
            thickness: self.thickness,
            account,
        }
    }

    /// Says what the passes make of the job, and what is otherwise or left out.
    fn account(&self, passes: &[Pass]) -> WorkAccount {
        let (left, differs): (Vec<&Problem>, Vec<&Problem>) =
            self.problems.iter().chain(&self.of_boards).partition(|problem| problem.code == LEFT_OUT);
        let words = |problem: &&Problem| match problem.help.as_str() {
            "" => problem.message.clone(),
            help => format!("{}; {help}", problem.message),
        };
        let makes = passes.iter().map(|pass| {
            let items = self.works.iter().filter(|work| **work == pass.tool.work).count();
            self.made_by(pass, items)
        });
        let only_draws = self.machine.only_draws().then(|| DRAWS_ONLY.to_owned());
        let mut account = WorkAccount {
            makes: makes.chain(only_draws).collect(),
            differs: differs.iter().map(|problem| problem.message.clone()).collect(),
            leaves_out: left.iter().map(words).collect(),
        };
        for remark in &self.remarks {
            if !account.differs.contains(remark) {
                account.differs.push(remark.clone());
            }
        }
        account
    }

    /// Says what one tool makes.
    fn made_by(&self, pass: &Pass, items: usize) -> String {
        let Pass { tool, strokes } = pass;
        let model = self.machine.model(tool.work);
        let mut angles: Vec<f64> = Vec::new();
        let mut depths: Vec<f64> = Vec::new();
        for stroke in strokes {
            if !angles.iter().any(|known| known.to_bits() == stroke.angle_deg.to_bits()) {
                angles.push(stroke.angle_deg);
            }
            if let Some(depth) = stroke.depth.filter(|depth| !depths.contains(depth)) {
                depths.push(depth);
            }
        }
        let lines = if items == 1 { "line" } else { "lines" };
        let mut text =
            format!("{}: {items} {lines} with tool {}, {}", tool.work.name(), tool.number, tool.kind.words());
        if tool.kind == ToolKind::BevelKnife && tool.work.cuts_openings() {
            let angles: Vec<String> = angles.iter().map(|angle| format!("{angle}°")).collect();
            text += &format!(" at {} from upright", angles.join(" and "));
        }
        if let Some(model) = model.filter(|model| model.width > 0.0) {
            text += &format!(" {} wide", exact_mm(model.width));
        }
        if !depths.is_empty() {
            let depths: Vec<String> = depths.iter().map(|depth| exact_mm(*depth)).collect();
            text += &format!(", {} deep", depths.join(" and "));
        } else if !matches!(tool.kind, ToolKind::Pen | ToolKind::Line) {
            text += ", depth as set at the machine";
        }
        if let Some(tabs) = model.and_then(|model| model.tabs) {
            text += &format!(", held by up to {} tabs of {} each", tabs.count, exact_mm(tabs.length));
        }
        text
    }

    /// Returns the strokes of the reference line on the sheet; none if the machine draws none.
    fn reference(&self, turned: bool) -> Vec<Vec<Point>> {
        let [upright, across] = self.beside;
        let beside = if turned { across } else { upright };
        self.machine.reference_beside(beside, turned)
    }

    fn add_reference(&mut self, turned: bool) {
        let strokes = self.reference(turned);
        if let Some(item) = WorkItem::of_lines(strokes.iter().map(Vec::as_slice), None) {
            self.items.push(item);
            self.works.push(WorkKind::Scale);
            self.stages.push(self.machine.stage(WorkKind::Scale));
        }
    }

    /// Returns where the strokes lie in the frame of the machine, the reference line included.
    fn reach(&self, turned: bool) -> Option<Rect> {
        let placing = Placing::new(&self.machine.controller.origin, self.size, turned);
        let strokes = self.items.iter().filter_map(|item| Some(item.strokes(item.starts.first()?))).flatten();
        let own = strokes.flat_map(|stroke| placed(&stroke, &placing).segments).map(|segment| segment.bounds());
        let reference = self.reference(turned).into_iter().flatten().map(|point| {
            let point = placing.point(point);
            Rect::from_points(point, point)
        });
        own.chain(reference).reduce(|all, one| all.union(one))
    }

    /// Returns by how much the strokes reach beyond the bed: on the low and the high side of x, then of y.
    fn excess(&self, turned: bool) -> Option<[f64; 4]> {
        let (bed, reach) = (self.machine.bed_rect()?, self.reach(turned)?);
        let excess = [bed.x0 - reach.x0, reach.x1 - bed.x1, bed.y0 - reach.y0, reach.y1 - bed.y1];
        excess.iter().any(|side| *side > SAME_LENGTH_MM).then_some(excess)
    }

    fn too_large(&self, turned: bool) -> Problem {
        let sides = ["below x", "above x", "below y", "above y"];
        let bed = self.machine.bed_rect().certain("bed that is too small");
        let limits = [bed.x0, bed.x1, bed.y0, bed.y1];
        let describe = |excess: [f64; 4]| {
            let over = excess.iter().zip(sides).zip(limits).filter(|((by, _), _)| **by > SAME_LENGTH_MM);
            let parts: Vec<String> = over
                .map(|((by, side), limit)| format!("{} too far ({side} = {})", exact_mm(*by), exact_mm(limit)))
                .collect();
            parts.join(" and ")
        };
        let Some(excess) = self.excess(turned) else {
            return Problem::error("machine-bed", KeyPath::root(), "the drawing does not fit", "");
        };
        let reach = self.reach(turned).certain("stroke that leaves the bed");
        let message = format!(
            "the drawing is {} × {}, and the bed of {} is {} × {}: {}",
            exact_mm(reach.width()),
            exact_mm(reach.height()),
            self.machine.name,
            exact_mm(bed.width()),
            exact_mm(bed.height()),
            describe(excess)
        );
        let help = match self.excess(!turned) {
            None => "turned by a quarter it fits: set turn = \"to-fit\" in the profile".to_owned(),
            Some(excess) => format!("turned by a quarter it does not fit either: {}", describe(excess)),
        };
        let sized = Problem::error("machine-bed", KeyPath::root(), message, help)
            .with_size("drawing", reach.size())
            .with_size("bed", bed.size());
        let beyond = |problem: Problem, excess: Option<[f64; 4]>, names: [&'static str; 4]| {
            let over = excess.into_iter().flatten().zip(names).filter(|(by, _)| *by > SAME_LENGTH_MM);
            over.fold(problem, |problem, (by, name)| problem.with_mm(name, by))
        };
        let limits = ["x_least", "x_most", "y_least", "y_most"].into_iter().zip(limits);
        let upright = ["below_x", "above_x", "below_y", "above_y"];
        let other = ["other_below_x", "other_above_x", "other_below_y", "other_above_y"];
        let sized = beyond(beyond(sized, self.excess(turned), upright), self.excess(!turned), other);
        limits.fold(sized, |problem, (name, limit)| problem.with_mm(name, limit))
    }
}

impl Machine {
    /// Returns the strokes of the reference line beside a part of a sheet; none if the machine draws none.
    pub(super) fn reference_beside(&self, part: Rect, turned: bool) -> Vec<Vec<Point>> {
        let Some(length) = self.reference_line else { return Vec::new() };
        let by: Vec2 = part.origin().to_vec2();
        let lines = words::reference_line(length, &self.controller.origin, part.size(), turned);
        lines.into_iter().map(|line| line.into_iter().map(|point| point + by).collect()).collect()
    }
}

/// Code of what a machine leaves out.
pub(super) const LEFT_OUT: &str = "machine-left-out";

fn placed(stroke: &Stroke, placing: &Placing) -> Stroke {
    let segments: Vec<Segment> = stroke.segments.iter().map(|segment| placing.segment(segment)).collect();
    Stroke { segments, ..*stroke }
}
