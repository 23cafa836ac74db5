//! How to cover an order with fractions of patterns at the least cost of sheets and of missing pieces: a linear programme, and the
//! prices of pieces that prove it.
//!
//! The revised simplex method with an explicit inverse, after Dantzig and Orchard-Hays, "The product form for the inverse in the
//! simplex method", Mathematical Tables and Other Aids to Computation 8 (1954). Its numbers only guide; what is proven is
//! counted again in whole numbers.

#![allow(clippy::indexing_slicing, reason = "rows and columns are numbered by the programme itself")]

use std::ops::Range;

/// What is less than this is taken for nothing.
const NEGLIGIBLE: f64 = 1e-9;

/// Exchanges after which prices are worked out anew, so that errors do not add up.
const REPRICE_EVERY: u64 = 40;

/// A variable of the programme.
enum Column<'a> {
    /// A piece that is missing.
    Missing(usize),
    /// A sheet of a stock that is not used.
    Unused(usize),
    /// A piece too many.
    Surplus(usize),
    /// A pattern: pieces and their numbers, on a sheet of a stock.
    Pattern(&'a [(usize, f64)], usize),
}

/// Pieces demanded, sheets allowed, patterns known, and the fractions of patterns that cost least.
#[derive(Debug)]
pub(super) struct Covering {
    /// What a missing piece of each kind costs.
    missing: Vec<f64>,
    /// What a sheet of each stock costs.
    sheets: Vec<f64>,
    /// The pieces of all patterns, one pattern after the other.
    pieces: Vec<(usize, f64)>,
    /// Where the pieces of each pattern are, and the stock.
    patterns: Vec<(Range<usize>, usize)>,
    /// The patterns that may be used.
    offered: Vec<usize>,
    /// The column of each row.
    basis: Vec<usize>,
    in_basis: Vec<bool>,
    /// Row by row.
    inverse: Vec<f64>,
    values: Vec<f64>,
    prices: Vec<f64>,
    pivots: u64,
}

impl Covering {
    /// No pattern known: what a missing piece of each kind costs, and a sheet of each stock.
    pub(super) fn new(missing: Vec<f64>, sheets: Vec<f64>) -> Self {
        let rows = missing.len() + sheets.len();
        Self {
            in_basis: vec![false; rows + missing.len()],
            missing,
            sheets,
            pieces: Vec::new(),
            patterns: Vec::new(),
            offered: Vec::new(),
            basis: (0..rows).collect(),
            inverse: Vec::new(),
            values: Vec::new(),
            prices: Vec::new(),
            pivots: 0,
        }
    }

    /// Makes a pattern known, and offers it.
    pub(super) fn learn(&mut self, counts: &[u32], stock: usize) {
        let start = self.pieces.len();
        let pieces = counts.iter().enumerate().filter(|(_, count)| **count > 0);
        self.pieces.extend(pieces.map(|(at, count)| (at, f64::from(*count))));
        self.offered.push(self.patterns.len());
        self.patterns.push((start..self.pieces.len(), stock));
        self.in_basis.push(false);
    }

    /// Forgets all but the first patterns; [`Self::start`] must follow.
    pub(super) fn forget_after(&mut self, patterns: usize) {
        self.patterns.truncate(patterns);
        self.pieces.truncate(self.patterns.last().map_or(0, |(range, _)| range.end));
        self.in_basis.truncate(self.first_pattern() + self.patterns.len());
    }

    /// Starts anew with demands for pieces and numbers of sheets, and all patterns without a piece that is no longer demanded.
    pub(super) fn start(&mut self, demands: &[f64], sheets: &[f64]) {
        let demanded = |(range, _): &(Range<usize>, usize)| {
            self.pieces[range.clone()].iter().all(|(piece, _)| demands[*piece] > 0.0)
        };
        self.offered = (0..self.patterns.len()).filter(|at| demanded(&self.patterns[*at])).collect();
        let rows = self.missing.len() + sheets.len();
        self.basis = (0..rows).collect();
        self.in_basis.iter_mut().enumerate().for_each(|(at, is)| *is = at < rows);
        self.inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            self.inverse[row * rows + row] = 1.0;
        }
        self.values = demands.iter().chain(sheets).copied().collect();
        self.reprice();
    }

    /// About how many steps of arithmetic an exchange takes.
    pub(super) fn steps(&self) -> u64 {
        let (rows, columns) = (self.basis.len() as u64, (self.basis.len() + self.offered.len()) as u64);
        2 * rows * rows + 8 * columns
    }

    /// Pivots until no column that is offered helps, or so many times; gives how often.
    pub(super) fn improve(&mut self, most: usize) -> usize {
        for done in 0..most {
            let Some(column) = self.best_column() else { return done };
            if !self.enter(column) {
                return done;
            }
        }
        most
    }

    /// What the covering costs.
    pub(super) fn cost(&self) -> f64 {
        let rows = self.basis.iter().zip(&self.values);
        rows.map(|(column, value)| self.cost_of(*column) * value).sum()
    }

    /// What one more of each piece would cost.
    pub(super) fn prices(&self) -> &[f64] {
        &self.prices[..self.missing.len()]
    }

    /// What one sheet more of a stock would save, beyond its own cost.
    pub(super) fn sheet_price(&self, stock: usize) -> f64 {
        -self.prices[self.missing.len() + stock]
    }

    /// The patterns that are used, and how often.
    pub(super) fn used(&self) -> Vec<(usize, f64)> {
        let first = self.first_pattern();
        let rows = self.basis.iter().zip(&self.values);
        rows.filter_map(|(column, value)| Some((column.checked_sub(first)?, *value))).collect()
    }

    fn first_pattern(&self) -> usize {
        2 * self.missing.len() + self.sheets.len()
    }

    fn column(&self, at: usize) -> Column<'_> {
        let (pieces, stocks) = (self.missing.len(), self.sheets.len());
        match at {
            at if at < pieces => Column::Missing(at),
            at if at < pieces + stocks => Column::Unused(at - pieces),
            at if at < 2 * pieces + stocks => Column::Surplus(at - pieces - stocks),
            at => {
                let (range, stock) = &self.patterns[at - 2 * pieces - stocks];
                Column::Pattern(&self.pieces[range.clone()], *stock)
            }
        }
    }

    fn cost_of(&self, column: usize) -> f64 {
        match self.column(column) {
            Column::Missing(piece) => self.missing[piece],
            Column::Pattern(_, stock) => self.sheets[stock],
            Column::Unused(_) | Column::Surplus(_) => 0.0,
        }
    }

    fn reprice(&mut self) {
        let rows = self.basis.len();
        self.prices = vec![0.0; rows];
        for row in 0..rows {
            let cost = self.cost_of(self.basis[row]);
            if cost > 0.0 {
                let inverse = &self.inverse[row * rows..(row + 1) * rows];
                self.prices.iter_mut().zip(inverse).for_each(|(price, factor)| *price += cost * factor);
            }
        }
    }

    /// How much a unit of a column reduces the cost.
    fn gain(&self, column: usize) -> f64 {
        self.times(&self.prices, column) - self.cost_of(column)
    }

    fn best_column(&self) -> Option<usize> {
        let first = self.first_pattern();
        let mut best = (NEGLIGIBLE, None);
        for column in (0..first).chain(self.offered.iter().map(|pattern| first + pattern)) {
            if !self.in_basis[column] {
                let gain = self.gain(column);
                if gain > best.0 {
                    best = (gain, Some(column));
                }
            }
        }
        best.1
    }

    /// Lets a column enter the basis; no if nothing limits it, which only rounding can cause.
    fn enter(&mut self, column: usize) -> bool {
        let rows = self.basis.len();
        let gain = self.gain(column);
        let direction: Vec<f64> = self.inverse.chunks_exact(rows).map(|row| self.times(row, column)).collect();
        let mut leaving: Option<(f64, f64, usize)> = None;
        for (row, (value, step)) in self.values.iter().zip(&direction).enumerate() {
            if *step > NEGLIGIBLE {
                let ratio = value / step;
                let better = leaving.is_none_or(|(least, pivot, _)| {
                    ratio < least - NEGLIGIBLE || (ratio < least + NEGLIGIBLE && *step > pivot)
                });
                if better {
                    leaving = Some((ratio, *step, row));
                }
            }
        }
        let Some((ratio, pivot, out)) = leaving else { return false };
        let ratio = ratio.max(0.0);
        for (value, step) in self.values.iter_mut().zip(&direction) {
            *value = (*value - ratio * step).max(0.0);
        }
        self.values[out] = ratio;
        let row: Vec<f64> = self.inverse[out * rows..(out + 1) * rows].iter().map(|factor| factor / pivot).collect();
        for (at, step) in direction.iter().enumerate() {
            if at != out && step.abs() > 0.0 {
                let other = &mut self.inverse[at * rows..(at + 1) * rows];
                other.iter_mut().zip(&row).for_each(|(factor, part)| *factor -= step * part);
            }
        }
        self.inverse[out * rows..(out + 1) * rows].copy_from_slice(&row);
        self.in_basis[self.basis[out]] = false;
        self.in_basis[column] = true;
        self.basis[out] = column;
        self.pivots += 1;
        if self.pivots.is_multiple_of(REPRICE_EVERY) {
            self.reprice();
        } else {
            self.prices.iter_mut().zip(&row).for_each(|(price, factor)| *price -= gain * factor);
        }
        true
    }

    fn times(&self, row: &[f64], column: usize) -> f64 {
        match self.column(column) {
            Column::Missing(piece) => row[piece],
            Column::Surplus(piece) => -row[piece],
            Column::Unused(stock) => row[self.missing.len() + stock],
            Column::Pattern(counts, stock) => {
                counts.iter().map(|(piece, count)| row[*piece] * count).sum::<f64>() + row[self.missing.len() + stock]
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Covering;

    /// Two halves and three thirds of a sheet: 1 + 1 sheets, and each piece is worth its share.
    #[test]
    fn covers_at_the_least_cost() {
        let mut covering = Covering::new(vec![1.0, 1.0], vec![1.0]);
        for counts in [[2, 0], [0, 3], [1, 1]] {
            covering.learn(&counts, 0);
        }
        covering.start(&[2.0, 3.0], &[100.0]);
        covering.improve(100);
        assert!((covering.cost() - 2.0).abs() < 1e-9, "{}", covering.cost());
        assert!((covering.prices()[0] - 0.5).abs() < 1e-9 && (covering.prices()[1] - 1.0 / 3.0).abs() < 1e-9);
        let mut used = covering.used();
        used.retain(|(_, value)| *value > 1e-9);
        used.sort_by_key(|(pattern, _)| *pattern);
        assert_eq!(used, [(0, 1.0), (1, 1.0)]);
    }

    #[test]
    fn what_the_sheets_do_not_yield_is_missing() {
        let mut covering = Covering::new(vec![5.0], vec![1.0]);
        covering.learn(&[2], 0);
        covering.start(&[7.0], &[3.0]);
        covering.improve(100);
        assert!((covering.cost() - 8.0).abs() < 1e-9);
        assert!((covering.sheet_price(0) - 9.0).abs() < 1e-9, "{}", covering.sheet_price(0));
    }

    #[test]
    fn patterns_with_a_piece_that_is_not_wanted_are_left_out() {
        let mut covering = Covering::new(vec![3.0, 3.0], vec![1.0]);
        covering.learn(&[1, 1], 0);
        covering.start(&[1.0, 0.0], &[9.0]);
        covering.improve(100);
        assert!((covering.cost() - 3.0).abs() < 1e-9);
        covering.learn(&[1, 0], 0);
        covering.improve(100);
        assert!((covering.cost() - 1.0).abs() < 1e-9);
        covering.forget_after(1);
        covering.start(&[1.0, 1.0], &[9.0]);
        covering.improve(100);
        assert!((covering.cost() - 1.0).abs() < 1e-9);
    }
}
