//! The best order of the settings of a board, exactly: the best way through each group of settings that share the number of the
//! guide, and then the best way through all groups.

use std::ops::Range;

use super::order_task::{Task, Weight};
use crate::tour::{Cost, Solved, Tour};

/// Boards that take more steps than this are searched instead: some tenths of a second without optimisation.
const MOST_STEPS: usize = 8_000_000;
/// Sets of more settings than this are never tried.
const MOST_IN_SET: usize = 16;

/// All best ways through the settings of a board, one for each setting that may be the last.
pub(super) struct Exact<'t> {
    groups: Groups<'t>,
    solved: Solved<Weight>,
}

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
        let within = groups.iter().map(|group| weights_within(task, group)).collect();
        let groups = Groups { task, within };
        let solved = Solved::new(&groups);
        Some(Self { groups, solved })
    }

    /// Returns what the best order takes that ends with a setting, from the beginning of the first board.
    pub(super) fn weight(&self, last: usize) -> Option<Weight> {
        self.solved.cost(last)
    }

    /// Returns the best order that ends with a setting.
    pub(super) fn path(&self, last: usize) -> Vec<usize> {
        let groups = self.solved.path(last);
        groups.into_iter().flat_map(|(first, last)| self.groups.path_within(first, last)).collect()
    }
}

/// The groups of settings of a board, each with what it takes from each of its settings to each other through all of them.
struct Groups<'t> {
    task: &'t Task,
    /// Row by row of a square for each group.
    within: Vec<Vec<Weight>>,
}

impl Groups<'_> {
    /// Returns the best way from one setting of a group to another through all of it.
    fn path_within(&self, first: usize, last: usize) -> Vec<usize> {
        let group = self.task.groups.iter().find(|group| group.contains(&first));
        let solved = group.map(|group| (Solved::new(&Within::new(self.task, group, first)), group.start));
        let path = solved
            .into_iter()
            .flat_map(|(solved, start)| solved.path(last - start).into_iter().map(move |(setup, _)| setup + start));
        path.collect()
    }
}

impl Tour for Groups<'_> {
    type Cost = Weight;

    fn groups(&self) -> &[Range<usize>] {
        &self.task.groups
    }

    fn enter(&self, place: usize) -> Weight {
        self.task.enter(place)
    }

    fn step(&self, from: usize, to: usize) -> Weight {
        self.task.step(from, to)
    }

    fn through(&self, first: usize, last: usize) -> Weight {
        let found = self.task.groups.iter().zip(&self.within).find(|(group, _)| group.contains(&first));
        let weight =
            found.and_then(|(group, within)| within.get((first - group.start) * group.len() + last - group.start));
        weight.copied().unwrap_or(Weight::INFINITE)
    }
}

/// Returns what the best ways through a group take, from each of its settings to each other.
fn weights_within(task: &Task, group: &Range<usize>) -> Vec<Weight> {
    let from = |first: usize| {
        let solved = Solved::new(&Within::new(task, group, first));
        (0..group.len()).map(move |last| solved.cost(last).unwrap_or(Weight::INFINITE)).collect::<Vec<_>>()
    };
    group.clone().flat_map(from).collect()
}

/// The settings of one group, counted from its first, entered by one of them.
struct Within<'t> {
    task: &'t Task,
    start: usize,
    first: usize,
    each: Vec<Range<usize>>,
}

impl<'t> Within<'t> {
    fn new(task: &'t Task, group: &Range<usize>, first: usize) -> Self {
        let each = (0..group.len()).map(|setup| setup..setup + 1).collect();
        Self { task, start: group.start, first: first - group.start, each }
    }
}

impl Tour for Within<'_> {
    type Cost = Weight;

    fn groups(&self) -> &[Range<usize>] {
        &self.each
    }

    fn enter(&self, place: usize) -> Weight {
        if place == self.first { Weight::default() } else { Weight::INFINITE }
    }

    fn step(&self, from: usize, to: usize) -> Weight {
        self.task.step(from + self.start, to + self.start)
    }

    fn through(&self, _first: usize, _last: usize) -> Weight {
        Weight::default()
    }
}
