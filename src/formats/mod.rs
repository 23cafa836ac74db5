//! File formats: everything about a format is in its folder, and [`FAMILIES`] is the one table of them.
//!
//! Writers are pure functions, from a drawing to bytes ([`Exporter`]) or from the work of a machine to bytes
//! ([`ProgramFormat`]), and from pages to files ([`PageFormat`], [`TileFormat`]); a [`Reader`] leads from the text of a file to a [`ReadDrawing`](reading::ReadDrawing). What else may be asked of a
//! format are its [`Facts`]. A new format is one folder with a [`Family`] and one line in [`FAMILIES`]; the command line, its help,
//! the file endings, the table in the documents and the golden files follow.
//!
//! ```
//! use backline::{Format, Job, View};
//!
//! let mat = Job::parse("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")?.mat()?;
//! for board in mat.boards() {
//!     for format in Format::all() {
//!         let file = board.write(View::CUT, format)?;
//!         assert!(!file.bytes.is_empty(), "{}", board.file_name("harbour", View::CUT, format));
//!     }
//! }
//! # Ok::<(), backline::Error>(())
//! ```

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
mod page_format;
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
pub use facts::{CoordinateUnit, Facts, KeptCurves, ToolMark, YAxis};
pub use family::Family;
pub use format::Format;
pub use page_format::{PageFormat, TileFormat};
#[cfg(feature = "pdf")]
pub use pdf::{pdf_pages, tiled_pdf};
#[cfg(feature = "pictures")]
pub use png::png;
pub use program_format::ProgramFormat;
pub use read::read;
pub use reader::Reader;
pub use svg::{svg_page, tiled_svg};
pub use table::{
    FAMILIES, drawing_formats, format, format_of, is_ending, page_format, page_formats, program_format,
    program_formats, readers, tile_format, tile_formats,
};
