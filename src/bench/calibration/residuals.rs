//! The readings of each scale beside what was fitted to them, to be drawn and listed.

use super::fitted::ScaleFit;
use super::pair::CalibrationPoint;
use crate::problem::Problem;

/// The readings of a scale.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PartReadings {
    /// The part: `guide`, `far stop`, `near stop`, `arm`.
    pub part: &'static str,
    /// What was fitted to them.
    pub fit: ScaleFit,
    /// The readings in the order of the record.
    pub readings: Vec<ScaleReading>,
}

/// A number that a scale was set to, and what came out; in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ScaleReading {
    /// The number.
    pub set: f64,
    /// What came out; at a stop with the lead of the blade taken off, so that it is what the scale gave.
    pub given: f64,
    /// Whether it lies farther from the others than chance explains.
    pub doubtful: bool,
}

impl ScaleFit {
    /// Returns what the fit says that a number gives, in millimetres.
    #[must_use]
    pub fn at(&self, number: f64) -> f64 {
        self.middle_distance.value + (1.0 + self.stretch.value) * (number - self.middle)
    }
}

/// Lists the readings of every scale that was fitted.
pub(super) fn of(
    parts: [(&'static str, &[CalibrationPoint], Option<ScaleFit>); 4],
    warnings: &[Problem],
) -> Vec<PartReadings> {
    parts.into_iter().filter_map(|(part, pairs, fit)| part_of(part, fit?, pairs, warnings)).collect()
}

fn part_of(
    part: &'static str,
    fit: ScaleFit,
    pairs: &[CalibrationPoint],
    warnings: &[Problem],
) -> Option<PartReadings> {
    // The fit of a stop is that of its scale, without the lead that is in every reading.
    let lead = pairs.iter().map(|pair| fit.at(pair.set) - pair.given).sum::<f64>() / pairs.len() as f64;
    let doubtful =
        |pair: &CalibrationPoint| warnings.iter().any(|found| found.code == "outlier" && found.place.path == pair.path);
    let reading =
        |pair: &CalibrationPoint| ScaleReading { set: pair.set, given: pair.given + lead, doubtful: doubtful(pair) };
    let readings: Vec<ScaleReading> = pairs.iter().map(reading).collect();
    (!readings.is_empty()).then_some(PartReadings { part, fit, readings })
}
