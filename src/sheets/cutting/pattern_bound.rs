//! A bound by patterns: prices of pieces at which given sheets, cut in whatever way, are not worth what is ordered.
//!
//! After Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", Operations Research 13 (1965), and
//! Farley, "A note on bounding a class of linear programming problems, including cutting stock problems", ibid. 38 (1990).
//! Whole numbers of sheets are asked about one after the other, each time the cheapest that no known need forbids.

#![allow(clippy::indexing_slicing, reason = "kinds and stocks are numbered by the task")]

use std::ops::ControlFlow;

use super::covering::Covering;
use super::discretisation::greatest_divisor;
use super::kinds::{PieceKind, kinds, lying, sheets, turning_of, turnings};
use super::need::{Lot, Need, SheetNumbers, cheapest};
use super::price_table::PriceTable;
use super::task::{Task, Units};

/// What the largest sheet is worth where pieces are priced by area.
const WHOLE: f64 = 16_000_000.0;
/// Steps of arithmetic that filling a table once may take; the grid is made coarser until it does not.
const MOST_STEPS: u64 = 30_000_000;
/// Longest side of a sheet in steps of the grid.
const LONGEST: Units = 50_000;
/// Steps for a last look at the needs found.
const LEAST_WORK: u64 = 1_000_000;
/// A grid of so few steps always does.
const COARSEST: Units = 64;
/// Kinds of pieces that the linear programme may have.
const MOST_KINDS: usize = 1_000;
/// Exchanges of columns between two questions to the watcher.
const MOST_PIVOTS: usize = 100;
/// A shortage below this, as a share of the largest sheet, is none.
const NEGLIGIBLE: f64 = 1e-7;

/// Whole prices of the kinds, and the need that follows.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// The price of one of each kind.
    pub(super) prices: Vec<i32>,
    /// What the order is worth, and what sheets can be worth, at these prices.
    pub(super) need: Need,
}

/// Whether numbers of sheets are enough, as far as is known.
enum CoverVerdict {
    /// They are not; the last of the needs says so.
    Short,
    /// Fractions of patterns would do.
    Enough,
    /// The work allowed was not enough to tell.
    Open,
}

/// What is found out about an order by its patterns.
#[derive(Debug)]
pub(super) struct PatternBound {
    /// For stock that allows turning, and for stock that does not if there is some.
    tables: Vec<PriceTable>,
    /// The table of each stock.
    table_of: Vec<usize>,
    covering: Covering,
    kinds: Vec<PieceKind>,
    weights: Vec<f64>,
    /// Sizes of the sheets on the grid of the table.
    sheets: Vec<[Units; 2]>,
    lots: Vec<Lot>,
    /// Prices that forbid some numbers of sheets.
    pub(super) priced: Vec<Priced>,
    work: u64,
}

impl PatternBound {
    /// Knows nothing yet; `work` is how many steps of arithmetic it may take.
    pub(super) fn new(task: &Task, work: u64) -> Self {
        let kinds = kinds(task);
        let sheets = sheets(task);
        let largest = [0, 1].map(|axis: usize| sheets.iter().map(|sheet| sheet[axis]).max().unwrap_or(0));
        let whole = (largest[0] as f64 * largest[1] as f64).max(1.0);
        let (raster, table) = CoarseGrid::new(&kinds, largest);
        let upright = turnings(task)
            .iter()
            .skip(1)
            .filter_map(|turning| raster.table(&lying(&kinds, *turning), largest, u64::MAX));
        let tables = std::iter::once(table).chain(upright).collect();
        let sheets: Vec<[Units; 2]> = sheets.into_iter().map(|sheet| raster.size(sheet)).collect();
        // What a coarse grid shrinks to nothing can have no price.
        let lost = |kind: &PieceKind| kind.ways.iter().any(|way| raster.size(*way).contains(&0));
        let weight = |kind: &PieceKind| if lost(kind) { 0.0 } else { kind.area() as f64 / whole };
        let weights: Vec<f64> = kinds.iter().map(weight).collect();
        Self {
            tables,
            table_of: task.stock.iter().map(turning_of).collect(),
            covering: Covering::new(weights.clone(), vec![0.0; sheets.len()]),
            kinds,
            weights,
            sheets,
            lots: Lot::all(task),
            priced: Vec::new(),
            work,
        }
    }

    /// Takes in a pattern: how many pieces of each place in the task a sheet of a stock yields.
    pub(super) fn learn(&mut self, pieces: &[u32], stock: usize) {
        let count = |kind: &PieceKind| kind.pieces.iter().filter_map(|piece| pieces.get(*piece)).sum();
        let counts: Vec<u32> = self.kinds.iter().map(count).collect();
        self.covering.learn(&counts, stock);
    }

    /// The least that sheets must cost, given that they cost no less than `bound`; no more than `enough` is proven.
    ///
    /// `ask` is asked after every step whether to go on.
    pub(super) fn raise(&mut self, bound: i64, enough: i64, ask: &mut dyn FnMut() -> ControlFlow<()>) -> i64 {
        let mut bound = bound;
        let lots = self.lots.clone();
        // A stock alone is asked about at the bound itself, others at the cheapest numbers that no need forbids.
        let mut next = match lots.as_slice() {
            [lot] if lot.price > 0 => {
                let number = (i128::from(bound) + lot.price - 1) / lot.price;
                Some(SheetNumbers {
                    numbers: vec![u32::try_from(number).unwrap_or(u32::MAX)],
                    price: number * lot.price,
                })
            }
            _ => cheapest(&lots, &[], &mut self.work),
        };
        while let Some(numbers) = next {
            bound = bound.max(i64::try_from(numbers.price).unwrap_or(bound));
            if bound >= enough || !matches!(self.verdict(&numbers.numbers, ask), CoverVerdict::Short) {
                break;
            }
            let needs: Vec<Need> = self.priced.iter().map(|priced| priced.need.clone()).collect();
            next = cheapest(&lots, &needs, &mut self.work);
        }
        bound.min(enough)
    }

    /// The fewest sheets that meet all needs found.
    pub(super) fn fewest(&mut self) -> u32 {
        let lots: Vec<Lot> = self.lots.iter().map(|lot| Lot { price: 1, ..*lot }).collect();
        let needs: Vec<Need> = self.priced.iter().map(|priced| priced.need.clone()).collect();
        cheapest(&lots, &needs, &mut self.work.max(LEAST_WORK))
            .and_then(|found| u32::try_from(found.price).ok())
            .unwrap_or(0)
    }

    fn verdict(&mut self, numbers: &[u32], ask: &mut dyn FnMut() -> ControlFlow<()>) -> CoverVerdict {
        if self.kinds.len() > MOST_KINDS {
            return CoverVerdict::Open;
        }
        let demands: Vec<f64> = self.kinds.iter().map(|kind| f64::from(kind.quantity)).collect();
        let sheets: Vec<f64> = numbers.iter().map(|number| f64::from(*number)).collect();
        self.covering.start(&demands, &sheets);
        loop {
            let pivots = self.covering.improve(MOST_PIVOTS);
            if self.covering.cost() < NEGLIGIBLE {
                return CoverVerdict::Enough;
            }
            let all_known = pivots < MOST_PIVOTS;
            let fill = if all_known { self.tables.iter().map(PriceTable::steps).sum() } else { 0 };
            let steps = fill + (pivots as u64 + 1) * self.covering.steps();
            let Some(left) = self.work.checked_sub(steps) else { return CoverVerdict::Open };
            self.work = left;
            if ask().is_break() {
                return CoverVerdict::Open;
            }
            if !all_known {
                continue;
            }
            let prices = self.whole_prices();
            self.tables.iter_mut().for_each(|table| table.fill(&prices));
            let need = self.need(&prices);
            if !need.is_met(numbers) {
                self.priced.push(Priced { prices, need });
                return CoverVerdict::Short;
            }
            if !self.learn_best(&prices, numbers) {
                return CoverVerdict::Enough;
            }
        }
    }

    /// The prices in whole numbers: whatever they are, what follows from them is true.
    fn whole_prices(&self) -> Vec<i32> {
        let prices = self.covering.prices().iter().zip(&self.weights);
        prices.map(|(price, weight)| (price.clamp(0.0, *weight) * WHOLE) as i32).collect()
    }

    fn need(&self, prices: &[i32]) -> Need {
        let worth = |(price, kind): (&i32, &PieceKind)| i128::from(*price) * i128::from(kind.quantity);
        Need {
            capacities: self
                .sheets
                .iter()
                .zip(&self.table_of)
                .map(|(sheet, of)| self.tables[*of].worth(*sheet).into())
                .collect(),
            volume: prices.iter().zip(&self.kinds).map(worth).sum(),
        }
    }

    /// Takes in the best pattern of each sheet that is worth more than the sheet; no if there is none.
    fn learn_best(&mut self, prices: &[i32], numbers: &[u32]) -> bool {
        let mut learnt = false;
        for (stock, sheet) in self.sheets.iter().enumerate() {
            let table = &self.tables[self.table_of[stock]];
            let worth = f64::from(table.worth(*sheet));
            if numbers[stock] > 0 && worth > self.covering.sheet_price(stock) * WHOLE + 1.0 {
                let mut counts = vec![0; self.kinds.len()];
                table.count(*sheet, prices, &mut counts);
                self.covering.learn(&counts, stock);
                learnt = true;
            }
        }
        learnt
    }
}

/// A grid as coarse as is needed for tables of a size that can be filled often: so many steps to a length.
#[derive(Clone, Copy, Debug)]
struct CoarseGrid {
    steps: Units,
    longest: Units,
}

impl CoarseGrid {
    /// The finest that will do, and the table on it.
    fn new(kinds: &[PieceKind], largest: [Units; 2]) -> (Self, PriceTable) {
        let sides = kinds.iter().flat_map(|kind| kind.ways.iter().flatten());
        // All that lies side by side is a multiple of what divides every side.
        let unit = sides.fold(0, |unit, side| greatest_divisor(unit, *side)).max(1);
        let longest = largest[0].max(largest[1]).max(1);
        let mut raster =
            if longest / unit <= LONGEST { Self { steps: 1, longest: unit } } else { Self { steps: LONGEST, longest } };
        loop {
            let coarsest = raster.steps <= COARSEST && raster.longest == longest;
            let most_steps = if coarsest { u64::MAX } else { MOST_STEPS };
            if let Some(table) = raster.table(kinds, largest, most_steps) {
                return (raster, table);
            }
            let steps = raster.size([longest; 2])[0] * 3 / 4;
            raster = Self { steps: steps.max(1), longest };
        }
    }

    /// The table of what rectangles up to a size yield; none where filling it would take more than so many steps of arithmetic.
    fn table(self, kinds: &[PieceKind], largest: [Units; 2], most_steps: u64) -> Option<PriceTable> {
        let ways = kinds.iter().enumerate().flat_map(|(at, kind)| kind.ways.iter().map(move |way| (at, *way)));
        let ways: Vec<(usize, [Units; 2])> = ways.map(|(at, way)| (at, self.size(way))).collect();
        PriceTable::new(self.size(largest), &ways, most_steps)
    }

    /// A size in steps: lengths are rounded down, so that more fits than does, never less.
    fn size(self, size: [Units; 2]) -> [Units; 2] {
        size.map(|side| (i128::from(side) * i128::from(self.steps) / i128::from(self.longest)) as Units)
    }
}

#[cfg(test)]
mod tests {
    use super::PatternBound;
    use crate::sheets::cutting::{Piece, Rules, SizeInUnits, StockSheet, Task};
    use std::ops::ControlFlow;

    fn bound_within(work: u64, pieces: &[(i64, i64, u32, bool)], sheets: &[(i64, i64, i64)], scale: i64) -> i64 {
        let size = |width: i64, height: i64| SizeInUnits { width: width * scale, height: height * scale };
        let pieces = pieces.iter().map(|&(width, height, quantity, turnable)| Piece {
            size: size(width, height),
            quantity,
            turnable,
            value: None,
        });
        let stock = sheets.iter().map(|&(width, height, price)| StockSheet {
            size: size(width, height),
            on_hand: None,
            price,
            offcut: false,
            turnable: true,
        });
        let task = Task { pieces: pieces.collect(), stock: stock.collect(), rules: Rules::default() };
        PatternBound::new(&task, work).raise(0, i64::MAX, &mut || ControlFlow::Continue(()))
    }

    fn bound(pieces: &[(i64, i64, u32, bool)], sheets: &[(i64, i64, i64)], scale: i64) -> i64 {
        bound_within(u64::MAX, pieces, sheets, scale)
    }

    #[test]
    fn a_sheet_with_room_for_two_by_area_yields_one() {
        assert_eq!(bound(&[(6, 6, 5, true)], &[(10, 10, 1)], 1), 5);
        assert_eq!(bound(&[(6, 4, 4, false), (4, 6, 4, false)], &[(10, 10, 1)], 1), 3);
    }

    #[test]
    fn the_cheapest_mix_is_proven() {
        // Two of three take a large sheet, or two small ones.
        assert_eq!(bound(&[(6, 6, 3, true)], &[(10, 10, 10), (12, 10, 15)], 1), 25);
    }

    #[test]
    fn a_fine_grid_costs_no_more_than_a_coarse_one() {
        // 16 × 20 in and smaller from sheets of 31 1/2 × 39 1/2 in, in sixteenths and on a grid 1000 times as fine.
        let pieces = [(256, 320, 12, true), (176, 224, 6, true), (128, 160, 8, true)];
        let sheets = [(504, 632, 12), (632, 952, 25)];
        assert_eq!(bound(&pieces, &sheets, 1), 72);
        assert_eq!(bound(&pieces, &sheets, 1_000_000), 72);
    }

    /// Sides without a common divisor, on sheets of a billion units: the grid must be made coarser, and the bound stays true.
    #[test]
    fn a_coarse_grid_lets_more_fit() {
        let odd = |side: i64| side * 999_983 + side % 7;
        let pieces: Vec<_> = (0..9).map(|at| (odd(90 + at * 31), odd(400 - at * 23), 4, true)).collect();
        let sheets = [(odd(1_000), odd(900), 1)];
        let area: i128 = pieces.iter().map(|(width, height, ..)| 4 * i128::from(*width) * i128::from(*height)).sum();
        let least = area.div_euclid(i128::from(sheets[0].0) * i128::from(sheets[0].1)) as i64;
        let found = bound_within(150_000_000, &pieces, &sheets, 1);
        assert!((least..=2 * least + 2).contains(&found), "{found}, by area {least}");
    }
}
