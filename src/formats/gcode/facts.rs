//! What G-code is.

use crate::formats::facts::step_of;
use crate::formats::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis, coordinate};
use crate::tolerance::ROUNDED_FILE_MM;

pub(super) static FACTS: Facts = Facts {
    name: "gcode",
    title: "G-code",
    y: YAxis::Up,
    curves: KeptCurves::Arcs,
    step: step_of(coordinate::DECIMALS),
    // Rounding, with room for the centres of arcs that it moves.
    slack: ROUNDED_FILE_MM,
    unit: CoordinateUnit::Chosen,
    unit_is_obeyed: true,
    has_pages: false,
    tools: ToolMark::Change,
    has_depths: true,
    has_speeds: true,
    keeps_names: false,
};
