//! File formats: all that is known of each stands in its folder, and the one table of them in [`FAMILIES`].
//!
//! Writers are pure functions, from a drawing to bytes ([`Exporter`]) or from the work of a machine to bytes
//! ([`ProgramFormat`]); a [`Reader`] leads from the text of a file to a [`Reading`](reading::Reading). What else may be asked of a
//! format are its [`Facts`]. A new format is one folder with a [`Family`] and one line in [`FAMILIES`]; the command line, its help,
//! the file endings, the table in the documents and the golden files follow.

mod about;
mod ascii;
mod coordinate;
mod exporter;
mod facts;
mod family;
mod format;
mod letters;
mod notes;
mod number;
mod program_format;
mod read;
mod reader;
pub mod reading;
mod table;

mod dxf;
mod gcode;
mod hpgl;
#[cfg(feature = "pdf")]
mod pdf;
#[cfg(feature = "pictures")]
mod png;
mod polylines;
mod svg;

pub use exporter::{DxfFigures, ExportError, Exported, Exporter, FileUnit, Options, Source};
pub use facts::{Facts, KeptCurves, NumberUnit, YAxis};
pub use family::Family;
pub use format::Format;
#[cfg(feature = "pdf")]
pub use pdf::{pdf_pages, tiled_pdf};
#[cfg(feature = "pictures")]
pub use png::png;
pub use program_format::ProgramFormat;
pub use read::read;
pub use reader::Reader;
pub use svg::{svg_page, tiled_svg};
pub use table::{FAMILIES, drawing_formats, format, format_of, is_ending, program_format, program_formats, readers};
