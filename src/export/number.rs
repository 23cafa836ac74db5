//! The one number formatter: fixed decimals, no trailing zeros, never "-0".

/// Appends `value` rounded to `decimals` places (at most 9), without trailing zeros and without a sign on zero.
///
/// Numbers are rounded half away from zero. Values beyond ±9e9 are written as ±9e9: no sheet is a millionth as large.
pub(super) fn push(out: &mut Vec<u8>, value: f64, decimals: u32) {
    let scale = 10u64.pow(decimals.min(9));
    let scaled = (value.clamp(-9e9, 9e9) * scale as f64).round();
    if scaled < 0.0 {
        out.push(b'-');
    }
    let digits = scaled.abs() as u64;
    push_integer(out, digits / scale);
    let mut fraction = digits % scale;
    if fraction == 0 {
        return;
    }
    out.push(b'.');
    let mut place = scale / 10;
    while fraction > 0 {
        out.push(b'0' + (fraction / place) as u8);
        fraction %= place;
        place /= 10;
    }
}

/// Appends a whole number.
pub(super) fn push_integer(out: &mut Vec<u8>, value: u64) {
    let mut digits = [0u8; 20];
    let mut start = digits.len();
    let mut rest = value;
    loop {
        start -= 1;
        if let Some(digit) = digits.get_mut(start) {
            *digit = b'0' + (rest % 10) as u8;
        }
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend_from_slice(digits.get(start..).unwrap_or_default());
}

#[cfg(test)]
mod tests {
    fn written(value: f64, decimals: u32) -> String {
        let mut out = Vec::new();
        super::push(&mut out, value, decimals);
        String::from_utf8(out).unwrap_or_default()
    }

    #[test]
    fn has_no_trailing_zeros_and_no_minus_zero() {
        for (value, decimals, expected) in [
            (0.0, 4, "0"),
            (-0.0, 4, "0"),
            (-0.00001, 4, "0"),
            (3.0, 4, "3"),
            (80.9625, 4, "80.9625"),
            (80.9625, 2, "80.96"),
            (-2.5, 4, "-2.5"),
            (0.00005, 4, "0.0001"),
            (1016.0001, 4, "1016.0001"),
            (0.0301, 4, "0.0301"),
            (2880.0, 5, "2880"),
            (99.99999, 4, "100"),
        ] {
            assert_eq!(written(value, decimals), expected);
        }
    }
}
