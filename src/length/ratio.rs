//! Exact fractions, so that a length is rounded only once, when it becomes an `f64`.

/// A fraction with a positive denominator; arithmetic gives `None` where its numbers grow too large.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ratio {
    numerator: i128,
    denominator: i128,
}

/// Largest numerator and denominator: leaves room for the doubling in [`Ratio::to_f64`].
const LARGEST: i128 = 1 << 120;

impl Ratio {
    /// Makes `numerator / denominator` in lowest terms; `None` below zero, over zero, or if a number is too large.
    pub(super) fn new(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator <= 0 || numerator < 0 {
            return None;
        }
        let divisor = common_divisor(numerator, denominator);
        let (numerator, denominator) = (numerator / divisor, denominator / divisor);
        (numerator < LARGEST && denominator < LARGEST).then_some(Self { numerator, denominator })
    }

    /// Reads a decimal number of ASCII figures with at most one point; `None` if it is none or has too many figures.
    pub(super) fn decimal(text: &str) -> Option<Self> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if !figures(whole) || !figures(part) || (whole.is_empty() && part.is_empty()) {
            return None;
        }
        let part = part.trim_end_matches('0');
        let scale = 10_i128.checked_pow(u32::try_from(part.len()).ok()?)?;
        Self::new(format!("0{whole}{part}").parse().ok()?, scale)
    }

    pub(super) fn plus(self, other: Self) -> Option<Self> {
        let left = self.numerator.checked_mul(other.denominator)?;
        let right = other.numerator.checked_mul(self.denominator)?;
        Self::new(left.checked_add(right)?, self.denominator.checked_mul(other.denominator)?)
    }

    pub(super) fn times(self, other: Self) -> Option<Self> {
        let numerator = self.numerator.checked_mul(other.numerator)?;
        Self::new(numerator, self.denominator.checked_mul(other.denominator)?)
    }

    pub(super) fn inverse(self) -> Option<Self> {
        Self::new(self.denominator, self.numerator)
    }

    pub(super) fn is_zero(self) -> bool {
        self.numerator == 0
    }

    pub(super) fn is_whole(self) -> bool {
        self.denominator == 1
    }

    pub(super) fn is_below(self, whole: i128) -> bool {
        self.denominator.checked_mul(whole).is_none_or(|limit| self.numerator < limit)
    }

    /// Returns the nearest `f64`, ties to even, of a value below 2⁶².
    pub(super) fn to_f64(self) -> f64 {
        // The quotient is drawn out bit by bit to 62 bits or more; its last bit also stands for all that follow.
        let (mut quotient, mut rest) = (self.numerator / self.denominator, self.numerator % self.denominator);
        let mut scale = 1.0;
        while quotient < 1 << 61 && rest != 0 {
            rest *= 2;
            quotient = 2 * quotient + i128::from(rest >= self.denominator);
            rest %= self.denominator;
            scale *= 0.5;
        }
        (quotient | i128::from(rest != 0)) as f64 * scale
    }
}

fn common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]
    #![allow(clippy::float_cmp, reason = "the nearest f64 is meant, not one near it")]

    use super::Ratio;

    #[test]
    fn becomes_the_nearest_f64() {
        for text in ["0.1", "3.1875", "80.9625", "0.30000000000000004", "9007199254740993", "1524", "0.0000001", "0"] {
            let expected: f64 = text.parse().unwrap();
            assert_eq!(Ratio::decimal(text).unwrap().to_f64(), expected, "{text}");
        }
        assert_eq!(Ratio::new(1, 3).unwrap().to_f64(), 1.0 / 3.0);
        assert_eq!(Ratio::new(2, 3).unwrap().to_f64(), 2.0 / 3.0);
    }

    #[test]
    fn refuses_what_it_cannot_hold() {
        assert_eq!(Ratio::new(1, 0), None);
        assert_eq!(Ratio::decimal(&"9".repeat(60)), None);
        assert_eq!(Ratio::decimal(&format!("0.{}1", "0".repeat(60))), None);
        assert_eq!(Ratio::decimal("."), None);
        assert_eq!(Ratio::decimal("1.2.3"), None);
    }
}
