//! HP-GL: drawings for pens, the work of plotters, and plots of any origin read back.

mod drawing;
mod machine;
mod reader;
mod syntax;

use super::{Family, Format};

impl Format {
    /// HP-GL in plotter units.
    pub const HPGL: Self = Self::of(&drawing::HpGl);
}

/// All formats of HP-GL.
pub(super) const FAMILY: Family = Family {
    facts: &syntax::FACTS,
    drawings: &[&drawing::HpGl],
    programs: &[&machine::HpGl],
    reader: Some(&reader::HpGl),
};
