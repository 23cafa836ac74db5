//! The one number formatter: fixed decimals, no trailing zeros, never "-0".

/// Numbers beyond this one either way are written as if they were it: no sheet is a millionth as large.
const LARGEST: f64 = 9e9;

/// Appends `value` rounded to a number of decimal places (at most 9), without trailing zeros and without a sign on zero.
///
/// Numbers are rounded half away from zero, and written within ±9e9.
pub(super) fn push<const PLACES: usize>(out: &mut Vec<u8>, value: f64) {
    let scale = const { 10u64.pow(PLACES as u32) };
    let steps = nearest(value.clamp(-LARGEST, LARGEST) * scale as f64);
    if steps < 0 {
        out.push(b'-');
    }
    let steps = steps.unsigned_abs();
    push_integer(out, steps / scale);
    let mut fraction = steps % scale;
    if fraction == 0 {
        return;
    }
    let mut digits = [0; PLACES];
    for digit in digits.iter_mut().rev() {
        *digit = b'0' + (fraction % 10) as u8;
        fraction /= 10;
    }
    let end = digits.iter().rposition(|digit| *digit != b'0').map_or(0, |last| last + 1);
    out.push(b'.');
    out.extend_from_slice(digits.get(..end).unwrap_or_default());
}

/// Appends a whole number.
pub(super) fn push_integer(out: &mut Vec<u8>, value: impl itoa::Integer) {
    out.extend_from_slice(itoa::Buffer::new().format(value).as_bytes());
}

/// Returns the nearest whole number, half away from zero.
///
/// The same as `f64::round`, which is a slow call on processors of the oldest kind that programs are built for.
pub(super) fn nearest(value: f64) -> i64 {
    let whole = value as i64;
    let rest = value - whole as f64;
    whole + i64::from(rest >= 0.5) - i64::from(rest <= -0.5)
}

#[cfg(test)]
mod tests {
    use super::{nearest, push};

    fn written<const PLACES: usize>(value: f64) -> String {
        let mut out = Vec::new();
        push::<PLACES>(&mut out, value);
        String::from_utf8(out).unwrap_or_default()
    }

    #[test]
    fn has_no_trailing_zeros_and_no_minus_zero() {
        for (value, expected) in [
            (0.0, "0"),
            (-0.0, "0"),
            (-0.00001, "0"),
            (3.0, "3"),
            (80.9625, "80.9625"),
            (-2.5, "-2.5"),
            (0.00005, "0.0001"),
            (-0.0301, "-0.0301"),
            (1016.0001, "1016.0001"),
            (1e300, "9000000000"),
        ] {
            assert_eq!(written::<4>(value), expected);
        }
        assert_eq!(written::<0>(2.5), "3");
        assert_eq!(written::<2>(80.9625), "80.96");
        assert_eq!(written::<5>(99.999_999), "100");
        assert_eq!(written::<9>(-9e9), "-9000000000");
    }

    #[test]
    fn rounds_half_away_from_zero() {
        for value in [0.0, 0.5, -0.5, 1.5, 2.5, -2.5, 0.499_999_999_999_999_94, 4_503_599_627_370_497.0, -7.3] {
            assert_eq!(nearest(value), value.round() as i64, "{value}");
        }
    }
}
