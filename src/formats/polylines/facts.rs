//! What the forms of polylines are.

use crate::formats::facts::step_of;
use crate::formats::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis, coordinate};
use crate::tolerance::ROUNDED_FILE_MM;

pub(super) static TEXT: Facts = facts("polylines", "Polylines as text", ToolMark::Number);
pub(super) static JSON: Facts = facts("json", "Polylines as JSON", ToolMark::Nothing);

const fn facts(name: &'static str, title: &'static str, tools: ToolMark) -> Facts {
    Facts {
        name,
        title,
        y: YAxis::Down,
        curves: KeptCurves::Nothing,
        step: step_of(coordinate::DECIMALS),
        // Rounding of the six decimals, with room to spare.
        slack: ROUNDED_FILE_MM,
        unit: CoordinateUnit::Chosen,
        unit_is_obeyed: true,
        has_pages: false,
        tools,
        has_depths: false,
        has_speeds: false,
        keeps_names: false,
    }
}
