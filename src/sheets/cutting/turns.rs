//! The turns of the search: taking out and putting back, proving, and combining patterns.

use std::ops::ControlFlow;

use super::bounds::Bounds;
use super::combine::Combination;
use super::search::{Improvement, Search, SearchEnd};

/// One in so many rounds is done before anything is proven, and no more than so many.
const QUICK: u64 = 5;

const MOST_QUICK: u64 = 20_000;

/// One in so many rounds is done where patterns tell that the rest would be in vain.
const IN_VAIN: u64 = 8;

impl<'a> Search<'a, '_> {
    /// Searches for the lowest cost until the work is done or the watcher says stop, and proves what it can if it is to.
    pub(super) fn lower(mut self, bounds: Bounds, proves: bool) -> Improvement<'a> {
        (self.best.bound, self.best.sheets_bound) = (bounds.cost, bounds.sheets);
        let was_stopped = self.lower_cost(proves).is_break();
        self.lowered(was_stopped)
    }

    /// Searches for the lowest cost: quickly, then proving what cannot be undercut, then for as long as is allowed by combining
    /// patterns and by taking out and putting back, in turns that become longer.
    fn lower_cost(&mut self, proves: bool) -> ControlFlow<SearchEnd> {
        let mut turn = (self.effort.iterations / QUICK).min(MOST_QUICK);
        self.aim_lower_until(turn)?;
        if proves && !self.is_proven() {
            self.prove()?;
        }
        let mut combination = Combination::default();
        let mut last = self.effort.iterations;
        while !self.is_proven() && self.iterations < last {
            let may_help = self.combine(&mut combination, turn.min(last - self.iterations))?;
            if combination.is_in_vain {
                last = last.min(self.effort.iterations / IN_VAIN);
            }
            let until = if may_help { self.iterations.saturating_add(turn) } else { last };
            self.aim_lower_until(until.min(last))?;
            turn = turn.saturating_mul(2).max(1);
        }
        ControlFlow::Continue(())
    }
}
