//! What SVG is.

use super::drawing::DECIMALS;
use crate::formats::facts::step_of;
use crate::formats::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis};
use crate::tolerance::READ_BACK_MM;

pub(super) static FACTS: Facts = Facts {
    name: "svg",
    title: "SVG",
    y: YAxis::Down,
    curves: KeptCurves::All,
    step: step_of(DECIMALS),
    // Half of it for the Bézier curves that stand for parallel curves, half for rounding.
    slack: READ_BACK_MM,
    unit: CoordinateUnit::Millimetre,
    unit_is_obeyed: true,
    has_pages: false,
    tools: ToolMark::Color,
    has_depths: false,
    has_speeds: false,
    keeps_names: true,
};
