//! A number that was worked out from measurements, with how far it may be off.

use schemars::JsonSchema;
use serde::Serialize;

use super::fit::Fit;
use super::posterior::Distribution;
use super::student::{self, CONFIDENCE};

/// A number with the interval that holds the true one in 95 % of cases (Student's t).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum More {
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
    pub(super) fn of(distribution: &Distribution) -> Self {
        let (low, high) = distribution.interval();
        Self { value: distribution.mean(), low, high }
    }

    /// Returns the fitted value at a setting.
    pub(super) fn at(fit: &Fit, setting: f64) -> Self {
        if let Some(distribution) = fit.distribution_at(setting) {
            return Self::of(&distribution);
        }
        Self::around(fit.at(setting), fit.reach() * fit.error_at(setting))
    }

    /// Returns the fitted slope less one: the stretch of a scale.
    pub(super) fn stretch(fit: &Fit) -> Self {
        if let Some(distribution) = fit.distribution_of_slope() {
            return Self::of(&distribution.times_plus(1.0, -1.0));
        }
        Self::around(fit.slope() - 1.0, fit.reach() * fit.slope_error())
    }

    /// Returns the sum of two independently fitted values (their difference with a `sign` of -1), known by how finely was read where that is known.
    ///
    /// Their degrees of freedom are put together by Welch and Satterthwaite (JCGM 100:2008, G.4.1), rounded down.
    pub(super) fn sum(a: &Fit, at: f64, b: &Fit, sign: f64) -> Self {
        if let (Some(a), Some(b)) = (a.distribution_at(at), b.distribution_at(0.0)) {
            return Self::of(&a.plus(&b.times_plus(sign, 0.0)));
        }
        let (first, second) = (a.error_at(at).powi(2), b.error_at(0.0).powi(2));
        let both = first + second;
        let parts = first * first / a.freedom as f64 + second * second / b.freedom as f64;
        let freedom = if parts > 0.0 { (both * both / parts).floor().max(1.0) as usize } else { a.freedom };
        Self::around(a.at(at) + sign * b.at(0.0), student::quantile(CONFIDENCE, freedom) * both.sqrt())
    }

    /// Returns a fitted value with what the mean of others, which was taken off or added, leaves open.
    pub(super) fn beside(a: &Fit, at: f64, other: Option<&Fit>) -> Self {
        let Some(other) = other else { return Self::at(a, at) };
        match (a.distribution_at(at), other.distribution_at(0.0)) {
            (Some(a), Some(other)) => {
                let mean = other.mean();
                Self::of(&a.plus(&other.times_plus(1.0, -mean)))
            }
            _ => {
                let Self { value, low, high } = Self::sum(a, at, other, 1.0);
                let mean = other.at(0.0);
                Self { value: value - mean, low: low - mean, high: high - mean }
            }
        }
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

impl More {
    /// Returns how many more measurements bring the half width of a fit down to a goal.
    pub(super) fn for_goal(fit: &Fit, goal: f64) -> Self {
        match fit.more_for(goal, MOST) {
            Some(0) => Self::Enough,
            Some(more) => Self::Measure(more),
            None => Self::MeasureFiner,
        }
    }
}
