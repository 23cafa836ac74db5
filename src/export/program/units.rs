//! Lengths written in the unit of a machine's files.

use crate::export::coordinate::Grid;
use crate::machine::MachineUnit;

/// Appends a length in millimetres as a number in a unit.
pub(super) fn push(out: &mut Vec<u8>, millimetres: f64, unit: &MachineUnit) {
    Grid::from(unit).push(out, millimetres);
}

/// Returns a length in millimetres as text in a unit.
pub(super) fn text(millimetres: f64, unit: &MachineUnit) -> String {
    Grid::from(unit).text(millimetres)
}
