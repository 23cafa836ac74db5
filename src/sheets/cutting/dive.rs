//! A plan from fractions of patterns: the ones used most are taken whole, and what is left is covered again.

#![allow(clippy::indexing_slicing, reason = "kinds and stocks are numbered by the task")]

use std::ops::ControlFlow;

use super::pattern_pool::{CoveringEffort, PatternPool, StockPattern};
use super::random::Random;
use super::slicing_tree::SlicingTree;
use super::task::Task;

/// Times that the table is filled for what is left after some patterns are taken.
const FILLS: u32 = 20;
/// Choices tried where what is left then costs more than the budget has.
const TRIES: usize = 2;
/// By so much, as a share of the dearest sheet, it may cost more.
const TOLERANCE: f64 = 1e-3;
/// A pattern used this often is as good as used once.
const ALMOST_ONE: f64 = 0.999;
/// A pattern used less is not used.
const NEGLIGIBLE: f64 = 1e-6;

/// What is chosen so far, and what is left.
#[derive(Clone, Debug)]
pub(super) struct DiveState {
    /// Patterns, with their pieces numbered by kind.
    pub(super) chosen: Vec<StockPattern>,
    /// How many of each kind are still to be cut.
    pub(super) left: Vec<u32>,
    /// How many more sheets of each stock there are.
    pub(super) on_hand: Vec<u32>,
    /// What more sheets may cost.
    pub(super) budget: i64,
}

impl DiveState {
    /// Takes patterns as far as the stock and the budget allow, without pieces of which none is left; no if none is taken.
    fn take(&mut self, patterns: &[usize], pool: &PatternPool, task: &Task) -> bool {
        let before = self.chosen.len();
        for at in patterns {
            let (stock, assembly) = pool.pattern(*at);
            let price = task.stock[*stock].price;
            if self.on_hand[*stock] > 0
                && price <= self.budget
                && let Some(assembly) = without_surplus(assembly, &mut self.left)
            {
                self.on_hand[*stock] -= 1;
                self.budget -= price;
                self.chosen.push((*stock, assembly));
            }
        }
        self.chosen.len() > before
    }
}

/// Takes whole patterns one after the other as long as the budget and the work allowed last.
///
/// The pool has been covered with what is left, and is left with the patterns that it had.
pub(super) fn dive(
    state: DiveState,
    task: &Task,
    pool: &mut PatternPool,
    random: &mut Random,
    work: &mut u64,
    ask: &mut dyn FnMut() -> ControlFlow<()>,
) -> Vec<StockPattern> {
    let known = pool.len();
    let mut state = state;
    while let Some(next) = next(&state, task, pool, random, work, ask) {
        state = next;
    }
    pool.forget_after(known);
    state.chosen
}

/// Takes some patterns that the covering uses, others if what is left then costs too much, or in the end those after which it costs
/// least; none if there are none or the work allowed is used up.
fn next(
    state: &DiveState,
    task: &Task,
    pool: &mut PatternPool,
    random: &mut Random,
    work: &mut u64,
    ask: &mut dyn FnMut() -> ControlFlow<()>,
) -> Option<DiveState> {
    if state.left.iter().all(|left| *left == 0) {
        return None;
    }
    let mut used = pool.used();
    let mut best: Option<(f64, DiveState)> = None;
    // Whether the pool covers what is left after the best.
    let mut is_covered = false;
    for _ in 0..TRIES {
        let patterns = most_used(&used, random);
        let mut after = state.clone();
        if !after.take(&patterns, pool, task) {
            break;
        }
        let cost = pool.cover(&after.left, &after.on_hand, CoveringEffort::Quick { fills: FILLS }, work, ask)?;
        let excess = cost * pool.dearest() - after.budget as f64;
        is_covered = best.as_ref().is_none_or(|(least, _)| excess < *least);
        if is_covered {
            best = Some((excess, after));
        }
        if excess < TOLERANCE * pool.dearest() {
            break;
        }
        used.retain(|(at, _)| !patterns.contains(at));
    }
    let (_, state) = best?;
    if !is_covered {
        pool.cover(&state.left, &state.on_hand, CoveringEffort::Quick { fills: 0 }, work, ask)?;
    }
    Some(state)
}

/// All patterns that are used once at least, or one by chance, mostly of those used most.
fn most_used(used: &[(usize, f64)], random: &mut Random) -> Vec<usize> {
    let whole = used.iter().filter(|(_, value)| *value >= ALMOST_ONE);
    let whole: Vec<usize> =
        whole.flat_map(|(at, value)| std::iter::repeat_n(*at, (value + 1.0 - ALMOST_ONE) as usize)).collect();
    if !whole.is_empty() {
        return whole;
    }
    let chances: Vec<(usize, f64)> =
        used.iter().filter(|(_, value)| *value > NEGLIGIBLE).map(|(at, value)| (*at, value.powi(4))).collect();
    let total: f64 = chances.iter().map(|(_, chance)| chance).sum();
    let mut drawn = random.below(1 << 30) as f64 / f64::from(1 << 30) * total;
    let found = chances.iter().find(|(_, chance)| {
        drawn -= chance;
        drawn <= 0.0
    });
    found.or(chances.last()).map(|(at, _)| *at).into_iter().collect()
}

/// A pattern without the pieces of which none is left; the others are taken off.
fn without_surplus(assembly: &SlicingTree, left: &mut [u32]) -> Option<SlicingTree> {
    match assembly {
        SlicingTree::Piece(position) => {
            left[position.piece] = left[position.piece].checked_sub(1)?;
            Some(assembly.clone())
        }
        SlicingTree::Row(axis, parts) => {
            let parts = parts.iter().filter_map(|part| without_surplus(part, left));
            parts.reduce(|one, other| SlicingTree::row(*axis, one, other))
        }
    }
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;

    use super::super::task::{Piece, Rules, SizeInUnits, StockSheet};
    use super::{CoveringEffort, DiveState, PatternPool, Random, Task, dive};

    /// Random orders: what is chosen fits the sheets, costs no more than the budget, and has no piece too often.
    #[test]
    fn what_is_chosen_is_ordered_and_affordable() {
        let mut random = Random::new(3);
        let mut go_on = || ControlFlow::Continue(());
        for _ in 0..40 {
            let mut side = |least: i64, most: usize| least + random.below(most) as i64;
            let sizes: Vec<SizeInUnits> =
                (0..9).map(|_| SizeInUnits { width: side(3, 9), height: side(3, 9) }).collect();
            let pieces = sizes.into_iter().map(|size| Piece {
                size,
                quantity: 1 + random.below(3) as u32,
                turnable: random.chance(512),
                value: None,
            });
            let pieces = pieces.collect();
            let sheet = |side: i64, price, on_hand| StockSheet {
                size: SizeInUnits { width: side, height: 20 },
                on_hand,
                price,
                offcut: false,
                turnable: true,
            };
            let stock = vec![sheet(20, 5, None), sheet(32, 7, Some(2))];
            let task = Task { pieces, stock, rules: Rules { kerf: 1, ..Rules::default() } };
            let Some(mut pool) = PatternPool::new(&task) else { panic!("a small task") };
            let mut left: Vec<u32> = task.pieces.iter().map(|piece| piece.quantity).collect();
            let (all, on_hand, mut work) = (pool.by_kind(&left), pool.on_hand(), 200_000_000);
            assert!(pool.cover(&all, &on_hand, CoveringEffort::Thorough, &mut work, &mut go_on).is_some());
            let known = pool.len();
            let budget = 5 + random.below(60) as i64;
            let state = DiveState { chosen: Vec::new(), left: all, on_hand, budget };
            let chosen = dive(state, &task, &mut pool, &mut random, &mut work, &mut go_on);
            assert_eq!(pool.len(), known);
            let chosen = pool.named(chosen, &task, &mut left.clone());
            let mut taken = vec![0; task.stock.len()];
            for (stock, assembly) in &chosen {
                taken[*stock] += 1;
                let area = task.stock[*stock].size.area();
                let mut used = 0;
                assembly.pieces(&mut |position| {
                    left[position.piece] = left[position.piece].checked_sub(1).unwrap_or_else(|| panic!("too many"));
                    let piece = task.pieces[position.piece];
                    let size = if position.turned { piece.size.turned() } else { piece.size };
                    assert_eq!(size.along().map(|side| side + 1), position.size);
                    used += size.area();
                });
                assert!(used <= area);
            }
            assert!(taken[1] <= 2 && 5 * taken[0] + 7 * taken[1] <= budget);
        }
    }
}
