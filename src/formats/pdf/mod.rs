//! PDF: drawings, documents of several pages, and drawings divided into pages.

mod content;
mod document;
mod embedded;
mod helvetica;
mod images;
mod letters;
mod tiled;
mod units;

use super::facts::step_of;
use super::{
    CoordinateUnit, ExportError, Exported, Facts, Family, Format, KeptCurves, Options, PageFormat, TileFormat,
    ToolMark, YAxis,
};
use crate::drawing::Drawing;
use crate::tiling::Tiled;
use crate::tolerance::READ_BACK_MM;

pub use document::pdf_pages;
pub use tiled::tiled_pdf;

impl Format {
    /// PDF, a page at true size, with curves as curves.
    pub const PDF: Self = Self::of(&document::Pdf);
}

/// What PDF is.
static FACTS: Facts = Facts {
    name: "pdf",
    title: "PDF",
    y: YAxis::Up,
    curves: KeptCurves::All,
    step: step_of(content::DECIMALS),
    slack: READ_BACK_MM,
    unit: CoordinateUnit::Point,
    unit_is_obeyed: true,
    has_pages: true,
    tools: ToolMark::Nothing,
    has_depths: false,
    has_speeds: false,
    keeps_names: false,
};

/// All formats of PDF.
pub(super) const FAMILY: Family = Family {
    facts: &FACTS,
    drawings: &[&document::Pdf],
    programs: &[],
    pages: Some(&document::Pdf),
    tiles: Some(&document::Pdf),
    reader: None,
};

impl PageFormat for document::Pdf {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn write_pages(&self, title: &str, pages: &[&Drawing], options: &Options) -> Result<Vec<Exported>, ExportError> {
        pdf_pages(title, pages.iter().copied(), options).map(|file| vec![file])
    }
}

impl TileFormat for document::Pdf {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn write_tiles(&self, tiled: &Tiled, options: &Options) -> Result<Vec<Exported>, ExportError> {
        tiled_pdf(tiled, options).map(|file| vec![file])
    }
}
