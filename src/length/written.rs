//! Exact lengths written so that they are read back as they were.

use super::{Ratio, Unit};

/// Writes a length of some millimetres so that [`parse_exact`](super::parse_exact) reads it back, in the unit given if it can.
///
/// Inches are written with fractions down to 1/64 or else, like what is not a short decimal of the unit, in millimetres; one that is
/// no decimal of a millimetre either is cut off after four decimals. The text has a unit in it.
#[must_use]
pub fn write_exact(mm: Ratio, unit: Unit) -> String {
    let in_unit = match unit {
        Unit::Inch => Ratio::new(5, 127).and_then(|inch| mm.times(inch)).and_then(fraction),
        Unit::Centimetre => Ratio::new(1, 10).and_then(|tenth| mm.times(tenth)).and_then(decimal),
        Unit::Millimetre => None,
    };
    match in_unit {
        Some(number) => format!("{number} {unit}"),
        None => format!("{} mm", decimal(mm).unwrap_or_else(|| cut_off(mm))),
    }
}

/// Writes a mixed number whose fraction has a denominator of 64 at most, in halves of halves.
fn fraction(number: Ratio) -> Option<String> {
    let under = number.denominator();
    if under > 64 || under & (under - 1) != 0 {
        return None;
    }
    let (whole, over) = (number.numerator() / under, number.numerator() % under);
    Some(match (whole, over) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{over}/{under}"),
        _ => format!("{whole} {over}/{under}"),
    })
}

/// Writes a number of at most six decimals.
fn decimal(number: Ratio) -> Option<String> {
    let millionths = number.times(Ratio::new(1_000_000, 1)?)?;
    (millionths.denominator() == 1).then(|| shorten(millionths.numerator(), 6))
}

fn cut_off(number: Ratio) -> String {
    let parts = number.times(Ratio::new(10_000, 1).unwrap_or(Ratio::ONE)).unwrap_or(Ratio::ZERO);
    shorten(parts.numerator() / parts.denominator(), 4)
}

fn shorten(parts: i128, decimals: u32) -> String {
    let scale = 10_i128.pow(decimals);
    let text = format!("{}.{:0width$}", parts / scale, parts % scale, width = decimals as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::write_exact;
    use crate::length::{Ratio, Unit, parse_exact};

    #[test]
    fn is_read_back() {
        for (text, unit, expected) in [
            ("22 1/2 in", Unit::Inch, "22 1/2 in"),
            ("5/64 in", Unit::Inch, "5/64 in"),
            ("815 mm", Unit::Inch, "815 mm"),
            ("0.001 in", Unit::Inch, "0.0254 mm"),
            ("40 in", Unit::Millimetre, "1016 mm"),
            ("81.3 cm", Unit::Centimetre, "81.3 cm"),
            ("0", Unit::Inch, "0 in"),
        ] {
            let exact = parse_exact(text, Some(unit)).unwrap();
            assert_eq!(write_exact(exact, unit), expected);
            assert_eq!(parse_exact(expected, None).unwrap(), exact);
        }
        assert_eq!(write_exact(Ratio::new(1, 3).unwrap(), Unit::Inch), "0.3333 mm");
    }
}
