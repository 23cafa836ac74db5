//! The order of the strokes: as little travel as may be, with what must come first done first, and how much less is possible.

use kurbo::Point;

use super::contour::{Start, WorkItem};
use crate::fault::Certain;
use crate::pairs::pairs;
use crate::program::Travel;
use crate::tolerance::GAIN_MM;
use crate::tour::cheapest_tree;

/// Items with the stage of each, and which of them must be done before which.
pub(super) struct StrokeOrderTask<'i> {
    pub(super) items: &'i [WorkItem],
    /// Stage of each item: those of a lower one come first.
    pub(super) stages: Vec<usize>,
    /// Pairs of items of one stage of which the first is done before the second.
    pub(super) before: Vec<(usize, usize)>,
    /// Where the tool is at first.
    pub(super) home: Point,
}

/// Items in the order in which they are done, each with the place of its start among its starts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Route {
    pub(super) steps: Vec<(usize, usize)>,
    pub(super) travel: Travel,
}

/// About how many steps of the search are spent on improving one order.
const EFFORT: usize = 4_000_000;
/// About how many steps are spent on the lower bound.
const BOUND_EFFORT: usize = 2_000_000;
/// Rounds after which the lower bound hardly grows.
const MOST_ROUNDS: usize = 60;
impl StrokeOrderTask<'_> {
    /// Finds the shortest order, or of many items a short one.
    pub(super) fn route(&self) -> Route {
        if let Some((steps, length)) = self.shortest() {
            return Route { steps, travel: Travel { length, lower_bound: length } };
        }
        self.search()
    }

    /// Finds a short order of any number of items.
    fn search(&self) -> Route {
        let order = self.improved(self.nearest_first());
        let (starts, length) = self.best_starts(&order);
        let travel = Travel { length, lower_bound: self.lower_bound().min(length) };
        Route { steps: order.into_iter().zip(starts).collect(), travel }
    }

    fn starts(&self, item: usize) -> &[Start] {
        &self.items.get(item).certain("item of this number").starts
    }

    fn stage(&self, item: usize) -> usize {
        self.stages.get(item).copied().certain("stage for this item")
    }

    /// Goes from each item to the nearest one that may come next.
    fn nearest_first(&self) -> Vec<usize> {
        let mut left: Vec<usize> = (0..self.items.len()).collect();
        let mut order = Vec::with_capacity(left.len());
        let mut at = self.home;
        while !left.is_empty() {
            let stage = left.iter().map(|item| self.stage(*item)).min().certain("stage that is left");
            let may_come = |item: usize| {
                self.stage(item) == stage
                    && !self.before.iter().any(|&(first, then)| then == item && left.contains(&first))
            };
            let choices = left.iter().enumerate().filter(|(_, item)| may_come(**item));
            let reach = |item: usize| {
                let distance = |start: &Start| start.entry.distance(at);
                self.starts(item).iter().map(|start| (distance(start), start.exit)).min_by(|a, b| a.0.total_cmp(&b.0))
            };
            let nearest = choices
                .filter_map(|(place, &item)| reach(item).map(|(distance, exit)| (place, distance, exit)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let (place, _, exit) = nearest.certain("item that waits for no other");
            order.push(left.remove(place));
            at = exit;
        }
        order
    }

    /// Returns the best start of each item of an order, and the travel: the shortest way through their layers.
    fn best_starts(&self, order: &[usize]) -> (Vec<usize>, f64) {
        // For each start of an item the least travel until it is done, and the start before.
        let mut layers: Vec<Vec<(f64, usize)>> = Vec::with_capacity(order.len());
        for (place, &item) in order.iter().enumerate() {
            let previous =
                place.checked_sub(1).and_then(|previous| Some((layers.get(previous)?, order.get(previous)?)));
            let layer = self.starts(item).iter().map(|start| match previous {
                None => (self.home.distance(start.entry) + start.inner, 0),
                Some((costs, before)) => costs
                    .iter()
                    .zip(self.starts(*before))
                    .enumerate()
                    .map(|(index, ((cost, _), from))| (cost + from.exit.distance(start.entry) + start.inner, index))
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .certain("start of the item before"),
            });
            layers.push(layer.collect());
        }
        let last = layers.last().into_iter().flatten().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let (mut at, length) = last.map_or((0, 0.0), |(index, (cost, _))| (index, *cost));
        let mut starts = Vec::with_capacity(order.len());
        for layer in layers.iter().rev() {
            starts.push(at);
            at = layer.get(at).certain("start on the shortest way").1;
        }
        starts.reverse();
        (starts, length)
    }

    /// Moves single items and turns stretches of the order round as long as that shortens the travel.
    fn improved(&self, mut order: Vec<usize>) -> Vec<usize> {
        let count = order.len();
        let choices = self.items.iter().map(|item| item.starts.len()).max().unwrap_or(1);
        let mut effort = EFFORT / (count * choices * choices).max(1);
        let (_, mut best) = self.best_starts(&order);
        let mut better = true;
        while better && effort > 0 {
            better = false;
            for from in 0..count {
                for to in 0..count {
                    for turned in [false, true] {
                        let Some(tried) = changed(&order, from, to, turned).filter(|tried| self.is_allowed(tried))
                        else {
                            continue;
                        };
                        effort = effort.saturating_sub(1);
                        let (_, length) = self.best_starts(&tried);
                        if length < best - GAIN_MM {
                            (order, best, better) = (tried, length, true);
                        }
                        if effort == 0 {
                            return order;
                        }
                    }
                }
            }
        }
        order
    }

    fn is_allowed(&self, order: &[usize]) -> bool {
        let in_stages = pairs(order).all(|(a, b)| self.stage(*a) <= self.stage(*b));
        let place = |wanted: usize| order.iter().position(|item| *item == wanted);
        in_stages && self.before.iter().all(|&(first, then)| place(first) < place(then))
    }

    /// Returns a travel that no order can undercut.
    ///
    /// Every order is a tree that joins home and all items. The shortest tree is a bound, and it is raised by a toll on
    /// each item that more or fewer than two branches meet (M. Held and R. M. Karp, The traveling-salesman problem and
    /// minimum spanning trees, Operations Research 18, 1970; from memory), for a way that ends anywhere.
    fn lower_bound(&self) -> f64 {
        let count = self.items.len();
        if count == 0 {
            return 0.0;
        }
        let inner: f64 = (0..count).map(|item| least(self.starts(item).iter().map(|start| start.inner))).sum();
        let nodes = count + 1;
        let distances: Vec<f64> =
            (0..nodes * nodes).map(|place| self.least_travel(place / nodes, place % nodes)).collect();
        let mut tolls = vec![0.0; nodes];
        let rounds = (BOUND_EFFORT / (nodes * nodes)).clamp(1, MOST_ROUNDS);
        let mut bound = 0.0_f64;
        let mut step = 0.0;
        for round in 0..rounds {
            let (length, branches) = shortest_tree(&distances, &tolls);
            if round == 0 {
                step = 0.5 * length / nodes as f64;
            }
            // Home and the last item have one branch, all others two; which item is last is not known.
            let paid = 2.0 * tolls.iter().sum::<f64>() - tolls.first().copied().unwrap_or(0.0);
            let end = tolls.iter().skip(1).copied().fold(f64::NEG_INFINITY, f64::max);
            bound = bound.max(length - paid + end);
            for (node, (toll, found)) in tolls.iter_mut().zip(&branches).enumerate() {
                let wanted = if node == 0 { 1.0 } else { 2.0 };
                *toll += step * (*found as f64 - wanted);
            }
            step *= 0.95;
        }
        bound.max(0.0) + inner
    }

    /// Returns the least travel between two nodes in either direction: home is node 0, the items follow.
    fn least_travel(&self, a: usize, b: usize) -> f64 {
        let (Some(first), Some(second)) = (a.min(b).checked_sub(1), a.max(b).checked_sub(1)) else {
            let item = a.max(b).saturating_sub(1);
            return least(self.starts(item).iter().map(|start| start.entry.distance(self.home)));
        };
        let way = |from: usize, to: usize| {
            let exits = self.starts(from).iter();
            least(exits.flat_map(|from| self.starts(to).iter().map(move |to| from.exit.distance(to.entry))))
        };
        way(first, second).min(way(second, first))
    }
}

fn least(values: impl Iterator<Item = f64>) -> f64 {
    let least = values.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

/// Returns the order with an item moved to another place, or with the stretch between the two places turned round.
fn changed(order: &[usize], from: usize, to: usize, turned: bool) -> Option<Vec<usize>> {
    if from == to || (turned && from > to) {
        return None;
    }
    let mut tried = order.to_vec();
    if turned {
        tried.get_mut(from..=to)?.reverse();
    } else {
        let item = tried.remove(from);
        tried.insert(to, item);
    }
    Some(tried)
}

/// Returns the length with tolls of the shortest tree that joins all nodes, and the number of branches at each.
fn shortest_tree(distances: &[f64], tolls: &[f64]) -> (f64, Vec<usize>) {
    let nodes = tolls.len();
    let cost = |a: usize, b: usize| {
        let toll = |node: usize| tolls.get(node).copied().certain("toll for this node");
        distances.get(a * nodes + b).copied().certain("distance between these nodes") + toll(a) + toll(b)
    };
    let mut met = vec![0; nodes];
    let mut length = 0.0;
    for (from, to, paid) in cheapest_tree(nodes, cost) {
        length += paid;
        for end in [from, to] {
            if let Some(count) = met.get_mut(end) {
                *count += 1;
            }
        }
    }
    (length, met)
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::{StrokeOrderTask, WorkItem};

    /// Short open lines at random places, by a small generator of its own.
    fn items(count: usize, mut seed: u64) -> Vec<WorkItem> {
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as f64 / f64::from(1u32 << 31) * 500.0
        };
        let mut item = || {
            let from = Point::new(next(), next());
            WorkItem::of_line(&[from, from + kurbo::Vec2::new(30.0, 10.0)]).unwrap()
        };
        (0..count).map(|_| item()).collect()
    }

    fn task(items: &[WorkItem], stages: Vec<usize>, before: Vec<(usize, usize)>) -> StrokeOrderTask<'_> {
        StrokeOrderTask { items, stages, before, home: Point::ORIGIN }
    }

    fn permutations(count: usize) -> Vec<Vec<usize>> {
        (0..count).fold(vec![Vec::new()], |orders, item| {
            let places = |order: &Vec<usize>| 0..=order.len();
            orders
                .iter()
                .flat_map(|order| {
                    places(order).map(|place| {
                        let mut longer = order.clone();
                        longer.insert(place, item);
                        longer
                    })
                })
                .collect()
        })
    }

    #[test]
    fn the_order_is_near_the_best_and_never_below_the_bound() {
        let (mut found, mut best_possible) = (0.0, 0.0);
        for seed in 0..40 {
            let items = items(6, seed);
            let (stages, before) = (vec![0, 0, 0, 1, 1, 1], vec![(2, 0)]);
            let task = task(&items, stages, before);
            let route = task.search();
            let (steps, shortest) = task.shortest().unwrap();
            let allowed = permutations(6).into_iter().filter(|order| task.is_allowed(order));
            let best = allowed.map(|order| task.best_starts(&order).1).fold(f64::INFINITY, f64::min);
            let order: Vec<usize> = route.steps.iter().map(|step| step.0).collect();
            assert!(task.is_allowed(&order), "{order:?}");
            assert!((shortest - best).abs() < 1e-9, "{shortest} is not {best}");
            let order: Vec<usize> = steps.iter().map(|step| step.0).collect();
            assert!(task.is_allowed(&order) && (task.best_starts(&order).1 - best).abs() < 1e-9);
            assert!(route.travel.lower_bound <= best + 1e-9, "{:?} {best}", route.travel);
            assert!(route.travel.length >= best - 1e-9);
            assert!(route.travel.length <= 1.15 * best, "{:?} {best}", route.travel);
            found += route.travel.length;
            best_possible += best;
        }
        assert!(found <= 1.01 * best_possible, "{found} {best_possible}");
    }

    #[test]
    fn many_items_are_searched_and_bounded() {
        let items = items(40, 7);
        let route = task(&items, vec![0; 40], Vec::new()).route();
        assert_eq!(route.steps.len(), 40);
        assert!(route.travel.length < 1.35 * route.travel.lower_bound, "{:?}", route.travel);
    }

    #[test]
    fn nothing_to_do_is_no_travel() {
        let route = task(&[], Vec::new(), Vec::new()).route();
        assert!(route.steps.is_empty() && route.travel.length == 0.0 && route.travel.lower_bound == 0.0);
    }
}
