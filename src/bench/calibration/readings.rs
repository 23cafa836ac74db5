//! What each part of a cutter was set to, and what it gave.

use super::closure::Closure;
use super::ends::CutEnd;
use super::pair::CalibrationPoint;
use super::set_length::SetLength;
use crate::problem::KeyPath;

/// What was measured of each part of a cutter.
#[derive(Debug, Default)]
pub(super) struct Readings {
    /// The number on the guide, and the border on the back.
    pub(super) guide: Vec<CalibrationPoint>,
    /// Where cuts ended.
    pub(super) ends: Vec<CutEnd>,
    /// The number on the arm, and the size of the blank.
    pub(super) arm: Vec<CalibrationPoint>,
    /// The bevel's width as a share of the thickness of the board.
    pub(super) bevel: Vec<CalibrationPoint>,
    /// The sine of the angle by which the corner is too wide.
    pub(super) square: Vec<CalibrationPoint>,
    /// How much wider the border is at the far end than at the near end, as a share of the length between.
    pub(super) drift: Vec<CalibrationPoint>,
    /// Borders, sizes of blanks and widths of bevels, each as it was read.
    pub(super) borders: Vec<BorderReading>,
    pub(super) blanks: Vec<BlankSizeReading>,
    pub(super) bevel_widths: Vec<BevelReading>,
    /// Lengths that have to add up.
    pub(super) closures: Vec<Closure>,
    /// How much longer the diagonals are than the sides allow, in millimetres: `d₁² + d₂² = 2 (W² + H²)`.
    pub(super) diagonals: Vec<(f64, KeyPath)>,
    /// Openings, and the numbers of the guide and the arm that they follow from.
    pub(super) openings: Vec<OpeningReading>,
    /// Single diagonals, and the sides that they follow from.
    pub(super) single_diagonals: Vec<DiagonalReading>,
    /// Every length as measured.
    pub(super) lengths: Vec<f64>,
    /// The smallest mark in millimetres of the ruler that was measured with; zero if nobody knows.
    pub(super) mark: f64,
    /// The largest thickness of the boards in millimetres; zero if no bevel was measured.
    pub(super) thickest: f64,
}

impl Readings {
    /// Returns the number of readings of all parts.
    pub(super) fn count(&self) -> usize {
        let Self { guide, ends, arm, bevel, square, drift, .. } = self;
        ends.len() + [guide, arm, bevel, square, drift].into_iter().map(Vec::len).sum::<usize>()
    }
}

/// A border as read, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct BorderReading {
    pub(super) length: SetLength,
    /// Half the length of its cut, below zero if it was read at the near end; `None` if nobody knows.
    pub(super) half_length: Option<f64>,
    pub(super) path: KeyPath,
}

/// A size of a blank as read, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct BlankSizeReading {
    pub(super) length: SetLength,
    pub(super) path: KeyPath,
}

/// The width of a bevel as read, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct BevelReading {
    pub(super) read: f64,
    pub(super) piece: usize,
    pub(super) thickness: Option<f64>,
    pub(super) path: KeyPath,
}

/// An opening as read, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct OpeningReading {
    pub(super) read: f64,
    /// The borders beside it and the blank, as read and with the numbers that they were set to.
    pub(super) borders: [SetLength; 2],
    pub(super) blank: SetLength,
    pub(super) path: KeyPath,
}

/// A diagonal as read, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct DiagonalReading {
    pub(super) read: f64,
    pub(super) sides: [SetLength; 2],
    /// Below zero for the diagonal that a wide corner shortens.
    pub(super) sign: f64,
    /// The sine of the angle beyond a right one, as these diagonals and sides have it.
    pub(super) sine: f64,
    pub(super) path: KeyPath,
}
