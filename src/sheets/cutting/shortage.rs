//! How short of pieces given numbers of sheets must fall if patterns may be cut in fractions: a linear programme, and the prices
//! of pieces that prove it.
//!
//! The revised simplex method with an explicit inverse, after Dantzig and Orchard-Hays, "The product form for the inverse in the
//! simplex method", Mathematical Tables and Other Aids to Computation 8 (1954). Its numbers only guide; what is proven is
//! counted again in whole numbers.

#![allow(clippy::indexing_slicing, reason = "rows and columns are numbered by the programme itself")]

/// What is less than this is taken for nothing.
const NEGLIGIBLE: f64 = 1e-9;

/// Exchanges after which prices are worked out anew, so that errors do not add up.
const REPRICE_EVERY: u64 = 40;

/// A variable of the programme.
#[derive(Clone, Debug)]
enum Column {
    /// A piece that is missing.
    Missing(usize),
    /// A piece too many.
    Surplus(usize),
    /// A sheet of a stock that is not used.
    Unused(usize),
    /// A pattern: pieces and their numbers, on a sheet of a stock.
    Pattern(Vec<(usize, f64)>, usize),
}

/// Pieces demanded, sheets allowed, patterns known, and the fractions of patterns that fall least short.
#[derive(Debug)]
pub(super) struct Shortage {
    pieces: usize,
    weights: Vec<f64>,
    columns: Vec<Column>,
    /// The column of each row.
    basis: Vec<usize>,
    in_basis: Vec<bool>,
    /// Row by row.
    inverse: Vec<f64>,
    values: Vec<f64>,
    prices: Vec<f64>,
    exchanges: u64,
}

impl Shortage {
    /// No pattern known: `weights` says what a missing piece of each kind counts.
    pub(super) fn new(weights: Vec<f64>, stocks: usize) -> Self {
        let pieces = weights.len();
        let mut columns: Vec<Column> = (0..pieces).map(Column::Missing).collect();
        columns.extend((0..stocks).map(Column::Unused));
        columns.extend((0..pieces).map(Column::Surplus));
        let rows = pieces + stocks;
        let in_basis = (0..columns.len()).map(|at| at < rows).collect();
        Self {
            pieces,
            weights,
            columns,
            basis: (0..rows).collect(),
            in_basis,
            inverse: Vec::new(),
            values: Vec::new(),
            prices: Vec::new(),
            exchanges: 0,
        }
    }

    /// Starts anew with demands for pieces and numbers of sheets; the patterns stay known.
    pub(super) fn start(&mut self, demands: &[f64], sheets: &[f64]) {
        let rows = self.pieces + sheets.len();
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
        let (rows, columns) = (self.basis.len() as u64, self.columns.len() as u64);
        2 * rows * rows + 8 * columns
    }

    /// Makes a pattern known.
    pub(super) fn learn(&mut self, counts: &[u32], stock: usize) {
        let pieces = counts.iter().enumerate().filter(|(_, count)| **count > 0);
        self.columns.push(Column::Pattern(pieces.map(|(at, count)| (at, f64::from(*count))).collect(), stock));
        self.in_basis.push(false);
    }

    /// Exchanges columns until no known one helps, or so many exchanges are made; gives how many were.
    pub(super) fn improve(&mut self, most: usize) -> usize {
        for done in 0..most {
            let Some(column) = self.best_column() else { return done };
            if !self.enter(column) {
                return done;
            }
        }
        most
    }

    /// What is missing, by its weight.
    pub(super) fn missing(&self) -> f64 {
        let rows = self.basis.iter().zip(&self.values);
        rows.map(|(column, value)| self.cost(*column) * value).sum()
    }

    /// What one more of each piece would cost, by weight.
    pub(super) fn prices(&self) -> &[f64] {
        &self.prices[..self.pieces]
    }

    /// What one sheet more of a stock would save, by weight.
    pub(super) fn sheet_price(&self, stock: usize) -> f64 {
        -self.prices[self.pieces + stock]
    }

    fn cost(&self, column: usize) -> f64 {
        match self.columns[column] {
            Column::Missing(piece) => self.weights[piece],
            _ => 0.0,
        }
    }

    fn reprice(&mut self) {
        let rows = self.basis.len();
        self.prices = vec![0.0; rows];
        for (row, column) in self.basis.iter().enumerate() {
            let cost = match self.columns[*column] {
                Column::Missing(piece) => self.weights[piece],
                _ => continue,
            };
            let inverse = &self.inverse[row * rows..(row + 1) * rows];
            for (price, factor) in self.prices.iter_mut().zip(inverse) {
                *price += cost * factor;
            }
        }
    }

    /// How much a unit of a column reduces what is missing.
    fn gain(&self, column: usize) -> f64 {
        match &self.columns[column] {
            Column::Missing(piece) => self.prices[*piece] - self.weights[*piece],
            Column::Surplus(piece) => -self.prices[*piece],
            Column::Unused(stock) => self.prices[self.pieces + stock],
            Column::Pattern(counts, stock) => {
                counts.iter().map(|(piece, count)| self.prices[*piece] * count).sum::<f64>()
                    + self.prices[self.pieces + stock]
            }
        }
    }

    fn best_column(&self) -> Option<usize> {
        let mut best = (NEGLIGIBLE, None);
        for column in (0..self.columns.len()).filter(|column| !self.in_basis[*column]) {
            let gain = self.gain(column);
            if gain > best.0 {
                best = (gain, Some(column));
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
        self.exchanges += 1;
        if self.exchanges.is_multiple_of(REPRICE_EVERY) {
            self.reprice();
        } else {
            self.prices.iter_mut().zip(&row).for_each(|(price, factor)| *price -= gain * factor);
        }
        true
    }

    fn times(&self, row: &[f64], column: usize) -> f64 {
        match &self.columns[column] {
            Column::Missing(piece) => row[*piece],
            Column::Surplus(piece) => -row[*piece],
            Column::Unused(stock) => row[self.pieces + stock],
            Column::Pattern(counts, stock) => {
                counts.iter().map(|(piece, count)| row[*piece] * count).sum::<f64>() + row[self.pieces + stock]
            }
        }
    }
}
