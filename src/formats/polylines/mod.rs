//! Polylines in forms of this crate: text for drawings and machines, JSON for programs, and both read back.

mod facts;
mod json;
mod machine;
mod reader;
mod text;

use super::{Family, Format};

impl Format {
    /// Polylines as text, a point a line.
    pub const POLYLINES: Self = Self::of(&text::PolylinesText);
    /// Polylines as JSON.
    pub const JSON: Self = Self::of(&json::PolylinesJson);
}

/// Polylines as text.
pub(super) const TEXT_FAMILY: Family = Family {
    facts: &facts::TEXT,
    drawings: &[&text::PolylinesText],
    programs: &[&machine::PolylinePrograms],
    pages: None,
    tiles: None,
    reader: Some(&reader::PolylinesReader),
};

/// Polylines as JSON.
pub(super) const JSON_FAMILY: Family = Family {
    facts: &facts::JSON,
    drawings: &[&json::PolylinesJson],
    programs: &[],
    pages: None,
    tiles: None,
    reader: Some(&reader::Json),
};
