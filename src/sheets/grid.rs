//! The grid of whole steps on which sheets are planned, so that no comparison needs floating point.

use super::cutting::Units;
use crate::length::Ratio;

/// A step length of which every length of an order is a whole multiple, or very nearly.
///
/// Inches and millimetres go together: a 64th of an inch is 127/320 mm, so both lie on a common grid. Only lengths that were
/// worked out, such as the side of a rectangle in an oval, may lie on none that is coarse enough; then blanks are rounded
/// up and sheets down to the next step, so that a plan stays good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grid {
    /// One step in millimetres.
    step: Ratio,
}

/// No length has more steps than this: areas of thousands of sheets then fit into 64 bits.
const MOST_STEPS: i128 = 1 << 24;
/// The step where there is no common one, as 1/1600 mm: it holds 64ths of an inch and hundredths of a millimetre.
const FALLBACK_PARTS: i128 = 1600;

impl Grid {
    /// Finds the coarsest grid that holds all lengths exactly, or the nearest that is coarse enough.
    #[must_use]
    pub fn for_lengths(lengths: &[Ratio]) -> Self {
        let longest = lengths.iter().copied().max_by(|a, b| a.to_f64().total_cmp(&b.to_f64()));
        let fits = |step: Ratio| longest.is_none_or(|longest| floor(longest, step).is_some_and(|n| n <= MOST_STEPS));
        if let Some(step) = common_step(lengths)
            && fits(step)
        {
            return Self { step };
        }
        let coarser = (0..40).filter_map(|doubling| Ratio::new(1 << doubling, FALLBACK_PARTS));
        Self { step: coarser.into_iter().find(|step| fits(*step)).unwrap_or(Ratio::ONE) }
    }

    /// Returns one step in millimetres.
    #[must_use]
    pub fn step_mm(self) -> f64 {
        self.step.to_f64()
    }

    /// Returns the length of some steps in millimetres.
    #[must_use]
    pub fn mm(self, units: Units) -> f64 {
        let whole = Ratio::new(i128::from(units.abs()), 1).and_then(|units| units.times(self.step));
        let mm = whole.map_or_else(|| units.abs() as f64 * self.step_mm(), Ratio::to_f64);
        if units < 0 { -mm } else { mm }
    }

    /// Returns the exact length of some steps, zero or more, in millimetres.
    #[must_use]
    pub fn exact(self, units: Units) -> Option<Ratio> {
        Ratio::new(i128::from(units), 1)?.times(self.step)
    }

    /// Returns how many whole steps fit into a length: for sheets.
    #[must_use]
    pub fn down(self, length: Ratio) -> Units {
        floor(length, self.step).and_then(|steps| steps.try_into().ok()).unwrap_or(Units::MAX >> 16)
    }

    /// Returns how many whole steps hold a length: for blanks.
    #[must_use]
    pub fn up(self, length: Ratio) -> Units {
        let down = self.down(length);
        if self.exact(down) == Some(length) { down } else { down + 1 }
    }
}

/// The greatest length of which all others are whole multiples.
fn common_step(lengths: &[Ratio]) -> Option<Ratio> {
    let mut lengths = lengths.iter().copied().filter(|length| !length.is_zero());
    let first = lengths.next().unwrap_or(Ratio::ONE);
    lengths.try_fold(first, |step, length| {
        // The step of fractions: the common divisor of what is above, over the common multiple of what is below.
        let above = divisor(step.numerator(), length.numerator());
        let below = step.denominator() / divisor(step.denominator(), length.denominator());
        Ratio::new(above, below.checked_mul(length.denominator())?)
    })
}

fn floor(length: Ratio, step: Ratio) -> Option<i128> {
    let steps = length.times(step.inverse()?)?;
    Some(steps.numerator() / steps.denominator())
}

fn divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::Grid;
    use crate::length::{Ratio, Unit, parse_exact};

    fn lengths(texts: &[&str]) -> Vec<Ratio> {
        texts.iter().map(|text| parse_exact(text, Some(Unit::Inch)).unwrap()).collect()
    }

    #[test]
    fn holds_inches_and_millimetres_together() {
        for (texts, units) in [
            (&["32", "40", "16", "20"][..], &[8, 10, 4, 5][..]),
            (&["16 1/64", "32"], &[1025, 2048]),
            (&["25.4 mm", "1 in", "2"], &[1, 1, 2]),
            (&["32", "815 mm", "0.1 mm"], &[8128, 8150, 1]),
            (&["0", "10"], &[0, 1]),
        ] {
            let lengths = lengths(texts);
            let grid = Grid::for_lengths(&lengths);
            let found: Vec<i64> = lengths.iter().map(|length| grid.down(*length)).collect();
            assert_eq!(found, units, "{texts:?}");
            assert!(lengths.iter().all(|length| grid.up(*length) == grid.down(*length)));
            assert!(lengths.iter().all(|length| (grid.mm(grid.up(*length)) - length.to_f64()).abs() < 1e-12));
        }
    }

    #[test]
    fn rounds_blanks_up_and_sheets_down_where_no_grid_is_coarse_enough() {
        let awkward: Vec<Ratio> =
            [2.0_f64, 3.0, 5.0, 7.0].iter().map(|square| Ratio::near(square.sqrt() * 100.0).unwrap()).collect();
        let grid = Grid::for_lengths(&awkward);
        for length in awkward {
            assert_eq!(grid.up(length), grid.down(length) + 1);
            assert!(grid.mm(grid.down(length)) < length.to_f64() && length.to_f64() < grid.mm(grid.up(length)));
        }
        // What a framer writes is exact even then.
        for length in lengths(&["16 1/64", "815.05 mm"]) {
            assert_eq!(grid.up(length), grid.down(length));
        }
    }
}
