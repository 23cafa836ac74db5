//! Lengths as framers write and read them: inches with fractions, feet and inches, millimetres and centimetres.

mod error;
mod parse;
mod ratio;
mod ruler;
mod token;
mod unit;
mod written;

pub use error::LengthError;
pub use parse::{parse, parse_exact, parse_exact_size, parse_signed, parse_size};
pub use ratio::Ratio;
pub use ruler::{Reading, Ruler, exact_mm};
pub use unit::Unit;
pub use written::write_exact;
