//! Coordinates and sizes written in the unit that was chosen for a file.

use super::number;
use crate::formats::FileUnit;
use crate::program::MachineUnit;

/// The unit of the numbers of a file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CoordinateGrid {
    /// How many millimetres one of it is.
    pub(super) millimetres: f64,
}

/// Decimals of lengths in millimetres.
pub(super) const DECIMALS: usize = 6;
/// Units longer than this many millimetres need more decimals.
const LONG_UNIT_MM: f64 = 2.0;

impl CoordinateGrid {
    /// Appends a length in millimetres as a number in the unit.
    ///
    /// Six decimals of a millimetre are a nanometre, eight decimals of an inch a quarter of one: reading the file back
    /// returns the same length (see [`SAME_LENGTH_MM`](crate::tolerance::SAME_LENGTH_MM)). In units up to a metre it is
    /// read back within a hundred-thousandth of a millimetre.
    pub(super) fn push(self, out: &mut Vec<u8>, millimetres: f64) {
        let value = millimetres / self.millimetres;
        if self.millimetres > LONG_UNIT_MM {
            number::push::<8>(out, value);
        } else {
            number::push::<DECIMALS>(out, value);
        }
    }

    /// Returns a length in millimetres as text in the unit.
    pub(super) fn text(self, millimetres: f64) -> String {
        let mut out = Vec::new();
        self.push(&mut out, millimetres);
        out.into_iter().map(char::from).collect()
    }
}

impl From<FileUnit> for CoordinateGrid {
    fn from(unit: FileUnit) -> Self {
        Self { millimetres: unit.millimetres() }
    }
}

impl From<&MachineUnit> for CoordinateGrid {
    fn from(unit: &MachineUnit) -> Self {
        Self { millimetres: unit.millimetres }
    }
}

/// Appends a length in millimetres as a number in the unit of the file.
pub(super) fn push(out: &mut Vec<u8>, millimetres: f64, unit: impl Into<CoordinateGrid>) {
    unit.into().push(out, millimetres);
}

/// Returns a length in millimetres as text in the unit of the file.
pub(super) fn text(millimetres: f64, unit: impl Into<CoordinateGrid>) -> String {
    unit.into().text(millimetres)
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
