//! How much work a search may do, and what it tells while it works.

use super::plan::Plan;

/// The work that a search may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Rounds of taking some pieces out and putting them back to lower the cost, or as much work combining patterns; some 100,000 to
    /// 300,000 take a second. Proving that nothing is cheaper may take as much work again, and for orders of few kinds, where all that
    /// a sheet can yield is tried, some times as much. Fewer are done where patterns tell that the others would be in vain.
    pub iterations: u64,
    /// Rounds to keep one large offcut at the same cost, and to need fewer settings of the arm.
    pub tidying: u64,
    /// Chooses among equally good ways; the same seed gives the same plan.
    pub seed: u64,
    /// A search of more rounds than this is several runs with seeds of their own, the shortest of which has so many; with
    /// [`u64::MAX`] it is a single run. The runs of a larger effort are those of a smaller one and more, so that no plan is lost by it.
    pub run: u64,
    /// The cores that runs are spread over, all there are with 0; it makes no difference to the plan.
    pub cores: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { iterations: 30_000, tidying: 14_000, seed: 1, run: 30_000, cores: 0 }
    }
}

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Progress {
    /// Rounds done.
    pub iterations: u64,
    /// Rounds at most.
    pub of: u64,
    /// Cost of the best plan so far, in the smallest unit of money.
    pub cost: i64,
    /// No plan can cost less.
    pub bound: i64,
    /// Sheets and offcuts in the best plan so far.
    pub sheets: usize,
    /// Pieces that the best plan so far leaves over.
    pub left_over: u32,
    /// Whether the cost is settled, and larger offcuts and fewer settings are searched for.
    pub tidying: bool,
}

impl Progress {
    pub(super) fn of(plan: &Plan, iterations: u64, of: u64, tidying: bool) -> Self {
        let left_over = plan.left_over.iter().map(|(_, count)| count).sum();
        Self { iterations, of, cost: plan.cost, bound: plan.bound, sheets: plan.sheets.len(), left_over, tidying }
    }
}
