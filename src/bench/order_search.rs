//! A good order of many settings: the nearest one next, then parts turned round and moved as long as that helps.

use super::Guide;
use super::order_task::{ChangeWeight, CutOrderTask};
use crate::fault::Certain;
use crate::tour::Cost;

/// So many first settings are tried.
const MOST_STARTS: usize = 24;
/// Parts of this many settings or fewer are moved, besides whole groups.
const LONGEST_MOVED: usize = 3;
/// So often a whole order is gone through; each time it became lighter.
const MOST_PASSES: usize = 60;

/// Returns an order that keeps settings with the same guide together.
pub(super) fn search(task: &CutOrderTask) -> Vec<usize> {
    let starts = (0..task.setups.len()).step_by(task.setups.len().div_ceil(MOST_STARTS).max(1));
    let near = starts.map(|first| nearest_next(task, first));
    // The order of the list is never beaten by its own improvement.
    let listed = Some(task.listed.clone()).filter(|listed| keeps_groups(task, listed));
    let orders = near.chain(listed).map(|order| improved(task, order));
    orders.min_by_key(|path| task.weight_of(path)).certain("order of the settings")
}

/// Tells whether an order sets the guide once for each of its numbers.
fn keeps_groups(task: &CutOrderTask, order: &[usize]) -> bool {
    let guides = order.iter().filter_map(|&setup| task.setups.get(setup)).map(|setup| setup.guide);
    let path: Vec<_> = guides.collect();
    path.windows(2).filter(|pair| pair.first() != pair.last()).count() + 1 == task.groups.len()
}

/// Goes from a first setting always to the nearest one left, group after group.
fn nearest_next(task: &CutOrderTask, first: usize) -> Vec<usize> {
    let mut left: Vec<usize> = (0..task.setups.len()).filter(|&setup| setup != first).collect();
    let mut path = vec![first];
    let mut at = first;
    while let Some(place) = (0..left.len()).min_by_key(|&place| {
        let next = left.get(place).copied().certain("setting at this place");
        // The step within a group is always lighter than one that sets the guide.
        (task.step(at, next), next)
    }) {
        at = left.swap_remove(place);
        path.push(at);
    }
    path
}

/// An order in the making, with the places where groups begin.
struct PartialTour<'t> {
    task: &'t CutOrderTask,
    order: Vec<usize>,
}

/// Turns parts round and moves parts until nothing becomes lighter.
fn improved(task: &CutOrderTask, order: Vec<usize>) -> Vec<usize> {
    let mut path = PartialTour { task, order };
    for _ in 0..MOST_PASSES {
        if !path.turn_parts() && !path.move_parts() {
            break;
        }
    }
    path.order
}

impl PartialTour<'_> {
    /// Returns the step into a place; the first place is entered from the board before, and nothing follows the last.
    fn step(&self, from: Option<usize>, to: Option<usize>) -> ChangeWeight {
        match (from, to) {
            (_, None) => ChangeWeight::default(),
            (None, Some(to)) => self.task.enter(to),
            (Some(from), Some(to)) => self.task.step(from, to),
        }
    }

    fn at(&self, place: usize) -> Option<usize> {
        self.order.get(place).copied()
    }

    fn before(&self, place: usize) -> Option<usize> {
        place.checked_sub(1).and_then(|place| self.at(place))
    }

    fn guide(&self, place: usize) -> Option<Guide> {
        self.at(place).and_then(|setup| self.task.setups.get(setup)).map(|setup| setup.guide)
    }

    /// Tells whether a group begins at a place, or the order ends there.
    fn is_seam(&self, place: usize) -> bool {
        place == 0 || place == self.order.len() || self.guide(place - 1) != self.guide(place)
    }

    /// Tells whether the order may be cut at these places without taking a group apart.
    fn may_cut(&self, places: &[usize]) -> bool {
        if places.iter().all(|&place| self.is_seam(place)) {
            return true;
        }
        let (Some(&low), Some(&high)) = (places.iter().min(), places.iter().max()) else {
            return false;
        };
        high > low && self.guide(low).is_some() && self.guide(low) == self.guide(high - 1)
    }

    fn turn_parts(&mut self) -> bool {
        let mut better = false;
        for from in 0..self.order.len() {
            for to in from + 2..=self.order.len() {
                if !self.may_cut(&[from, to]) {
                    continue;
                }
                let old = self.step(self.before(from), self.at(from)).plus(self.step(self.before(to), self.at(to)));
                let new = self.step(self.before(from), self.before(to)).plus(self.step(self.at(from), self.at(to)));
                if new < old {
                    if let Some(part) = self.order.get_mut(from..to) {
                        part.reverse();
                    }
                    better = true;
                }
            }
        }
        better
    }

    fn move_parts(&mut self) -> bool {
        let mut better = false;
        for from in 0..self.order.len() {
            let group_end = (from + 1..=self.order.len()).find(|&place| self.is_seam(place)).unwrap_or(from + 1);
            for to in (from + 1..=(from + LONGEST_MOVED).min(self.order.len())).chain([group_end]) {
                better |= self.move_part(from, to);
            }
        }
        better
    }

    /// Moves a part to the first place where that makes the order lighter.
    fn move_part(&mut self, from: usize, to: usize) -> bool {
        let (first, last) = (self.at(from), self.before(to));
        let out = self.step(self.before(from), first).plus(self.step(last, self.at(to)));
        let closed = self.step(self.before(from), self.at(to));
        for place in (0..=self.order.len()).filter(|&place| place < from || place > to) {
            if !self.may_cut(&[from, to, place]) {
                continue;
            }
            let (before, after) = (self.before(place), self.at(place));
            let old = out.plus(self.step(before, after));
            let new = closed.plus(self.step(before, first)).plus(self.step(last, after));
            if new < old {
                if place < from {
                    self.order.get_mut(place..to).into_iter().for_each(|part| part.rotate_left(from - place));
                } else {
                    self.order.get_mut(from..place).into_iter().for_each(|part| part.rotate_left(to - from));
                }
                return true;
            }
        }
        false
    }
}
