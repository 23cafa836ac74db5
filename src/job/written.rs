//! A whole job as written in a file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::bevel::WrittenBevel;
use super::border::WrittenBorder;
use super::frame::{WrittenFrame, WrittenSizeList, WrittenStandard};
use super::layer::WrittenLayer;
use super::package::{WrittenPart, WrittenSpacers};
use super::short;
#[cfg(feature = "schema")]
use super::short::{OneOrMany, ShortOr};
use super::{
    Arrangement, BoardKey, Measure, ReadError, SizeMeasure, Syntax, WrittenGroove, WrittenOpening, WrittenRuling,
};
use crate::length::Unit;
use crate::mat::{BevelDirection, Edge, OwnData};

/// A job as written: every key is optional, and only what cannot be worked out must be given.
///
/// Lengths are numbers in `unit`, or text with fractions and units such as `"3 1/4 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "schema", schemars(rename = "Job"))]
pub struct WrittenJob {
    /// The address of a schema, for editors; Backline does not look at it.
    #[serde(rename = "$schema", skip_serializing_if = "String::is_empty")]
    pub schema: String,
    /// Name of the job, printed on every drawing; the name of the file if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Unit of bare numbers, and of the sizes on drawings: `in`, `mm` or `cm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Smallest part of the ruler on which sizes are read: 16 for sixteenths of an inch, 10 for tenths of a millimetre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ruler_parts: Option<u32>,
    /// The layout of the shop file from which the job starts, by its name: whatever the job gives itself counts instead.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub layout: String,
    /// How many mats of this kind are made; 1 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quantity: Option<u32>,
    /// Which outline sizes, borders and gaps refer to: `sight` (if left out), `face` or `back`.
    pub sizes: Edge,
    /// Width and height of the mat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outer: Option<SizeMeasure>,
    /// The frame that the mat goes into: the size of its rabbet, or a table.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<SizeMeasure, WrittenFrame>>"))]
    pub frame: Option<WrittenFrame>,
    /// A list of standard sizes from which the size of the mat is taken.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<String, WrittenStandard>>"))]
    pub standard: Option<WrittenStandard>,
    /// Lists of standard sizes of the user's own.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[serde(alias = "size_lists")]
    pub size_list: Vec<WrittenSizeList>,
    /// Borders round the openings: one length, or a table.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenBorder>>"))]
    #[serde(alias = "borders")]
    pub border: Option<WrittenBorder>,
    /// The board of every layer that names no other; 4-ply if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Slope of the cuts of every layer that names no other; 45 degrees, standard, if left out.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<BevelDirection, WrittenBevel>>"))]
    pub bevel: Option<WrittenBevel>,
    /// The openings, one table or several. With several layers a size is that of the lowest of them: what the art is
    /// seen through.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenOpening>"))]
    #[serde(alias = "openings")]
    pub opening: Vec<WrittenOpening>,
    /// Rows and columns of openings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arrangement: Option<Arrangement>,
    /// The boards from the top one to the lowest; a single one if left out.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenLayer>"))]
    #[serde(alias = "layers")]
    pub layer: Vec<WrittenLayer>,
    /// V-grooves in the face of the top board.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenGroove>"))]
    #[serde(alias = "grooves")]
    pub groove: Vec<WrittenGroove>,
    /// Ruled lines and bands of wash on the face of the top board.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenRuling>"))]
    pub ruled: Vec<WrittenRuling>,
    /// What counts as too thin.
    #[serde(alias = "limit")]
    pub limits: Limits,
    /// Colours of the user's own, by name: `{ "our cream" = "#f3e7c9" }`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    #[serde(alias = "colors")]
    pub colours: BTreeMap<String, String>,
    /// The glass: what it is called, its thickness, or both; `none` for a frame without glass.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenPart>>"))]
    pub glass: Option<WrittenPart>,
    /// Spacers: their thickness between glass and mat, or a table.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenSpacers>>"))]
    pub spacers: Option<WrittenSpacers>,
    /// What the art is fixed to, if that is not the backing: its name, its thickness, or both.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenPart>>"))]
    pub mount: Option<WrittenPart>,
    /// The backing: what it is called, its thickness, or both; `none` for a frame without backing.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenPart>>"))]
    pub backing: Option<WrittenPart>,
    /// Notes for the workshop sheet: one text, or a list of them.
    #[serde(deserialize_with = "short::texts", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<String>"))]
    #[serde(alias = "note")]
    pub notes: Vec<String>,
    /// Data of the writer's own, such as an order number: it is passed on to `check --json` and manifests, and files may be named after it.
    #[serde(skip_serializing_if = "OwnData::is_empty")]
    pub own: OwnData,
}

/// Lengths below which a warning is given.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// The least width of a border; 1/2 in or 12 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[serde(alias = "borders")]
    pub border: Option<Measure>,
    /// The least width of a bar between two openings; 1/2 in or 12 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar: Option<Measure>,
    /// By how much the lip of the frame must still cover the edge of a mat that is pushed to one side; 1.5 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hold: Option<Measure>,
}

/// A commented job to start from.
pub const STARTER: &str = include_str!("starter.toml");

/// Returns the JSON Schema of job files, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn schema() -> serde_json::Value {
    super::schema_examples::with_examples(super::spellings::schema_of::<WrittenJob>(), EXAMPLES)
}

/// An example of every key, by the tables of the schema.
#[cfg(feature = "schema")]
pub(super) const EXAMPLES: &str = include_str!("examples.toml");

impl crate::job::Described for WrittenJob {
    const TABLES: &'static str = include_str!("job.tables");
}

impl WrittenJob {
    /// Reads a job from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        super::read_described(text, syntax)
    }
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::WrittenJob>("job/job.tables");
    }
}
