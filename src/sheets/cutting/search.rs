//! The search for a cheaper plan: aim below the best cost, take pieces out, put them back, and keep what is not much worse.
//!
//! Goal-driven ruin and recreate after Gardeyn and Wauters, "A goal-driven ruin and recreate heuristic for the 2D
//! variable-sized bin packing problem with guillotine constraints", European Journal of Operational Research 301 (2022);
//! late acceptance after Burke and Bykov, "The late acceptance hill-climbing heuristic", ibid. 258 (2017).

#![allow(clippy::indexing_slicing, reason = "places in the history are below its length")]

use std::ops::ControlFlow;

use super::bounds::Bounds;
use super::fill::{Manner, Order};
use super::packing::Packing;
use super::plan::Plan;
use super::progress::{Effort, Progress};
use super::random::Random;

/// How many rounds back a plan may be as bad as.
const MEMORY: usize = 200;
/// How many in 1024 ways of placing are not seen.
const BLINK: u32 = 20;
/// How much more the area of waiting pieces counts than what holes are worth.
const WAITING: i64 = 8;
/// Rounds between two questions to the watcher.
const WATCH_EVERY: u64 = 256;

const ORDERS: [Order; 6] =
    [Order::Area, Order::LongerSide, Order::ShorterSide, Order::Width, Order::Height, Order::Random];

/// A search under way.
pub(super) struct Search<'a, 'w> {
    packing: Packing<'a>,
    random: Random,
    best: Plan,
    iterations: u64,
    effort: Effort,
    watch: &'w mut dyn FnMut(&Progress) -> ControlFlow<()>,
}

impl<'a, 'w> Search<'a, 'w> {
    /// Starts with the best of a few quick plans.
    pub(super) fn new(
        mut packing: Packing<'a>,
        effort: Effort,
        watch: &'w mut dyn FnMut(&Progress) -> ControlFlow<()>,
    ) -> Self {
        let mut random = Random::new(effort.seed);
        packing.fill(&Manner { order: Order::Area, blink: 0, budget: i64::MAX }, &mut random);
        let best = packing.to_plan();
        Self { packing, random, best, iterations: 0, effort, watch }
    }

    /// Searches until the plan costs no more than the bound, the work is done, or the watcher says stop.
    pub(super) fn run(mut self, bounds: Bounds) -> Plan {
        (self.best.bound, self.best.sheets_bound) = (bounds.cost, bounds.sheets);
        while !(self.best.left_over.is_empty() && self.best.cost <= bounds.cost) {
            if self.aim_lower().is_break() {
                break;
            }
        }
        self.best
    }

    /// Searches for a plan that costs less than the best, or places everything if that does not.
    fn aim_lower(&mut self) -> ControlFlow<()> {
        let budget = if self.best.left_over.is_empty() { self.best.cost - 1 } else { i64::MAX };
        while self.packing.cost > budget {
            self.packing.drop_a_sheet(&mut self.random);
        }
        let mut score = self.score();
        let mut history = [score; MEMORY];
        loop {
            self.tick()?;
            let order = ORDERS[self.random.below(ORDERS.len())];
            self.packing.start_round();
            self.packing.ruin(&mut self.random);
            self.packing.fill(&Manner { order, blink: BLINK, budget }, &mut self.random);
            if self.packing.waiting.is_empty() {
                let Plan { bound, sheets_bound, .. } = self.best;
                self.best = Plan { bound, sheets_bound, ..self.packing.to_plan() };
                return ControlFlow::Continue(());
            }
            let new = self.score();
            let place = (self.iterations % MEMORY as u64) as usize;
            if new <= score || new <= history[place] {
                score = new;
            } else {
                self.packing.undo();
            }
            history[place] = history[place].min(score);
        }
    }

    fn score(&self) -> i64 {
        let waiting: i64 = self.packing.waiting.iter().map(|piece| self.packing.shapes[*piece as usize].area).sum();
        waiting * WAITING - self.packing.worth
    }

    /// Counts a round, and asks now and then whether to go on.
    fn tick(&mut self) -> ControlFlow<()> {
        if self.iterations >= self.effort.iterations {
            return ControlFlow::Break(());
        }
        self.iterations += 1;
        if self.iterations.is_multiple_of(WATCH_EVERY) {
            (self.watch)(&Progress::of(&self.best, self.iterations, self.effort.iterations))?;
        }
        ControlFlow::Continue(())
    }
}
