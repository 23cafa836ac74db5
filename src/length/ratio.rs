//! Exact fractions, so that a length is rounded only once, when it becomes an `f64`.

/// An exact fraction of zero or more; arithmetic gives `None` where its numbers grow too large.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: i128,
    denominator: i128,
}

/// Largest numerator and denominator: leaves room for the doubling in [`Ratio::to_f64`].
const LARGEST: i128 = 1 << 120;

/// Whole numbers below this one are exact as `f64`.
const EXACT_IN_F64: i128 = 1 << 53;

impl Ratio {
    /// One.
    pub const ONE: Self = Self { numerator: 1, denominator: 1 };
    /// Zero.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };

    /// Makes `numerator / denominator` in lowest terms; `None` below zero, over zero, or if a number is too large.
    #[must_use]
    pub fn new(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator <= 0 || numerator < 0 {
            return None;
        }
        let divisor = common_divisor(numerator, denominator);
        let (numerator, denominator) = (numerator / divisor, denominator / divisor);
        (numerator < LARGEST && denominator < LARGEST).then_some(Self { numerator, denominator })
    }

    /// Reads a decimal number of ASCII figures with at most one point; `None` if it is none or has too many figures.
    #[must_use]
    pub fn decimal(text: &str) -> Option<Self> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if !figures(whole) || !figures(part) || (whole.is_empty() && part.is_empty()) {
            return None;
        }
        let part = part.trim_end_matches('0');
        let scale = 10_i128.checked_pow(u32::try_from(part.len()).ok()?)?;
        let all = whole.bytes().chain(part.bytes());
        let number = all
            .map(|byte| i128::from(byte - b'0'))
            .try_fold(0_i128, |number, figure| number.checked_mul(10)?.checked_add(figure))?;
        Self::new(number, scale)
    }

    /// Returns the simplest fraction within 2⁻³⁰ of a length in millimetres that was worked out in `f64`.
    ///
    /// `f64` errs by far less at the size of a board, and fractions such as 64ths or thousandths of an inch lie
    /// further apart, so that a length which was written exactly comes back exactly. `None` for a number that is
    /// below zero, not finite or above 2³².
    #[must_use]
    pub fn near(value: f64) -> Option<Self> {
        const SCALE: i128 = 1 << 40;
        const WITHIN: i128 = 1 << 10;
        if !(0.0..4_294_967_296.0).contains(&value) {
            return None;
        }
        // The product is below 2⁷², and rounding it moves it by less than a thousandth of the allowance.
        let scaled = (value * SCALE as f64).round() as i128;
        simplest((scaled - WITHIN).max(0), scaled + WITHIN, SCALE)
    }

    /// Returns the number above the line, in lowest terms.
    #[must_use]
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// Returns the number below the line, in lowest terms; above zero.
    #[must_use]
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// Returns the sum.
    #[must_use]
    pub fn plus(self, other: Self) -> Option<Self> {
        let left = self.numerator.checked_mul(other.denominator)?;
        let right = other.numerator.checked_mul(self.denominator)?;
        Self::new(left.checked_add(right)?, self.denominator.checked_mul(other.denominator)?)
    }

    /// Returns the product.
    #[must_use]
    pub fn times(self, other: Self) -> Option<Self> {
        let numerator = self.numerator.checked_mul(other.numerator)?;
        Self::new(numerator, self.denominator.checked_mul(other.denominator)?)
    }

    /// Returns one over it; `None` for zero.
    #[must_use]
    pub fn inverse(self) -> Option<Self> {
        Self::new(self.denominator, self.numerator)
    }

    /// Tells whether it is zero.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.numerator == 0
    }

    pub(super) fn is_whole(self) -> bool {
        self.denominator == 1
    }

    pub(super) fn is_below(self, whole: i128) -> bool {
        self.denominator.checked_mul(whole).is_none_or(|limit| self.numerator < limit)
    }

    /// Returns the nearest `f64`, ties to even, of a value below 2⁶².
    #[must_use]
    pub fn to_f64(self) -> f64 {
        // Two numbers that an `f64` holds exactly have their nearest quotient from one division.
        if self.numerator < EXACT_IN_F64 && self.denominator < EXACT_IN_F64 {
            return self.numerator as f64 / self.denominator as f64;
        }
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

/// Returns the fraction with the smallest denominator from `low / scale` to `high / scale`.
fn simplest(low: i128, high: i128, scale: i128) -> Option<Ratio> {
    // The continued fraction of both ends as long as they agree; the matrix is that of its convergents.
    let (mut low, mut low_under, mut high, mut high_under) = (low, scale, high, scale);
    let (mut before, mut last) = ((0, 1), (1, 0));
    loop {
        let whole = low / low_under;
        let exact = low % low_under == 0;
        let next = if exact || whole < high / high_under { whole + i128::from(!exact) } else { whole };
        let step = |before: i128, last: i128| next.checked_mul(last)?.checked_add(before);
        (before, last) = (last, (step(before.0, last.0)?, step(before.1, last.1)?));
        if exact || next > whole {
            return Ratio::new(last.0, last.1);
        }
        // One over what is left: the ends change places.
        (low, low_under, high, high_under) =
            (high_under, high - whole * high_under, low_under, low - whole * low_under);
    }
}

fn common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        // The division of small numbers is several times faster.
        if let (Ok(mut a), Ok(mut b)) = (u64::try_from(a), u64::try_from(b)) {
            while b != 0 {
                (a, b) = (b, a % b);
            }
            return i128::from(a);
        }
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
    fn comes_back_from_f64() {
        for (numerator, denominator) in [(16129, 40), (127, 320), (254, 10), (0, 1), (1524, 1), (127, 5000), (1, 3)] {
            let ratio = Ratio::new(numerator, denominator).unwrap();
            assert_eq!(Ratio::near(ratio.to_f64()), Some(ratio), "{numerator}/{denominator}");
        }
        // Sums in `f64` are a hair off.
        assert_eq!(Ratio::near(0.1 + 0.2), Ratio::new(3, 10));
        assert_eq!(Ratio::near((16.0 - 0.125) * 25.4 + 1e-12), Ratio::new(16129, 40));
        let root = 2.0_f64.sqrt() * 100.0;
        assert!((Ratio::near(root).unwrap().to_f64() - root).abs() < 1e-9);
        assert_eq!(Ratio::near(-1.0), None);
        assert_eq!(Ratio::near(f64::NAN), None);
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
