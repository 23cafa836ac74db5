//! DXF: drawings and the work of machines, in release 12 and release 2000, and files of any release read back.

mod drawing;
mod entities;
mod facts;
mod figure;
mod head;
mod machine;
mod pairs;
mod reader;
mod release_12;
mod release_2000;

use super::{Family, Format};

impl Format {
    /// DXF of release 12, which every reader knows.
    pub const DXF: Self = Self::of(&drawing::R12);
    /// DXF of release 2000, with arcs, circles and ellipses.
    pub const DXF_R2000: Self = Self::of(&drawing::R2000);
}

/// All formats of DXF.
pub(super) const FAMILY: Family = Family {
    facts: &facts::FACTS,
    drawings: &[&drawing::R12, &drawing::R2000],
    programs: &[&machine::R12, &machine::R12_LINES, &machine::R2000],
    pages: None,
    tiles: None,
    reader: Some(&reader::Dxf),
};
