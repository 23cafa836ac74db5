//! The shortest order of a few strokes, exactly, by dynamic programming over sets of items.

use kurbo::Point;

use super::contour::Start;
use super::order::Task;

/// A stage with more steps than this is left to the search.
const MOST_STEPS: usize = 2_000_000;

/// A start of an item of a stage.
#[derive(Clone, Copy)]
struct Node {
    item: usize,
    /// Place of the item among those of the stage.
    place: usize,
    /// Place of the start among those of the item.
    start: usize,
    at: Start,
}

/// What has been worked out of a stage: for each set of its items and each node that comes last, the least travel and
/// the node before it.
struct Stage {
    nodes: Vec<Node>,
    best: Vec<(f64, usize)>,
    full: usize,
}

impl Task<'_> {
    /// Returns items with their starts in the order with the least travel, and the travel; `None` if there are too many.
    ///
    /// Within a stage it is the method of Held and Karp (A dynamic programming approach to sequencing problems, 1962; from
    /// memory) over sets of items; each stage goes on from every node in which the one before may end.
    pub(super) fn shortest(&self) -> Option<(Vec<(usize, usize)>, f64)> {
        let mut stages: Vec<Stage> = Vec::new();
        let mut ends = vec![(self.home, 0.0)];
        for stage in self.in_stages() {
            let nodes = self.nodes(&stage);
            let steps =
                1_usize.checked_shl(u32::try_from(stage.len()).ok()?)?.checked_mul(nodes.len() * nodes.len())?;
            if steps > MOST_STEPS {
                return None;
            }
            let solved = self.solve(&stage, nodes, &ends);
            ends = solved.ends();
            stages.push(solved);
        }
        let (mut last, length) = least(ends.iter().map(|end| end.1).enumerate())?;
        let mut steps = Vec::with_capacity(self.items.len());
        for stage in stages.iter().rev() {
            last = stage.trace(last, &mut steps);
        }
        steps.reverse();
        Some((steps, length))
    }

    /// Lists the items of each stage, in the order of the stages.
    fn in_stages(&self) -> Vec<Vec<usize>> {
        let mut numbers = self.stages.clone();
        numbers.sort_unstable();
        numbers.dedup();
        let items =
            |number: usize| (0..self.items.len()).filter(|item| self.stages.get(*item) == Some(&number)).collect();
        numbers.into_iter().map(items).collect()
    }

    fn nodes(&self, stage: &[usize]) -> Vec<Node> {
        let node = |(place, &item): (usize, &usize)| {
            let starts = self.items.get(item).map_or(&[][..], |item| &item.starts);
            starts.iter().enumerate().map(move |(start, at)| Node { item, place, start, at: *at }).collect::<Vec<_>>()
        };
        stage.iter().enumerate().flat_map(node).collect()
    }

    fn solve(&self, stage: &[usize], nodes: Vec<Node>, ends: &[(Point, f64)]) -> Stage {
        let count = nodes.len();
        let full = (1 << stage.len()) - 1;
        // The items that must be done before each.
        let needed: Vec<usize> = stage
            .iter()
            .map(|item| {
                let earlier = self.before.iter().filter(|(_, then)| then == item).map(|(first, _)| first);
                earlier.filter_map(|first| stage.iter().position(|other| other == first)).map(|place| 1 << place).sum()
            })
            .collect();
        let may_come = |node: &Node, done: usize| {
            let needs = needed.get(node.place).copied().unwrap_or(0);
            done & (1 << node.place) == 0 && done & needs == needs
        };
        let mut best = vec![(f64::INFINITY, usize::MAX); (full + 1) * count];
        for (index, node) in nodes.iter().enumerate().filter(|(_, node)| may_come(node, 0)) {
            let travels =
                ends.iter().map(|(from, cost)| cost + from.distance(node.at.entry) + node.at.inner).enumerate();
            if let (Some((end, cost)), Some(entry)) = (least(travels), best.get_mut((1 << node.place) * count + index))
            {
                *entry = (cost, end);
            }
        }
        for done in 1..full {
            for (last, from) in nodes.iter().enumerate() {
                let Some(&(cost, _)) = best.get(done * count + last).filter(|(cost, _)| cost.is_finite()) else {
                    continue;
                };
                for (index, node) in nodes.iter().enumerate().filter(|(_, node)| may_come(node, done)) {
                    let new = cost + from.at.exit.distance(node.at.entry) + node.at.inner;
                    if let Some(entry) =
                        best.get_mut((done | 1 << node.place) * count + index).filter(|entry| new < entry.0)
                    {
                        *entry = (new, last);
                    }
                }
            }
        }
        Stage { nodes, best, full }
    }
}

impl Stage {
    /// Returns where the stage may end, with the least travel until then.
    fn ends(&self) -> Vec<(Point, f64)> {
        let costs = self.best.iter().skip(self.full * self.nodes.len()).map(|(cost, _)| *cost);
        self.nodes.iter().map(|node| node.at.exit).zip(costs).collect()
    }

    /// Appends the steps of the stage that end in a node, last first, and returns the end of the stage before.
    fn trace(&self, mut last: usize, steps: &mut Vec<(usize, usize)>) -> usize {
        let mut done = self.full;
        while done != 0 {
            let Some(node) = self.nodes.get(last) else { break };
            steps.push((node.item, node.start));
            last = self.best.get(done * self.nodes.len() + last).map_or(0, |(_, before)| *before);
            done &= !(1 << node.place);
        }
        last
    }
}

fn least(costs: impl Iterator<Item = (usize, f64)>) -> Option<(usize, f64)> {
    costs.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, cost)| cost.is_finite())
}
