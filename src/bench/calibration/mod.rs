//! A cutter measured by test cuts, with 95 % intervals, and nothing that the measurements do not support.
//!
//! Every part is fitted first for itself, from its own measurements:
//!
//! | part | setting | what came out |
//! |---|---|---|
//! | guide | its number | the border on the back |
//! | a stop | its number | where the cut ended: the border of the cut that crosses it there, less its bevel, less the over-cut |
//! | lead | where the mark on the head stood | the same, for a cut that was started or ended by eye |
//! | arm | its number | the size of the blank |
//! | blade | – | the bevel as a share of the thickness of the board: the tangent of the angle |
//! | arm's angle | – | the squares of the diagonals: `(b² − a²) / 4WH` |
//!
//! A scale is a line through its points, with offset and stretch; the rest are single numbers. Where a cut ended says only how
//! far offset of the stop and lead of the blade differ, so that the lead comes from cuts by eye or from the profile.
//!
//! Least squares, part by part, say which numbers the measurements support at all, and where they lie about. Then every reading
//! is written as a sum of these numbers, and all are found at once, with their intervals (`together`, `inference`).

mod closure;
mod corrected;
mod ends;
mod estimate;
mod fit;
mod fitted;
mod inference;
mod lengths;
mod mark;
mod normal;
mod pair;
mod piece;
mod reader;
mod readings;
mod record;
mod report;
mod residuals;
mod set_length;
mod slips;
mod student;
mod sums;
mod test_piece;
mod together;
mod words;

pub use estimate::{Estimate, MoreMeasurements};
pub use fitted::{ScaleFit, ValueFit};
#[cfg(feature = "cli")]
pub(crate) use lengths::{measured_over, measured_thickness};
#[cfg(feature = "schema")]
pub use record::record_schema;
pub use record::{CalibrationRecord, RecordedPiece, RecordedSide};
#[cfg(feature = "schema")]
pub use report::calibration_schema;
pub use report::{CALIBRATION_SCHEMA, CalibrationReport};
pub use residuals::{PartReadings, ScaleReading};
pub use student::{probability_within, quantile};
pub use test_piece::{TestPiece, TestSide, record_form};

use closure::Residuals;
use ends::{CutEnd, KnownCorners};
use fit::LineFit;
use fitted::CutterPart;
use pair::CalibrationPoint;
use readings::Readings;
use slips::slips;
use sums::{Guesses, ScaleOf, Unknown};
use together::Together;

use super::{Cutter, End, WrittenCutter};
use crate::checked::Checked;
use crate::job::{Scope, Syntax, read_ruler};
use crate::length::Ruler;
use crate::problem::{KeyPath, Problem, Severity};

/// What test pieces say about a cutter. Parts that were not measured are `None` and stay as they were.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Calibration {
    /// The cutter with everything that was measured.
    pub cutter: Cutter,
    /// The guide.
    pub guide: Option<ScaleFit>,
    /// The far and the near stop; their offsets go with the lead of the cutter.
    pub stops: [Option<ScaleFit>; 2],
    /// The scale of the squaring arm.
    pub arm: Option<ScaleFit>,
    /// The lead in millimetres where the blade goes in and where it comes out.
    pub leads: [Option<ValueFit>; 2],
    /// Angle of the blade from upright, in degrees.
    pub bevel_angle_deg: Option<ValueFit>,
    /// How much more than a right angle the corner between arm and cut has, in degrees.
    pub out_of_square_deg: Option<ValueFit>,
    /// How much wider borders are at the far end than at the near end, as a share of the length between.
    pub drift: Option<ValueFit>,
    /// What every scale that was fitted was set to, and what came out.
    pub readings: Vec<PartReadings>,
    /// Number of test pieces.
    pub pieces: usize,
    /// Number of readings across openings: without any, borders that were all measured on the face go with each other.
    pub openings: usize,
}

/// Angles in degrees that the blade of a bevel head may have (common practice, no source).
const BLADE_DEG: [f64; 2] = [30.0, 65.0];

/// Half the error in millimetres that a blank as long as the reach of the arm may have from an arm out of square, and
/// the border of a long cut from a guide that is not parallel (common practice, no source).
const SQUARE_GOAL_MM: f64 = 0.5;

impl CalibrationRecord {
    /// Fits a cutter to what was measured; `before` is the profile so far, or a usual cutter.
    ///
    /// Errors are lengths that cannot be read, measurements that say nothing without others that are missing, and parts of
    /// which there are too few for a fit with an uncertainty. Warnings are measurements that do not go with the others, and
    /// what cannot be put right by a setting.
    pub fn calibrate(&self, before: &Cutter) -> Checked<Calibration> {
        let mut problems = Vec::new();
        let ruler = match self.unit {
            None => before.ruler,
            Some(unit) => read_ruler(unit, self.ruler_parts).unwrap_or_else(|problem| {
                problems.push(problem);
                Ruler::usual(unit)
            }),
        };
        let scope = Scope::root(self.unit, ruler);
        let mut reader = reader::RecordReader { cutter: before, readings: Readings::default(), problems };
        reader.record(self, &scope);
        let reader::RecordReader { readings, problems, .. } = reader;
        let (problems, warnings): (Vec<_>, Vec<_>) = problems.into_iter().partition(Problem::is_error);
        // What is known to be wrong is not fitted: the first slip is better told than what follows from it.
        if !problems.is_empty() {
            return Checked::wrong(problems);
        }
        let mut fitter = Fitter { before, ruler, mark: readings.mark, problems, warnings };
        let calibration = fitter.fit(&readings, self.piece.len());
        let Fitter { mut problems, warnings, .. } = fitter;
        if problems.is_empty() {
            if readings.count() == 0 {
                let help = "write down what was set and what came out, for each piece and side";
                problems.push(Problem::error("nothing-measured", KeyPath::root(), "nothing was measured", help));
            } else if calibration.is_empty() {
                // Too little for anything: every reason is one to refuse the whole.
                let as_error = |warning| Problem { severity: Severity::Error, ..warning };
                return Checked::wrong(warnings.into_iter().map(as_error).collect());
            }
            problems.extend(disbelieved(&calibration.cutter));
        }
        problems.extend(warnings);
        Checked::if_sound(calibration, problems)
    }
}

/// Returns what a profile of the cutter would be refused for.
fn disbelieved(cutter: &Cutter) -> Vec<Problem> {
    let refused = match WrittenCutter::read(&cutter.to_toml(&[]), Syntax::Toml) {
        Ok(written) => written.resolve().problems,
        Err(_) => Vec::new(),
    };
    let at_root = |problem: Problem| {
        let message = format!("the fit cannot be right, `{}`: {}", problem.place.path, problem.message);
        let help = "look for a number in the wrong unit or on the wrong line";
        Problem { numbers: problem.numbers, ..Problem::error(problem.code, KeyPath::root(), message, help) }
    };
    refused.into_iter().map(at_root).collect()
}

/// Fits the parts of one cutter and collects why some cannot be fitted.
struct Fitter<'c> {
    before: &'c Cutter,
    ruler: Ruler,
    /// The smallest mark in millimetres of the ruler that was measured with; zero if nobody said.
    mark: f64,
    problems: Vec<Problem>,
    warnings: Vec<Problem>,
}

impl Fitter<'_> {
    fn fit(&mut self, readings: &Readings, pieces: usize) -> Calibration {
        let goal = 0.5 * self.before.ruler.unit().millimetres() / f64::from(self.before.ruler.parts());
        let before = self.before;
        let guide = self.line(&readings.guide, CutterPart { name: "the guide", what: "borders" }, before.guide.stretch);
        let arm = self.line(&readings.arm, CutterPart { name: "the arm", what: "blanks" }, before.arm.stretch);
        let bevel = self.value(&readings.bevel, CutterPart { name: "the bevel", what: "bevels" });
        let square = self.value(&readings.square, CutterPart { name: "the pair of diagonals", what: "diagonals" });
        let drift = self.value(&readings.drift, CutterPart { name: "the border at both ends", what: "borders" });
        let corners = KnownCorners {
            cutter: before,
            guide: guide.as_ref(),
            arm: arm.as_ref(),
            tangent: bevel.as_ref(),
            drift: drift.as_ref().map(|fit| fit.at(0.0)),
        };
        let (leads, stops) = self.ends(readings, &corners);
        let guesses = Guesses {
            cutter: before,
            guide: guide.as_ref(),
            arm: arm.as_ref(),
            stops: stops.each_ref().map(|(_, fit)| fit.as_ref()),
            leads: leads.each_ref().map(|(_, fit)| fit.as_ref()),
            tangent: bevel.as_ref(),
            sine: square.as_ref(),
            drift: drift.as_ref(),
        };
        let known = Together::new(readings, guesses, self.mark);
        self.judge(readings, &known, guide.as_ref(), arm.as_ref());
        let scale = |fit: &Option<LineFit>, which| fit.as_ref().map(|fit| ScaleFit::new(fit, &known, which, goal));
        let value = |fit: &Option<LineFit>, unknown, goal, function: fn(f64) -> f64| {
            fit.as_ref().map(|fit| ValueFit::new(fit, known.value(unknown), goal, function))
        };
        let lead = |(_, fit): &FittedEnds, entry| value(fit, Unknown::Lead { entry }, goal, |lead| lead);
        let ([far, near], [entry, exit]) = (&stops, &leads);
        let square_goal = SQUARE_GOAL_MM / before.arm.reach;
        let calibration = Calibration {
            cutter: before.clone(),
            guide: scale(&guide, ScaleOf::Guide),
            stops: [scale(&far.1, ScaleOf::Stop(End::Far)), scale(&near.1, ScaleOf::Stop(End::Near))],
            arm: scale(&arm, ScaleOf::Arm),
            leads: [lead(entry, true), lead(exit, false)],
            bevel_angle_deg: value(&bevel, Unknown::Tangent, goal / readings.thickest, |tangent| {
                tangent.atan().to_degrees()
            }),
            out_of_square_deg: value(&square, Unknown::Sine, square_goal, |sine| {
                sine.clamp(-1.0, 1.0).asin().to_degrees()
            }),
            drift: value(&drift, Unknown::Drift, square_goal, |share| share),
            readings: Vec::new(),
            pieces,
            openings: readings.openings.len(),
        };
        let [far_stop, near_stop] = calibration.stops;
        let parts = [
            ("guide", readings.guide.as_slice(), calibration.guide),
            ("far stop", &far.0, far_stop),
            ("near stop", &near.0, near_stop),
            ("arm", &readings.arm, calibration.arm),
        ];
        let calibration = Calibration { readings: residuals::of(parts, &self.warnings), ..calibration };
        self.check_blade(&calibration, readings);
        self.warn_of_drift(&calibration);
        self.warn_of_leads(&calibration);
        Calibration { cutter: calibration.corrected(before), ..calibration }
    }

    /// Fits the leads where the blade goes in and comes out, and the far and the near stop.
    fn ends(&mut self, readings: &Readings, corners: &KnownCorners<'_>) -> ([FittedEnds; 2], [FittedEnds; 2]) {
        let before = self.before;
        let ends = |wanted: &dyn Fn(&CutEnd) -> bool| {
            corners.ends(&readings.ends.iter().filter(|end| wanted(end)).collect::<Vec<_>>())
        };
        let leads = [("where the blade goes in", true), ("where the blade comes out", false)].map(|(name, entry)| {
            let ends = ends(&|end| end.by_eye && (end.end == before.starts) == entry);
            let fit = self.value(&ends, CutterPart { name, what: "cuts by eye" });
            (ends, fit)
        });
        let stops = [("the far stop", End::Far), ("the near stop", End::Near)].map(|(name, at)| {
            let ends = ends(&|end| !end.by_eye && end.end == at);
            let stretch = before.stop_at(at).map_or(0.0, |scale| scale.stretch);
            let fit = self.line(&ends, CutterPart { name, what: "ends of cuts" }, stretch);
            (ends, fit)
        });
        (leads, stops)
    }

    fn line(&mut self, pairs: &[CalibrationPoint], part: CutterPart, stretch: f64) -> Option<LineFit> {
        let (fit, warnings) =
            fitted::line(pairs, part, self.ruler, stretch).unwrap_or_else(|warning| (None, vec![warning]));
        self.warnings.extend(warnings);
        self.keep(fit?, pairs, part)
    }

    fn value(&mut self, pairs: &[CalibrationPoint], part: CutterPart) -> Option<LineFit> {
        let fit = fitted::value(pairs, part).unwrap_or_else(|warning| {
            self.warnings.push(warning);
            None
        });
        self.keep(fit?, pairs, part)
    }

    fn keep(&mut self, fit: LineFit, pairs: &[CalibrationPoint], part: CutterPart) -> Option<LineFit> {
        if self.mark <= 0.0 && fit.hides_its_spread() {
            self.warnings.extend(pairs.first().map(|pair| fitted::no_scatter(pair, pairs.len(), part)));
        }
        Some(fit)
    }

    /// Names readings that do not go with the others, and refuses lengths that do not add up.
    fn judge(&mut self, readings: &Readings, known: &Together<'_>, guide: Option<&LineFit>, arm: Option<&LineFit>) {
        let scatter = known.scatter().hypot(self.mark / 12.0_f64.sqrt());
        let guide = Residuals { fit: guide, pairs: &readings.guide };
        let arm = Residuals { fit: arm, pairs: &readings.arm };
        let all = closure::check_all(&readings.closures, self.mark);
        let each = readings.closures.iter().filter(|_| all.is_none());
        let lengths = each.filter_map(|closure| closure.check(scatter, guide, arm));
        let diagonals = readings.diagonals.iter();
        let diagonals = diagonals.filter_map(|(excess, path)| closure::check_diagonals(*excess, path, scatter));
        // Where all lengths are off alike, single readings say no more of it.
        let slips = if all.is_none() { slips(known) } else { Vec::new() };
        let found = all.iter().cloned().chain(lengths).chain(diagonals).chain(slips);
        let (errors, warnings): (Vec<_>, Vec<_>) = found.partition(Problem::is_error);
        self.problems.extend(errors);
        self.warnings.extend(warnings);
    }

    /// No bevel head leans as little, or as much, as a bevel or a thickness in the wrong unit says.
    fn check_blade(&mut self, calibration: &Calibration, readings: &Readings) {
        let [least, most] = BLADE_DEG;
        let angle = calibration.bevel_angle_deg.map(|fit| fit.estimate.value);
        let Some(angle) = angle.filter(|angle| !(least..=most).contains(angle)) else { return };
        let Some(pair) = readings.bevel.first() else { return };
        let message =
            format!("the bevels and the thickness of the board give an angle of {angle:.1}°: no blade leans like that");
        let help = "look for the wrong unit, and measure bevels and thickness again";
        self.problems.push(
            Problem::error("impossible", &pair.path, message, help)
                .with_degrees("angle", angle)
                .with_degrees("least", least)
                .with_degrees("most", most),
        );
    }

    /// A guide that is not parallel to the rail cannot be put right by a setting.
    fn warn_of_drift(&mut self, calibration: &Calibration) {
        let Some(drift) = calibration.drift.filter(|drift| !drift.estimate.holds(0.0)) else {
            return;
        };
        let Estimate { value, .. } = drift.estimate;
        let (wider, toward) = if value > 0.0 { ("far", "towards") } else { ("near", "away from") };
        let message = format!(
            "borders are wider at the {wider} end, by {:.1} ± {:.1} mm in a metre: the guide is not parallel to the rail",
            1000.0 * value.abs(),
            1000.0 * drift.estimate.half_width()
        );
        let help = format!("move the far end of the guide {toward} the rail by that much, and measure again");
        self.warnings.push(
            Problem::warning("drift", KeyPath::root(), message, help)
                .with_mm("in_a_metre", 1000.0 * value)
                .with_mm("uncertainty", 1000.0 * drift.estimate.half_width()),
        );
    }
}

impl Fitter<'_> {
    /// The offset of a stop goes with the lead that it was fitted with.
    fn warn_of_leads(&mut self, calibration: &Calibration) {
        let [entry, exit] = &calibration.leads;
        for (end, stop) in End::BOTH.into_iter().zip(&calibration.stops) {
            let (lead, place) = if end == self.before.starts { (entry, "goes in") } else { (exit, "comes out") };
            let Some(lead) = lead.filter(|_| stop.is_none() && self.before.stops.is_some()) else {
                continue;
            };
            let message = format!(
                "the over-run where the blade {place} was measured, but the {} stop was not: its settings change by {:.2} mm",
                end.name(),
                lead.estimate.value - self.before.lead_at(end)
            );
            let help = "cut test pieces from stop to stop too";
            self.warnings.push(
                Problem::warning("lead-without-stop", KeyPath::root(), message, help)
                    .with_mm("change", lead.estimate.value - self.before.lead_at(end)),
            );
        }
    }
}

/// Ends of cuts, and what was fitted to them.
type FittedEnds = (Vec<CalibrationPoint>, Option<LineFit>);
