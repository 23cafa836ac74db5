//! Combining patterns to a cheaper plan: fractions that would do are made whole, and what then waits is placed by the search.
//!
//! Where few pieces come from a sheet, which ones share it matters more than how they lie; taking out and putting back seldom
//! finds the combination, and the covering tells when there hardly is one.

use std::ops::ControlFlow;

use super::dive::{DiveState, dive};
use super::fill::{FillRules, SortKey};
use super::packing::Packing;
use super::pattern_pool::{CoveringEffort, PatternPool};
use super::search::{Search, SearchEnd, asking};

/// Steps of arithmetic for a round of the search.
const STEPS: u64 = 6_000;
/// With fewer rounds than this not even the first patterns are found.
const FEWEST: u64 = 4_000;
/// Rounds to place what waits after patterns are combined.
const ROUNDS: u64 = 20_000;
/// How often some sheets are cut anew.
const RENEWALS: usize = 20;
/// How many sheets at once.
const RENEWED: usize = 6;
/// Times that the table of choices may be filled for what these yield.
const FILLS: u32 = 40;
/// Plans made in a moment, from which first patterns are taken, at most.
const FIRST_PLANS: usize = 8;
/// Pieces placed for them all together.
const FIRST_PIECES: usize = 4_000;
/// How many in 1024 ways of placing these do not see.
const BLINK: u32 = 20;
/// Where more pieces than this share a sheet, how they lie matters more than which ones they are.
const MOST_A_SHEET: usize = 12;
/// A covering that costs more than the budget by this share of the dearest sheet leaves no hope.
const HOPELESS: f64 = 1e-4;

/// What is known about an order by patterns.
#[derive(Debug, Default)]
pub(super) struct Combination {
    /// None as long as it is not needed, and where it cannot be had.
    pool: Option<PatternPool>,
    /// Whether nothing more was found that improves the covering.
    is_settled: bool,
    /// Whether even fractions of the patterns found cost more than a cheaper plan may.
    pub(super) is_in_vain: bool,
}

impl Search<'_, '_> {
    /// Searches for cheaper plans by combining patterns, with about as much work as so many rounds take, which are counted. Tells
    /// whether that may still help.
    pub(super) fn combine(&mut self, known: &mut Combination, rounds: u64) -> ControlFlow<SearchEnd, bool> {
        let crowded = self.pieces() > MOST_A_SHEET * self.best.sheets.len();
        if rounds < FEWEST || crowded || known.is_in_vain || !self.best.left_over.is_empty() {
            return ControlFlow::Continue(false);
        }
        if known.pool.is_none() {
            known.pool = PatternPool::new(self.packing.task).map(|pool| self.taught(pool));
        }
        let Some(pool) = known.pool.as_mut() else { return ControlFlow::Continue(false) };
        pool.learn(&self.best.sheets);
        let mut work = rounds.saturating_mul(STEPS);
        while !self.is_proven() && work > 0 {
            let budget = self.best.cost - 1;
            self.packing = Packing::new(self.packing.task);
            let care = if known.is_settled { CoveringEffort::Quick { fills: 0 } } else { CoveringEffort::Thorough };
            let excess = self.cover(pool, budget, care, &mut work)?;
            known.is_settled = excess.is_some();
            known.is_in_vain = excess.is_some_and(|excess| excess > HOPELESS);
            if excess.is_none() || known.is_in_vain {
                break;
            }
            self.complete(pool, budget, &mut work)?;
            match self.renew(pool, budget, &mut work) {
                ControlFlow::Break(SearchEnd::Done) => break,
                ControlFlow::Break(SearchEnd::Asked) => return ControlFlow::Break(SearchEnd::Asked),
                ControlFlow::Continue(()) => {}
            }
        }
        self.iterations = self.iterations.saturating_add(rounds - work / STEPS);
        ControlFlow::Continue(!known.is_in_vain)
    }

    fn pieces(&self) -> usize {
        self.packing.task.pieces.iter().map(|piece| piece.quantity as usize).sum()
    }

    /// Shows a pool what the sheets of a few plans made in a moment yield.
    fn taught(&mut self, mut pool: PatternPool) -> PatternPool {
        let plans = FIRST_PIECES / self.pieces().max(1);
        for _ in 0..plans.min(FIRST_PLANS) {
            let mut packing = Packing::new(self.packing.task);
            let order = SortKey::any(&mut self.random);
            packing.fill(&FillRules { order, blink: BLINK, budget: i64::MAX }, &mut self.random);
            pool.learn(&packing.sheets());
        }
        pool
    }

    /// Covers what waits with fractions of patterns; tells by how much of the dearest sheet that costs more than the budget has, or
    /// nothing if the work allowed is used up.
    fn cover(
        &mut self,
        pool: &mut PatternPool,
        budget: i64,
        care: CoveringEffort,
        work: &mut u64,
    ) -> ControlFlow<SearchEnd, Option<f64>> {
        let (left, on_hand) = (pool.by_kind(&self.packing.waiting_by_piece()), self.on_hand(pool));
        let (progress, mut asked) = (self.progress(), false);
        let mut ask = asking(self.watch, progress, &mut asked);
        let cost = pool.cover(&left, &on_hand, care, work, &mut ask);
        drop(ask);
        if asked {
            return ControlFlow::Break(SearchEnd::Asked);
        }
        ControlFlow::Continue(cost.map(|cost| cost - (budget - self.packing.cost) as f64 / pool.dearest()))
    }

    /// How many more sheets of each stock there are, no more than pieces.
    fn on_hand(&self, pool: &PatternPool) -> Vec<u32> {
        pool.on_hand().iter().zip(&self.packing.left).map(|(most, left)| *most.min(left)).collect()
    }

    /// Cuts whole patterns from more sheets, given that a covering of what waits is known, and places the other pieces.
    fn complete(&mut self, pool: &mut PatternPool, budget: i64, work: &mut u64) -> ControlFlow<SearchEnd> {
        let task = self.packing.task;
        let mut waiting = self.packing.waiting_by_piece();
        let state = DiveState {
            chosen: Vec::new(),
            left: pool.by_kind(&waiting),
            on_hand: self.on_hand(pool),
            budget: budget - self.packing.cost,
        };
        let (progress, mut asked) = (self.progress(), false);
        let mut ask = asking(self.watch, progress, &mut asked);
        let patterns = dive(state, task, pool, &mut self.random, work, &mut ask);
        drop(ask);
        for (stock, assembly) in &pool.named(patterns, task, &mut waiting) {
            self.packing.open_for(*stock, assembly);
        }
        self.packing.fill(&FillRules { order: SortKey::Area, blink: 0, budget }, &mut self.random);
        if asked { ControlFlow::Break(SearchEnd::Asked) } else { ControlFlow::Continue(()) }
    }

    /// Searches on where patterns leave pieces over: by taking out and putting back, then by combining anew what some sheets yield.
    fn renew(&mut self, pool: &mut PatternPool, budget: i64, work: &mut u64) -> ControlFlow<SearchEnd> {
        let known = pool.len();
        let mut start = self.packing.clone();
        if self.keep_if_better() || self.place_all(budget, ROUNDS, self.effort.iterations)? {
            return ControlFlow::Continue(());
        }
        for _ in 0..RENEWALS {
            self.packing.clone_from(&start);
            self.packing.empty_some(RENEWED, &mut self.random);
            let excess = self.cover(pool, budget, CoveringEffort::Quick { fills: FILLS }, work)?;
            let found = match excess {
                None => break,
                Some(excess) if excess > HOPELESS => false,
                Some(_) => {
                    self.complete(pool, budget, work)?;
                    if self.keep_if_better() {
                        pool.forget_after(known);
                        return ControlFlow::Continue(());
                    }
                    self.packing.waiting_weight() <= start.waiting_weight()
                }
            };
            pool.forget_after(known);
            if found {
                start.clone_from(&self.packing);
            }
        }
        pool.forget_after(known);
        ControlFlow::Continue(())
    }
}
