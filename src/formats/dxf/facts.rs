//! What DXF is.

use crate::formats::facts::step_of;
use crate::formats::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis, coordinate};
use crate::tolerance::ROUNDED_FILE_MM;

pub(super) static FACTS: Facts = Facts {
    name: "dxf",
    title: "DXF",
    y: YAxis::Up,
    curves: KeptCurves::ArcsAndEllipses,
    step: step_of(coordinate::DECIMALS),
    // Rounding, with room for the centres and bulges that it moves.
    slack: ROUNDED_FILE_MM,
    unit: CoordinateUnit::Chosen,
    unit_is_obeyed: false,
    has_pages: false,
    tools: ToolMark::Layer,
    has_depths: false,
    has_speeds: false,
    keeps_names: false,
};
