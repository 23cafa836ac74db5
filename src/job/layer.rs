//! The layers of a mat as written in a job file.

use serde::{Deserialize, Serialize};

use super::bevel::WrittenBevel;
use super::border::WrittenBorder;
use super::short;
#[cfg(feature = "schema")]
use super::short::{OneOrMany, ShortOr};
use super::{Arrangement, BoardKey, Measure, WrittenGroove, WrittenOpening, WrittenRuling};
use crate::mat::{BevelDirection, FalloutUse};

/// What the number `reveal` means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum RevealMeaning {
    /// Distance between the back outlines of the two boards: what a cutter is set to, border plus reveal.
    #[default]
    Back,
    /// Width of the coloured strip of the lower board's face that the eye sees.
    Strip,
}

/// One board of the mat, from the top one to the lowest.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenLayer {
    /// Its name; `top`, `second`, `third` … if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its board, if it differs from the job's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Slope of its cuts, if it differs from the job's.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<BevelDirection, WrittenBevel>>"))]
    pub bevel: Option<WrittenBevel>,
    /// How far it shows inside the layer above; 1/4 in or 6 mm if left out. Not for the top layer, nor with openings of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reveal: Option<Measure>,
    /// Whether `reveal` is measured between the back outlines or as the visible strip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reveal_measured: Option<RevealMeaning>,
    /// How much smaller it is cut than the board above ON EVERY SIDE, so that it seats inside; not for the top layer.
    /// `border` and `at` of its openings still count from the edges of the mat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smaller: Option<Measure>,
    /// Whether the pieces that fall out of its openings are wanted: `keep` or `discard`.
    pub fallout: FalloutUse,
    /// Openings of its own; if there are none it repeats those above.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenOpening>"))]
    #[serde(alias = "openings")]
    pub opening: Vec<WrittenOpening>,
    /// How its own openings are arranged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arrangement: Option<Arrangement>,
    /// Borders round its own openings.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenBorder>>"))]
    #[serde(alias = "borders")]
    pub border: Option<WrittenBorder>,
    /// V-grooves in its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenGroove>"))]
    #[serde(alias = "grooves")]
    pub groove: Vec<WrittenGroove>,
    /// Ruled lines and bands of wash on its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenRuling>"))]
    pub ruled: Vec<WrittenRuling>,
}
