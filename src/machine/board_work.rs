//! The work of a machine on one board: lines to follow, where each may start, and what must be known about them.

use kurbo::{Point, Size};

use super::contour::{Item, Way};
use super::profile::Machine;
use super::reach::Bars;
use super::words;
use super::written::{Head, Labels, SideUp, Work};
use crate::drawing::{Drawing, Mark};
use crate::geometry::{Outline, Segment};
use crate::length::exact_mm;
use crate::mat::{Direction, Edge, Layer, Mat, over_run};
use crate::problem::{KeyPath, Problem};
use crate::view::View;

/// The work on one board, which fills its sheet and is seen from the side that lies up.
#[derive(Debug, Clone)]
pub(super) struct BoardWork {
    /// Of the board, in millimetres.
    pub(super) size: Size,
    pub(super) items: Vec<Item>,
    /// The kind of work of each item.
    pub(super) works: Vec<Work>,
    /// Pairs of items of which the first is done before the second.
    pub(super) before: Vec<(usize, usize)>,
    pub(super) problems: Vec<Problem>,
}

impl BoardWork {
    /// Collects all items but the reference line.
    pub(super) fn new(machine: &Machine, mat: &Mat, layer: &Layer) -> Self {
        let mut collector =
            Collector { machine, mat, layer, items: Vec::new(), works: Vec::new(), problems: Vec::new() };
        let (size, cuts) = collector.collect();
        let Collector { items, works, problems, .. } = collector;
        Self { size, items, works, before: inner_first(&cuts), problems }
    }
}

/// The work on one board as it is collected.
struct Collector<'a> {
    machine: &'a Machine,
    mat: &'a Mat,
    layer: &'a Layer,
    items: Vec<Item>,
    works: Vec<Work>,
    problems: Vec<Problem>,
}

impl Collector<'_> {
    fn add(&mut self, work: Work, item: Option<Item>) {
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
        (size, cuts)
    }

    /// Returns how far outside the outline on the side that lies up the one on the other side lies.
    fn over(&self, number: Option<usize>) -> f64 {
        let up = match self.machine.side_up {
            SideUp::Back => Edge::Back,
            SideUp::Face => Edge::Face,
        };
        let opening = number.and_then(|number| self.layer.opening(number));
        opening.map_or(0.0, |opening| over_run::outside(up, self.layer, opening))
    }

    fn follow(&mut self, work: Work, number: Option<usize>, outline: &Outline, bars: &Bars) -> Item {
        let machine = self.machine;
        let opening = number.and_then(|number| self.layer.opening(number));
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
        let (mat, problems) = (self.mat, &mut self.problems);
        Item::of_outline(outline, number, machine, way, |beyond| {
            if work == Work::Cut { bars.limit(mat, beyond, number, problems) } else { beyond.length }
        })
    }

    fn check(&mut self, work: Work, item: &Item, outline: &Outline) {
        let what = item.opening.map_or_else(|| format!("the {}", work.name()), |number| self.mat.opening_title(number));
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
                self.problems.push(
                    Problem::error("machine-lead-in", KeyPath::root(), message, help)
                        .with_mm("lead_in", self.machine.lead_in),
                );
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
            let lines = |first: String| -> Vec<String> {
                [Some(first), name.map(str::to_owned)].into_iter().flatten().collect()
            };
            // The name of the opening goes where there is room for it.
            let own = self.layer.openings.iter().find(|opening| opening.number == number).map(|o| o.name.as_str());
            let named = own.filter(|own| self.machine.labels == Labels::Names && !own.is_empty());
            let named = named.and_then(|own| words::inside(outline, &lines(format!("{number} {own}")), &mut missing));
            match named.or_else(|| words::inside(outline, &lines(number.to_string()), &mut missing)) {
                Some(strokes) => {
                    name = None;
                    let item = Item::of_lines(strokes.iter().map(Vec::as_slice), Some(number));
                    self.add(Work::Label, item);
                }
                None => {
                    let message = format!("{} has no room for its label", self.mat.opening_title(number));
                    self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
                }
            }
        }
        if !missing.is_empty() {
            let message = format!("the stroke font has no letters for {missing:?}; they are drawn as boxes");
            self.problems.push(Problem::warning("machine-label", KeyPath::root(), message, ""));
        }
    }
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
