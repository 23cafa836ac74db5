//! The cheapest sheets for an order of few kinds, found or proven by trying all that can be cut from them.
//!
//! For every choice of pieces that is still to be cut, some sheet has one of the largest kind in it: all that such a sheet can yield
//! are tried, within a budget that rises from a lower bound until it is enough. After Held and Karp, "A dynamic programming
//! approach to sequencing problems", SIAM Journal 10 (1962), in that what is known of a choice is kept.

#![allow(clippy::indexing_slicing, reason = "kinds, stocks and choices are numbered by the task")]

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use super::kinds::{PieceKind, kinds, lying, sheets, turning_of, turnings};
use super::need::{Lot, least_in_parts};
use super::pattern_bound::Priced;
use super::price_bound::whole_sheets;
use super::slicing_tree::SlicingTree;
use super::task::{Task, Units};
use super::yields::{Numbering, Yields};

/// Choices remembered at most.
const MOST_REMEMBERED: usize = 3_000_000;

/// What a search of all ways has found.
#[derive(Debug)]
pub(super) struct ExactSolution {
    /// No plan costs less.
    pub(super) bound: i64,
    /// The sheets of a cheapest plan, by their stock; none where it only proves a bound.
    pub(super) sheets: Option<Vec<(usize, SlicingTree)>>,
}

/// Searches for a plan that costs less than `enough`, knowing that none costs less than `bound`; none where the order has too many
/// kinds for so many steps.
pub(super) fn exact(
    task: &Task,
    priced: &[Priced],
    bound: i64,
    enough: i64,
    work: u64,
    ask: &mut dyn FnMut() -> ControlFlow<()>,
) -> Option<ExactSolution> {
    let mut work = work;
    let kinds = kinds(task);
    let sizes = sheets(task);
    let mut yields = Vec::new();
    for (at, turning) in turnings(task).iter().enumerate() {
        let own = task.stock.iter().zip(&sizes).filter(|(stock, _)| turning_of(stock) == at).map(|(_, size)| *size);
        yields.push(Yields::new(&lying(&kinds, *turning), &own.collect::<Vec<_>>(), &mut work, ask)?);
    }
    let mut search = ExactSearch::new(task, &yields, &sizes, priced, enough, work);
    let prices: Vec<i64> = task.stock.iter().map(|stock| stock.price).collect();
    let all = search.numbering.count - 1;
    let mut bound = whole_sheets(bound, &prices);
    while bound < enough {
        let left = search.left_at_first.clone();
        match search.cover(all, &left, bound, ask) {
            None => return Some(ExactSolution { bound, sheets: None }),
            Some(true) => {
                let sheets = assemblies(task, &kinds, &sizes, &yields, &search.path);
                return Some(ExactSolution { bound, sheets });
            }
            Some(false) => bound = whole_sheets(bound + 1, &prices).max(bound + 1),
        }
    }
    Some(ExactSolution { bound: enough, sheets: None })
}

/// A choice that a sheet yields.
struct Yield {
    stock: usize,
    digits: Vec<u32>,
}

struct ExactSearch<'a> {
    numbering: &'a Numbering,
    prices: Vec<i64>,
    lots: Vec<Lot>,
    priced: &'a [Priced],
    /// What sheets yield, by the largest kind in it.
    by_largest: Vec<Vec<Yield>>,
    /// How many of each stock there are.
    left_at_first: Vec<u32>,
    /// Budgets known not to be enough for what is still to be cut from the stock that is left.
    in_vain: BTreeMap<(usize, Vec<u32>), i64>,
    /// Stocks and choices of the plan under way.
    path: Vec<(usize, usize)>,
    work: u64,
}

impl<'a> ExactSearch<'a> {
    fn new(
        task: &Task,
        yields: &'a [Yields],
        sizes: &[[Units; 2]],
        priced: &'a [Priced],
        enough: i64,
        work: u64,
    ) -> Self {
        let numbering = &yields[0].numbering;
        let mut by_largest: Vec<Vec<Yield>> = numbering.steps.iter().map(|_| Vec::new()).collect();
        for (stock, size) in sizes.iter().enumerate() {
            for choice in yields[turning_of(&task.stock[stock])].largest(*size) {
                let digits = numbering.digits(choice);
                for (kind, list) in by_largest.iter_mut().enumerate() {
                    if digits[kind] > 0 {
                        list.push(Yield { stock, digits: digits.clone() });
                    }
                }
            }
        }
        // So many of a stock that the budget cannot pay for more are as good as any number.
        let on_hand = |stock: &super::task::StockSheet| match stock.on_hand {
            Some(on_hand) if stock.price == 0 || i64::from(on_hand).saturating_mul(stock.price) < enough => on_hand,
            _ => u32::MAX,
        };
        Self {
            numbering,
            prices: task.stock.iter().map(|stock| stock.price).collect(),
            lots: Lot::all(task),
            priced,
            by_largest,
            left_at_first: task.stock.iter().map(on_hand).collect(),
            in_vain: BTreeMap::new(),
            path: Vec::new(),
            work,
        }
    }

    /// Whether sheets within a budget yield a choice; none if it takes too much work to tell.
    fn cover(
        &mut self,
        choice: usize,
        left: &[u32],
        budget: i64,
        ask: &mut dyn FnMut() -> ControlFlow<()>,
    ) -> Option<bool> {
        if choice == 0 {
            return Some(true);
        }
        let digits = self.numbering.digits(choice);
        if budget < 0 || i128::from(budget) < self.least(&digits, left) {
            return Some(false);
        }
        let key = (choice, left.to_vec());
        if self.in_vain.get(&key).is_some_and(|known| *known >= budget) {
            return Some(false);
        }
        for (stock, rest) in self.rests(choice, &digits, left, budget)? {
            let mut after = left.to_vec();
            if after[stock] != u32::MAX {
                after[stock] -= 1;
            }
            self.path.push((stock, choice - rest));
            if self.cover(rest, &after, budget - self.prices[stock], ask)? {
                return Some(true);
            }
            self.path.pop();
        }
        if self.in_vain.len() >= MOST_REMEMBERED || ask().is_break() {
            return None;
        }
        self.in_vain.insert(key, budget);
        Some(false)
    }

    /// What can be left of a choice after one more sheet that yields its largest piece, the least first.
    fn rests(&mut self, choice: usize, digits: &[u32], left: &[u32], budget: i64) -> Option<Vec<(usize, usize)>> {
        let largest = digits.iter().position(|digit| *digit > 0)?;
        let list = &self.by_largest[largest];
        self.work = self.work.checked_sub((2 * list.len() * digits.len()) as u64)?;
        let affordable = list.iter().filter(|of| self.prices[of.stock] <= budget && left[of.stock] > 0);
        let steps = &self.numbering.steps;
        let mut rests: Vec<(usize, usize)> = affordable
            .map(|of| {
                let parts = of.digits.iter().zip(digits).zip(steps);
                let taken: usize = parts.map(|((of, had), step)| *of.min(had) as usize * step).sum();
                (of.stock, choice - taken)
            })
            .collect();
        rests.sort_unstable();
        rests.dedup();
        Some(rests)
    }

    /// The least that a choice must cost.
    fn least(&self, digits: &[u32], left: &[u32]) -> i128 {
        let on_hand = |at: usize| (left[at] != u32::MAX).then_some(left[at]);
        let lots: Vec<Lot> =
            self.lots.iter().enumerate().map(|(at, lot)| Lot { on_hand: on_hand(at), ..*lot }).collect();
        let needs = self.priced.iter().map(|priced| {
            let worth = digits.iter().zip(&priced.prices).map(|(digit, price)| i128::from(*digit) * i128::from(*price));
            least_in_parts(&lots, &priced.need.capacities, worth.sum())
        });
        needs.max().unwrap_or(0)
    }
}

/// How the sheets of a plan are cut.
fn assemblies(
    task: &Task,
    kinds: &[PieceKind],
    sizes: &[[Units; 2]],
    yields: &[Yields],
    path: &[(usize, usize)],
) -> Option<Vec<(usize, SlicingTree)>> {
    let mut left: Vec<u32> = task.pieces.iter().map(|piece| piece.quantity).collect();
    let mut next = |kind: usize, size: [Units; 2]| kinds[kind].take(task, &mut left, size);
    let sheets = path.iter().map(|(stock, choice)| {
        let yields = &yields[turning_of(&task.stock[*stock])];
        yields.assembly(sizes[*stock], *choice, &mut next).map(|assembly| (*stock, assembly))
    });
    sheets.collect()
}
