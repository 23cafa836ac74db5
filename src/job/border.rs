//! Borders as written in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Measure;
use super::short::Short;

/// Borders from the outer edge to the group of openings; whatever is not given follows, and with nothing given the
/// openings are centred.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBorder {
    /// Every border that has no key of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub all: Option<Measure>,
    /// The left and the right border.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sides: Option<Measure>,
    /// The left border, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left: Option<Measure>,
    /// The right border, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right: Option<Measure>,
    /// The top border.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top: Option<Measure>,
    /// The bottom border.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom: Option<Measure>,
    /// How much wider the bottom border is than the top one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_extra: Option<Measure>,
    /// The bottom border as a multiple of the top one, for example 1.333.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_ratio: Option<f64>,
    /// Whether the top border follows from the optical-centre construction.
    pub optical_centre: bool,
    /// Whether the top border equals the left one and the bottom takes the rest.
    pub top_as_sides: bool,
}

impl Short for WrittenBorder {
    type Form = Measure;
    const EXPECTED: &'static str = "a length, or a table of borders";

    fn from_short(all: Measure) -> Self {
        Self { all: Some(all), ..Self::default() }
    }
}
