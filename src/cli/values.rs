//! Values of options, and the words that they may be.

use clap::builder::{PossibleValue, PossibleValuesParser};

use crate::formats::{FileUnit, drawing_formats};
use crate::length;
use crate::tolerance::FINEST_TOLERANCE_MM;
use crate::view::VIEWS;

use super::doubt::doubted;

/// The word that stands for every view or format.
pub(super) const ALL: &str = "all";

pub(super) fn formats() -> PossibleValuesParser {
    let formats = drawing_formats().map(|format| PossibleValue::new(format.name()).help(format.summary()));
    PossibleValuesParser::new(formats.chain([PossibleValue::new(ALL).help("every format")]))
}

pub(super) fn views() -> PossibleValuesParser {
    let views = VIEWS.iter().map(|view| PossibleValue::new(view.name).help(view.summary));
    PossibleValuesParser::new(views.chain([PossibleValue::new(ALL).help("every view")]))
}

pub(super) fn file_unit(name: &str) -> FileUnit {
    if name == FileUnit::Inch.name() { FileUnit::Inch } else { FileUnit::Millimetre }
}

/// The coarsest tolerance in millimetres: beyond it an oval would be visibly angular.
const COARSEST_MM: f64 = 1.0;

pub(super) fn tolerance(text: &str) -> Result<f64, String> {
    let tolerance = length::parse(doubted(text), None).map_err(|error| format!("{}; {}", error.message, error.help))?;
    if (FINEST_TOLERANCE_MM..=COARSEST_MM).contains(&tolerance) {
        Ok(tolerance)
    } else {
        Err(format!("give a length from {FINEST_TOLERANCE_MM} mm to {COARSEST_MM} mm"))
    }
}

/// Reads the size in millimetres of a sheet of board.
pub(super) fn sheet_of_board(text: &str) -> Result<kurbo::Size, String> {
    let size = length::parse_size(doubted(text), None).map_err(|error| format!("{}; {}", error.message, error.help))?;
    if size.width > 0.0 && size.height > 0.0 { Ok(size) } else { Err("the size of a sheet must be above zero".into()) }
}
