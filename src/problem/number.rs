//! The numbers that a problem is about, as data.

use std::borrow::Cow;

use kurbo::Size;
use serde::{Deserialize, Serialize};

use super::Problem;

/// A number that a message mentions, or from which its cure follows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ProblemNumber {
    /// What it is a number of: `border`, `least`, `mat_width`.
    pub name: Cow<'static, str>,
    /// The number in its unit, to a millionth; it is finite.
    pub value: f64,
    /// The unit of the number.
    pub unit: NumberUnit,
}

/// The unit of a [`ProblemNumber`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum NumberUnit {
    /// Millimetres. In JSON `mm`.
    #[serde(rename = "mm")]
    Millimetre,
    /// Square millimetres. In JSON `mm2`.
    #[serde(rename = "mm2")]
    SquareMillimetre,
    /// Degrees. In JSON `deg`.
    #[serde(rename = "deg")]
    Degree,
    /// A count of things. In JSON `count`.
    #[serde(rename = "count")]
    Count,
    /// A number in the unit of its key, such as a price or the speed of a plotter. In JSON `plain`.
    #[serde(rename = "plain")]
    Plain,
    /// One number over another, or a share of a whole between 0 and 1. In JSON `ratio`.
    #[serde(rename = "ratio")]
    Ratio,
}

impl Problem {
    /// Adds a length in millimetres to its numbers, if it is known and finite.
    #[must_use]
    pub fn with_mm(self, name: impl Into<Cow<'static, str>>, mm: impl Into<Option<f64>>) -> Self {
        self.with(name, mm, NumberUnit::Millimetre)
    }

    /// Adds a width and a height in millimetres to its numbers, as `NAME_width` and `NAME_height`.
    #[must_use]
    pub fn with_size(self, name: &str, size: impl Into<Option<Size>>) -> Self {
        let size = size.into();
        self.with_mm(format!("{name}_width"), size.map(|size| size.width))
            .with_mm(format!("{name}_height"), size.map(|size| size.height))
    }

    /// Adds an area in square millimetres to its numbers, if it is known and finite.
    #[must_use]
    pub fn with_area(self, name: impl Into<Cow<'static, str>>, mm2: impl Into<Option<f64>>) -> Self {
        self.with(name, mm2, NumberUnit::SquareMillimetre)
    }

    /// Adds an angle in degrees to its numbers, if it is finite.
    #[must_use]
    pub fn with_degrees(self, name: impl Into<Cow<'static, str>>, degrees: f64) -> Self {
        self.with(name, degrees, NumberUnit::Degree)
    }

    /// Adds a count to its numbers.
    #[must_use]
    pub fn with_count(self, name: impl Into<Cow<'static, str>>, count: usize) -> Self {
        self.with(name, count as f64, NumberUnit::Count)
    }

    /// Adds a ratio or a share to its numbers, if it is finite.
    #[must_use]
    pub fn with_ratio(self, name: impl Into<Cow<'static, str>>, ratio: f64) -> Self {
        self.with(name, ratio, NumberUnit::Ratio)
    }

    /// Adds a number in the unit of its key to its numbers, if it is finite.
    #[must_use]
    pub fn with_plain(self, name: impl Into<Cow<'static, str>>, number: f64) -> Self {
        self.with(name, number, NumberUnit::Plain)
    }

    /// Adds a number to its numbers, if it is known and finite.
    ///
    /// A name may come several times, once for each of several places or parts.
    #[must_use]
    pub fn with(mut self, name: impl Into<Cow<'static, str>>, value: impl Into<Option<f64>>, unit: NumberUnit) -> Self {
        if let Some(value) = value.into().filter(|value| value.is_finite()) {
            // The dust of `f64` says nothing; adding zero turns -0 into 0.
            let value = (value * 1e6).round() / 1e6 + 0.0;
            let mut numbers = std::mem::take(&mut self.numbers).into_vec();
            numbers.push(ProblemNumber { name: name.into(), value, unit });
            self.numbers = numbers.into_boxed_slice();
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{KeyPath, Problem};

    #[test]
    fn numbers_have_names_and_units_and_are_finite() {
        let problem = Problem::error("thin", KeyPath::root(), "", "")
            .with_mm("border", 0.1 + 0.2)
            .with_mm("unknown", None)
            .with_mm("endless", f64::INFINITY)
            .with_count("openings", 3)
            .with_degrees("angle", -1e-9);
        assert_eq!(
            serde_json::to_string(&problem.numbers).unwrap(),
            r#"[{"name":"border","value":0.3,"unit":"mm"},{"name":"openings","value":3.0,"unit":"count"},{"name":"angle","value":0.0,"unit":"deg"}]"#
        );
    }
}
