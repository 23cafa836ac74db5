//! Paper to print on: named sheets, sheets of any other size, and rolls; and printers as measured.
//!
//! ```
//! use backline::paper::Paper;
//!
//! let paper: Paper = "A4".parse()?;
//! assert!((paper.short() - 210.0).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod kind;
mod printer;
mod printer_file;
mod stretch;

pub use crate::length::{SHEET_SIZES, SheetSize};
pub use kind::{Paper, PaperError};
pub use printer::Printer;
#[cfg(feature = "schema")]
pub use printer_file::printer_schema;
pub use printer_file::{PRINTER_STARTER, WrittenBar, WrittenBars, WrittenPrinter};
pub use stretch::Stretch;
