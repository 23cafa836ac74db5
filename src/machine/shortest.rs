//! The shortest order of a few strokes, exactly, stage after stage.

use std::ops::Range;

use kurbo::Point;

use super::contour::Start;
use super::order::StrokeOrderTask;
use crate::fault::Certain;
use crate::tour::{self, BestOrders, Tour};

/// A stage with more steps than this is left to the search.
const MOST_STEPS: usize = 2_000_000;

/// A start of an item of a stage.
#[derive(Clone, Copy)]
struct StageStart {
    item: usize,
    /// Place of the start among those of the item.
    start: usize,
    at: Start,
}

/// The items of a stage as a tour from where the stage before may end.
struct Stage {
    nodes: Vec<StageStart>,
    /// The nodes of each item.
    items: Vec<Range<usize>>,
    /// The items that must be done before each, as bits.
    needs: Vec<usize>,
    /// For each node the least travel to it, and the end of the stage before from which it comes.
    enter: Vec<(f64, usize)>,
}

impl StrokeOrderTask<'_> {
    /// Returns items with their starts in the order with the least travel, and the travel; `None` if there are too many.
    ///
    /// Each stage goes on from every node in which the one before may end.
    pub(super) fn shortest(&self) -> Option<(Vec<(usize, usize)>, f64)> {
        let mut stages: Vec<(Stage, BestOrders<f64>)> = Vec::new();
        let mut ends = vec![(self.home, 0.0)];
        for items in self.in_stages() {
            let stage = self.stage_of(&items, &ends);
            if tour::steps(items.len(), stage.nodes.len()).is_none_or(|steps| steps > MOST_STEPS) {
                return None;
            }
            let solved = BestOrders::new(&stage);
            let cost = |(last, node): (usize, &StageStart)| (node.at.exit, solved.cost(last).unwrap_or(f64::INFINITY));
            ends = stage.nodes.iter().enumerate().map(cost).collect();
            stages.push((stage, solved));
        }
        let (mut last, length) = least(ends.iter().map(|end| end.1).enumerate())?;
        let mut steps = Vec::with_capacity(self.items.len());
        for (stage, solved) in stages.iter().rev() {
            let path = solved.path(last);
            steps.extend(path.iter().rev().map(|(node, _)| stage.node(*node)).map(|node| (node.item, node.start)));
            last = path.first().and_then(|(first, _)| stage.enter.get(*first)).certain("way into this stage").1;
        }
        steps.reverse();
        Some((steps, length))
    }

    /// Lists the items of each stage, in the order of the stages.
    fn in_stages(&self) -> Vec<Vec<usize>> {
        let mut numbers = self.stages.clone();
        numbers.sort_unstable();
        numbers.dedup();
        let items = |number: usize| {
            let of_stage = self.stages.iter().enumerate().filter(move |(_, stage)| **stage == number);
            of_stage.map(|(item, _)| item).collect()
        };
        numbers.into_iter().map(items).collect()
    }

    fn stage_of(&self, items: &[usize], ends: &[(Point, f64)]) -> Stage {
        let (mut nodes, mut ranges): (Vec<StageStart>, Vec<Range<usize>>) = (Vec::new(), Vec::new());
        for &item in items {
            let first = nodes.len();
            let starts = &self.items.get(item).certain("item of this number").starts;
            nodes.extend(starts.iter().enumerate().map(|(start, at)| StageStart { item, start, at: *at }));
            ranges.push(first..nodes.len());
        }
        let needs = items.iter().map(|item| {
            let earlier = self.before.iter().filter(|(_, then)| then == item).map(|(first, _)| first);
            earlier.filter_map(|first| items.iter().position(|other| other == first)).map(|place| 1 << place).sum()
        });
        let enter = nodes.iter().map(|node| {
            let travels = ends.iter().map(|(from, cost)| cost + from.distance(node.at.entry)).enumerate();
            least(travels).map_or((f64::INFINITY, 0), |(end, cost)| (cost, end))
        });
        let enter = enter.collect();
        Stage { items: ranges, needs: needs.collect(), enter, nodes }
    }
}

impl Stage {
    fn node(&self, place: usize) -> &StageStart {
        self.nodes.get(place).certain("start of this number")
    }
}

impl Tour for Stage {
    type Cost = f64;

    fn groups(&self) -> &[Range<usize>] {
        &self.items
    }

    fn enter(&self, place: usize) -> f64 {
        self.enter.get(place).certain("way into this start").0
    }

    fn step(&self, from: usize, to: usize) -> f64 {
        self.node(from).at.exit.distance(self.node(to).at.entry)
    }

    fn through(&self, first: usize, last: usize) -> f64 {
        // A start has its own end.
        if first == last { self.node(first).at.inner } else { f64::INFINITY }
    }

    fn needs(&self, group: usize) -> usize {
        self.needs.get(group).copied().certain("needs of this item")
    }
}

fn least(costs: impl Iterator<Item = (usize, f64)>) -> Option<(usize, f64)> {
    costs.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, cost)| cost.is_finite())
}
