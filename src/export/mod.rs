//! Exporters: pure functions from a drawing to the bytes of one format, and the one table of formats.
//!
//! A new format is one file with an [`Exporter`] and one line in [`FORMATS`]; the command line, its help, the file
//! endings and the golden files follow from the table.

mod ascii;
mod coordinate;
mod dxf;
mod exporter;
mod format;
mod hpgl;
mod letters;
mod notes;
mod number;
mod pdf;
mod png;
mod polylines_json;
mod polylines_text;
mod program;
mod svg;

pub use exporter::{DxfFigures, ExportError, Exported, Exporter, FileUnit, Options, Source};
pub use format::Format;
pub use pdf::{pdf_pages, tiled_pdf};
pub use png::png;
pub use svg::{svg_page, tiled_svg};

pub use program::{PROGRAM_FORMATS, ProgramFormat, format_of, program_format};

/// Every format, in the order in which help and documents list them.
pub const FORMATS: &[&dyn Exporter] = &[
    &svg::Svg,
    &pdf::Pdf,
    &dxf::R12,
    &dxf::R2000,
    &hpgl::HpGl,
    &polylines_text::PolylinesText,
    &polylines_json::PolylinesJson,
];

/// Returns the format with a name, for example `svg`.
#[must_use]
pub fn format(name: &str) -> Option<&'static dyn Exporter> {
    FORMATS.iter().copied().find(|format| format.name() == name)
}
