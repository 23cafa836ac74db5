//! Patterns that are worth using, none with more of a piece than ordered, and how fractions of them would cover an order at least cost.
//!
//! After Gilmore and Gomory, "A linear programming approach to the cutting-stock problem", Operations Research 9 (1961); prices are
//! held back after Wentges, "Weighted Dantzig-Wolfe decomposition for linear mixed-integer programming", International
//! Transactions in Operational Research 4 (1997). As the table of choices does not always find the best pattern, what the covering
//! costs is a good guess of the least cost, and no bound.

#![allow(clippy::indexing_slicing, reason = "kinds, stocks and patterns are numbered by the task and the pool")]

use std::ops::ControlFlow;

use super::choice_table::ChoiceTable;
use super::covering::Covering;
use super::kinds::{PieceKind, kinds, lying, sheets, turning_of, turnings};
use super::plan::{CutDirection, CutSheet, PlanNode, PlanPart};
use super::random::Random;
use super::slicing_tree::SlicingTree;
use super::table::Position;
use super::task::{Task, Units};

/// Steps of arithmetic that filling the table once may take.
const MOST_STEPS: u64 = 200_000_000;
/// Kinds of pieces that the linear programme may have.
const MOST_KINDS: usize = 400;
/// Exchanges of columns between two looks at the work left.
const MOST_EXCHANGES: usize = 100;
/// The largest price in whole numbers.
const DEAREST: f64 = 16_000_000.0;
/// A pattern must save this share of the dearest sheet.
const LEAST_GAIN: f64 = 1e-5;
/// By how much prices are held back to the last ones that led to a pattern, and stirred: from quick to thorough.
const MANNERS: [(f64, f64); 8] =
    [(0.8, 1e-4), (0.3, 1e-4), (0.0, 1e-4), (0.0, 0.2), (0.3, 0.5), (0.9, 0.05), (0.6, 0.2), (0.95, 1.0)];
/// Of these so many are tried where time is short.
const QUICK_MANNERS: usize = 3;

/// A pattern: a stock and how a sheet of it is cut, into pieces numbered by their kind.
pub(super) type StockPattern = (usize, SlicingTree);

/// How much a covering may be improved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CoveringEffort {
    /// Until nothing helps.
    Thorough,
    /// With a few new patterns.
    Quick {
        /// Times that the table may be filled.
        fills: u32,
    },
}

/// Patterns, and the covering of what is still to be cut.
#[derive(Debug)]
pub(super) struct PatternPool {
    kinds: Vec<PieceKind>,
    /// For each place in the task its kind; none for what is not ordered.
    kind_of: Vec<Option<usize>>,
    /// How many sheets of each stock there are, no more than pieces.
    on_hand: Vec<u32>,
    kerf: Units,
    dearest: f64,
    /// Sizes of the sheets, kerfs added.
    sheets: Vec<[Units; 2]>,
    /// Prices of the sheets as shares of the dearest.
    costs: Vec<f64>,
    patterns: Vec<StockPattern>,
    covering: Covering,
    /// For stock that allows turning, and for stock that does not if there is some.
    tables: Vec<ChoiceTable>,
    /// The table of each stock.
    table_of: Vec<usize>,
    /// The last prices that led to a pattern.
    held: Vec<f64>,
    /// Whole numbers a price.
    scale: f64,
    /// Stirs prices.
    random: Random,
}

impl PatternPool {
    /// No patterns; none where they cannot be had: rules limit cuts, nothing has a price, or tables would be too large.
    pub(super) fn new(task: &Task) -> Option<Self> {
        let dearest = task.stock.iter().map(|stock| stock.price).max().filter(|price| *price > 0)? as f64;
        let kinds = kinds(task);
        let sheets = sheets(task);
        if task.rules.longest_cut.is_some() || task.rules.stages.is_some() || kinds.len() > MOST_KINDS {
            return None;
        }
        let mut kind_of = vec![None; task.pieces.len()];
        for (at, kind) in kinds.iter().enumerate() {
            kind.pieces.iter().for_each(|piece| kind_of[*piece] = Some(at));
        }
        let largest = [0, 1].map(|axis: usize| sheets.iter().map(|sheet| sheet[axis]).max().unwrap_or(0));
        let fits = |way: &[Units; 2]| way[0] <= largest[0] && way[1] <= largest[1];
        let table = |turning: &bool| {
            let kinds = lying(&kinds, *turning);
            let ways =
                kinds.iter().enumerate().flat_map(|(piece, kind)| kind.ways.iter().map(move |way| (piece, *way)));
            let positions = ways
                .filter(|(_, way)| fits(way))
                .map(|(piece, size)| Position { piece, turned: false, size, value: 0 })
                .collect();
            ChoiceTable::new(largest, positions, MOST_STEPS)
        };
        let tables = turnings(task).iter().map(table).collect::<Option<Vec<ChoiceTable>>>()?;
        let costs: Vec<f64> = task.stock.iter().map(|stock| stock.price as f64 / dearest).collect();
        let whole = largest[0] as f64 * largest[1] as f64;
        let held: Vec<f64> = kinds.iter().map(|kind| kind.area() as f64 / whole).collect();
        // All pieces of a sheet together must not exceed the whole numbers.
        let most = held.iter().map(|share| 1.0 / share).fold(1.0, f64::max);
        let pieces = kinds.iter().fold(0, |sum: u32, kind| sum.saturating_add(kind.quantity));
        Some(Self {
            on_hand: task.stock.iter().map(|stock| stock.on_hand.unwrap_or(pieces).min(pieces)).collect(),
            dearest,
            scale: DEAREST.min(f64::from(i32::MAX) / 2.0 / most),
            covering: Covering::new(vec![1.0; kinds.len()], costs.clone()),
            kinds,
            kind_of,
            kerf: task.rules.kerf,
            sheets,
            costs,
            patterns: Vec::new(),
            tables,
            table_of: task.stock.iter().map(turning_of).collect(),
            held,
            random: Random::new(1),
        })
    }

    /// How many there are of each kind, given how many of each place in the task.
    pub(super) fn by_kind(&self, pieces: &[u32]) -> Vec<u32> {
        self.kinds.iter().map(|kind| kind.pieces.iter().map(|piece| pieces[*piece]).sum()).collect()
    }

    /// Patterns with their pieces numbered by their places in the task, none of them more often than there are.
    pub(super) fn named(&self, patterns: Vec<StockPattern>, task: &Task, pieces: &mut [u32]) -> Vec<StockPattern> {
        let mut name = |position: &mut Position| {
            if let Some(named) = self.kinds[position.piece].take(task, pieces, position.size) {
                *position = named;
            }
        };
        let mut patterns = patterns;
        patterns.iter_mut().for_each(|(_, assembly)| assembly.pieces_mut(&mut name));
        patterns
    }

    /// How many sheets of each stock there are, no more than pieces.
    pub(super) fn on_hand(&self) -> Vec<u32> {
        self.on_hand.clone()
    }

    /// The price of the dearest sheet.
    pub(super) fn dearest(&self) -> f64 {
        self.dearest
    }

    /// How many patterns there are.
    pub(super) fn len(&self) -> usize {
        self.patterns.len()
    }

    /// A pattern by its number.
    pub(super) fn pattern(&self, at: usize) -> &StockPattern {
        &self.patterns[at]
    }

    /// Takes in what the sheets of a plan yield.
    pub(super) fn learn(&mut self, sheets: &[CutSheet]) {
        for sheet in sheets {
            if let Some(assembly) = self.assembly(&sheet.root) {
                self.add(sheet.stock, assembly);
            }
        }
    }

    /// Forgets all but the first patterns.
    pub(super) fn forget_after(&mut self, patterns: usize) {
        self.patterns.truncate(patterns);
        self.covering.forget_after(patterns);
    }

    /// Covers what is left of each kind with so many sheets of each stock, and gives what that costs, as a share of the dearest
    /// sheet; none where the work allowed is used up. `ask` is asked now and then whether to go on.
    pub(super) fn cover(
        &mut self,
        left: &[u32],
        on_hand: &[u32],
        care: CoveringEffort,
        work: &mut u64,
        ask: &mut dyn FnMut() -> ControlFlow<()>,
    ) -> Option<f64> {
        let numbers = |counts: &[u32]| -> Vec<f64> { counts.iter().map(|count| f64::from(*count)).collect() };
        self.covering.start(&numbers(left), &numbers(on_hand));
        self.tables.iter_mut().for_each(|table| table.limit(left));
        let mut fills = 0;
        loop {
            loop {
                *work = work.checked_sub(MOST_EXCHANGES as u64 / 4 * self.covering.steps())?;
                if ask().is_break() {
                    return None;
                }
                if self.covering.improve(MOST_EXCHANGES) < MOST_EXCHANGES {
                    break;
                }
            }
            let manners = match care {
                CoveringEffort::Quick { fills: most } if fills >= most => break,
                CoveringEffort::Quick { .. } => &MANNERS[..QUICK_MANNERS],
                CoveringEffort::Thorough => &MANNERS[..],
            };
            let mut found = false;
            for manner in manners {
                if *work == 0 {
                    return None;
                }
                fills += 1;
                found = self.find(left, *manner, work);
                if found {
                    break;
                }
            }
            if !found {
                break;
            }
        }
        Some(self.covering.cost())
    }

    /// The patterns that the covering uses, by their numbers, and how often.
    pub(super) fn used(&self) -> Vec<(usize, f64)> {
        self.covering.used()
    }

    /// Looks for patterns that improve the covering, and takes them in; no if there are none.
    fn find(&mut self, left: &[u32], (back, stir): (f64, f64), work: &mut u64) -> bool {
        let mut prices = vec![0.0; left.len()];
        for (at, price) in prices.iter_mut().enumerate().filter(|(at, _)| left[*at] > 0) {
            *price = self.covering.prices()[at].max(0.0) * (1.0 - back) + self.held[at] * back;
        }
        let whole = prices.iter().map(|price| {
            let share = self.random.below(1 << 24) as f64 / f64::from(1 << 24);
            (price * self.scale * (1.0 + share * stir)) as i32
        });
        let whole: Vec<i32> = whole.collect();
        let steps: u64 = self.tables.iter_mut().map(|table| table.fill(&whole)).sum();
        *work = work.saturating_sub(steps);
        let mut found = false;
        for stock in 0..self.sheets.len() {
            let least = self.costs[stock] + self.covering.sheet_price(stock) + LEAST_GAIN;
            for assembly in self.tables[self.table_of[stock]].best(self.sheets[stock]) {
                let mut worth = 0.0;
                assembly.pieces(&mut |position| worth += self.covering.prices()[position.piece]);
                if worth > least {
                    self.add(stock, assembly);
                    found = true;
                }
            }
        }
        if found {
            let used = self.held.iter_mut().zip(&prices).zip(left).filter(|(_, left)| **left > 0);
            used.for_each(|((held, price), _)| *held = *price);
        }
        found
    }

    fn add(&mut self, stock: usize, assembly: SlicingTree) {
        let mut counts = vec![0; self.kinds.len()];
        assembly.pieces(&mut |position| counts[position.piece] += 1);
        self.covering.learn(&counts, stock);
        self.patterns.push((stock, assembly));
    }

    /// What a rectangle of a plan yields.
    fn assembly(&self, node: &PlanNode) -> Option<SlicingTree> {
        match &node.part {
            PlanPart::Piece { piece, .. } => {
                let size = node.size.along().map(|side| side + self.kerf);
                let kind = self.kind_of.get(*piece).copied().flatten()?;
                Some(SlicingTree::Piece(Position { piece: kind, turned: false, size, value: 0 }))
            }
            PlanPart::Cut { direction, parts } => {
                let axis = usize::from(*direction == CutDirection::Down);
                let parts = parts.iter().filter_map(|part| self.assembly(part));
                parts.reduce(|one, other| SlicingTree::row(axis, one, other))
            }
            PlanPart::Offcut | PlanPart::Waste => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;

    use super::super::task::{Piece, Rules, SizeInUnits, StockSheet, Task};
    use super::{CoveringEffort, PatternPool};

    fn task(pieces: &[(i64, i64, u32)], stock: &[(i64, i64, i64, Option<u32>)]) -> Task {
        let piece = |&(width, height, quantity)| Piece {
            size: SizeInUnits { width, height },
            quantity,
            turnable: false,
            value: None,
        };
        let sheet = |&(width, height, price, on_hand)| StockSheet {
            size: SizeInUnits { width, height },
            on_hand,
            price,
            offcut: price == 0,
            turnable: true,
        };
        let (pieces, stock) = (pieces.iter().map(piece).collect(), stock.iter().map(sheet).collect());
        Task { pieces, stock, rules: Rules::default() }
    }

    fn cost(task: &Task) -> Option<f64> {
        let mut pool = PatternPool::new(task)?;
        let mut go_on = || ControlFlow::Continue(());
        let ordered: Vec<u32> = task.pieces.iter().map(|piece| piece.quantity).collect();
        let (left, on_hand) = (pool.by_kind(&ordered), pool.on_hand());
        let cost = pool.cover(&left, &on_hand, CoveringEffort::Thorough, &mut { u64::MAX }, &mut go_on)?;
        Some(cost * pool.dearest())
    }

    #[test]
    fn fractions_cover_an_order() {
        for (pieces, stock, expected) in [
            // One of five large pieces a sheet; three halves take one and a half.
            (&[(6, 6, 5)][..], &[(10, 10, 1, None)][..], 5.0),
            (&[(5, 10, 3)], &[(10, 10, 1, None)], 1.5),
            // No pattern has a piece more often than it is wanted, though all together do not fill a sheet.
            (&[(4, 12, 1), (3, 12, 2)], &[(12, 12, 1, None)], 1.0),
            // The second sheet is cheaper for its area, but there is one; the offcut costs nothing.
            (&[(5, 5, 12)], &[(10, 10, 10, None), (20, 10, 12, Some(1))], 22.0),
            (&[(5, 5, 12)], &[(10, 10, 10, None), (10, 5, 0, Some(2))], 20.0),
        ] {
            let found = cost(&task(pieces, stock));
            assert!(
                found.is_some_and(|found| (found - expected).abs() < 1e-3),
                "{found:?}, not {expected}: {pieces:?}"
            );
        }
    }

    #[test]
    fn no_pool_where_rules_limit_cuts_or_nothing_costs() {
        let free = task(&[(5, 5, 2)], &[(10, 10, 1, None)]);
        assert!(PatternPool::new(&free).is_some());
        let staged = Task { rules: Rules { stages: Some(2), ..Rules::default() }, ..free.clone() };
        let short = Task { rules: Rules { longest_cut: Some(8), ..Rules::default() }, ..free };
        let paid = task(&[(5, 5, 2)], &[(10, 10, 0, None)]);
        let fine = task(&[(500_001, 500_003, 2)], &[(1_000_000, 1_000_000, 1, None)]);
        for task in [staged, short, paid, fine] {
            assert!(PatternPool::new(&task).is_none(), "{task:?}");
        }
    }
}
