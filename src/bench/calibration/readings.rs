//! What each part of a cutter was set to, and what it gave.

use super::closure::Closure;
use super::pair::Pair;
use crate::problem::KeyPath;

/// What was measured of each part of a cutter.
#[derive(Debug, Default)]
pub(super) struct Readings {
    /// The number on the guide, and the border on the back.
    pub(super) guide: Vec<Pair>,
    /// The number on each stop, far and near, and the distance of the end of the cut from the edge.
    pub(super) stops: [Vec<Pair>; 2],
    /// How far the cut ran beyond the mark on the head, where the blade went in and where it came out.
    pub(super) leads: [Vec<Pair>; 2],
    /// The number on the arm, and the size of the blank.
    pub(super) arm: Vec<Pair>,
    /// The bevel's width as a share of the thickness of the board.
    pub(super) bevel: Vec<Pair>,
    /// The sine of the angle by which the corner is too wide.
    pub(super) square: Vec<Pair>,
    /// How much wider the border is at the far end than at the near end, as a share of the length between.
    pub(super) drift: Vec<Pair>,
    /// The widths of the bevels.
    pub(super) bevel_widths: Vec<Pair>,
    /// Lengths that have to add up.
    pub(super) closures: Vec<Closure>,
    /// How much longer the diagonals are than the sides allow, in millimetres: `d₁² + d₂² = 2 (W² + H²)`.
    pub(super) diagonals: Vec<(f64, KeyPath)>,
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
        let Self { guide, stops: [far, near], leads: [entry, exit], arm, bevel, square, drift, .. } = self;
        [guide, far, near, entry, exit, arm, bevel, square, drift].into_iter().map(Vec::len).sum()
    }
}
