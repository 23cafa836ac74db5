//! The unit in which a file was written.

use crate::formats::exporter::FileUnit;

/// The unit of the numbers of a file.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FoundUnit {
    /// How many millimetres one of it is.
    pub millimetres: f64,
    /// What it is and where that is said, for example `mm ($INSUNITS)`.
    pub words: String,
    /// Whether the file says it, or whoever asked; otherwise it was taken for granted.
    pub stated: bool,
}

impl FoundUnit {
    pub(in crate::formats) fn stated(millimetres: f64, words: impl Into<String>) -> Self {
        Self { millimetres, words: words.into(), stated: true }
    }

    pub(in crate::formats) fn assumed(millimetres: f64, words: impl Into<String>) -> Self {
        Self { millimetres, words: words.into(), stated: false }
    }

    /// Returns the unit that whoever measures the file has asked for.
    pub(in crate::formats) fn asked(unit: FileUnit) -> Self {
        Self::stated(1.0 / unit.per_millimetre(), format!("{} (as asked)", unit.name()))
    }

    /// Returns the unit of a file that does not say it.
    pub(in crate::formats) fn not_stated() -> Self {
        Self::assumed(1.0, "not stated; mm assumed")
    }
}
