//! A number that was worked out from measurements, with how far it may be off.

use serde::Serialize;

use super::fit::LineFit;
use super::normal::{self, Normal};

/// A number with the interval that holds the true one in 95 % of cases.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Estimate {
    /// The most likely number.
    pub value: f64,
    /// The lower end of the interval.
    pub low: f64,
    /// The upper end of the interval.
    pub high: f64,
}

/// How many more measurements are worth making.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum MoreMeasurements {
    /// None: the uncertainty is as small as it needs to be.
    Enough,
    /// So many, spread like those there are.
    Measure(usize),
    /// More than anyone will make: they scatter too much, so that they had better be made with more care.
    MeasureFiner,
}

/// More measurements than this are not asked for.
const MOST: usize = 40;

impl Estimate {
    /// Makes the estimate of a number with a half width of its interval.
    pub(super) fn around(value: f64, half_width: f64) -> Self {
        Self { value, low: value - half_width, high: value + half_width }
    }

    /// Makes the estimate of what is left open of a number.
    pub(super) fn of(mixture: &[Normal]) -> Self {
        let (low, high) = normal::interval(mixture);
        Self { value: normal::mean(mixture), low, high }
    }

    /// Returns the estimate of a function of the number that grows or falls throughout.
    pub(super) fn map(self, function: impl Fn(f64) -> f64) -> Self {
        let (low, high) = (function(self.low), function(self.high));
        Self { value: function(self.value), low: low.min(high), high: low.max(high) }
    }

    /// Returns half the width of the interval.
    #[must_use]
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// Tells whether a number lies in the interval.
    #[must_use]
    pub fn holds(&self, number: f64) -> bool {
        (self.low..=self.high).contains(&number)
    }
}

impl MoreMeasurements {
    /// Returns how many more measurements bring a half width of a fit down to a goal.
    pub(super) fn for_goal(fit: &LineFit, half_width: f64, goal: f64) -> Self {
        match fit.more_for(half_width, goal, MOST) {
            Some(0) => Self::Enough,
            Some(more) => Self::Measure(more),
            None => Self::MeasureFiner,
        }
    }
}
