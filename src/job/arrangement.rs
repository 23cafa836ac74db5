//! Rows and columns of openings as written in a job file.

use serde::{Deserialize, Serialize};

use super::Measure;

/// Rows and columns of openings, or a ring of them, placed on the mat as one group. A single opening is repeated.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Arrangement {
    /// Number of rows; as many as the openings need if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[serde(alias = "row")]
    pub rows: Option<usize>,
    /// Number of columns; all openings in one row if both are left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[serde(alias = "column")]
    pub columns: Option<usize>,
    /// Width of the bars between neighbouring openings; 1 in or 25 mm if left out. `"equal"` makes bars as wide as the
    /// borders, `"fill"` makes them fill what borders and openings leave.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gap: Option<Measure>,
    /// Width of the upright bars, if it differs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column_gap: Option<Measure>,
    /// Width of the level bars, if it differs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub row_gap: Option<Measure>,
    /// How openings of different height lie in a row.
    pub align: Align,
    /// A line through all openings of a row, as the share of each one's height (with its title) that lies above it, for example 0.4;
    /// instead of `align`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sight_line: Option<f64>,
    /// How openings of different width lie in a column.
    pub justify: Justify,
    /// A ring of openings round a centre, instead of rows and columns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ring: Option<WrittenRing>,
    /// Repeats the whole group, however it is arranged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeat: Option<WrittenRepeat>,
}

impl Arrangement {
    /// Tells whether it says where openings lie, not only how the group is repeated.
    #[must_use]
    pub fn has_places(&self) -> bool {
        self.rows.is_some() || self.columns.is_some() || self.ring.is_some()
    }
}

/// A ring of openings round a centre.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenRing {
    /// Distance from the centre of the ring to the centre of each opening.
    pub radius: Measure,
    /// Number of openings on the ring if a single one is repeated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<usize>,
    /// Where the first one lies, in degrees clockwise from the top.
    #[serde(default)]
    pub start: f64,
    /// Whether the first opening is the centre piece and the others are its satellites.
    #[serde(default)]
    #[serde(alias = "center_piece")]
    pub centre_piece: bool,
}

impl WrittenRing {
    /// Makes a ring of a radius; its openings are those that the job lists, the first at the top.
    #[must_use]
    pub fn new(radius: impl Into<Measure>) -> Self {
        Self { radius: radius.into(), count: None, start: 0.0, centre_piece: false }
    }
}

/// A group that is repeated in rows and columns.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenRepeat {
    /// Number of rows; 1 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[serde(alias = "row")]
    pub rows: Option<usize>,
    /// Number of columns; 1 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[serde(alias = "column")]
    pub columns: Option<usize>,
    /// Width of the bars between the copies; 1 in or 25 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gap: Option<Measure>,
}

/// How openings of different height lie in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// Their tops on one line.
    Top,
    /// Their middles on one line.
    #[default]
    Middle,
    /// Their bottoms on one line.
    Bottom,
}

/// How openings of different width lie in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Justify {
    /// Their left sides on one line.
    Left,
    /// Their middles on one line.
    #[default]
    #[serde(alias = "center")]
    Centre,
    /// Their right sides on one line.
    Right,
}

impl Align {
    /// Returns the share of the spare height that lies above an opening.
    #[must_use]
    pub const fn share(self) -> f64 {
        match self {
            Self::Top => 0.0,
            Self::Middle => 0.5,
            Self::Bottom => 1.0,
        }
    }
}

impl Justify {
    /// Returns the share of the spare width that lies left of an opening.
    #[must_use]
    pub const fn share(self) -> f64 {
        match self {
            Self::Left => 0.0,
            Self::Centre => 0.5,
            Self::Right => 1.0,
        }
    }
}
