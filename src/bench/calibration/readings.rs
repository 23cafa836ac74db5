//! What each part of a cutter was set to, and what it gave.

use super::closure::Closure;
use super::ends::CutEnd;
use super::fit::LineFit;
use super::pair::CalibrationPoint;
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
    /// The widths of the bevels.
    pub(super) bevel_widths: Vec<CalibrationPoint>,
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
    pub(super) path: KeyPath,
}

/// A length as read, and the number that a scale was set to for it, if it is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct SetLength {
    pub(super) read: f64,
    pub(super) set: Option<f64>,
}

impl SetLength {
    /// Returns what the fit of its scale says of it; as it was read without one.
    pub(super) fn fitted(self, fit: Option<&LineFit>) -> f64 {
        fit.zip(self.set).map_or(self.read, |(fit, set)| fit.at(set))
    }
}
