//! The unit in which lengths are reported: the one that is declared, else that of the lengths as written.

use super::Unit;
use super::sheet_sizes::SheetSize;
use super::token::{TokenKind, tokens};

/// Returns the unit of readings that goes with the first unit in the text of a length or size; `None` if it names none.
///
/// Feet go with inches, metres and microns with millimetres. The name of a sheet stands for the unit in which it is published.
#[must_use]
pub fn unit_named(text: &str) -> Option<Unit> {
    match tokens(text) {
        Ok(tokens) => tokens.iter().find_map(|token| match token.kind {
            TokenKind::Scale(scale) => Some(scale.unit()),
            _ => None,
        }),
        Err(_) => SheetSize::lying(text).map(|(size, _)| size.unit),
    }
}

/// Returns the unit in which lengths are reported: the `declared` one, else the one in which most of those `written` are.
///
/// Metric units count together against inches first; of as many of each the first one written decides. Where no unit is
/// written at all, it is inches.
#[must_use]
pub fn reported_unit(declared: Option<Unit>, written: &[Unit]) -> Unit {
    if let Some(unit) = declared {
        return unit;
    }
    let count = |wanted: &dyn Fn(Unit) -> bool| written.iter().filter(|unit| wanted(**unit)).count();
    let (metric, inches) = (count(&Unit::is_metric), count(&|unit| unit == Unit::Inch));
    let first_is_metric = written.first().is_some_and(|unit| unit.is_metric());
    if metric < inches || (metric == inches && !first_is_metric) {
        return Unit::Inch;
    }
    let (millimetres, centimetres) = (count(&|unit| unit == Unit::Millimetre), count(&|unit| unit == Unit::Centimetre));
    let first = written.iter().copied().find(|unit| unit.is_metric());
    match millimetres.cmp(&centimetres) {
        std::cmp::Ordering::Greater => Unit::Millimetre,
        std::cmp::Ordering::Less => Unit::Centimetre,
        std::cmp::Ordering::Equal => first.unwrap_or(Unit::Millimetre),
    }
}

#[cfg(test)]
mod tests {
    use super::{reported_unit, unit_named};
    use crate::length::Unit;

    const IN: Unit = Unit::Inch;
    const MM: Unit = Unit::Millimetre;
    const CM: Unit = Unit::Centimetre;

    #[test]
    fn a_text_names_its_unit() {
        for (text, unit) in [
            ("300 millimetres", Some(MM)),
            ("50 x 70 cm", Some(CM)),
            ("1.2 m", Some(MM)),
            ("1400 micron", Some(MM)),
            ("5' 4 1/2", Some(IN)),
            ("60 thou", Some(IN)),
            ("A2", Some(MM)),
            ("a3 landscape", Some(MM)),
            ("letter", Some(IN)),
            ("8 x 10", None),
            ("mimosa", None),
            ("equal", None),
        ] {
            assert_eq!(unit_named(text), unit, "{text}");
        }
    }

    #[test]
    fn the_unit_declared_is_reported_else_that_of_most_lengths() {
        assert_eq!(reported_unit(Some(CM), &[IN, IN]), CM);
        assert_eq!(reported_unit(None, &[]), IN);
        assert_eq!(reported_unit(None, &[IN, MM, CM]), MM, "metric units count together");
        assert_eq!(reported_unit(None, &[CM, MM, MM]), MM);
        assert_eq!(reported_unit(None, &[IN, MM]), IN, "the first of as many decides");
        assert_eq!(reported_unit(None, &[MM, IN]), MM);
        assert_eq!(reported_unit(None, &[IN, IN, MM]), IN);
    }
}
