//! HP-GL: drawings for pens, the work of plotters, and plots of any origin read back.

mod drawing;
mod machine;
mod reader;
mod syntax;

use super::{Family, Format};

impl Format {
    /// HP-GL in plotter units.
    pub const HPGL: Self = Self::of(&drawing::HpGlExporter);
}

/// All formats of HP-GL.
pub(super) const FAMILY: Family = Family {
    facts: &syntax::FACTS,
    drawings: &[&drawing::HpGlExporter],
    programs: &[&machine::HpGlPrograms],
    pages: None,
    tiles: None,
    reader: Some(&reader::HpGlReader),
};
