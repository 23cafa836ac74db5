//! Where cuts ended, seen from the border that crosses there.
//!
//! Borders that the same guide cut lie on a line through all their readings, which says more of each than the one reading
//! at the corner does: a ruler rounds borders that are whole marks apart all the same way, so that leads taken from single
//! readings would all be off alike. So where the number of the guide is known the corner is that of the fit.

use super::fit::LineFit;
use super::pair::CalibrationPoint;
use super::set_length::SetLength;
use crate::bench::{Cutter, End, Lean};
use crate::problem::KeyPath;

/// One end of a cut as measured; lengths in millimetres.
#[derive(Debug, Clone)]
pub(super) struct CutEnd {
    pub(super) end: End,
    /// The number of the stop, or how far from the edge the mark on the head stood.
    pub(super) set: f64,
    pub(super) by_eye: bool,
    /// How far the cut runs beyond the corner.
    pub(super) over: f64,
    /// The border on the back that crosses there.
    pub(super) corner: SetLength,
    /// Half the length that the crossing cut has, below zero where this corner is at its near end.
    pub(super) half_length: Option<f64>,
    /// Mean width of the bevels of the piece, and thickness of its board.
    pub(super) bevel: Option<f64>,
    pub(super) thickness: Option<f64>,
    /// The size of the blank along the cut.
    pub(super) along: Option<SetLength>,
    /// The piece, counted from nought.
    pub(super) piece: usize,
    pub(super) path: KeyPath,
}

/// What else was fitted, which tells where the corners lie.
pub(super) struct KnownCorners<'f> {
    pub(super) cutter: &'f Cutter,
    pub(super) guide: Option<&'f LineFit>,
    pub(super) arm: Option<&'f LineFit>,
    /// The tangent of the blade's angle.
    pub(super) tangent: Option<&'f LineFit>,
    /// The share by which borders grow towards the far end, if they are told to.
    pub(super) drift: Option<f64>,
}

impl KnownCorners<'_> {
    /// Works out what ends of one kind say: the number of a stop and what it gave less the lead; for cuts by eye nought, and
    /// the lead.
    pub(super) fn ends(&self, ends: &[&CutEnd]) -> Vec<CalibrationPoint> {
        let all = |known: fn(&CutEnd) -> bool| !ends.is_empty() && ends.iter().all(|end| known(end));
        let fitted = self.guide.is_some() && all(|end| end.corner.set.is_some());
        let fitted_sides = self.arm.is_some() && all(|end| end.along.is_some_and(|along| along.set.is_some()));
        let pair = |end: &&CutEnd| {
            let corner = self.corner(end, fitted);
            let along = end.along.filter(|_| !end.by_eye && self.cutter.counts_along_rail(end.end)).map(|along| {
                let fit = self.arm.zip(along.set).filter(|_| fitted_sides);
                fit.map_or(along.read, |(fit, arm)| fit.at(arm))
            });
            let distance = along.map_or(corner - end.over, |along| along - (corner - end.over));
            let (set, given) = if end.by_eye { (0.0, end.set - distance) } else { (end.set, distance) };
            CalibrationPoint { set, given, path: end.path.clone() }
        };
        ends.iter().map(pair).collect()
    }

    /// Returns how far from the edge the corner lies, on the side of the board where the opening is larger.
    fn corner(&self, end: &CutEnd, fitted: bool) -> f64 {
        let border = match (self.guide.filter(|_| fitted), end.corner.set) {
            (Some(fit), Some(number)) => {
                fit.at(number) + self.drift.unwrap_or_default() * end.half_length.unwrap_or_default()
            }
            _ => end.corner.read,
        };
        match self.cutter.lean {
            Lean::AwayFromGuide => border,
            Lean::TowardGuide => {
                let fitted = self.tangent.zip(end.thickness).map(|(fit, thickness)| fit.at(0.0) * thickness);
                border - fitted.or(end.bevel).unwrap_or_default()
            }
        }
    }
}
