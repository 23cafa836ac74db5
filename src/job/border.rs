//! Borders as written in a job file.

use serde::{Deserialize, Serialize};

use super::short::Short;
use super::{Measure, Quantity};

/// Borders from the outer edge to the group of openings; whatever is not given follows, and with nothing given the
/// openings are centred.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    #[serde(alias = "optical_center")]
    pub optical_centre: bool,
    /// Whether the top border equals the left one and the bottom takes the rest.
    pub top_as_sides: bool,
    /// Whether all four borders are equal, whatever width follows; `border = "equal"` for short.
    pub equal: bool,
    /// Four equal borders so that this area of board is left round the openings: a number in the square of the unit, or text
    /// such as `"264 sq cm"`. What a frame hides of the mat counts too.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mat_area: Option<Quantity>,
    /// Four equal borders so that board and openings together have this area.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub total_area: Option<Quantity>,
    /// Four equal borders so that the board is this share of the area within its outer edge: a number such as 0.5, or text
    /// such as `"2/3"` or `"60 %"`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mat_share: Option<Quantity>,
    /// What the borders are counted from the outer edge to: the `opening`, or the edge of the `art` behind it.
    pub counted_to: BorderEnd,
}

/// What a border is counted from the outer edge of the mat to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum BorderEnd {
    /// The opening: the board that is seen.
    #[default]
    Opening,
    /// The edge of the art, which an overlap hides and a margin shows.
    Art,
}

/// The word for borders that are equal all round.
const EQUAL: &str = "equal";

impl Short for WrittenBorder {
    type Form = Measure;
    const EXPECTED: &'static str =
        "a length, \"equal\", or a table of borders such as { sides = 3, top = 3, bottom = 4 },";

    fn from_short(all: Measure) -> Self {
        if all == Measure::Text(EQUAL.to_owned()) {
            return Self { equal: true, ..Self::default() };
        }
        Self { all: Some(all), ..Self::default() }
    }
}
