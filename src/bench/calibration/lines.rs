//! The lines on which all readings of a record lie.

use super::ends::{EndsOfCuts, KnownCorners};
use super::pair::CalibrationPoint;
use super::readings::{DiagonalReading, OpeningReading, Readings};
use super::slips::ReadingsLine;
use crate::bench::Scale;
use crate::problem::KeyPath;

/// Lists the readings of all kinds, each kind on its line.
pub(super) fn of<'e>(
    readings: &Readings,
    corners: &KnownCorners<'_>,
    ends: impl Iterator<Item = &'e EndsOfCuts>,
) -> Vec<ReadingsLine> {
    let line = |pairs: Vec<CalibrationPoint>, slopes: bool, what: &'static str| ReadingsLine { pairs, slopes, what };
    let opening = |opening: &OpeningReading| {
        let [one, other] = opening.borders;
        let expected = opening.blank.fitted(corners.arm) - one.fitted(corners.guide) - other.fitted(corners.guide);
        // What is left open of the stretch of the guide goes with both its numbers.
        pair(one.read + other.read, opening.read - expected, &opening.path)
    };
    let diagonal = |diagonal: &DiagonalReading| {
        let [width, height] = diagonal.sides.map(|side| side.fitted(corners.arm));
        let across = width.hypot(height);
        // `d² = W² + H² ∓ 2 W H s`: the slope is the sine of the angle beyond a right one.
        pair(diagonal.sign * width * height / across, diagonal.read - across, &diagonal.path)
    };
    let mut lines = vec![
        line(beside_profile(&readings.guide, Some(&corners.cutter.guide)), true, "borders"),
        line(beside_profile(&readings.arm, Some(&corners.cutter.arm)), true, "blanks"),
        line(readings.bevel_widths.clone(), false, "bevels"),
        line(readings.openings.iter().map(opening).collect(), true, "openings"),
        line(readings.single_diagonals.iter().map(diagonal).collect(), true, "diagonals"),
    ];
    lines.extend(ends.map(|ends| {
        let pairs = ends.along_their_numbers();
        line(beside_profile(&pairs, ends.scale(corners.cutter)), true, "ends of cuts")
    }));
    lines.retain(|line| !line.pairs.is_empty());
    lines
}

/// Takes off what the profile says of the numbers that were set, so that readings too few for a slope lie level.
fn beside_profile(pairs: &[CalibrationPoint], scale: Option<&Scale>) -> Vec<CalibrationPoint> {
    let expected = |pair: &CalibrationPoint| scale.map_or(0.0, |scale| scale.distance(pair.set));
    pairs.iter().map(|pair| CalibrationPoint { given: pair.given - expected(pair), ..pair.clone() }).collect()
}

fn pair(set: f64, given: f64, path: &KeyPath) -> CalibrationPoint {
    CalibrationPoint { set, given, scale: 1.0, roundings: 1, path: path.clone() }
}
