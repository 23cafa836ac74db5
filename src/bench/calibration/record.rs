//! What was measured on test pieces, as written in a file.

use serde::{Deserialize, Serialize};

#[cfg(feature = "schema")]
use crate::job::OneOrMany;
use crate::job::{self, Measure, ReadError, Syntax, lengths, one_or_many};
use crate::length::Unit;

/// A record of test pieces as written: what the cutter was set to, and what came out.
///
/// Lengths are numbers in `unit`, or text such as `"3 1/32 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "schema", schemars(rename = "Record"))]
pub struct CalibrationRecord {
    /// Unit of bare numbers: `in`, `mm` or `cm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Smallest part of the ruler on which lengths are shown: 16 for sixteenths of an inch.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ruler_parts: Option<u32>,
    /// How finely the lengths were read: the smallest mark of the ruler. Scatter that its marks hide is added.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reading: Option<Measure>,
    /// Measured thickness of the board, which the angle of the blade follows from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// The test pieces.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<RecordedPiece>"))]
    #[serde(alias = "pieces")]
    pub piece: Vec<RecordedPiece>,
}

/// A blank with a window cut in it. Its sides are named as seen from the front.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct RecordedPiece {
    /// Thickness of its board, if it differs from the others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// What the squaring arm was set to when the width was cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arm_for_width: Option<Measure>,
    /// What the squaring arm was set to when the height was cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arm_for_height: Option<Measure>,
    /// The width that came out; measured at both ends, a list of two.
    #[serde(deserialize_with = "lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    pub width: Vec<Measure>,
    /// The height that came out; measured at both ends, a list of two.
    #[serde(deserialize_with = "lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    pub height: Vec<Measure>,
    /// The width of the opening on the BACK, between the cuts left and right; measured at both ends, a list of two. With the
    /// borders and the blank it has to add up.
    #[serde(deserialize_with = "lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    pub opening_width: Vec<Measure>,
    /// The height of the opening on the BACK, between the cuts at the top and the bottom.
    #[serde(deserialize_with = "lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    pub opening_height: Vec<Measure>,
    /// Both diagonals, first the one from the corner that was cut first: it lay between arm and blade.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diagonals: Option<[Measure; 2]>,
    /// The left side of the window.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left: Option<RecordedSide>,
    /// The right side of the window.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right: Option<RecordedSide>,
    /// The top side of the window.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top: Option<RecordedSide>,
    /// The bottom side of the window.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom: Option<RecordedSide>,
}

/// One cut of a window: what was set, and what came out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct RecordedSide {
    /// What the guide was set to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub guide: Option<Measure>,
    /// What the far stop was set to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub far_stop: Option<Measure>,
    /// What the near stop was set to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub near_stop: Option<Measure>,
    /// Without stop: how far from the edge at the far end the mark on the head stood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub far_mark: Option<Measure>,
    /// Without stop: how far from the edge at the near end the mark on the head stood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub near_mark: Option<Measure>,
    /// The border on the BACK of the board, from its edge to the cut; a list of two: at the far and at the near end.
    #[serde(deserialize_with = "lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    #[serde(alias = "borders")]
    pub border: Vec<Measure>,
    /// How far the cut runs beyond the corner at the far end, seen on the face (with a reverse bevel: on the back):
    /// `1.5` or `"1.5 past"`; where it falls short `"0.5 short"` or `-0.5`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub far_over: Option<Measure>,
    /// How far the cut runs beyond the corner at the near end: as at the far end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub near_over: Option<Measure>,
    /// Width of the bevel as seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bevel: Option<Measure>,
}

/// Returns the JSON Schema of records of test pieces, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn record_schema() -> serde_json::Value {
    crate::job::schema_of::<CalibrationRecord>()
}

impl crate::job::Described for CalibrationRecord {
    const TABLES: &'static str = include_str!("record.tables");
}

impl CalibrationRecord {
    /// Reads a record from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }
}

impl RecordedPiece {
    /// Returns the sides with their names, in the order in which they are met going round against the clock, seen from
    /// the front.
    #[must_use]
    pub const fn sides(&self) -> [(&'static str, Option<&RecordedSide>); 4] {
        [
            ("left", self.left.as_ref()),
            ("bottom", self.bottom.as_ref()),
            ("right", self.right.as_ref()),
            ("top", self.top.as_ref()),
        ]
    }
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::CalibrationRecord>("bench/calibration/record.tables");
    }
}
