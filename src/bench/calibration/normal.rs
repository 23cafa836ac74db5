//! The normal distribution, and mixtures of normal distributions.

use std::f64::consts::TAU;

use super::student::CONFIDENCE;
use crate::tolerance::LEAST_TERM_SHARE;

/// Beyond this many deviations the continued fraction has more figures than the series.
const SERIES_TO: f64 = 3.0;
/// Terms of the continued fraction: from there on they leave nothing to change.
const FRACTION_TERMS: u32 = 60;
/// A mixture has nothing beyond this many deviations of its parts.
const NOTHING_BEYOND: f64 = 12.0;
/// Halvings that find a quantile to the last figure that matters.
const HALVINGS: usize = 60;

/// Returns the density of a normal deviate.
pub(super) fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / TAU.sqrt()
}

/// Returns the chance that a normal deviate lies between two numbers, with all its figures however small it is.
pub(super) fn chance_between(low: f64, high: f64) -> f64 {
    if low > 0.0 {
        chance_above(low) - chance_above(high)
    } else if high < 0.0 {
        chance_above(-high) - chance_above(-low)
    } else {
        1.0 - chance_above(high) - chance_above(-low)
    }
}

/// Returns the chance that a normal deviate exceeds a number of zero or more: the series and the continued fraction of
/// M. Abramowitz and I. A. Stegun, *Handbook of Mathematical Functions*, 26.2.11 and 26.2.14.
fn chance_above(z: f64) -> f64 {
    if z > SERIES_TO {
        let below = (1..=FRACTION_TERMS).rev().fold(z, |below, term| z + f64::from(term) / below);
        return density(z) / below;
    }
    let (mut term, mut sum, mut odd) = (z, z, 1.0);
    while term > LEAST_TERM_SHARE * sum {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    0.5 - density(z) * sum
}

/// One of the normal distributions of a mixture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Normal {
    /// Its share of the mixture.
    pub(super) weight: f64,
    pub(super) mean: f64,
    pub(super) deviation: f64,
}

/// Returns the mean of a mixture whose weights add up to one.
pub(super) fn mean(mixture: &[Normal]) -> f64 {
    mixture.iter().map(|part| part.weight * part.mean).sum()
}

/// Returns the ends of the interval that holds a number in 95 % of cases, as often above as below.
pub(super) fn interval(mixture: &[Normal]) -> (f64, f64) {
    let beyond = 0.5 * (1.0 - CONFIDENCE);
    (quantile(mixture, beyond), quantile(mixture, 1.0 - beyond))
}

fn quantile(mixture: &[Normal], share: f64) -> f64 {
    let ends = mixture.iter().map(|part| (part.mean, NOTHING_BEYOND * part.deviation));
    let (mut low, mut high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (mean, reach)| {
        (low.min(mean - reach), high.max(mean + reach))
    });
    let below = |at: f64| -> f64 {
        let chance = |part: &Normal| part.weight * chance_between(f64::NEG_INFINITY, (at - part.mean) / part.deviation);
        mixture.iter().map(chance).sum()
    };
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if below(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::{Normal, chance_between, interval, mean};

    #[test]
    fn chances_are_those_of_the_tables() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1; far out: A. & S., table 26.2, Q(5) = 2.866516e-7.
        for (z, share) in [(0.0, 0.5), (1.0, 0.841_345), (2.0, 0.977_250), (-3.0, 0.001_350)] {
            assert!((chance_between(f64::NEG_INFINITY, z) - share).abs() < 1e-6, "{z}");
        }
        assert!((chance_between(5.0, f64::INFINITY) / 2.866_516e-7 - 1.0).abs() < 1e-6);
        // Series and continued fraction meet.
        let (series, fraction) = (chance_between(2.9, 3.0), chance_between(3.0, 3.1));
        let middle = |at: f64| 0.1 * super::density(at);
        assert!((series / middle(2.95) - 1.0).abs() < 0.01 && (fraction / middle(3.05) - 1.0).abs() < 0.01);
    }

    #[test]
    fn the_interval_of_one_is_the_textbook_one() {
        let one = [Normal { weight: 1.0, mean: 3.0, deviation: 2.0 }];
        let (low, high) = interval(&one);
        assert!((low - (3.0 - 2.0 * 1.959_964)).abs() < 1e-5 && (high - (3.0 + 2.0 * 1.959_964)).abs() < 1e-5);
        assert!((mean(&one) - 3.0).abs() < 1e-15);
    }
}
