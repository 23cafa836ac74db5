//! SVG: drawings, pages and pictures, files for cutters, and files of any origin read back.

mod base64;
mod drawing;
mod facts;
mod machine;
mod path_data;
#[cfg(feature = "svg-import")]
mod reader;
mod tiled;

use super::exporter::refuse_no_page;
use super::{ExportError, Exported, Facts, Family, Format, Options, PageFormat, Reader, TileFormat};
use crate::drawing::Drawing;
use crate::tiling::Tiled;

#[cfg(feature = "pictures")]
pub(super) use drawing::svg_of_cubics;
pub use drawing::svg_page;
pub use tiled::tiled_svg;

impl Format {
    /// SVG in millimetres, with curves as curves.
    pub const SVG: Self = Self::of(&drawing::SvgExporter);
}

/// SVG is read by the crates that bring outlines in.
#[cfg(feature = "svg-import")]
const READER: Option<&dyn Reader> = Some(&reader::SvgReader);
#[cfg(not(feature = "svg-import"))]
const READER: Option<&dyn Reader> = None;

/// All formats of SVG.
pub(super) const FAMILY: Family = Family {
    facts: &facts::FACTS,
    drawings: &[&drawing::SvgExporter],
    programs: &[&machine::CutSvg],
    pages: Some(&drawing::SvgExporter),
    tiles: Some(&drawing::SvgExporter),
    reader: READER,
};

impl PageFormat for drawing::SvgExporter {
    fn facts(&self) -> &'static Facts {
        &facts::FACTS
    }

    fn write_pages(&self, _: &str, pages: &[&Drawing], _: &Options) -> Result<Vec<Exported>, ExportError> {
        refuse_no_page(pages)?;
        pages.iter().map(|page| svg_page(page)).collect()
    }
}

impl TileFormat for drawing::SvgExporter {
    fn facts(&self) -> &'static Facts {
        &facts::FACTS
    }

    fn write_tiles(&self, tiled: &Tiled, _: &Options) -> Result<Vec<Exported>, ExportError> {
        tiled_svg(tiled)
    }
}
