//! Ruled lines and bands of wash (French matting) as written in a job file.

use std::fmt;

use serde::de::{self, Deserializer, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};

#[cfg(feature = "schema")]
use super::short::ShortOr;
use super::short::{self, Short};
use super::{Around, Measure};

/// Ruled lines and bands of wash round openings. All distances count from the outline of the opening IN THE FACE.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenRuling {
    /// Which openings they run round: `"all"` (if left out), a number, or a list of numbers.
    pub around: Around,
    /// A built-in pattern: `six-line` or `single-line`. Lines and bands of your own are added to it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub pattern: String,
    /// Width of the pen; 0.3 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width: Option<Measure>,
    /// Ink of the lines that name none: what you call its colour, such as `"sepia"`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub ink: String,
    /// Lines: their distances, or tables with `distance`, `width` and `ink`.
    #[serde(deserialize_with = "short::list", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "Vec<ShortOr<Measure, WrittenLine>>"))]
    #[serde(alias = "line")]
    pub lines: Vec<WrittenLine>,
    /// Bands: lists `[from, to]` or `[from, to, "colour"]`, or tables with `from`, `to` and `colour`.
    #[serde(deserialize_with = "short::list", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "Vec<ShortOr<Vec<Measure>, WrittenBand>>"))]
    #[serde(alias = "band")]
    pub bands: Vec<WrittenBand>,
    /// Colour of the bands that name none, and of those of the pattern.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
}

/// A ruled line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenLine {
    /// From the opening to the middle of the line.
    pub distance: Measure,
    /// Width of its pen, if it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Measure>,
    /// What you call the colour of its ink, if it differs.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ink: String,
}

/// A band of wash.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenBand {
    /// From the opening to the inner edge.
    pub from: Measure,
    /// From the opening to the outer edge.
    pub to: Measure,
    /// What you call its colour.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
}

impl WrittenLine {
    /// Makes a line at a distance from the opening, with pen and ink of its ruling.
    #[must_use]
    pub fn new(distance: impl Into<Measure>) -> Self {
        Self { distance: distance.into(), width: None, ink: String::new() }
    }
}

impl WrittenBand {
    /// Makes a band between two distances from the opening.
    #[must_use]
    pub fn new(from: impl Into<Measure>, to: impl Into<Measure>) -> Self {
        Self { from: from.into(), to: to.into(), colour: String::new() }
    }
}

impl Short for WrittenLine {
    type Form = Measure;
    const EXPECTED: &'static str = "a distance, or a table with `distance`, `width` and `ink`";

    fn from_short(distance: Measure) -> Self {
        Self { distance, width: None, ink: String::new() }
    }
}

/// The short form of a band: `[from, to]` or `[from, to, "colour"]`.
pub(crate) struct BandList(WrittenBand);

impl Short for WrittenBand {
    type Form = BandList;
    const TAKES_LIST: bool = true;
    const EXPECTED: &'static str = BandList::EXPECTED;

    fn from_short(BandList(band): BandList) -> Self {
        band
    }
}

impl BandList {
    const EXPECTED: &'static str = "a list of two distances and a colour, or a table with `from`, `to` and `colour`";
}

impl<'de> Deserialize<'de> for BandList {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct BandVisitor;

        impl<'de> Visitor<'de> for BandVisitor {
            type Value = BandList;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(BandList::EXPECTED)
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<BandList, A::Error> {
                let missing = |found| de::Error::invalid_length(found, &self);
                let from = list.next_element()?.ok_or_else(|| missing(0))?;
                let to = list.next_element()?.ok_or_else(|| missing(1))?;
                let colour = list.next_element()?.unwrap_or_default();
                match list.next_element::<de::IgnoredAny>()? {
                    None => Ok(BandList(WrittenBand { from, to, colour })),
                    Some(_) => Err(missing(4)),
                }
            }
        }

        deserializer.deserialize_any(BandVisitor)
    }
}

#[cfg(test)]
mod tests {
    use super::WrittenRuling;
    use crate::job::{Syntax, WrittenJob};

    fn read(bands: &str) -> Result<Vec<WrittenRuling>, String> {
        let job = WrittenJob::read(&format!("ruled.bands = {bands}"), Syntax::Toml);
        job.map(|job| job.ruled).map_err(|error| error.message)
    }

    #[test]
    fn a_band_is_a_short_list_or_a_table() {
        let table = "[{ from = 5, to = '1 cm', colour = 'ochre' }, { from = 1, to = 2 }]";
        assert_eq!(read("[[5, '1 cm', 'ochre'], [1, 2]]"), read(table));
        assert!(read(table).is_ok());
        for wrong in ["[[5]]", "[[5, 6, 'ochre', 7]]", "[5]", "[[5, 6, 7]]"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
