//! Lengths as framers write and read them: inches with fractions, feet and inches, millimetres and centimetres.
//!
//! ```
//! use backline::length::{Ruler, Unit, parse};
//!
//! let mm = parse("3 1/4", Some(Unit::Inch))?;
//! assert!((mm - 82.55).abs() < 1e-9);
//! assert_eq!(Ruler::usual(Unit::Inch).show(mm), "3 1/4 in");
//! # Ok::<(), backline::length::LengthError>(())
//! ```

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
pub use ruler::{Ruler, RulerReading, exact_mm};
pub use sheet_sizes::{SHEET_SIZES, SheetSize};
pub use unit::Unit;
pub use unit_named::{reported_unit, unit_named};
pub use written::write_exact;
