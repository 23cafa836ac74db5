//! Student's t distribution, by which a few measurements tell how far their mean may be off.

use std::f64::consts::{FRAC_2_PI, FRAC_PI_2};

/// The share of cases in which a stated interval holds the true value.
pub(super) const CONFIDENCE: f64 = 0.95;

/// Returns the probability that |t| is at most the given value, with a number of degrees of freedom of one or more.
///
/// The finite sums in θ = arctan(t/√ν) of M. Abramowitz and I. A. Stegun, *Handbook of Mathematical Functions*,
/// 26.7.3 and 26.7.4: exact for every whole number of degrees of freedom.
#[must_use]
pub fn probability_within(t: f64, freedom: usize) -> f64 {
    within_angle((t.abs() / (freedom as f64).sqrt()).atan(), freedom)
}

/// Returns the value that |t| exceeds with a probability `1 - level`: 12.706 for 0.95 and one degree of freedom.
///
/// `level` lies between 0 and 1; `freedom` is one or more.
#[must_use]
pub fn quantile(level: f64, freedom: usize) -> f64 {
    // The probability grows with the angle, so that halving finds it to the last bit.
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle.tan() * (freedom as f64).sqrt();
        }
        if within_angle(middle, freedom) < level {
            low = middle;
        } else {
            high = middle;
        }
    }
}

fn within_angle(angle: f64, freedom: usize) -> f64 {
    let (sine, cosine) = angle.sin_cos();
    // The terms stand for cos^(first), cos^(first + 2) … up to cos^(freedom − 2).
    let odd = freedom % 2 == 1;
    let first = if odd { 1 } else { 0 };
    let mut term = if odd { cosine } else { 1.0 };
    let mut sum = 0.0;
    let mut power = first;
    while power + 2 <= freedom {
        sum += term;
        let next = (power + 1) as f64 / (power + 2) as f64;
        term *= next * cosine * cosine;
        power += 2;
    }
    if odd { FRAC_2_PI * (angle + sine * sum) } else { sine * sum }
}

#[cfg(test)]
mod tests {
    use super::{probability_within, quantile};

    #[test]
    fn quantiles_are_those_of_the_tables() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, critical values of Student's t: 0.975 and 0.995.
        let table = [
            (1, 12.706, 63.657),
            (2, 4.303, 9.925),
            (3, 3.182, 5.841),
            (4, 2.776, 4.604),
            (5, 2.571, 4.032),
            (6, 2.447, 3.707),
            (7, 2.365, 3.499),
            (8, 2.306, 3.355),
            (9, 2.262, 3.250),
            (10, 2.228, 3.169),
            (15, 2.131, 2.947),
            (20, 2.086, 2.845),
            (30, 2.042, 2.750),
            (60, 2.000, 2.660),
            (100, 1.984, 2.626),
        ];
        for (freedom, usual, wide) in table {
            assert!((quantile(0.95, freedom) - usual).abs() <= 0.0005 + 1e-9, "{freedom}: {}", quantile(0.95, freedom));
            assert!((quantile(0.99, freedom) - wide).abs() <= 0.0005 + 1e-9, "{freedom}: {}", quantile(0.99, freedom));
        }
    }

    #[test]
    fn one_and_two_degrees_of_freedom_have_closed_forms() {
        for t in [0.1, 0.7, 1.0, 3.0, 40.0_f64] {
            let one = 2.0 / std::f64::consts::PI * t.atan();
            assert!((probability_within(t, 1) - one).abs() < 1e-15);
            let two = t / (2.0 + t * t).sqrt();
            assert!((probability_within(t, 2) - two).abs() < 1e-15);
        }
    }

    #[test]
    fn a_quantile_has_its_probability() {
        for freedom in [1, 2, 3, 7, 50, 999] {
            for level in [0.5, 0.9, 0.95, 0.999] {
                assert!((probability_within(quantile(level, freedom), freedom) - level).abs() < 1e-12);
            }
        }
    }
}
