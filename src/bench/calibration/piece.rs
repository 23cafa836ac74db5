//! A test piece as it was read, in millimetres.

use super::record::RecordedSide;
use super::set_length::{PlaceOfLength, SetLength};
use crate::bench::{End, RailSide};
use crate::job::Scope;

/// A side in millimetres.
pub(super) struct SideReading<'r> {
    pub(super) written: &'r RecordedSide,
    pub(super) scope: Scope,
    pub(super) place: PlaceOfLength,
    /// What the guide was set to.
    pub(super) guide: Option<f64>,
    /// On the back, at the far and at the near end.
    pub(super) border: Option<[f64; 2]>,
    pub(super) bevel: Option<f64>,
}

/// A size of a blank in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct BlankReading {
    pub(super) place: PlaceOfLength,
    /// What the arm was set to.
    pub(super) arm: Option<f64>,
    /// At both ends.
    pub(super) read: Option<[f64; 2]>,
}

impl SideReading<'_> {
    /// Returns the border with the number that the guide was set to.
    pub(super) fn length(&self) -> Option<SetLength> {
        self.border.map(|[far, near]| SetLength { read: 0.5 * (far + near), set: self.guide, place: self.place })
    }
}

impl BlankReading {
    pub(super) fn length(self) -> Option<SetLength> {
        self.mean().map(|read| SetLength { read, set: self.arm, place: self.place })
    }

    pub(super) fn mean(self) -> Option<f64> {
        self.read.map(|[one, other]| 0.5 * (one + other))
    }
}

/// A test piece as it was read, but for where its cuts ended.
pub(super) struct PieceReading<'r> {
    pub(super) index: usize,
    pub(super) scope: &'r Scope,
    pub(super) thickness: Option<f64>,
    /// Width and height.
    pub(super) sizes: [BlankReading; 2],
    /// Left, bottom, right, top.
    pub(super) cuts: [Option<SideReading<'r>>; 4],
    /// Width and height of the opening, at both ends.
    pub(super) openings: [Option<[f64; 2]>; 2],
    pub(super) diagonals: Option<[f64; 2]>,
}

/// Returns the cut that crosses another one at an end, and the end of its own at which it does.
///
/// The sides go round against the clock as seen from the front. The board lies face down: with the guide on the left,
/// the next side is at the far end of a cut.
pub(super) fn crossing<'c, 'r>(
    cuts: &'c [Option<SideReading<'r>>; 4],
    place: usize,
    end: End,
    guide: RailSide,
) -> Option<(&'c SideReading<'r>, End)> {
    let (other, its_end) = crossing_place(place, end, guide);
    Some((cuts.get(other)?.as_ref()?, its_end))
}

/// Returns the number of the side that crosses another one at an end, and the end of its own at which it does.
pub(super) const fn crossing_place(place: usize, end: End, guide: RailSide) -> (usize, End) {
    let next = matches!(end, End::Far) == matches!(guide, RailSide::Left);
    (if next { (place + 1) % 4 } else { (place + 3) % 4 }, if matches!(end, End::Far) { End::Near } else { End::Far })
}

impl PieceReading<'_> {
    /// Returns the size of the blank along a cut: left and right are as long as the blank is high.
    pub(super) fn along(&self, place: usize) -> BlankReading {
        let [width, height] = self.sizes;
        if place.is_multiple_of(2) { height } else { width }
    }

    /// Returns the length of a cut between the two that cross it, as read.
    pub(super) fn length_of(&self, place: usize) -> Option<f64> {
        let border = |at: usize| {
            let [far, near] = self.cuts.get(at % 4)?.as_ref()?.border?;
            Some(0.5 * (far + near))
        };
        Some(self.along(place).mean()? - border(place + 1)? - border(place + 3)?).filter(|length| *length > 0.0)
    }
}

pub(super) fn mean_bevel(cuts: &[Option<SideReading<'_>>; 4]) -> Option<f64> {
    let bevels: Vec<f64> = cuts.iter().flatten().filter_map(|cut| cut.bevel).collect();
    (!bevels.is_empty()).then(|| bevels.iter().sum::<f64>() / bevels.len() as f64)
}
