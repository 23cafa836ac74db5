//! An opening as written in a job file.

use serde::{Deserialize, Serialize};

use super::bevel::WrittenBevel;
#[cfg(feature = "schema")]
use super::short::ShortOr;
use super::short::{self, Short};
use super::{Measure, Proportion, ShapeChoice, SizeMeasure, WrittenPicture};

/// An opening as written: its shape, and what its size follows from.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenOpening {
    /// What the framer calls it; shown after its number wherever openings are numbered.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its shape; a rectangle if left out.
    pub shape: ShapeChoice,
    /// Its width and height, measured to the outline that `sizes` names (the sight opening if the job does not say).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<SizeMeasure>,
    /// Its width to its height, `"4:5"` or `[4, 5]`, instead of a size: the size follows from the mat and its borders, which are
    /// equal all round if none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio: Option<Proportion>,
    /// Width and height of the work behind it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub art: Option<SizeMeasure>,
    /// How far the work stands out from its mount; a work without it counts as flat. A work that is smaller than the opening
    /// stands in the free space below the glass, a larger one lies behind the boards.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub art_depth: Option<Measure>,
    /// How much smaller the sight opening is than the art, PER SIDE, so that the mat holds the art; 1/8 in or 3 mm if nothing else is
    /// said.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, PerSide>>"))]
    pub overlap: Option<PerSide>,
    /// How much smaller the sight opening is than the art IN TOTAL, both sides of a dimension together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overlap_total: Option<Measure>,
    /// How much larger the sight opening is than the art, PER SIDE, so that paper, plate mark or signature show.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, PerSide>>"))]
    pub margin: Option<PerSide>,
    /// How much larger the sight opening is than the art IN TOTAL, both sides of a dimension together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin_total: Option<Measure>,
    /// How far it is turned clockwise about its centre in degrees, seen from the front; `size` and `art` are those of the
    /// opening before it is turned, borders and places are measured to the turned one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn: Option<f64>,
    /// A JPEG or PNG file of the work behind it, for pictures of the mat: its name, or a table.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<String, WrittenPicture>>"))]
    pub picture: Option<WrittenPicture>,
    /// Where it lies, if it is placed by hand: distances from the outer edges, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<WrittenPosition>,
    /// A small opening below it, for a name plate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<Box<WrittenOpening>>,
    /// Width of the bar between the opening and its title; 3/4 in or 20 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title_gap: Option<Measure>,
    /// Slope of its cut, if it differs from that of the layer.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<crate::mat::BevelDirection, WrittenBevel>>"))]
    pub bevel: Option<WrittenBevel>,
}

impl WrittenOpening {
    /// Makes an opening for a work of a width and a height, which it overlaps on every side.
    #[must_use]
    pub fn for_art(size: impl Into<SizeMeasure>) -> Self {
        Self { art: Some(size.into()), ..Self::default() }
    }

    /// Makes an opening of a width and a height.
    #[must_use]
    pub fn of_size(size: impl Into<SizeMeasure>) -> Self {
        Self { size: Some(size.into()), ..Self::default() }
    }
}

/// A length for each side; a single length stands for all four.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct PerSide {
    /// On every side that is not named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub all: Option<Measure>,
    /// On the left, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left: Option<Measure>,
    /// On the right, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right: Option<Measure>,
    /// At the top.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top: Option<Measure>,
    /// At the bottom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom: Option<Measure>,
}

impl Short for PerSide {
    type Form = Measure;
    const EXPECTED: &'static str = "a length, or a table of lengths for left, right, top and bottom";

    fn from_short(all: Measure) -> Self {
        Self { all: Some(all), ..Self::default() }
    }
}

/// A place given by one distance across and one down, to a side of the opening or to its centre.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenPosition {
    /// From the left edge of the mat to the opening, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left: Option<Measure>,
    /// From the right edge of the mat to the opening.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right: Option<Measure>,
    /// From the top edge of the mat to the opening.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top: Option<Measure>,
    /// From the bottom edge of the mat to the opening.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom: Option<Measure>,
    /// From the left edge of the mat to the centre of the opening, which is the middle of its width; `"middle"` for that of
    /// the mat. A title below the opening does not count.
    #[serde(skip_serializing_if = "Option::is_none", alias = "center_x")]
    pub centre_x: Option<Measure>,
    /// From the top edge of the mat to the centre of the opening, which is the middle of its height; `"middle"` for that of
    /// the mat.
    #[serde(skip_serializing_if = "Option::is_none", alias = "center_y")]
    pub centre_y: Option<Measure>,
}
