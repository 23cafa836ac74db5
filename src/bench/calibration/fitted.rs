//! What measurements say of one part of a cutter, or why they say nothing.

use serde::Serialize;

use super::estimate::{Estimate, MoreMeasurements};
use super::fit::LineFit;
use super::pair::CalibrationPoint;
use super::sums::ScaleOf;
use super::together::Together;
use crate::bench::{Known, Scale};
use crate::length::Ruler;
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// A scale as measured; lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ScaleFit {
    /// The distance that the number zero stands for.
    pub offset: Estimate,
    /// How much more the distance grows than the number, as a share.
    pub stretch: Estimate,
    /// The number at which the distance is known best, independently of the stretch: about the middle of those that were set.
    pub middle: f64,
    /// The distance there.
    pub middle_distance: Estimate,
    /// The smallest number that was set; below it the fit is a guess.
    pub from: f64,
    /// The largest number that was set; above it the fit is a guess.
    pub to: f64,
    /// Standard deviation of one measurement from the fit.
    pub spread: f64,
    /// Half the width of the 95 % interval of a distance, where it is widest between `from` and `to`.
    pub half_width: f64,
    /// What `half_width` need not be below: half the smallest mark of the scale.
    pub goal: f64,
    /// Number of measurements.
    pub readings: usize,
    /// How many more cuts are worth making.
    pub more: MoreMeasurements,
}

/// One number as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ValueFit {
    /// The number with its interval.
    pub estimate: Estimate,
    /// What half the width of the interval need not be below.
    pub goal: f64,
    /// Number of measurements.
    pub readings: usize,
    /// How many more measurements are worth making.
    pub more: MoreMeasurements,
}

/// A stretch that is known no better than this share is not known: no scale is off by as much.
const WORST_STRETCH: f64 = 0.05;

/// The words for a part of a cutter in messages.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutterPart {
    /// The part: `the guide`.
    pub(super) name: &'static str,
    /// What was measured: `borders`.
    pub(super) what: &'static str,
}

/// Fits a scale to its readings; `None` if there are none. Where they do not tell the stretch, it stays as it was and the
/// offset alone is fitted, with a warning.
///
/// # Errors
///
/// Returns a warning that the part stays as it was.
pub(super) fn line(
    pairs: &[CalibrationPoint],
    part: CutterPart,
    ruler: Ruler,
    stretch: f64,
) -> Result<(Option<LineFit>, Vec<Problem>), Problem> {
    let Some(first) = pairs.first() else {
        return Ok((None, Vec::new()));
    };
    let CutterPart { name, what } = part;
    let sets = || pairs.iter().map(|pair| pair.set);
    let (low, high) = (sets().fold(f64::INFINITY, f64::min), sets().fold(f64::NEG_INFINITY, f64::max));
    let count = pairs.len();
    let warn = |message: String, help: String| {
        Problem::warning("too-few-cuts", &first.path, message, help)
            .with_count("cuts", count)
            .with_mm("from", low)
            .with_mm("to", high)
    };
    let points = || pairs.iter().map(|pair| (pair.set, pair.given));
    let alone = |why: String| match LineFit::offset(points(), 1.0 + stretch) {
        Some(fit) => {
            let message = format!("{why}; its stretch stays as it was, and only its offset is fitted");
            Ok((
                Some(fit),
                vec![warn(
                    message,
                    format!("cut and measure more, at settings farther apart, for the stretch of {name}"),
                )],
            ))
        }
        None => {
            let message = format!("{name} was measured only once, at {}, and stays as it was", ruler.show(low));
            Err(warn(message, "cut and measure 2 or more at other settings, far from it".to_owned()))
        }
    };
    if high - low <= SAME_LENGTH_MM {
        return alone(format!("{name} was at {} for all {count} {what}", ruler.show(low)));
    }
    let Some(fit) = LineFit::line(points().collect()) else {
        return alone(format!(
            "{count} {what} are too few for offset and stretch of {name} and how far they may be off"
        ));
    };
    let doubt = fit.reach() * fit.slope_error();
    if doubt > WORST_STRETCH {
        return alone(format!(
            "the {count} {what} from {} to {} leave the stretch of {name} uncertain by ±{:.0} %",
            ruler.show(low),
            ruler.show(high),
            100.0 * doubt
        ));
    }
    Ok((Some(fit), Vec::new()))
}

/// Fits one number to its readings; `None` if there are none.
///
/// # Errors
///
/// Returns a warning that the part stays as it was.
pub(super) fn value(pairs: &[CalibrationPoint], part: CutterPart) -> Result<Option<LineFit>, Problem> {
    let Some(first) = pairs.first() else {
        return Ok(None);
    };
    let CutterPart { name, what } = part;
    LineFit::value(pairs.iter().map(|pair| pair.given)).map(Some).ok_or_else(|| {
        let message =
            format!("{name} was measured only once, so nothing says how far it may be off; it stays as it was");
        Problem::warning("too-few-cuts", &first.path, message, format!("measure {what} at least twice"))
            .with_count("cuts", 1)
    })
}

/// Warns that readings which agree to the last figure do not say how far they may be off.
pub(super) fn no_scatter(first: &CalibrationPoint, count: usize, part: CutterPart) -> Problem {
    let message = format!(
        "all {count} {} for {} agree to the last digit: the divisions of the ruler hide how far they may be off",
        part.what, part.name
    );
    let help = "add the smallest division of that ruler at the top of the file, such as reading = \"0.1 mm\"";
    Problem::warning("no-scatter", &first.path, message, help).with_count("cuts", count)
}

impl ScaleFit {
    /// Makes it from a fit, what is known of a scale, and what its distances need to be known to.
    pub(super) fn new(fit: &LineFit, known: &Together<'_>, which: ScaleOf, goal: f64) -> Self {
        let at = |number: f64| known.at(which, number);
        let (from, to) = fit.range();
        let half_width = at(from).half_width().max(at(to).half_width());
        let middle = known.middle(which);
        Self {
            offset: at(0.0),
            middle,
            middle_distance: at(middle),
            stretch: known.stretch(which),
            from,
            to,
            spread: fit.spread,
            half_width,
            goal,
            readings: fit.count(),
            more: MoreMeasurements::for_goal(fit, half_width, goal),
        }
    }
}

impl ScaleFit {
    /// Tells whether the measurements tell the stretch from none.
    #[must_use]
    pub fn stretches(&self) -> bool {
        !self.stretch.holds(0.0)
    }

    /// Returns the scale as a profile takes it: a stretch that is not told from none is left out.
    #[must_use]
    pub fn scale(&self, reach: f64) -> Scale {
        if self.stretches() {
            return Scale { reach, offset: self.offset.value, stretch: self.stretch.value };
        }
        Scale { reach, offset: self.middle_distance.value - self.middle, stretch: 0.0 }
    }

    /// Returns how well that scale is known.
    #[must_use]
    pub fn known(&self) -> Known {
        let Estimate { low, high, .. } = self.stretch;
        let stretch_plus_minus = if self.stretches() { self.stretch.half_width() } else { low.abs().max(high.abs()) };
        let plus_minus = self.middle_distance.half_width();
        Known { from: self.from, to: self.to, middle: self.middle, plus_minus, stretch_plus_minus }
    }
}

impl ValueFit {
    /// Makes it from a fit and what is known of what was fitted, through a function that turns that into the number; `goal` is that of
    /// what was fitted.
    pub(super) fn new(fit: &LineFit, known: Estimate, goal: f64, function: impl Fn(f64) -> f64) -> Self {
        let goal_mapped = Estimate::around(known.value, goal).map(&function).half_width();
        Self {
            estimate: known.map(function),
            goal: goal_mapped,
            readings: fit.count(),
            more: MoreMeasurements::for_goal(fit, known.half_width(), goal),
        }
    }
}
