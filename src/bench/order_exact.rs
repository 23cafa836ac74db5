//! The best order of the settings of a board, exactly, by dynamic programming over sets (Held & Karp 1962).

use std::ops::Range;

use super::order_task::{Task, Weight};

/// Boards that take more steps than this are searched instead: some tenths of a second without optimisation.
const MOST_STEPS: usize = 8_000_000;
/// Sets of more settings than this are never tried.
const MOST_IN_SET: usize = 16;

/// All best ways through the settings of a board, one for each setting that may be the last.
pub(super) struct Exact<'t> {
    task: &'t Task,
    /// The best ways through each group, from each of its settings to each other.
    within: Vec<Within>,
    /// For each set of groups and each last setting: what it takes, and how it was reached.
    reached: Vec<Reached>,
}

/// How a set of groups can be cut with a certain setting as the last.
#[derive(Clone, Copy)]
struct Reached {
    weight: Weight,
    /// The setting with which the last group begins.
    first: usize,
    /// The last setting of the groups before; none for the first group.
    before: Option<usize>,
}

const UNREACHED: Reached = Reached { weight: Weight::INFINITE, first: 0, before: None };

impl<'t> Exact<'t> {
    /// Solves a task; `None` if it is too large.
    pub(super) fn solve(task: &'t Task) -> Option<Self> {
        let (groups, setups) = (&task.groups, task.setups.len());
        if groups.len() > MOST_IN_SET || groups.iter().any(|group| group.len() > MOST_IN_SET) {
            return None;
        }
        let within: usize = groups.iter().map(|group| group.len().pow(3) << group.len()).sum();
        if within + ((setups * setups) << groups.len()) > MOST_STEPS {
            return None;
        }
        let within = groups.iter().map(|group| Within::solve(task, group)).collect();
        let mut exact = Self { task, within, reached: vec![UNREACHED; setups << groups.len()] };
        for set in 0..(1_usize << groups.len()) {
            for group in (0..groups.len()).filter(|group| set >> group & 1 == 0) {
                exact.add_group(set, group);
            }
        }
        Some(exact)
    }

    /// Returns what the best order takes that ends with a setting, from the beginning of the first board.
    pub(super) fn weight(&self, last: usize) -> Option<Weight> {
        let all = (1_usize << self.task.groups.len()) - 1;
        Some(self.at(all, last).weight).filter(|weight| weight.is_finite())
    }

    /// Returns the best order that ends with a setting.
    pub(super) fn path(&self, last: usize) -> Option<Vec<usize>> {
        let mut set = (1_usize << self.task.groups.len()) - 1;
        let mut last = Some(last);
        let mut parts = Vec::new();
        while let Some(end) = last {
            let reached = self.at(set, end);
            let group = self.task.groups.iter().position(|group| group.contains(&end))?;
            parts.push(self.within.get(group)?.path(self.task, reached.first, end)?);
            set &= !(1 << group);
            last = reached.before;
        }
        Some(parts.into_iter().rev().flatten().collect())
    }

    fn at(&self, set: usize, last: usize) -> Reached {
        self.reached.get(set * self.task.setups.len() + last).copied().unwrap_or(UNREACHED)
    }

    /// Goes on from all orders of a set of groups to one more group.
    fn add_group(&mut self, set: usize, group: usize) {
        let Some(range) = self.task.groups.get(group).cloned() else { return };
        for first in range.clone() {
            let Some((weight, before)) = self.best_way_to(set, first) else { continue };
            for last in range.clone() {
                let through = self.within.get(group).map_or(Weight::INFINITE, |within| within.weight(first, last));
                let weight = weight.plus(through);
                let place = (set | 1 << group) * self.task.setups.len() + last;
                if let Some(reached) = self.reached.get_mut(place)
                    && weight < reached.weight
                {
                    *reached = Reached { weight, first, before };
                }
            }
        }
    }

    /// Returns what it takes to come to a setting after a set of groups, and after which setting.
    fn best_way_to(&self, set: usize, first: usize) -> Option<(Weight, Option<usize>)> {
        if set == 0 {
            return Some((self.task.enter(first), None));
        }
        let ways = (0..self.task.setups.len()).filter_map(|before| {
            let weight = self.at(set, before).weight;
            weight.is_finite().then(|| (weight.plus(self.task.step(before, first)), Some(before)))
        });
        ways.min()
    }
}

/// The best ways through one group of settings.
struct Within {
    range: Range<usize>,
    /// From each setting to each other.
    weights: Vec<Weight>,
}

impl Within {
    fn solve(task: &Task, range: &Range<usize>) -> Self {
        let full = (1_usize << range.len()) - 1;
        let weights = (0..range.len()).flat_map(|first| {
            let table = table_from(task, range, first);
            (0..range.len()).map(move |last| table.get(full * range.len() + last).copied().unwrap_or(Weight::INFINITE))
        });
        Self { range: range.clone(), weights: weights.collect() }
    }

    fn weight(&self, first: usize, last: usize) -> Weight {
        let place = (first - self.range.start) * self.range.len() + last - self.range.start;
        self.weights.get(place).copied().unwrap_or(Weight::INFINITE)
    }

    /// Returns the best way from one setting to another through all settings of the group.
    fn path(&self, task: &Task, first: usize, last: usize) -> Option<Vec<usize>> {
        let (size, offset) = (self.range.len(), self.range.start);
        let table = table_from(task, &self.range, first - offset);
        let mut set = (1_usize << size) - 1;
        let mut at = last - offset;
        let mut path = vec![last];
        while set.count_ones() > 1 {
            let weight = *table.get(set * size + at)?;
            let rest = set & !(1 << at);
            let came_from = |&before: &usize| {
                let so_far = table.get(rest * size + before).copied().unwrap_or(Weight::INFINITE);
                so_far.is_finite() && so_far.plus(task.step(before + offset, at + offset)) == weight
            };
            at = (0..size).find(came_from)?;
            set = rest;
            path.push(at + offset);
        }
        path.reverse();
        Some(path)
    }
}

/// Returns for each set of settings of a group, and each last one, what the best way from `first` takes.
fn table_from(task: &Task, range: &Range<usize>, first: usize) -> Vec<Weight> {
    let size = range.len();
    let mut table = vec![Weight::INFINITE; size << size];
    if let Some(start) = table.get_mut((1 << first) * size + first) {
        *start = Weight::default();
    }
    for set in 1..(1_usize << size) {
        for at in 0..size {
            let so_far = table.get(set * size + at).copied().unwrap_or(Weight::INFINITE);
            if !so_far.is_finite() {
                continue;
            }
            for next in (0..size).filter(|next| set >> next & 1 == 0) {
                let weight = so_far.plus(task.step(at + range.start, next + range.start));
                if let Some(known) = table.get_mut((set | 1 << next) * size + next) {
                    *known = weight.min(*known);
                }
            }
        }
    }
    table
}
