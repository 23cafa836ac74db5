//! Lengths as framers write and read them: inches with fractions, feet and inches, millimetres and centimetres.

mod parse;
mod ratio;
mod ruler;
mod token;
mod unit;
mod written;

pub use parse::{LengthError, parse, parse_exact, parse_exact_size, parse_signed, parse_size};
pub use ratio::Ratio;
pub use ruler::{Reading, Ruler, exact_mm};
pub use unit::Unit;
pub use written::write_exact;
