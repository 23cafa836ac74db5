//! Coordinates and sizes written in the unit that the user chose for a file.

use super::exporter::FileUnit;
use super::number;

/// Appends a length in millimetres as a number in the unit of the file.
///
/// Six decimals of a millimetre are a nanometre, eight decimals of an inch a quarter of one: reading the file back
/// returns the same length (see [`SAME_LENGTH_MM`](crate::tolerance::SAME_LENGTH_MM)).
pub(super) fn push(out: &mut Vec<u8>, millimetres: f64, unit: FileUnit) {
    match unit {
        FileUnit::Millimetre => number::push::<6>(out, millimetres),
        FileUnit::Inch => number::push::<8>(out, millimetres * FileUnit::Inch.per_millimetre()),
    }
}

#[cfg(test)]
mod tests {
    use super::{FileUnit, push};

    #[test]
    fn an_inch_fraction_is_exact_in_both_units() {
        for (unit, expected) in [(FileUnit::Millimetre, "80.9625"), (FileUnit::Inch, "3.1875")] {
            let mut out = Vec::new();
            push(&mut out, 80.9625, unit);
            assert_eq!(out, expected.as_bytes());
        }
    }
}
