//! The work of a machine on one board: lines to follow, where each may start, and what must be known about them.

use kurbo::{Point, Size};

use super::contour::WorkItem;
use super::findings::{Findings, two_angles};
use super::follow::{AskedBoard, Follow, Pose};
use super::left_out::left_out;
use super::path::is_same;
use super::profile::Machine;
use super::reach::Obstacles;
use super::way::ContourRules;
use super::words;
use super::written::{FalloutLabels, Head, SideUp};
use crate::drawing::{Drawing, Mark};
use crate::geometry::{Outline, Segment};
use crate::length::exact_mm;
use crate::machine::ToolModel;
use crate::mat::{BevelDirection, GroovePath, Layer, Mat, Placement};
use crate::problem::{KeyPath, Problem, Severity};
use crate::program::{ToolKind, WorkKind};
use crate::tolerance::{SAME_ANGLE_DEG, SAME_GROOVE_MM};
use crate::view::View;

/// The work on one board, which fills its sheet and is seen from the side that lies up.
#[derive(Debug, Clone)]
pub(super) struct BoardWork {
    /// Of the board, in millimetres.
    pub(super) size: Size,
    pub(super) items: Vec<WorkItem>,
    /// The kind of work of each item.
    pub(super) works: Vec<WorkKind>,
    /// Pairs of items of which the first is done before the second.
    pub(super) before: Vec<(usize, usize)>,
    pub(super) problems: Vec<Problem>,
    /// What is worth a line in the file, and no warning.
    pub(super) remarks: Vec<String>,
}

impl BoardWork {
    /// Collects all items but the reference line.
    pub(super) fn new(machine: &Machine, mat: &Mat, layer: &Layer) -> Self {
        let placement = Placement::new(mat, layer, machine.side_up == SideUp::Back);
        let asked = AskedBoard { machine, layer, placement };
        let mut collector = Collector {
            asked,
            machine,
            mat,
            layer,
            items: Vec::new(),
            works: Vec::new(),
            findings: Findings::default(),
            problems: Vec::new(),
        };
        let (size, cuts) = collector.collect();
        let Collector { asked, items, works, findings, mut problems, .. } = collector;
        problems.extend(findings.problems(mat));
        problems.extend(left_out(&asked, mat));
        let before = inner_first(&cuts);
        Self { size, items, works, before, problems, remarks: findings.remarks }
    }

    #[cfg(feature = "sheets")]
    /// Lists the angles in degrees from upright to which a blade is set for openings, each once.
    pub(super) fn angles(&self) -> Vec<f64> {
        let mut angles: Vec<f64> = Vec::new();
        for (item, work) in self.items.iter().zip(&self.works) {
            if *work == WorkKind::Cut
                && !angles.iter().any(|known| (known - item.pose.angle_deg).abs() <= SAME_ANGLE_DEG)
            {
                angles.push(item.pose.angle_deg);
            }
        }
        angles
    }
}

/// The work on one board as it is collected.
struct Collector<'a> {
    asked: AskedBoard<'a>,
    machine: &'a Machine,
    mat: &'a Mat,
    layer: &'a Layer,
    items: Vec<WorkItem>,
    works: Vec<WorkKind>,
    findings: Findings,
    problems: Vec<Problem>,
}

impl Collector<'_> {
    fn add(&mut self, work: WorkKind, item: Option<WorkItem>) {
        if let Some(item) = item {
            self.items.push(item);
            self.works.push(work);
        }
    }

    /// Collects all items but the reference line; returns the size of the board, and the cuts by their items.
    fn collect(&mut self) -> (Size, Vec<(usize, Outline)>) {
        let face_up = self.machine.side_up == SideUp::Face;
        let views: &[&str] = if face_up { &["pen", "cut-face"] } else { &["cut"] };
        let drawings: Vec<Drawing> = views
            .iter()
            .filter_map(|name| View::by_name(name))
            .filter(|view| view.applies(self.layer))
            .map(|view| view.draw(self.mat, self.layer))
            .collect();
        let size = drawings.last().map_or(Size::ZERO, |drawing| drawing.sheet);
        let outlines: Vec<(WorkKind, Option<usize>, Outline)> = drawings.iter().flat_map(outlines).collect();
        self.pen_work(&outlines);
        self.grooves();
        let cuts = self.cuts(&outlines);
        let mut drawn = Vec::new();
        for (work, points) in drawings.iter().flat_map(lines).filter(|(work, _)| *work != WorkKind::Groove) {
            // The register marks of the two views are the same.
            if self.machine.tool(work).is_some() && !drawn.contains(&(work, points)) {
                drawn.push((work, points));
                self.add(work, WorkItem::of_line(points));
            }
        }
        let labelled: Vec<(usize, &Outline)> = outlines
            .iter()
            .filter(|outline| outline.0 == WorkKind::Cut)
            .filter_map(|(_, number, outline)| Some(((*number)?, outline)))
            .collect();
        self.label(&labelled);
        self.check_angles();
        (size, cuts)
    }

    /// Collects ruled lines and the edges of bands of wash. An edge that lies under a ruled line, or under another edge, is left to that.
    fn pen_work(&mut self, outlines: &[(WorkKind, Option<usize>, Outline)]) {
        let drawn = |work: WorkKind| outlines.iter().filter(move |(other, ..)| *other == work);
        let rules = self.machine.tool(WorkKind::Ruling).is_some();
        let mut under = 0;
        for work in [WorkKind::Wash, WorkKind::Ruling].into_iter().filter(|work| self.machine.tool(*work).is_some()) {
            let mut known: Vec<&Outline> = Vec::new();
            for (_, opening, outline) in drawn(work) {
                let is_ruled =
                    work == WorkKind::Wash && rules && drawn(WorkKind::Ruling).any(|(.., line)| is_same(line, outline));
                if is_ruled || known.iter().any(|known| is_same(known, outline)) {
                    under += 1;
                    continue;
                }
                known.push(outline);
                let follow = Follow {
                    work,
                    outline: outline.clone(),
                    over: 0.0,
                    bevel: BevelDirection::Straight,
                    pose: self.pen_pose(work),
                };
                let item = self.follow(follow, *opening, None);
                self.add(work, Some(item));
            }
        }
        match under {
            0 => {}
            1 => self.findings.remark("one edge of a band lies under another line, and is drawn once"),
            several => {
                self.findings.remark(format!("{several} edges of bands lie under other lines, and are drawn once"))
            }
        }
    }

    fn pen_pose(&self, work: WorkKind) -> Pose {
        let depths = self.machine.model(work).map_or(&[][..], |model| &model.depths);
        let thickness = self.layer.board.thickness;
        Pose { angle_deg: 0.0, depths: depths.iter().filter_map(|depth| depth.of(thickness, None)).collect() }
    }

    /// Collects the grooves, if the face lies up.
    fn grooves(&mut self) {
        if self.machine.side_up == SideUp::Back || self.machine.tool(WorkKind::Groove).is_none() {
            return;
        }
        let placement = self.asked.placement;
        let mut unset: Vec<f64> = Vec::new();
        for groove in &self.layer.decoration.grooves {
            let Some(pose) = self.asked.groove(groove, &mut self.findings) else { continue };
            if pose.depths.is_empty() && !unset.iter().any(|known| (known - groove.depth).abs() <= SAME_GROOVE_MM) {
                unset.push(groove.depth);
            }
            let item = match &groove.course {
                GroovePath::Round { centre, .. } | GroovePath::Closed { centre, .. } => {
                    let (outline, bevel) = (placement.outline(centre), BevelDirection::Straight);
                    let follow = Follow { work: WorkKind::Groove, outline, over: 0.0, bevel, pose };
                    Some(self.follow(follow, groove.opening(), None))
                }
                GroovePath::Open { centre, .. } => {
                    let points: Vec<Point> = centre.iter().map(|point| placement.point(*point)).collect();
                    WorkItem::of_line(&points).map(|item| item.posed(pose))
                }
            };
            self.add(WorkKind::Groove, item);
        }
        let is_v = self.machine.model(WorkKind::Groove).is_some_and(|model| model.kind == ToolKind::VTool);
        if let (true, [first, second, ..]) = (is_v, unset.as_slice()) {
            let message = format!(
                "one is to be {} deep and another {}, and the file does not set the depth of the V tool",
                exact_mm(*first),
                exact_mm(*second)
            );
            let help = "make the grooves alike, or cut them in two jobs";
            let finding = self.findings.other(Severity::Error, "machine-depth", "grooves", message, help);
            finding.mm("depth", *first).mm("depth", *second);
        }
    }

    /// Collects openings and the outer edge; returns the openings by their items.
    fn cuts(&mut self, outlines: &[(WorkKind, Option<usize>, Outline)]) -> Vec<(usize, Outline)> {
        let mut follows: Vec<(Option<usize>, Follow)> = Vec::new();
        // What is not cut is an obstacle all the same.
        let mut obstacles: Vec<(Option<usize>, Outline, f64)> = Vec::new();
        for (work, number, outline) in outlines.iter().filter(|(work, ..)| work.goes_through()) {
            let opening = number.and_then(|number| self.layer.opening(number));
            let follow = match opening {
                Some(opening) => self.asked.opening(opening, &mut self.findings),
                None => self.asked.edge(outline, &mut self.findings).filter(|_| *work == WorkKind::Edge),
            };
            match follow {
                Some(follow) => {
                    let along = if *work == WorkKind::Edge { outline } else { &follow.outline };
                    obstacles.push((*number, along.clone(), follow.over));
                    follows.push((*number, follow));
                }
                None => obstacles.push((
                    *number,
                    outline.clone(),
                    opening.map_or(0.0, |opening| self.asked.far_outside(opening)),
                )),
            }
        }
        let bars = Obstacles::new(obstacles.iter().map(|(number, outline, over)| (*number, outline, *over)));
        let mut cuts = Vec::new();
        for (number, follow) in follows {
            let (work, outline) = (follow.work, follow.outline.clone());
            if work.cuts_openings() {
                cuts.push((self.items.len(), outline.clone()));
            }
            let item = self.follow(follow, number, Some(&bars));
            self.check(work, &item, &outline);
            self.add(work, Some(item));
        }
        cuts
    }

    /// Refuses a board with two angles of bevels where the blade is set once for a file.
    fn check_angles(&mut self) {
        let is_set_once = |model: &ToolModel| model.kind == ToolKind::BevelKnife && !model.turns_between;
        if !self.machine.model(WorkKind::Cut).is_some_and(is_set_once) {
            return;
        }
        let mut angles: Vec<(f64, usize)> = Vec::new();
        for (item, work) in self.items.iter().zip(&self.works) {
            let (angle, Some(number)) = (item.pose.angle_deg, item.opening) else { continue };
            if *work == WorkKind::Cut && !angles.iter().any(|(known, _)| (known - angle).abs() <= SAME_ANGLE_DEG) {
                angles.push((angle, number));
            }
        }
        if let [(first, one), (second, other), ..] = angles.as_slice() {
            let problem = two_angles(
                self.machine,
                format!(
                    "{} is to be cut at {first}° and {} at {second}°",
                    self.mat.opening_title(*one),
                    self.mat.opening_title(*other)
                ),
            );
            self.problems.push(problem.of_openings([*one, *other]));
        }
    }

    fn follow(&mut self, follow: Follow, number: Option<usize>, bars: Option<&Obstacles>) -> WorkItem {
        let machine = self.machine;
        let Follow { work, outline, over, bevel, pose } = follow;
        let lead = machine.over_run.lead;
        let runs_on = machine.over_run.follows_bevel && work.goes_through() && over.abs() + lead > 0.0;
        let tabs = machine.model(work).and_then(ToolModel::gaps);
        let way = ContourRules {
            round: machine.round(if work.cuts_openings() { bevel } else { BevelDirection::Straight }),
            over,
            lead: runs_on.then_some(lead),
            waste_inside: work.cuts_openings(),
            is_cut: work.goes_through(),
            tabs,
        };
        let (mat, problems) = (self.mat, &mut self.problems);
        let item = WorkItem::of_outline(&outline, number, machine, way, |beyond| match bars {
            Some(bars) if work.cuts_openings() => bars.limit(mat, beyond, number, problems),
            _ => beyond.length,
        });
        item.posed(pose)
    }

    fn check(&mut self, work: WorkKind, item: &WorkItem, outline: &Outline) {
        let what = item.opening.map_or_else(|| format!("the {}", work.name()), |number| self.mat.opening_title(number));
        if self.machine.head == Head::Straight && (work.goes_through() || work == WorkKind::Groove) && item.is_curved()
        {
            let message = format!("{what} has curves, but the head of {} cuts straight lines only", self.machine.name);
            let problem = Problem::error("machine-curve", KeyPath::root(), message, "cut it on another machine");
            self.problems.push(problem.of_openings(item.opening));
        }
        let leads = self.machine.lead_in > 0.0 && work.goes_through();
        let outside = |point: Point| outline.contains(point) != work.cuts_openings();
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
                self.problems.push(
                    Problem::error("machine-lead-in", KeyPath::root(), message, help)
                        .with_mm("lead_in", self.machine.lead_in)
                        .of_openings(item.opening),
                );
            }
        }
    }

    /// Writes numbers and names into the pieces that fall out.
    fn label(&mut self, outlines: &[(usize, &Outline)]) {
        if self.machine.labels == FalloutLabels::None || self.machine.tool(WorkKind::Label).is_none() {
            return;
        }
        if self.machine.side_up == SideUp::Face && self.layer.fallout == crate::mat::FalloutUse::Keep {
            let message = "the openings are not labelled, because the fallout is kept and lies face up";
            self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
            return;
        }
        let mut name = (self.machine.labels == FalloutLabels::Names).then_some(self.mat.name.as_str());
        let mut missing = String::new();
        for &(number, outline) in outlines {
            let lines = |first: String| -> Vec<String> {
                [Some(first), name.map(str::to_owned)].into_iter().flatten().collect()
            };
            // The name of the opening goes where there is room for it.
            let own = self.layer.openings.iter().find(|opening| opening.number == number).map(|o| o.name.as_str());
            let named = own.filter(|own| self.machine.labels == FalloutLabels::Names && !own.is_empty());
            let named = named.and_then(|own| words::inside(outline, &lines(format!("{number} {own}")), &mut missing));
            match named.or_else(|| words::inside(outline, &lines(number.to_string()), &mut missing)) {
                Some(strokes) => {
                    name = None;
                    let item = WorkItem::of_lines(strokes.iter().map(Vec::as_slice), Some(number));
                    self.add(WorkKind::Label, item);
                }
                None => {
                    let message = format!("{} has no room for its label", self.mat.opening_title(number));
                    let problem = Problem::warning("machine-label", KeyPath::root(), message, "");
                    self.problems.push(problem.of_openings([number]));
                }
            }
        }
        if !missing.is_empty() {
            let message = format!("the stroke font has no letters for {missing:?}; they are drawn as boxes");
            self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
        }
    }
}

fn work_of(layer: &crate::drawing::DrawingLayer) -> Option<WorkKind> {
    WorkKind::ALL.into_iter().find(|work| work.role() == layer.role)
}

/// Lists the closed outlines of a drawing with their kind of work.
fn outlines(drawing: &Drawing) -> impl Iterator<Item = (WorkKind, Option<usize>, Outline)> {
    drawing.layers.iter().filter_map(|layer| Some((work_of(layer)?, layer))).flat_map(|(work, layer)| {
        layer.marks.iter().filter_map(move |mark| match mark {
            Mark::Outline { outline, opening } => Some((work, *opening, outline.clone())),
            _ => None,
        })
    })
}

/// Lists the open lines of a drawing with their kind of work.
fn lines(drawing: &Drawing) -> impl Iterator<Item = (WorkKind, &[Point])> {
    drawing.layers.iter().filter_map(|layer| Some((work_of(layer)?, layer))).flat_map(|(work, layer)| {
        layer.marks.iter().filter_map(move |mark| match mark {
            Mark::Line { points, .. } => Some((work, points.as_slice())),
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
