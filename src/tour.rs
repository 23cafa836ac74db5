//! Orders in which things are visited one after the other: the best one of a few, exactly, and a tree that bounds all of many.
//!
//! The settings of a hand cutter and the strokes of a machine are put in order by it. It knows neither: a [`Tour`] says what each
//! step costs.

use crate::fault::Certain;
use std::ops::Range;

/// What an order costs: numbers that add up.
pub(crate) trait Cost: Copy + PartialOrd {
    /// More than any order costs.
    const INFINITE: Self;

    /// Returns the sum of two costs; with one that is infinite it is infinite.
    fn plus(self, other: Self) -> Self;

    /// Tells whether an order can cost this.
    fn is_finite(self) -> bool {
        self < Self::INFINITE
    }
}

impl Cost for f64 {
    const INFINITE: Self = Self::INFINITY;

    fn plus(self, other: Self) -> Self {
        self + other
    }
}

/// Places in groups: each group is visited once, from one of its places to another or the same, and is left for the next.
pub(crate) trait Tour {
    /// What orders cost.
    type Cost: Cost;

    /// Returns the places of each group; together they are all places, counted from zero.
    fn groups(&self) -> &[Range<usize>];

    /// Returns what it costs to begin at a place.
    fn enter(&self, place: usize) -> Self::Cost;

    /// Returns what it costs to come from a place of one group to a place of another.
    fn step(&self, from: usize, to: usize) -> Self::Cost;

    /// Returns what it costs to visit a whole group from a first to a last place.
    fn through(&self, first: usize, last: usize) -> Self::Cost;

    /// Returns the groups that must be visited before a group, as bits of a set.
    fn needs(&self, _group: usize) -> usize {
        0
    }
}

/// How a set of groups is best visited with a certain place as the last.
#[derive(Clone, Copy)]
struct BestWay<C> {
    cost: C,
    /// The place at which the last group begins.
    first: usize,
    /// The last place of the groups before; none for the first group.
    before: Option<usize>,
}

/// The best orders of all groups, one for each place that may be the last.
///
/// They are found by dynamic programming over sets (M. Held and R. M. Karp, A dynamic programming approach to sequencing
/// problems, 1962; from memory). Steps and memory double with each group, so that the caller has to ask [`steps`] first.
pub(crate) struct BestOrders<C> {
    /// The group of each place.
    group_of: Vec<usize>,
    groups: usize,
    reached: Vec<BestWay<C>>,
}

/// Returns about how many steps it takes to solve a tour; `None` if they cannot be counted.
pub(crate) fn steps(groups: usize, places: usize) -> Option<usize> {
    1_usize.checked_shl(u32::try_from(groups).ok()?)?.checked_mul(places.checked_mul(places)?)
}

impl<C: Cost> BestOrders<C> {
    /// Solves a tour.
    pub(crate) fn new(tour: &impl Tour<Cost = C>) -> Self {
        let groups = tour.groups();
        let group_of: Vec<usize> =
            groups.iter().enumerate().flat_map(|(group, places)| places.clone().map(move |_| group)).collect();
        let nowhere = BestWay { cost: C::INFINITE, first: 0, before: None };
        let reached = vec![nowhere; group_of.len() << groups.len()];
        let mut solved = Self { group_of, groups: groups.len(), reached };
        for set in 0..(1_usize << groups.len()) {
            let open = |group: usize| set >> group & 1 == 0 && set & tour.needs(group) == tour.needs(group);
            for (group, places) in groups.iter().enumerate().filter(|(group, _)| open(*group)) {
                solved.add_group(tour, set, group, places);
            }
        }
        solved
    }

    /// Returns what the best order costs that ends at a place; `None` if none does.
    pub(crate) fn cost(&self, last: usize) -> Option<C> {
        self.at(self.all(), last).map(|reached| reached.cost)
    }

    /// Returns the groups of the best order that ends at a place, each by its first and its last place.
    pub(crate) fn path(&self, last: usize) -> Vec<(usize, usize)> {
        let (mut set, mut at, mut path) = (self.all(), Some(last), Vec::with_capacity(self.groups));
        while let Some((end, reached)) = at.and_then(|end| Some((end, self.at(set, end)?))) {
            path.push((reached.first, end));
            set &= !(1 << self.group_of.get(end).certain("group of this place"));
            at = reached.before;
        }
        path.reverse();
        path
    }

    fn all(&self) -> usize {
        (1 << self.groups) - 1
    }

    fn at(&self, set: usize, last: usize) -> Option<BestWay<C>> {
        let places = self.group_of.len();
        let reached = self.reached.get(set * places + last).filter(|_| last < places);
        reached.filter(|reached| reached.cost.is_finite()).copied()
    }

    /// Goes on from all orders of a set of groups to one more group.
    fn add_group(&mut self, tour: &impl Tour<Cost = C>, set: usize, group: usize, places: &Range<usize>) {
        for first in places.clone() {
            let Some((cost, before)) = self.best_way_to(tour, set, first) else { continue };
            for last in places.clone() {
                let cost = cost.plus(tour.through(first, last));
                let place = (set | 1 << group) * self.group_of.len() + last;
                if let Some(reached) = self.reached.get_mut(place).filter(|reached| cost < reached.cost) {
                    *reached = BestWay { cost, first, before };
                }
            }
        }
    }

    /// Returns what it costs to come to a place after a set of groups, and from which place; of equal ones the first.
    fn best_way_to(&self, tour: &impl Tour<Cost = C>, set: usize, first: usize) -> Option<(C, Option<usize>)> {
        if set == 0 {
            return Some((tour.enter(first), None)).filter(|(cost, _)| cost.is_finite());
        }
        let mut best: Option<(C, Option<usize>)> = None;
        for before in 0..self.group_of.len() {
            let Some(reached) = self.at(set, before) else { continue };
            let cost = reached.cost.plus(tour.step(before, first));
            if cost.is_finite() && best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, Some(before)));
            }
        }
        best
    }
}

/// A branch of a tree: from a node that is joined already to a new one, and its cost.
pub(crate) type Branch<C> = (usize, usize, C);

/// Returns the branches of the cheapest tree that joins nodes counted from zero (R. C. Prim 1957), in the order in which they are
/// added; no order of all nodes costs less than the tree.
pub(crate) fn cheapest_tree<C: Cost>(nodes: usize, cost: impl Fn(usize, usize) -> C) -> Vec<Branch<C>> {
    let mut branches = Vec::with_capacity(nodes.saturating_sub(1));
    // The cheapest branch to each node outside the tree.
    let mut outside: Vec<Branch<C>> = (1..nodes).map(|node| (0, node, cost(0, node))).collect();
    while let Some((place, branch)) = cheapest(&outside) {
        outside.swap_remove(place);
        let (_, joined, _) = branch;
        branches.push(branch);
        for (from, node, known) in &mut outside {
            let new = cost(joined, *node);
            if new < *known {
                (*from, *known) = (joined, new);
            }
        }
    }
    branches
}

/// Returns the first of the cheapest branches with its place.
fn cheapest<C: Cost>(branches: &[Branch<C>]) -> Option<(usize, Branch<C>)> {
    let mut best: Option<(usize, Branch<C>)> = None;
    for (place, branch) in branches.iter().enumerate() {
        if best.is_none_or(|(_, (_, _, cost))| branch.2 < cost) {
            best = Some((place, *branch));
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use std::ops::Range;

    use super::{BestOrders, Cost, Tour, cheapest_tree, steps};

    /// Towns on a line, two of them in each country, of which one has to be seen before another.
    struct Line {
        towns: Vec<f64>,
        groups: Vec<Range<usize>>,
        before: Option<(usize, usize)>,
    }

    impl Tour for Line {
        type Cost = f64;

        fn groups(&self) -> &[Range<usize>] {
            &self.groups
        }

        fn enter(&self, place: usize) -> f64 {
            self.towns[place].abs()
        }

        fn step(&self, from: usize, to: usize) -> f64 {
            (self.towns[from] - self.towns[to]).abs()
        }

        fn through(&self, first: usize, last: usize) -> f64 {
            if first == last { f64::INFINITE } else { 10.0 * self.step(first, last) }
        }

        fn needs(&self, group: usize) -> usize {
            self.before.filter(|(_, then)| *then == group).map_or(0, |(first, _)| 1 << first)
        }
    }

    fn best(tour: &Line) -> (f64, Vec<(usize, usize)>) {
        let solved = BestOrders::new(tour);
        let ways = (0..tour.towns.len()).filter_map(|last| Some((solved.cost(last)?, solved.path(last))));
        ways.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap()
    }

    #[test]
    fn groups_are_passed_in_the_cheapest_order_and_direction() {
        let mut line = Line { towns: vec![5.0, 6.0, 1.0, 2.0], groups: vec![0..2, 2..4], before: None };
        assert_eq!(best(&line), (1.0 + 10.0 + 3.0 + 10.0, vec![(2, 3), (0, 1)]));
        line.before = Some((0, 1));
        // Both directions through the first group cost the same.
        let (cost, path) = best(&line);
        assert_eq!((cost, path.last()), (5.0 + 10.0 + 4.0 + 10.0, Some(&(3, 2))));
    }

    #[test]
    fn nothing_to_visit_has_no_last_place() {
        let solved = BestOrders::new(&Line { towns: Vec::new(), groups: Vec::new(), before: None });
        assert!(solved.cost(0).is_none() && solved.path(0).is_empty());
        assert_eq!((steps(3, 5), steps(200, 5)), (Some(200), None));
    }

    #[test]
    fn a_tree_joins_all_nodes_by_the_cheapest_branches() {
        let towns = [0.0_f64, 10.0, 3.0, 4.0];
        let branches = cheapest_tree(towns.len(), |a, b| (towns[a] - towns[b]).abs());
        assert_eq!(branches, [(0, 2, 3.0), (2, 3, 1.0), (3, 1, 6.0)]);
        assert!(cheapest_tree(0, |_, _| 0.0).is_empty() && cheapest_tree(1, |_, _| 0.0).is_empty());
    }
}
