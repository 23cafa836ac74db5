//! Where cuts ended, seen from the border that crosses there.
//!
//! Borders that the same guide cut lie on a line through all their readings, which says more of each than the one reading
//! at the corner does: a ruler rounds borders that are whole marks apart all the same way, so that leads taken from single
//! readings would all be off alike. So where the number of the guide is known the corner is that of the fit; what the
//! fit leaves open of it is in every end alike and is added to the result.

use super::estimate::{Estimate, Uncertain};
use super::fit::LineFit;
use super::pair::CalibrationPoint;
use crate::bench::{Cutter, End, Lean, Scale};
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
    /// The border on the back that crosses there, as read, and the number of the guide that cut it.
    pub(super) border: f64,
    pub(super) guide: Option<f64>,
    /// Half the length that the crossing cut has, below zero where this corner is at its near end.
    pub(super) half_length: Option<f64>,
    /// Mean width of the bevels of the piece, and thickness of its board.
    pub(super) bevel: Option<f64>,
    pub(super) thickness: Option<f64>,
    /// The size of the blank along the cut, as read, and the number of the arm that cut it.
    pub(super) side: Option<f64>,
    pub(super) arm: Option<f64>,
    pub(super) path: KeyPath,
}

/// What else was fitted, which tells where the corners lie.
pub(super) struct KnownCorners<'f> {
    pub(super) cutter: &'f Cutter,
    pub(super) guide: Option<&'f LineFit>,
    pub(super) arm: Option<&'f LineFit>,
    /// The tangent of the blade's angle.
    pub(super) tangent: Option<&'f LineFit>,
    /// The widths of the bevels.
    pub(super) widths: Option<&'f LineFit>,
    /// The share by which borders grow toward the far end, if they are told to.
    pub(super) drift: Option<f64>,
}

/// The ends of cuts at one end of the rail, or all that were made by eye where the blade goes in or comes out.
#[derive(Debug)]
pub(super) struct EndsOfCuts {
    /// The number of a stop and what it gave less the lead; for cuts by eye nought, and the lead.
    pub(super) pairs: Vec<CalibrationPoint>,
    /// The numbers of the guide at the corners of these, if all are known.
    guides: Option<Vec<f64>>,
    /// Whether all corners are those of the fitted guide, and all sides those of the fitted arm.
    fitted: bool,
    fitted_sides: bool,
    /// The middle of the numbers of the stop.
    set: f64,
    /// The numbers of the guide at the corners and of the arm along the cuts.
    guide: Beside,
    arm: Beside,
    /// Mean thickness of the boards.
    thickness: f64,
    along_rail: bool,
    by_eye: bool,
    end: End,
}

/// A number that goes with that of the stop: in the middle, and how much more it is for each more of the stop.
#[derive(Debug, Clone, Copy, Default)]
struct Beside {
    middle: f64,
    slope: f64,
}

impl Beside {
    /// Fits it to pairs of the number of the stop and the other one.
    fn of(pairs: &[(f64, f64)]) -> Self {
        let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / pairs.len().max(1) as f64;
        let (x, middle) = (mean(|(x, _)| *x), mean(|(_, y)| *y));
        let square_sum: f64 = pairs.iter().map(|(at, _)| (at - x).powi(2)).sum();
        let product_sum: f64 = pairs.iter().map(|(at, other)| (at - x) * (other - middle)).sum();
        Self { middle, slope: if square_sum > 0.0 { product_sum / square_sum } else { 0.0 } }
    }

    fn at(self, from_middle: f64) -> f64 {
        self.middle + self.slope * from_middle
    }
}

impl EndsOfCuts {
    /// Returns the scale of the stop that ended these cuts; `None` of cuts by eye.
    pub(super) fn scale<'c>(&self, cutter: &'c Cutter) -> Option<&'c Scale> {
        if self.by_eye { None } else { cutter.stop_at(self.end) }
    }

    /// Returns the readings over the numbers of the guide at their corners, so that what is open of its stretch is a slope.
    pub(super) fn along_their_numbers(&self) -> Vec<CalibrationPoint> {
        let along = |(pair, guide): (&CalibrationPoint, &f64)| CalibrationPoint { set: *guide, ..pair.clone() };
        match &self.guides {
            // A lead is the same for all numbers; what a stop gives grows with its own.
            Some(guides) if self.by_eye => self.pairs.iter().zip(guides).map(along).collect(),
            _ => self.pairs.clone(),
        }
    }
}

impl KnownCorners<'_> {
    /// Works out what ends of one kind say.
    pub(super) fn ends(&self, ends: &[&CutEnd]) -> EndsOfCuts {
        let all = |known: fn(&CutEnd) -> bool| !ends.is_empty() && ends.iter().all(|end| known(end));
        let mean = |of: fn(&CutEnd) -> f64| ends.iter().map(|end| of(end)).sum::<f64>() / ends.len().max(1) as f64;
        let fitted = self.guide.is_some() && all(|end| end.guide.is_some());
        let fitted_sides = self.arm.is_some() && all(|end| end.arm.is_some());
        let along_rail = ends.first().is_some_and(|end| !end.by_eye && self.cutter.counts_along_rail(end.end));
        let pair = |end: &&CutEnd| {
            let corner = self.corner(end, fitted);
            let distance = match end.side {
                Some(side) if along_rail => {
                    let side = self.arm.zip(end.arm).filter(|_| fitted_sides).map_or(side, |(fit, arm)| fit.at(arm));
                    side - (corner - end.over)
                }
                _ => corner - end.over,
            };
            let rounded = 1 + u8::from(!fitted) + u8::from(along_rail && !fitted_sides);
            let (set, given) = if end.by_eye { (0.0, end.set - distance) } else { (end.set, distance) };
            // More than two roundings spread hardly wider than two.
            CalibrationPoint { set, given, scale: 1.0, roundings: rounded.min(2), path: end.path.clone() }
        };
        let beside = |of: fn(&CutEnd) -> Option<f64>| {
            Beside::of(&ends.iter().map(|end| (end.set, of(end).unwrap_or_default())).collect::<Vec<_>>())
        };
        EndsOfCuts {
            pairs: ends.iter().map(pair).collect(),
            guides: ends.iter().map(|end| end.guide).collect(),
            fitted,
            fitted_sides,
            set: mean(|end| end.set),
            guide: beside(|end| end.guide),
            arm: beside(|end| end.arm),
            thickness: mean(|end| end.thickness.unwrap_or_default()),
            along_rail,
            by_eye: ends.first().is_some_and(|end| end.by_eye),
            end: ends.first().map_or(End::Far, |end| end.end),
        }
    }

    /// Returns how far from the edge the corner lies, on the side of the board where the opening is larger.
    fn corner(&self, end: &CutEnd, fitted: bool) -> f64 {
        let border = match (self.guide.filter(|_| fitted), end.guide) {
            (Some(fit), Some(number)) => {
                fit.at(number) + self.drift.unwrap_or_default() * end.half_length.unwrap_or_default()
            }
            _ => end.border,
        };
        match self.cutter.lean {
            Lean::AwayFromGuide => border,
            Lean::TowardGuide => {
                let fitted = self.tangent.zip(end.thickness).map(|(fit, thickness)| fit.at(0.0) * thickness);
                border - fitted.or(end.bevel).unwrap_or_default()
            }
        }
    }

    /// Returns what is left open of the bevels, in which all ends of a kind are off alike.
    fn bevels(&self, ends: &EndsOfCuts) -> Option<Uncertain> {
        if self.cutter.lean == Lean::AwayFromGuide {
            return None;
        }
        match self.tangent.filter(|_| ends.thickness > 0.0) {
            Some(fit) => Some(Uncertain::at(fit, 0.0).centred().times(ends.thickness)),
            None => self.widths.map(|fit| Uncertain::at(fit, 0.0).centred()),
        }
    }

    /// Returns a lead, from a fit to cuts by eye.
    pub(super) fn lead(&self, fit: &LineFit, ends: &EndsOfCuts) -> Uncertain {
        let guide =
            self.guide.filter(|_| ends.fitted).map(|fit| Uncertain::at(fit, ends.guide.middle).centred().times(-1.0));
        Uncertain::at(fit, 0.0).plus(guide).plus(self.bevels(ends))
    }

    /// Returns what a number on a stop gives, from a fit to cuts that it ended; and from one to cuts by eye at the same end,
    /// if there are any.
    pub(super) fn stop(
        &self,
        number: f64,
        fit: &LineFit,
        ends: &EndsOfCuts,
        by_eye: Option<(&LineFit, &EndsOfCuts)>,
    ) -> Uncertain {
        let lead_before = self.cutter.lead_at(ends.end);
        let sign = if ends.along_rail { -1.0 } else { 1.0 };
        let here = Uncertain::at(fit, number);
        let side = self.arm.filter(|_| ends.along_rail && ends.fitted_sides);
        let from_middle = number - ends.set;
        let here = here.plus(side.map(|fit| Uncertain::at(fit, ends.arm.at(from_middle)).centred()));
        let guide = self.guide.filter(|_| ends.fitted);
        let number = ends.guide.at(from_middle);
        match by_eye {
            // The corners of both are those of the same guide and blade: what is open of them cancels, but for the stretch.
            Some((lead, theirs)) if theirs.fitted == ends.fitted => {
                let apart = sign * (number - theirs.guide.middle);
                let stretch =
                    guide.filter(|fit| fit.has_slope()).map(|fit| Uncertain::slope(fit).centred().times(apart));
                here.plus(Some(Uncertain::at(lead, 0.0).times(sign))).plus(stretch)
            }
            lead => {
                let guide = guide.map(|fit| Uncertain::at(fit, number).centred().times(sign));
                let bevels = self.bevels(ends).map(|bevels| bevels.times(-sign));
                let lead = match lead {
                    Some((lead, theirs)) => self.lead(lead, theirs),
                    None => Uncertain::known(lead_before),
                };
                here.plus(guide).plus(bevels).plus(Some(lead.times(sign)))
            }
        }
    }

    /// Returns how much more what a stop gives grows than its number.
    pub(super) fn stretch(&self, fit: &LineFit, ends: &EndsOfCuts) -> Estimate {
        let with_slope = |other: Option<&LineFit>, beside: Beside| {
            let other = other.filter(|other| fit.has_slope() && other.has_slope())?;
            Some(Uncertain::slope(other).centred().times(beside.slope))
        };
        let guide = with_slope(self.guide.filter(|_| ends.fitted), ends.guide);
        let sign = if ends.along_rail { -1.0 } else { 1.0 };
        let arm = with_slope(self.arm.filter(|_| ends.along_rail && ends.fitted_sides), ends.arm);
        let slope = Uncertain::slope(fit).plus(guide.map(|guide| guide.times(sign))).plus(arm);
        slope.estimate().map(|slope| slope - 1.0)
    }
}
