//! A number that was worked out from measurements, with how far it may be off.

use serde::Serialize;

use super::fit::LineFit;
use super::posterior::Distribution;
use super::student::{self, CONFIDENCE};

/// A fitted number with what is left open of it, to be added to others that were fitted independently.
#[derive(Debug, Clone)]
pub(super) struct Uncertain {
    value: f64,
    /// All that is left open, where it is known how finely was read.
    distribution: Option<Distribution>,
    /// Standard error, and the degrees of freedom that it was found with; infinitely many if it is known.
    error: f64,
    freedom: f64,
}

/// A number with the interval that holds the true one in 95 % of cases (Student's t).
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

/// With more degrees of freedom than this, Student's t is as good as normal.
const MOST_FREEDOM: f64 = 400.0;

/// More measurements than this are not asked for.
const MOST: usize = 40;

impl Estimate {
    /// Makes the estimate of a number with a half width of its interval.
    pub(super) fn around(value: f64, half_width: f64) -> Self {
        Self { value, low: value - half_width, high: value + half_width }
    }

    /// Makes the estimate of what is left open of a number.
    pub(super) fn of(distribution: &Distribution) -> Self {
        let (low, high) = distribution.interval();
        Self { value: distribution.mean(), low, high }
    }

    /// Returns the fitted value at a setting.
    pub(super) fn at(fit: &LineFit, setting: f64) -> Self {
        if let Some(distribution) = fit.distribution_at(setting) {
            return Self::of(&distribution);
        }
        Self::around(fit.at(setting), fit.reach() * fit.error_at(setting))
    }

    /// Returns the fitted slope less one: the stretch of a scale.
    pub(super) fn stretch(fit: &LineFit) -> Self {
        if let Some(distribution) = fit.distribution_of_slope() {
            return Self::of(&distribution.times_plus(1.0, -1.0));
        }
        Self::around(fit.slope() - 1.0, fit.reach() * fit.slope_error())
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

impl Uncertain {
    /// Makes a number that is not in doubt.
    pub(super) fn known(value: f64) -> Self {
        Self { value, distribution: Some(Distribution::certain(value)), error: 0.0, freedom: f64::INFINITY }
    }

    /// Returns the fitted value at a setting.
    pub(super) fn at(fit: &LineFit, setting: f64) -> Self {
        let (value, error) = (fit.at(setting), fit.error_at(setting));
        Self { value, distribution: fit.distribution_at(setting), error, freedom: fit.freedom as f64 }
    }

    /// Returns the fitted slope.
    pub(super) fn slope(fit: &LineFit) -> Self {
        let (value, error) = (fit.slope(), fit.slope_error());
        Self { value, distribution: fit.distribution_of_slope(), error, freedom: fit.freedom as f64 }
    }

    /// Returns how far it may be off from what least squares found.
    pub(super) fn centred(self) -> Self {
        let distribution = self.distribution.map(|all| all.times_plus(1.0, -self.value));
        Self { value: 0.0, distribution, ..self }
    }

    pub(super) fn times(self, factor: f64) -> Self {
        let distribution = self.distribution.map(|all| all.times_plus(factor, 0.0));
        Self { value: factor * self.value, distribution, error: factor.abs() * self.error, ..self }
    }

    /// Returns the sum with another one, if there is one.
    ///
    /// Degrees of freedom are put together by Welch and Satterthwaite (JCGM 100:2008, G.4.1).
    pub(super) fn plus(self, other: Option<Self>) -> Self {
        let Some(other) = other else { return self };
        let distribution = match (&self.distribution, &other.distribution) {
            (Some(one), Some(other)) => Some(one.plus(other)),
            _ => None,
        };
        let both = self.error.powi(2) + other.error.powi(2);
        let parts = self.error.powi(4) / self.freedom + other.error.powi(4) / other.freedom;
        let freedom = if parts > 0.0 { both * both / parts } else { self.freedom.min(other.freedom) };
        Self { value: self.value + other.value, distribution, error: both.sqrt(), freedom }
    }

    pub(super) fn estimate(&self) -> Estimate {
        match &self.distribution {
            Some(distribution) => Estimate::of(distribution),
            None => {
                let freedom = self.freedom.clamp(1.0, MOST_FREEDOM).floor() as usize;
                Estimate::around(self.value, student::quantile(CONFIDENCE, freedom) * self.error)
            }
        }
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
