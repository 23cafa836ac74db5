//! What HP-GL is, and what its writers and its reader share.

use crate::formats::number;
use crate::formats::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis};

/// Plotter units in a millimetre (a unit is 0.025 mm: HP PCL 5 Technical Reference, part II, table 17-7).
pub(super) const UNITS_PER_MM: f64 = 40.0;
/// Millimetres in a plotter unit.
pub(super) const UNIT_MM: f64 = 0.025;
/// Width in letter widths from the start of one letter to the start of the next: letters keep half a width of space (HP-GL
/// standard character set, from memory).
pub(super) const LETTER_PITCH: f64 = 1.5;

pub(super) static FACTS: Facts = Facts {
    name: "hpgl",
    title: "HP-GL",
    y: YAxis::Up,
    curves: KeptCurves::Arcs,
    step: Some(UNIT_MM),
    // Half a unit in both directions at once.
    slack: 0.5 * UNIT_MM * std::f64::consts::SQRT_2,
    unit: CoordinateUnit::PlotterUnit,
    unit_is_obeyed: false,
    has_pages: false,
    tools: ToolMark::Pen,
    has_depths: false,
    has_speeds: true,
    keeps_names: false,
};

/// A position in plotter units or in steps.
pub(super) type PlotterPoint = (i64, i64);

/// Appends an instruction with whole numbers. Each has a line of its own; devices skip line ends.
pub(super) fn push_instruction(out: &mut Vec<u8>, mnemonic: &str, numbers: &[i64]) {
    out.extend_from_slice(mnemonic.as_bytes());
    for (place, value) in numbers.iter().enumerate() {
        if place > 0 {
            out.push(b',');
        }
        number::push_integer(out, *value);
    }
    end_instruction(out);
}

/// Ends an instruction.
pub(super) fn end_instruction(out: &mut Vec<u8>) {
    out.extend_from_slice(b";\n");
}

/// Appends x and y of a position.
pub(super) fn push_position(out: &mut Vec<u8>, (x, y): PlotterPoint) {
    number::push_steps(out, x);
    out.push(b',');
    number::push_steps(out, y);
}
