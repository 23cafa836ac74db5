//! Records of test pieces, read and fitted.
#![allow(clippy::panic, reason = "a test fails by panicking")]

use backline::bench::{Calibration, CalibrationRecord, Cutter};
use backline::checked::Checked;
use backline::job::Syntax;
use backline::problem::Problem;

/// What was fitted, with what is doubtful about it.
#[derive(Debug)]
pub(crate) struct Fitted {
    pub(crate) calibration: Calibration,
    pub(crate) warnings: Vec<Problem>,
}

impl std::ops::Deref for Fitted {
    type Target = Calibration;

    fn deref(&self) -> &Calibration {
        &self.calibration
    }
}

/// Fits the record in a text to a cutter as it was before; returns what is wrong in words if nothing can be fitted.
pub(crate) fn fit(text: &str, before: &Cutter) -> Result<Fitted, Vec<String>> {
    let record = CalibrationRecord::read(text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let Checked { value, problems, .. } = record.calibrate(before);
    match value {
        Some(calibration) => Ok(Fitted { calibration, warnings: problems }),
        None => Err(problems.iter().map(ToString::to_string).collect()),
    }
}
