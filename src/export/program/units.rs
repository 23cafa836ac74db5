//! Lengths written in the unit of a machine's files.

use crate::export::number;
use crate::machine::MachineUnit;

/// Units longer than this many millimetres need more decimals.
const LONG_UNIT_MM: f64 = 2.0;

/// Appends a length in millimetres as a number in a unit.
///
/// It is read back within a hundred-thousandth of a millimetre for units up to a metre, and within a nanometre for
/// millimetres and inches.
pub(super) fn push(out: &mut Vec<u8>, millimetres: f64, unit: &MachineUnit) {
    let value = millimetres / unit.millimetres;
    if unit.millimetres > LONG_UNIT_MM {
        number::push::<8>(out, value);
    } else {
        number::push::<6>(out, value);
    }
}

/// Returns a length in millimetres as text in a unit.
pub(super) fn text(millimetres: f64, unit: &MachineUnit) -> String {
    let mut out = Vec::new();
    push(&mut out, millimetres, unit);
    String::from_utf8(out).unwrap_or_default()
}
