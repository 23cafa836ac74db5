//! A calibration as data for other programs: the object that `calibrate fit --json` prints.

use serde::Serialize;

use super::{Calibration, ScaleFit, ValueFit};
use crate::job::FoundProblem;

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const CALIBRATION_SCHEMA: &str = "backline-calibration/2";

/// A calibration as data: lengths in millimetres, angles in degrees, stretch and drift as shares.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CalibrationReport {
    #[cfg_attr(feature = "schema", schemars(extend("const" = CALIBRATION_SCHEMA)))]
    schema: &'static str,
    name: String,
    pieces: usize,
    /// Readings across openings; with none, borders measured on the face by mistake cannot be told.
    openings: usize,
    confidence: f64,
    guide: Option<ScaleFit>,
    far_stop: Option<ScaleFit>,
    near_stop: Option<ScaleFit>,
    arm: Option<ScaleFit>,
    entry_lead: Option<ValueFit>,
    exit_lead: Option<ValueFit>,
    bevel_angle: Option<ValueFit>,
    out_of_square: Option<ValueFit>,
    drift: Option<ValueFit>,
    /// The corrected profile as TOML; `None` if there is none.
    profile: Option<String>,
    problems: Vec<FoundProblem>,
}

/// Returns the JSON Schema of [`CalibrationReport`].
#[cfg(feature = "schema")]
#[must_use]
pub fn calibration_schema() -> serde_json::Value {
    crate::job::output_schema_of::<CalibrationReport>()
}

impl CalibrationReport {
    /// Makes the report of a calibration.
    #[must_use]
    pub fn new(calibration: &Calibration, problems: Vec<FoundProblem>) -> Self {
        let Calibration { cutter, guide, stops: [far_stop, near_stop], arm, leads: [entry, exit], .. } = calibration;
        Self {
            name: cutter.name.clone(),
            pieces: calibration.pieces,
            openings: calibration.openings,
            guide: *guide,
            far_stop: *far_stop,
            near_stop: *near_stop,
            arm: *arm,
            entry_lead: *entry,
            exit_lead: *exit,
            bevel_angle: calibration.bevel_angle_deg,
            out_of_square: calibration.out_of_square_deg,
            drift: calibration.drift,
            profile: Some(cutter.to_toml(&calibration.remarks())),
            ..Self::refused(problems)
        }
    }

    /// Makes the report of a record that supports no calibration.
    #[must_use]
    pub fn refused(problems: Vec<FoundProblem>) -> Self {
        Self {
            schema: CALIBRATION_SCHEMA,
            name: String::new(),
            pieces: 0,
            openings: 0,
            confidence: super::student::CONFIDENCE,
            guide: None,
            far_stop: None,
            near_stop: None,
            arm: None,
            entry_lead: None,
            exit_lead: None,
            bevel_angle: None,
            out_of_square: None,
            drift: None,
            profile: None,
            problems,
        }
    }
}
