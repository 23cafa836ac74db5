//! G-code: the work of routers, and programs of any origin read back.

mod facts;
mod machine;
mod reader;
mod words;

use super::Family;

/// All formats of G-code.
pub(super) const FAMILY: Family = Family {
    facts: &facts::FACTS,
    drawings: &[],
    programs: &[&machine::GCodePrograms],
    pages: None,
    tiles: None,
    reader: Some(&reader::GCodeReader),
};
