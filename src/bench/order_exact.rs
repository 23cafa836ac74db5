//! The best order of the settings of a board, exactly: the best way through each group of settings that share the number of the
//! guide, and then the best way through all groups.

use std::ops::Range;

use super::order_task::{ChangeWeight, CutOrderTask};
use crate::fault::Certain;
use crate::tour::{BestOrders, Cost, Tour};

/// Boards that take more steps than this are searched instead: some tenths of a second without optimisation.
const MOST_STEPS: usize = 8_000_000;
/// Sets of more settings than this are never tried.
const MOST_IN_SET: usize = 16;

/// All best ways through the settings of a board, one for each setting that may be the last.
pub(super) struct ExactOrders<'t> {
    groups: Groups<'t>,
    solved: BestOrders<ChangeWeight>,
}

impl<'t> ExactOrders<'t> {
    /// Solves a task; `None` if it is too large.
    pub(super) fn solve(task: &'t CutOrderTask) -> Option<Self> {
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
        let solved = BestOrders::new(&groups);
        Some(Self { groups, solved })
    }

    /// Returns what the best order takes that ends with a setting, from the beginning of the first board.
    pub(super) fn weight(&self, last: usize) -> Option<ChangeWeight> {
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
    task: &'t CutOrderTask,
    /// Row by row of a square for each group.
    within: Vec<Vec<ChangeWeight>>,
}

impl Groups<'_> {
    /// Returns the best way from one setting of a group to another through all of it.
    fn path_within(&self, first: usize, last: usize) -> Vec<usize> {
        let group = self.task.groups.iter().find(|group| group.contains(&first));
        let solved = group.map(|group| (BestOrders::new(&GroupTours::new(self.task, group, first)), group.start));
        let path = solved
            .into_iter()
            .flat_map(|(solved, start)| solved.path(last - start).into_iter().map(move |(setup, _)| setup + start));
        path.collect()
    }
}

impl Tour for Groups<'_> {
    type Cost = ChangeWeight;

    fn groups(&self) -> &[Range<usize>] {
        &self.task.groups
    }

    fn enter(&self, place: usize) -> ChangeWeight {
        self.task.enter(place)
    }

    fn step(&self, from: usize, to: usize) -> ChangeWeight {
        self.task.step(from, to)
    }

    fn through(&self, first: usize, last: usize) -> ChangeWeight {
        let found = self.task.groups.iter().zip(&self.within).find(|(group, _)| group.contains(&first));
        let weight =
            found.and_then(|(group, within)| within.get((first - group.start) * group.len() + last - group.start));
        weight.copied().certain("way through this group")
    }
}

/// Returns what the best ways through a group take, from each of its settings to each other.
fn weights_within(task: &CutOrderTask, group: &Range<usize>) -> Vec<ChangeWeight> {
    let from = |first: usize| {
        let solved = BestOrders::new(&GroupTours::new(task, group, first));
        (0..group.len()).map(move |last| solved.cost(last).unwrap_or(ChangeWeight::INFINITE)).collect::<Vec<_>>()
    };
    group.clone().flat_map(from).collect()
}

/// The settings of one group, counted from its first, entered by one of them.
struct GroupTours<'t> {
    task: &'t CutOrderTask,
    start: usize,
    first: usize,
    each: Vec<Range<usize>>,
}

impl<'t> GroupTours<'t> {
    fn new(task: &'t CutOrderTask, group: &Range<usize>, first: usize) -> Self {
        let each = (0..group.len()).map(|setup| setup..setup + 1).collect();
        Self { task, start: group.start, first: first - group.start, each }
    }
}

impl Tour for GroupTours<'_> {
    type Cost = ChangeWeight;

    fn groups(&self) -> &[Range<usize>] {
        &self.each
    }

    fn enter(&self, place: usize) -> ChangeWeight {
        if place == self.first { ChangeWeight::default() } else { ChangeWeight::INFINITE }
    }

    fn step(&self, from: usize, to: usize) -> ChangeWeight {
        self.task.step(from + self.start, to + self.start)
    }

    fn through(&self, _first: usize, _last: usize) -> ChangeWeight {
        ChangeWeight::default()
    }
}
