//! Paper to print on: sheets by name, sheets of any other size, and rolls.

mod kind;
mod sheet_sizes;
mod stretch;

pub use kind::{Paper, PaperError};
pub use sheet_sizes::{SHEET_SIZES, SheetSize};
pub use stretch::Stretch;
