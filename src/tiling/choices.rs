//! How a drawing is put on paper: the choices, and the layout that follows from them.

use std::fmt;

use kurbo::Size;

use crate::length::{self, Ruler, Unit};
use crate::page::PRINTER_MARGIN;
use crate::paper::{Paper, Stretch};

/// How a drawing is put on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Tiling {
    /// The paper to print on.
    pub paper: Paper,
    /// Which way the paper is turned.
    pub orientation: Orientation,
    /// Space at the edges of the paper that the printer cannot reach, in millimetres.
    pub margin: f64,
    /// Width in millimetres of the strip by which a page lies over the one before it; 0 to join them edge to edge.
    pub overlap: f64,
    /// What is printed.
    pub only: PrintedPart,
    /// Name of the printer, for whoever reads the page; may be empty.
    pub printer: String,
    /// By how much more or less the printer prints along the short and the long side of the paper.
    pub stretch: Stretch,
    /// How lengths are shown to the framer.
    pub ruler: Ruler,
}

/// Which way paper is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Orientation {
    /// Whichever takes fewer pages; upright if there is no difference. A roll is turned to take less of it.
    #[default]
    Fewest,
    /// Upright: the short side, or the width of the roll, is the width of the page.
    Portrait,
    /// Lying: the short side, or the width of the roll, is the height of the page.
    Landscape,
}

/// What is printed of a drawing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum PrintedPart {
    /// All of it.
    #[default]
    All,
    /// Corners, curves, and marks at the middles of sides.
    Corners,
    /// One opening and what stands round it.
    Opening {
        /// Its number, counted from one.
        number: usize,
        /// Its name, for the words below the tiles; empty if it has none.
        name: String,
    },
}

/// Why a drawing cannot be put on paper.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct TilingError {
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to change.
    pub help: String,
}

impl TilingError {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }
}

impl fmt::Display for TilingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for TilingError {}

/// The usual overlap in millimetres: common practice, no source.
const OVERLAP: f64 = 10.0;
impl Default for Tiling {
    /// A4, turned for the fewest sheets, with the usual margin and overlap, all of the drawing, a printer that prints true.
    fn default() -> Self {
        Self {
            paper: Paper::Sheet { name: "A4".to_owned(), short: 210.0, long: 297.0 },
            orientation: Orientation::Fewest,
            margin: PRINTER_MARGIN,
            overlap: OVERLAP,
            only: PrintedPart::All,
            printer: String::new(),
            stretch: Stretch::NONE,
            ruler: Ruler::usual(Unit::Millimetre),
        }
    }
}

impl Tiling {
    /// Refuses lengths that are none.
    pub(super) fn check(&self) -> Result<(), TilingError> {
        for (length, what) in [(self.margin, "margin"), (self.overlap, "overlap")] {
            if !(length.is_finite() && length >= 0.0) {
                return Err(TilingError::new(
                    format!("the {what} is {length} mm"),
                    "give a length of zero or more".to_owned(),
                ));
            }
        }
        Ok(())
    }
}

/// Returns a size as words.
pub(super) fn shown(size: Size) -> String {
    format!("{} × {}", length::exact_mm(size.width), length::exact_mm(size.height))
}
