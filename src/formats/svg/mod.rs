//! SVG: drawings, pages and pictures, files for cutters, and files of any origin read back.

mod drawing;
mod facts;
mod machine;
mod path_data;
mod reader;
mod tiled;

use super::{Family, Format};

pub(super) use drawing::svg_of_cubics;
pub use drawing::svg_page;
pub use tiled::tiled_svg;

impl Format {
    /// SVG in millimetres, with curves as curves.
    pub const SVG: Self = Self::of(&drawing::Svg);
}

/// All formats of SVG.
pub(super) const FAMILY: Family = Family {
    facts: &facts::FACTS,
    drawings: &[&drawing::Svg],
    programs: &[&machine::CutSvg],
    reader: Some(&reader::Svg),
};
