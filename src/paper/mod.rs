//! Paper to print on: sheets by name, sheets of any other size, and rolls; and printers as they are known by measurement.

mod kind;
mod printer;
mod printer_file;
mod stretch;

pub use crate::length::{SHEET_SIZES, SheetSize};
pub use kind::{Paper, PaperError};
pub use printer::Printer;
pub use printer_file::{PRINTER_STARTER, WrittenBar, WrittenBars, WrittenPrinter, printer_schema};
pub use stretch::Stretch;
