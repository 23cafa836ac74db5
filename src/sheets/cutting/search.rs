//! The search for a cheaper plan: aim below the best cost, take pieces out, put them back, and keep what is not much worse.
//!
//! Goal-driven ruin and recreate after Gardeyn and Wauters, "A goal-driven ruin and recreate heuristic for the 2D
//! variable-sized bin packing problem with guillotine constraints", European Journal of Operational Research 301 (2022);
//! late acceptance after Burke and Bykov, "The late acceptance hill-climbing heuristic", ibid. 258 (2017).

use std::ops::ControlFlow;

use super::acceptance::Acceptance;
use super::fill::{FillRules, SortKey};
use super::merit::{merit, rank, unplaced};
use super::packing::Packing;
use super::plan::Plan;
use super::progress::{Effort, Progress};
use super::proof::Proof;
use super::random::Random;
use super::slicing_tree::SlicingTree;

/// How many in 1024 ways of placing are not seen.
const BLINK: u32 = 20;
/// How much more the weight of waiting pieces counts than what holes are worth.
const WAITING: i64 = 2;
/// How much more it counts when only the offcut matters.
const PLACED: i64 = 8;
/// How much more the largest offcut counts than what holes are worth.
const LARGEST: i64 = 4;
/// Rounds after which a search that found nothing starts anew from the best plan.
const PATIENCE: u64 = 200_000;
/// The same where there are several stocks, and the new start is with other sheets: so many for each piece, from a few to many.
const PATIENCE_WITH_CHOICE: u64 = 30;
const PATIENCES_WITH_CHOICE: [u64; 2] = [300, 3_000];
/// Rounds after which another offcut is wanted.
const PATIENCE_FOR_OFFCUT: u64 = 120;
/// Rounds between two questions to the watcher.
const WATCH_EVERY: u64 = 256;

/// Why a search ends.
pub(super) enum SearchEnd {
    /// Its work is done.
    Done,
    /// The watcher said so.
    Asked,
}

/// The lowest cost that a search has found, and where it stands.
pub(super) struct Improvement<'a> {
    pub(super) best: Plan,
    /// The area of the pieces that have no place.
    pub(super) unplaced: i128,
    /// Whether the watcher said stop.
    pub(super) was_stopped: bool,
    packing: Packing<'a>,
    random: Random,
    iterations: u64,
}

impl Improvement<'_> {
    /// What makes it better than another: the less the better.
    pub(super) fn merit(&self) -> impl Ord + use<> {
        merit(&self.best, self.packing.task)
    }
}

/// A search whose cost is settled.
pub(super) struct Tidying<'a, 'w> {
    search: Search<'a, 'w>,
    was_stopped: bool,
}

impl Tidying<'_, '_> {
    /// Searches for the largest offcut at that cost, unless the watcher says stop to that too.
    pub(super) fn tidied(mut self) -> Plan {
        if !self.was_stopped || !self.search.asks_to_stop() {
            let _ = self.search.enlarge_offcut();
        }
        self.search.best
    }
}

/// A search under way.
pub(super) struct Search<'a, 'w> {
    pub(super) packing: Packing<'a>,
    pub(super) random: Random,
    pub(super) best: Plan,
    /// The packing that the best plan shows.
    best_packing: Packing<'a>,
    pub(super) iterations: u64,
    /// Whether the cost is settled.
    tidying: bool,
    pub(super) effort: Effort,
    pub(super) watch: &'w mut dyn FnMut(&Progress) -> ControlFlow<()>,
}

impl<'a, 'w> Search<'a, 'w> {
    /// Starts with the best of a few quick plans.
    pub(super) fn new(
        mut packing: Packing<'a>,
        effort: Effort,
        watch: &'w mut dyn FnMut(&Progress) -> ControlFlow<()>,
    ) -> Self {
        let mut random = Random::new(effort.seed);
        packing.fill(&FillRules { order: SortKey::Area, blink: 0, budget: i64::MAX }, &mut random);
        let best = packing.to_plan();
        Self { best_packing: packing.clone(), packing, random, best, iterations: 0, tidying: false, effort, watch }
    }

    /// Goes on from the lowest cost that was found.
    pub(super) fn resume(
        lowered: Improvement<'a>,
        effort: Effort,
        watch: &'w mut dyn FnMut(&Progress) -> ControlFlow<()>,
    ) -> Tidying<'a, 'w> {
        let Improvement { best, packing, random, iterations, was_stopped, .. } = lowered;
        let best_packing = packing.clone();
        let search = Self { best_packing, packing, random, best, iterations, tidying: false, effort, watch };
        Tidying { search, was_stopped }
    }

    /// Asks the watcher whether to leave out tidying.
    fn asks_to_stop(&mut self) -> bool {
        (self.watch)(&Progress::of(&self.best, self.iterations, self.iterations, true)).is_break()
    }

    /// Hands over what was found.
    pub(super) fn lowered(self, was_stopped: bool) -> Improvement<'a> {
        Improvement {
            unplaced: unplaced(&self.best, self.packing.task),
            best: self.best,
            packing: self.best_packing,
            random: self.random,
            iterations: self.iterations,
            was_stopped,
        }
    }

    pub(super) fn is_proven(&self) -> bool {
        self.best.left_over.is_empty() && self.best.cost <= self.best.bound
    }

    pub(super) fn aim_lower_until(&mut self, last: u64) -> ControlFlow<SearchEnd> {
        while !self.is_proven() {
            match self.aim_lower(last) {
                ControlFlow::Continue(()) => {}
                ControlFlow::Break(SearchEnd::Done) => break,
                ControlFlow::Break(SearchEnd::Asked) => return ControlFlow::Break(SearchEnd::Asked),
            }
        }
        ControlFlow::Continue(())
    }

    /// Raises the bound by patterns, and for few kinds of pieces tries everything that the sheets can yield.
    pub(super) fn prove(&mut self) -> ControlFlow<SearchEnd> {
        if !self.best.left_over.is_empty() {
            return ControlFlow::Continue(());
        }
        let rounds = self.effort.iterations;
        let (progress, mut asked) = (self.progress(), false);
        let mut ask = asking(self.watch, progress, &mut asked);
        let proof = Proof::of(self.packing.task, &self.best, rounds, &mut ask);
        drop(ask);
        self.best.bound = proof.bound;
        self.best.sheets_bound = proof.sheets_bound;
        if let Some(sheets) = proof.cheaper {
            self.adopt(&sheets);
        }
        if asked { ControlFlow::Break(SearchEnd::Asked) } else { ControlFlow::Continue(()) }
    }

    /// How far the search for the lowest cost has come.
    pub(super) fn progress(&self) -> Progress {
        Progress::of(&self.best, self.iterations, self.effort.iterations, false)
    }

    /// Takes over a complete plan.
    fn adopt(&mut self, sheets: &[(usize, SlicingTree)]) {
        let mut packing = Packing::new(self.packing.task);
        for (stock, assembly) in sheets {
            packing.open_for(*stock, assembly);
        }
        self.keep_plan(packing.to_plan());
        self.best_packing = packing;
    }

    /// Searches for a plan that leaves a larger offcut at the same cost: by large holes first, then by wanting larger ones.
    fn enlarge_offcut(&mut self) -> ControlFlow<SearchEnd> {
        if !self.best.left_over.is_empty() {
            return ControlFlow::Continue(());
        }
        self.tidying = true;
        let last = self.iterations.saturating_add(self.effort.tidying);
        if let ControlFlow::Break(SearchEnd::Asked) = self.tidy(last - self.effort.tidying / 4) {
            return ControlFlow::Break(SearchEnd::Asked);
        }
        self.want_offcuts(last)
    }

    /// Searches for a plan that costs less than the best, or places everything if that does not.
    fn aim_lower(&mut self, last: u64) -> ControlFlow<SearchEnd> {
        let budget = if self.best.left_over.is_empty() { self.best.cost - 1 } else { i64::MAX };
        let pieces: u64 = self.packing.task.pieces.iter().map(|piece| u64::from(piece.quantity)).sum();
        let [fewest, most] = PATIENCES_WITH_CHOICE;
        let patience = pieces.saturating_mul(PATIENCE_WITH_CHOICE).clamp(fewest, most);
        loop {
            self.packing.clone_from(&self.best_packing);
            let one_stock = self.packing.stock().len() == 1;
            // Where the stock is short all of it is needed, but perhaps otherwise.
            if one_stock || (budget == i64::MAX && self.random.chance(512)) {
                self.packing.recount();
                while self.packing.cost > budget {
                    self.packing.drop_a_sheet(&mut self.random);
                }
            } else {
                self.packing.recompose(budget, &mut self.random);
            }
            if self.place_all(budget, if one_stock { PATIENCE } else { patience }, last)? {
                return ControlFlow::Continue(());
            }
        }
    }

    /// Searches, starting from the packing there is, for a better plan within a budget for so many rounds; tells whether there is one.
    pub(super) fn place_all(&mut self, budget: i64, rounds: u64, last: u64) -> ControlFlow<SearchEnd, bool> {
        let mut acceptance = Acceptance::new(self.shortfall());
        for _ in 0..rounds {
            self.tick(last)?;
            self.change(budget);
            if self.keep_if_better() {
                return ControlFlow::Continue(true);
            }
            if !acceptance.takes(self.shortfall()) {
                self.packing.undo();
            }
        }
        ControlFlow::Continue(false)
    }

    /// Keeps the packing, which is within the budget, if it places everything, or more than the best plan; tells whether it does.
    pub(super) fn keep_if_better(&mut self) -> bool {
        let better = self.packing.waiting.is_empty() || self.places_more();
        if better {
            self.keep_plan(self.packing.to_plan());
            self.best_packing.clone_from(&self.packing);
        }
        better
    }

    /// Searches for a plan that costs no more but leaves a larger offcut, by placing that like one more piece.
    fn want_offcuts(&mut self, last: u64) -> ControlFlow<SearchEnd> {
        loop {
            self.packing.clone_from(&self.best_packing);
            self.packing.recount();
            let Some(size) = self.packing.draw_offcut(&mut self.random) else { return ControlFlow::Continue(()) };
            self.packing.want_offcut(size);
            let mut acceptance = Acceptance::new(self.shortfall());
            for _ in 0..PATIENCE_FOR_OFFCUT {
                self.tick(last)?;
                self.change(self.best.cost);
                if self.packing.waiting.is_empty() {
                    self.packing.free_offcut();
                    let plan = self.packing.to_plan();
                    if plan.cost < self.best.cost || rank(&plan) > rank(&self.best) {
                        self.keep_plan(plan);
                        self.best_packing.clone_from(&self.packing);
                    }
                    break;
                }
                if !acceptance.takes(self.shortfall()) {
                    self.packing.undo();
                }
            }
        }
    }

    /// Searches for a plan that costs no more but leaves a larger offcut, or needs fewer settings of the arm.
    fn tidy(&mut self, last: u64) -> ControlFlow<SearchEnd> {
        self.packing.clone_from(&self.best_packing);
        self.packing.recount();
        let mut best = rank(&self.best);
        let mut acceptance = Acceptance::new(self.untidiness());
        loop {
            self.tick(last)?;
            self.change(self.best.cost);
            if !acceptance.takes(self.untidiness()) {
                self.packing.undo();
            } else if self.packing.waiting.is_empty() && self.packing.largest_hole() >= best.0 {
                let plan = self.packing.to_plan();
                let new = rank(&plan);
                if plan.cost < self.best.cost || new > best {
                    best = new;
                    self.keep_plan(plan);
                    self.best_packing.clone_from(&self.packing);
                }
            }
        }
    }

    /// Takes some pieces out and puts them back.
    fn change(&mut self, budget: i64) {
        let order = SortKey::any(&mut self.random);
        self.packing.start_round();
        self.packing.ruin(&mut self.random);
        self.packing.fill(&FillRules { order, blink: BLINK, budget }, &mut self.random);
    }

    fn keep_plan(&mut self, plan: Plan) {
        let Plan { bound, sheets_bound, .. } = self.best;
        self.best = Plan { bound, sheets_bound, ..plan };
    }

    /// Tells whether, of more pieces than the stock gives, a larger area is placed than in the best plan.
    fn places_more(&self) -> bool {
        let area = |packing: &Packing<'_>| {
            packing
                .waiting
                .iter()
                .filter_map(|piece| packing.shapes.get(*piece as usize))
                .map(|shape| shape.area)
                .sum::<i64>()
        };
        !self.best.left_over.is_empty() && area(&self.packing) < area(&self.best_packing)
    }

    /// Low where little waits and holes are large.
    fn shortfall(&self) -> i64 {
        self.packing.waiting_weight() * WAITING - self.packing.worth
    }

    /// Low where all is placed and one large offcut stays.
    fn untidiness(&self) -> i64 {
        let largest = self.packing.scaled_area(self.packing.largest_hole());
        (self.packing.waiting_weight() * PLACED - largest) * LARGEST - self.packing.worth
    }

    /// Counts a round, and asks now and then whether to go on.
    fn tick(&mut self, last: u64) -> ControlFlow<SearchEnd> {
        if self.iterations >= last {
            return ControlFlow::Break(SearchEnd::Done);
        }
        self.iterations += 1;
        if self.iterations.is_multiple_of(WATCH_EVERY)
            && (self.watch)(&Progress::of(&self.best, self.iterations, last, self.tidying)).is_break()
        {
            return ControlFlow::Break(SearchEnd::Asked);
        }
        ControlFlow::Continue(())
    }
}

/// Asks a watcher whether to go on, and once it said no, says no itself.
pub(super) fn asking<'s>(
    watch: &'s mut dyn FnMut(&Progress) -> ControlFlow<()>,
    progress: Progress,
    asked: &'s mut bool,
) -> impl FnMut() -> ControlFlow<()> {
    move || {
        *asked = *asked || watch(&progress).is_break();
        if *asked { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}
