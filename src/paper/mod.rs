//! Paper to print on: sheets by name, sheets of any other size, and rolls.

mod kind;
mod sheet_sizes;

pub use kind::{Paper, PaperError};
pub use sheet_sizes::{SHEET_SIZES, SheetSize};
