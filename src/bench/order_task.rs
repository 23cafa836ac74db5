//! The settings of one board as a task for the search of an order: what each step takes, and what every order takes.

use std::collections::{BTreeMap, BTreeSet};

use super::{Changes, Guide, Setup};
use crate::fault::Certain;
use crate::pairs::pairs;
use crate::tour::{Cost, cheapest_tree};

/// [`Changes`] as one number that compares in the same way and adds up fast.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct ChangeWeight(u64);

/// Bits of each of the four counts in a weight.
const BITS: u32 = 15;

impl ChangeWeight {
    pub(super) fn new(changes: Changes) -> Self {
        let Changes { guide, stops, laid, blade } = changes;
        Self([guide, stops, laid, blade].into_iter().fold(0, |sum, count| (sum << BITS) + u64::from(count)))
    }

    pub(super) fn changes(self) -> Changes {
        let part = |place: u32| u32::try_from((self.0 >> (place * BITS)) & ((1 << BITS) - 1)).unwrap_or(u32::MAX);
        Changes { guide: part(3), stops: part(2), laid: part(1), blade: part(0) }
    }
}

impl Cost for ChangeWeight {
    const INFINITE: Self = Self(u64::MAX / 4);

    fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

/// The different settings of one board, and what it takes to go from one to another.
///
/// Cuts to pencil lines differ only in their lines, so that all of them that are made with the same blade stand here as one.
#[derive(Debug)]
pub(super) struct CutOrderTask {
    /// The settings, each once, sorted, so that those with the same guide stand side by side.
    pub(super) setups: Vec<Setup>,
    /// For each setting the first one with the same guide and the number of those.
    pub(super) groups: Vec<std::ops::Range<usize>>,
    /// What it takes to come to each setting from the board before, that board's work included, and from which of its
    /// ways out.
    pub(super) enter: Vec<(ChangeWeight, usize)>,
    /// The settings in the order in which the cuts are listed.
    pub(super) listed: Vec<usize>,
    steps: Vec<ChangeWeight>,
}

impl CutOrderTask {
    /// Makes the task of a board from its cuts and from how the board before may have left the cutter.
    pub(super) fn new(cuts: &[Setup], entries: impl Iterator<Item = (Option<Setup>, ChangeWeight)> + Clone) -> Self {
        let cuts = gathered(cuts);
        let setups: BTreeSet<Setup> = cuts.iter().copied().collect();
        let setups: Vec<Setup> = setups.into_iter().collect();
        let enter = |setup: &Setup| {
            let ways = entries.clone().enumerate();
            let ways = ways.map(|(way, (last, weight))| (weight.plus(between(last.as_ref(), setup)), way));
            ways.min().certain("way out of the board before")
        };
        let enter = setups.iter().map(enter).collect();
        let steps = setups.iter().flat_map(|a| setups.iter().map(|b| between(Some(a), b))).collect();
        let mut listed: Vec<usize> = Vec::new();
        for setup in cuts.iter().map(|cut| setups.binary_search(cut).ok().certain("setting for this cut")) {
            if !listed.contains(&setup) {
                listed.push(setup);
            }
        }
        Self { groups: groups(&setups), enter, listed, steps, setups }
    }

    /// Returns what it takes to go from one setting to another; the same both ways.
    pub(super) fn step(&self, from: usize, to: usize) -> ChangeWeight {
        self.steps.get(from * self.setups.len() + to).copied().certain("step between these settings")
    }

    /// Returns what it takes to come to a setting from the board before.
    pub(super) fn enter(&self, to: usize) -> ChangeWeight {
        self.enter.get(to).certain("way into this setting").0
    }

    /// Returns what an order takes, from the beginning of the first board.
    pub(super) fn weight_of(&self, path: &[usize]) -> ChangeWeight {
        let enter = path.first().map_or(ChangeWeight::default(), |&first| self.enter(first));
        pairs(path).fold(enter, |sum, (&a, &b)| sum.plus(self.step(a, b)))
    }

    /// Returns what every order of this board takes at least, together with the step from the board before: an order is
    /// a tree that joins all settings, and none is lighter than the minimum spanning tree.
    pub(super) fn bound(&self, entries: impl Iterator<Item = Option<Setup>> + Clone) -> ChangeWeight {
        let into = |setup: &Setup| entries.clone().map(|last| between(last.as_ref(), setup)).min();
        let Some(enter) = self.setups.iter().filter_map(into).min() else {
            return ChangeWeight::default();
        };
        let branches = cheapest_tree(self.setups.len(), |from, to| self.step(from, to));
        branches.into_iter().fold(enter, |sum, (_, _, step)| sum.plus(step))
    }
}

/// Returns the setup that stands for each one of a board in a task: for cuts to pencil lines the first with the same blade,
/// since no two lines are the same lie, so that which of them comes first or last changes nothing.
pub(super) fn gathered(board: &[Setup]) -> Vec<Setup> {
    let first = |setup: &Setup| board.iter().find(|other| other.is_free() && other.blade == setup.blade).copied();
    board.iter().map(|setup| if setup.is_free() { first(setup).unwrap_or(*setup) } else { *setup }).collect()
}

fn between(before: Option<&Setup>, after: &Setup) -> ChangeWeight {
    ChangeWeight::new(Changes::between(before, after))
}

/// Returns the ranges of sorted settings that share the number of the guide.
fn groups(setups: &[Setup]) -> Vec<std::ops::Range<usize>> {
    let mut groups: BTreeMap<Guide, std::ops::Range<usize>> = BTreeMap::new();
    for (at, setup) in setups.iter().enumerate() {
        groups.entry(setup.guide).or_insert(at..at).end = at + 1;
    }
    groups.into_values().collect()
}
