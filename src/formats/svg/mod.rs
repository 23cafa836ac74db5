//! SVG: drawings, pages and pictures, files for cutters, and files of any origin read back.

mod drawing;
mod facts;
mod machine;
mod path_data;
#[cfg(feature = "svg-import")]
mod reader;
mod tiled;

use super::{Family, Format, Reader};

#[cfg(feature = "pictures")]
pub(super) use drawing::svg_of_cubics;
pub use drawing::svg_page;
pub use tiled::tiled_svg;

impl Format {
    /// SVG in millimetres, with curves as curves.
    pub const SVG: Self = Self::of(&drawing::Svg);
}

/// SVG is read by the crates that bring outlines in.
#[cfg(feature = "svg-import")]
const READER: Option<&dyn Reader> = Some(&reader::Svg);
#[cfg(not(feature = "svg-import"))]
const READER: Option<&dyn Reader> = None;

/// All formats of SVG.
pub(super) const FAMILY: Family =
    Family { facts: &facts::FACTS, drawings: &[&drawing::Svg], programs: &[&machine::CutSvg], reader: READER };
