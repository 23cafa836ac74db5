//! From a board to the program of a machine: what is done, in which order, and where on the bed.

use kurbo::{Point, Rect, Size};

use super::contour::{Item, Way};
use super::order::Task;
use super::placing::Placing;
use super::profile::Machine;
use super::program::{Pass, Program, Stroke};
use super::reach::Bars;
use super::words;
use super::written::{Head, Labels, SideUp, Turn, Work};
use crate::drawing::{Drawing, Mark};
use crate::geometry::{Outline, Segment};
use crate::length::exact_mm;
use crate::mat::{Direction, Edge, Layer, Mat, over_run};
use crate::problem::{KeyPath, Problem};
use crate::tolerance::SAME_LENGTH_MM;
use crate::view::View;

/// A program, if there can be one, and what must be known about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The program; `None` if one of the problems is an error.
    pub program: Option<Program>,
    /// What is wrong, or worth a look.
    pub problems: Vec<Problem>,
}

impl Machine {
    /// Plans what the machine does with one board of a mat.
    ///
    /// Work for which the machine has no tool is left out; a program may have no passes at all. Lines follow the outlines on
    /// the side of the board that lies up. Problems have codes: `machine-bed` (the drawing does not fit), `machine-curve` (a
    /// straight-line head cannot follow a curve), `machine-over-run` (a cut beyond a corner would reach another opening), `machine-lead-in`,
    /// `machine-label`.
    #[must_use]
    pub fn plan(&self, mat: &Mat, layer: &Layer) -> Planned {
        let mut planner =
            Planner { machine: self, mat, layer, items: Vec::new(), works: Vec::new(), problems: Vec::new() };
        let board = planner.collect();
        planner.finish(board)
    }
}

/// The work on one board as it is collected.
struct Planner<'a> {
    machine: &'a Machine,
    mat: &'a Mat,
    layer: &'a Layer,
    items: Vec<Item>,
    /// The kind of work of each item.
    works: Vec<Work>,
    problems: Vec<Problem>,
}

/// The cuts of openings and the outer edge of a board, as they lie on the sheet.
struct Board {
    size: Size,
    /// Item, number and outline of each opening that is cut.
    cuts: Vec<(usize, Outline)>,
}

impl Planner<'_> {
    fn add(&mut self, work: Work, item: Option<Item>) {
        if let Some(item) = item {
            self.items.push(item);
            self.works.push(work);
        }
    }

    /// Collects all items but the reference line.
    fn collect(&mut self) -> Board {
        let face_up = self.machine.side_up == SideUp::Face;
        let views: &[&str] = if face_up { &["pen", "cut-face"] } else { &["cut"] };
        let drawings: Vec<Drawing> = views
            .iter()
            .filter_map(|name| View::by_name(name))
            .filter(|view| view.applies(self.layer))
            .map(|view| view.draw(self.mat, self.layer))
            .collect();
        let size = drawings.last().map_or(Size::ZERO, |drawing| drawing.sheet);
        let outlines: Vec<(Work, Option<usize>, Outline)> = drawings.iter().flat_map(outlines).collect();
        let bars = Bars::new(outlines.iter().map(|(_, opening, outline)| (*opening, outline, self.over(*opening))));
        let mut cuts = Vec::new();
        for (work, opening, outline) in &outlines {
            if self.machine.tool(*work).is_none() {
                continue;
            }
            if *work == Work::Cut {
                cuts.push((self.items.len(), outline.clone()));
            }
            let item = self.follow(*work, *opening, outline, &bars);
            self.check(*work, &item, outline);
            self.add(*work, Some(item));
        }
        let mut drawn = Vec::new();
        for (work, points) in drawings.iter().flat_map(lines) {
            // The register marks of the two views are the same.
            if self.machine.tool(work).is_some() && !drawn.contains(&(work, points)) {
                drawn.push((work, points));
                self.add(work, Item::of_line(points));
            }
        }
        let labelled: Vec<(usize, &Outline)> = outlines
            .iter()
            .filter(|outline| outline.0 == Work::Cut)
            .filter_map(|(_, number, outline)| Some(((*number)?, outline)))
            .collect();
        self.label(&labelled);
        Board { size, cuts }
    }

    /// Returns how far outside the outline on the side that lies up the one on the other side lies.
    fn over(&self, number: Option<usize>) -> f64 {
        let up = match self.machine.side_up {
            SideUp::Back => Edge::Back,
            SideUp::Face => Edge::Face,
        };
        let opening = self.layer.openings.iter().find(|opening| Some(opening.number) == number);
        opening.map_or(0.0, |opening| over_run::outside(up, self.layer, opening))
    }

    fn follow(&mut self, work: Work, number: Option<usize>, outline: &Outline, bars: &Bars) -> Item {
        let machine = self.machine;
        let opening = self.layer.openings.iter().find(|opening| Some(opening.number) == number);
        let bevel =
            opening.filter(|_| work == Work::Cut).map_or(Direction::Straight, |opening| opening.bevel.direction);
        let over = if work == Work::Cut { self.over(number) } else { 0.0 };
        let lead = machine.over_run.lead;
        let runs_on = machine.over_run.follows_bevel && matches!(work, Work::Cut | Work::Edge) && over + lead > 0.0;
        let way = Way {
            round: machine.round(bevel),
            over,
            lead: runs_on.then_some(lead),
            waste_inside: work == Work::Cut,
            is_cut: matches!(work, Work::Cut | Work::Edge),
        };
        let problems = &mut self.problems;
        Item::of_outline(outline, number, machine, way, |beyond| {
            if work == Work::Cut { bars.limit(beyond, number, problems) } else { beyond.length }
        })
    }

    fn check(&mut self, work: Work, item: &Item, outline: &Outline) {
        let what = item.opening.map_or_else(|| format!("the {}", work.name()), |number| format!("opening {number}"));
        if self.machine.head == Head::Straight
            && matches!(work, Work::Cut | Work::Edge | Work::Groove)
            && item.is_curved()
        {
            let message = format!("{what} has curves, but the head of {} cuts straight lines only", self.machine.name);
            self.problems.push(Problem::error("machine-curve", KeyPath::root(), message, "cut it on another machine"));
        }
        let leads = self.machine.lead_in > 0.0 && matches!(work, Work::Cut | Work::Edge);
        let outside = |point: Point| outline.contains(point) != (work == Work::Cut);
        if leads
            && item
                .starts
                .iter()
                .any(|start| outside(start.entry) && !item.strokes(start).iter().all(|stroke| stroke.closed))
        {
            let is_sides = item.starts.iter().any(|start| item.strokes(start).len() > 1);
            if !is_sides {
                let message = format!("{what} has no room for a lead-in of {}", exact_mm(self.machine.lead_in));
                let help = "make lead_in of the machine shorter";
                self.problems.push(Problem::error("machine-lead-in", KeyPath::root(), message, help));
            }
        }
    }

    /// Writes numbers and names into the pieces that fall out.
    fn label(&mut self, outlines: &[(usize, &Outline)]) {
        if self.machine.labels == Labels::None || self.machine.tool(Work::Label).is_none() {
            return;
        }
        if self.machine.side_up == SideUp::Face && self.layer.fallout == crate::mat::Fallout::Keep {
            let message = "the openings are not labelled, since the pieces that fall out are kept and lie face up";
            self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
            return;
        }
        let mut name = (self.machine.labels == Labels::Names).then_some(self.mat.name.as_str());
        let mut missing = String::new();
        for &(number, outline) in outlines {
            let lines: Vec<String> =
                [Some(number.to_string()), name.map(str::to_owned)].into_iter().flatten().collect();
            match words::inside(outline, &lines, &mut missing) {
                Some(strokes) => {
                    name = None;
                    let item = Item::of_lines(strokes.iter().map(Vec::as_slice), Some(number));
                    self.add(Work::Label, item);
                }
                None => {
                    let message = format!("opening {number} has no room for its label");
                    self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
                }
            }
        }
        if !missing.is_empty() {
            let message = format!("the stroke font has no letters for {missing:?}; they are drawn as boxes");
            self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
        }
    }

    /// Lays the board on the bed, and puts the strokes in order.
    fn finish(mut self, board: Board) -> Planned {
        let turns: &[bool] = match self.machine.turn {
            Turn::Never => &[false],
            Turn::Always => &[true],
            Turn::ToFit => &[false, true],
        };
        let fitting = turns.iter().copied().find(|&turned| self.excess(&board, turned).is_none());
        if let (None, Some(&turned)) = (fitting, turns.first()) {
            let problem = self.too_large(&board, turned);
            self.problems.push(problem);
        }
        let program = fitting.filter(|_| !self.problems.iter().any(Problem::is_error));
        let program = program.map(|turned| self.program(&board, turned));
        Planned { program, problems: self.problems }
    }

    fn program(&mut self, board: &Board, turned: bool) -> Program {
        let placing = Placing::new(&self.machine.origin, board.size, turned);
        self.add_reference(board, turned);
        let task = Task {
            items: &self.items,
            stages: self.works.iter().map(|work| self.machine.tool(*work).unwrap_or(usize::MAX)).collect(),
            before: inner_first(&board.cuts),
            home: placing.back(Point::ORIGIN),
        };
        let route = task.route();
        let mut passes: Vec<Pass> = Vec::new();
        for (item, start) in route.steps {
            let (Some(work), Some(item)) = (self.works.get(item), self.items.get(item)) else { continue };
            let (Some(tool), Some(start)) =
                (self.machine.tools.iter().find(|tool| tool.work == *work), item.starts.get(start))
            else {
                continue;
            };
            let strokes = item.strokes(start).into_iter().map(|stroke| placed(&stroke, &placing));
            match passes.last_mut().filter(|pass| pass.tool.work == *work) {
                Some(pass) => pass.strokes.extend(strokes),
                None => passes.push(Pass { tool: tool.clone(), strokes: strokes.collect() }),
            }
        }
        let on_bed = placing.rect(board.size.to_rect());
        let strokes = passes.iter().flat_map(|pass| &pass.strokes);
        let extent =
            strokes.flat_map(|stroke| &stroke.segments).fold(on_bed, |extent, segment| extent.union(segment.bounds()));
        Program { title: self.title(), passes, extent, board: on_bed, turned, travel: route.travel }
    }

    fn title(&self) -> String {
        let Mat { name, layers, .. } = self.mat;
        let board = if layers.len() > 1 { format!(" - {} board", self.layer.name) } else { String::new() };
        let side = match self.machine.side_up {
            SideUp::Back => "back up, mirrored",
            SideUp::Face => "face up",
        };
        format!("{name}{board} - {side}")
    }

    fn add_reference(&mut self, board: &Board, turned: bool) {
        if let Some(length) = self.machine.reference_line {
            let strokes = words::reference_line(length, &self.machine.origin, board.size, turned);
            let item = Item::of_lines(strokes.iter().map(Vec::as_slice), None);
            self.add(Work::Scale, item);
        }
    }

    /// Returns where the strokes lie in the frame of the machine, the reference line included.
    fn reach(&self, board: &Board, turned: bool) -> Option<Rect> {
        let placing = Placing::new(&self.machine.origin, board.size, turned);
        let strokes = self.items.iter().filter_map(|item| Some(item.strokes(item.starts.first()?))).flatten();
        let own = strokes.flat_map(|stroke| placed(&stroke, &placing).segments).map(|segment| segment.bounds());
        let reference = self
            .machine
            .reference_line
            .into_iter()
            .flat_map(|length| words::reference_line(length, &self.machine.origin, board.size, turned));
        let reference = reference.flatten().map(|point| {
            let point = placing.point(point);
            Rect::from_points(point, point)
        });
        own.chain(reference).reduce(|all, one| all.union(one))
    }

    /// Returns by how much the strokes reach beyond the bed: on the low and the high side of x, then of y.
    fn excess(&self, board: &Board, turned: bool) -> Option<[f64; 4]> {
        let (bed, reach) = (self.machine.bed_rect()?, self.reach(board, turned)?);
        let excess = [bed.x0 - reach.x0, reach.x1 - bed.x1, bed.y0 - reach.y0, reach.y1 - bed.y1];
        excess.iter().any(|side| *side > SAME_LENGTH_MM).then_some(excess)
    }

    fn too_large(&self, board: &Board, turned: bool) -> Problem {
        let sides = ["below x", "above x", "below y", "above y"];
        let bed = self.machine.bed_rect().unwrap_or(Rect::ZERO);
        let limits = [bed.x0, bed.x1, bed.y0, bed.y1];
        let describe = |excess: [f64; 4]| {
            let over = excess.iter().zip(sides).zip(limits).filter(|((by, _), _)| **by > SAME_LENGTH_MM);
            let parts: Vec<String> = over
                .map(|((by, side), limit)| format!("{} too far ({side} = {})", exact_mm(*by), exact_mm(limit)))
                .collect();
            parts.join(" and ")
        };
        let Some(excess) = self.excess(board, turned) else {
            return Problem::error("machine-bed", KeyPath::root(), "the drawing does not fit", "");
        };
        let reach = self.reach(board, turned).unwrap_or(Rect::ZERO);
        let message = format!(
            "the drawing is {} × {}, and the bed of {} is {} × {}: {}",
            exact_mm(reach.width()),
            exact_mm(reach.height()),
            self.machine.name,
            exact_mm(bed.width()),
            exact_mm(bed.height()),
            describe(excess)
        );
        let help = match self.excess(board, !turned) {
            None => "turned by a quarter it fits: set turn = \"to-fit\" in the profile".to_owned(),
            Some(excess) => format!("turned by a quarter it does not fit either: {}", describe(excess)),
        };
        Problem::error("machine-bed", KeyPath::root(), message, help)
    }
}

fn placed(stroke: &Stroke, placing: &Placing) -> Stroke {
    let segments: Vec<Segment> = stroke.segments.iter().map(|segment| placing.segment(segment)).collect();
    Stroke { segments, ..*stroke }
}

fn work_of(layer: &crate::drawing::Layer) -> Option<Work> {
    Work::ALL.into_iter().find(|work| work.role() == layer.role)
}

/// Lists the closed outlines of a drawing with their kind of work.
fn outlines(drawing: &Drawing) -> impl Iterator<Item = (Work, Option<usize>, Outline)> {
    drawing.layers.iter().filter_map(|layer| Some((work_of(layer)?, layer))).flat_map(|(work, layer)| {
        layer.marks.iter().filter_map(move |mark| match mark {
            Mark::Outline { outline, opening } => Some((work, *opening, outline.clone())),
            _ => None,
        })
    })
}

/// Lists the open lines of a drawing with their kind of work.
fn lines(drawing: &Drawing) -> impl Iterator<Item = (Work, &[Point])> {
    drawing.layers.iter().filter_map(|layer| Some((work_of(layer)?, layer))).flat_map(|(work, layer)| {
        layer.marks.iter().filter_map(move |mark| match mark {
            Mark::Line(points) => Some((work, points.as_slice())),
            _ => None,
        })
    })
}

/// Pairs each opening with every one inside whose fallout it lies: the inner one is cut first, while it is still held.
fn inner_first(cuts: &[(usize, Outline)]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (inner, outline) in cuts {
        let Some(at) = outline.segments().first().map(Segment::start) else { continue };
        let around = cuts.iter().filter(|(outer, around)| outer != inner && around.contains(at));
        pairs.extend(around.map(|(outer, _)| (*inner, *outer)));
    }
    pairs
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::inner_first;
    use crate::geometry::Outline;

    #[test]
    fn what_lies_in_the_fallout_of_another_is_cut_before_it() {
        let square = |from: f64, to: f64| Outline::rectangle(Rect::new(from, from, to, to)).unwrap();
        let cuts =
            [(4, square(0.0, 100.0)), (5, square(20.0, 40.0)), (6, square(25.0, 30.0)), (7, square(120.0, 140.0))];
        assert_eq!(inner_first(&cuts), [(5, 4), (6, 4), (6, 5)]);
    }
}
