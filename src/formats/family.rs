//! A family of file formats: all that is known of SVG, of DXF and so on.

use std::fmt;

use super::exporter::Exporter;
use super::facts::Facts;
use super::page_format::{PageFormat, TileFormat};
use super::program_format::ProgramFormat;
use super::reader::Reader;

/// The formats of one family, which share a folder.
#[non_exhaustive]
pub struct Family {
    /// What the family is.
    pub facts: &'static Facts,
    /// Its formats for drawings, in the order in which help lists them.
    pub drawings: &'static [&'static dyn Exporter],
    /// Its formats for machines, in the order in which help lists them.
    pub programs: &'static [&'static dyn ProgramFormat],
    /// What writes pages and pictures; `None` if it is not a format for them.
    pub pages: Option<&'static dyn PageFormat>,
    /// What writes drawings that are divided into pages; `None` if it is not a format for them.
    pub tiles: Option<&'static dyn TileFormat>,
    /// What reads its files; `None` if they are not read back.
    pub reader: Option<&'static dyn Reader>,
}

/// Shows what the family is, and no functions.
impl fmt::Debug for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Family").field("facts", self.facts).finish_non_exhaustive()
    }
}
