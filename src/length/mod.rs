//! Lengths as framers write and read them: inches with fractions, feet and inches, millimetres and centimetres.

mod doubt;
mod error;
mod parse;
mod ratio;
mod ruler;
mod sheet_sizes;
mod token;
mod unit;
mod unit_named;
mod written;

pub use doubt::doubt;
pub use error::LengthError;
pub use parse::{parse, parse_exact, parse_exact_size, parse_signed, parse_size};
pub use ratio::Ratio;
pub use ruler::{Reading, Ruler, exact_mm};
pub use sheet_sizes::{SHEET_SIZES, SheetSize};
pub use unit::Unit;
pub use unit_named::{reported_unit, unit_named};
pub use written::write_exact;
