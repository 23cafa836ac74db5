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
    let (whole, fraction) = (steps / scale, steps % scale);
    push_whole(out, whole);
    if fraction > 0 {
        push_fraction::<PLACES>(out, fraction);
    }
}

/// Returns what [`push`] appends.
pub(super) fn text<const PLACES: usize>(value: f64) -> String {
    let mut out = Vec::new();
    push::<PLACES>(&mut out, value);
    out.into_iter().map(char::from).collect()
}

/// Appends the point and the decimals of a number, which are a number of steps above zero, without the zeros at the end.
fn push_fraction<const PLACES: usize>(out: &mut Vec<u8>, steps: u64) {
    if PLACES <= 7 {
        // The first of the eight digits is a zero, of which the point takes the place.
        let digits = eight_digits(steps * const { 10u64.pow(7u32.saturating_sub(PLACES as u32)) });
        push_bytes(out, (digits | ZEROS) ^ u64::from(b'0' ^ b'.'), used_bytes(digits));
        return;
    }
    out.push(b'.');
    let ninth = if PLACES == 9 { steps % 10 } else { 0 };
    let digits = eight_digits(if PLACES == 9 { steps / 10 } else { steps });
    push_bytes(out, digits | ZEROS, if ninth > 0 { 8 } else { used_bytes(digits) });
    if ninth > 0 {
        out.push(b'0' + ninth as u8);
    }
}

/// Counts the bytes of a word up to the last that is not zero.
const fn used_bytes(word: u64) -> usize {
    8 - word.leading_zeros() as usize / 8
}

/// Appends a whole number.
pub(super) fn push_integer(out: &mut Vec<u8>, value: impl itoa::Integer) {
    out.extend_from_slice(itoa::Buffer::new().format(value).as_bytes());
}

/// Appends a number of steps of a grid, of which drawings have so many that they get the faster way of [`push`].
pub(super) fn push_steps(out: &mut Vec<u8>, steps: i64) {
    if steps < 0 {
        out.push(b'-');
    }
    push_whole(out, steps.unsigned_abs());
}

#[inline]
fn push_whole(out: &mut Vec<u8>, value: u64) {
    if value >= 100_000_000 {
        push_integer(out, value);
        return;
    }
    let digits = eight_digits(value);
    // The last digit is written even if it is a zero.
    let unused = (digits | 1 << 56).trailing_zeros() / 8;
    push_bytes(out, (digits | ZEROS) >> (8 * unused), 8 - unused as usize);
}

/// What makes figures of eight digits.
const ZEROS: u64 = u64::from_ne_bytes([b'0'; 8]);

/// Returns the digits of a number of at most eight, one a byte, the first in the lowest.
///
/// Halves, quarters and eighths of the number are divided side by side in one word: writing numbers is a quarter of the
/// work of writing a drawing, and a loop over the digits takes a quarter more instructions.
const fn eight_digits(number: u64) -> u64 {
    let fours = (number / 10_000) | (number % 10_000) << 32;
    // 10486 / 2^20 is a hundredth, and 103 / 2^10 a tenth, near enough for numbers of four and of two digits.
    let hundreds = ((fours * 10_486) >> 20) & 0x0000_007F_0000_007F;
    let twos = hundreds | (fours - 100 * hundreds) << 16;
    let tens = ((twos * 103) >> 10) & 0x000F_000F_000F_000F;
    tens | (twos - 10 * tens) << 8
}

/// Appends the first bytes of a word, the lowest first.
fn push_bytes(out: &mut Vec<u8>, word: u64, count: usize) {
    let end = out.len() + count;
    // Eight bytes are copied with one instruction, fewer with a call.
    out.extend_from_slice(&word.to_le_bytes());
    out.truncate(end);
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
    use super::{nearest, push, push_steps};

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
    fn writes_the_same_digits_as_the_standard_library() {
        // All numbers of digits, with zeros before, between and behind.
        for exponent in 0..19 {
            for factor in [1, 9, 19, 1005, 72_030] {
                let Some(steps) = 10_i64.pow(exponent).checked_mul(factor) else { continue };
                for steps in [steps, -steps, steps - 1, steps + 1] {
                    let mut out = Vec::new();
                    push_steps(&mut out, steps);
                    assert_eq!(String::from_utf8(out).as_deref(), Ok(steps.to_string().as_str()));
                }
            }
        }
        for steps in (1..1_000_000_000_u64).step_by(99_991) {
            let text = format!("0.{steps:09}");
            assert_eq!(written::<9>(steps as f64 / 1e9), text.trim_end_matches('0'));
            let text = format!("{}.{:08}", steps / 100_000_000, steps % 100_000_000);
            assert_eq!(written::<8>(steps as f64 / 1e8), text.trim_end_matches('0').trim_end_matches('.'));
            let text = format!("{}.{:06}", steps / 1_000_000, steps % 1_000_000);
            assert_eq!(written::<6>(steps as f64 / 1e6), text.trim_end_matches('0').trim_end_matches('.'));
        }
    }

    #[test]
    fn rounds_half_away_from_zero() {
        for value in [0.0, 0.5, -0.5, 1.5, 2.5, -2.5, 0.499_999_999_999_999_94, 4_503_599_627_370_497.0, -7.3] {
            assert_eq!(nearest(value), value.round() as i64, "{value}");
        }
    }
}
