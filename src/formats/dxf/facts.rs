//! What DXF is.

use crate::formats::facts::step_of;
use crate::formats::{Facts, KeptCurves, NumberUnit, YAxis, coordinate};
use crate::tolerance::ROUNDED_FILE_MM;

pub(super) static FACTS: Facts = Facts {
    name: "dxf",
    title: "DXF",
    y: YAxis::Up,
    curves: KeptCurves::ArcsAndEllipses,
    step: step_of(coordinate::DECIMALS),
    // Rounding, with room for the centres and bulges that it moves.
    slack: ROUNDED_FILE_MM,
    unit: NumberUnit::Chosen,
    unit_is_obeyed: false,
    has_pages: false,
};
