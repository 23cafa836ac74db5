//! What the holes of a sheet are worth, and how far they reach: kept up with every change, for every placing looks at it.

use super::hole::Hole;
use super::task::Units;

/// Areas are scaled to about this many bits for the largest sheet, so that sums of squares stay exact in 64.
const AREA_BITS: u32 = 22;

/// How areas are scaled, and what holes are worth.
#[derive(Clone, Copy, Debug)]
pub(super) struct AreaScale {
    factor: i64,
    shift: u32,
}

impl AreaScale {
    /// For sheets up to an area.
    pub(super) fn new(largest: i64) -> Self {
        let bits = 64 - largest.max(1).leading_zeros();
        Self { factor: 1 << AREA_BITS.saturating_sub(bits), shift: bits.saturating_sub(AREA_BITS) }
    }

    /// An area, scaled.
    pub(super) fn scaled(self, area: i64) -> i64 {
        (area * self.factor) >> self.shift
    }

    /// How much a hole is worth: its area squared, over the area of the largest sheet.
    pub(super) fn worth(self, width: Units, height: Units) -> i64 {
        let area = self.scaled(width * height);
        (area * area) >> AREA_BITS
    }
}

/// How far holes reach: the greatest of their widths, of their heights, and of the shorter of both.
pub(super) type HoleReach = [Units; 3];

/// The reach where nothing fits.
pub(super) const NOWHERE: HoleReach = [-1; 3];

/// What the holes of a sheet come to.
#[derive(Clone, Copy, Debug)]
pub(super) struct HoleAccount {
    /// The sum of what they are worth.
    pub(super) worth: i64,
    /// None reaches further.
    reach: HoleReach,
    /// Whether one that reached as far as that is gone.
    loose: bool,
}

impl HoleAccount {
    /// Of no holes.
    pub(super) const NOTHING: Self = Self { worth: 0, reach: NOWHERE, loose: false };

    pub(super) fn add(&mut self, hole: &Hole) {
        self.worth += hole.worth;
        self.extend(hole);
    }

    pub(super) fn take(&mut self, hole: &Hole) {
        self.worth -= hole.worth;
        let [width, height] = hole.size;
        self.loose |= width == self.reach[0] || height == self.reach[1] || width.min(height) == self.reach[2];
    }

    /// How far they reach, given all of them.
    pub(super) fn reach(&mut self, holes: &[Hole]) -> HoleReach {
        if self.loose {
            (self.reach, self.loose) = (NOWHERE, false);
            holes.iter().for_each(|hole| self.extend(hole));
        }
        self.reach
    }

    fn extend(&mut self, hole: &Hole) {
        let [width, height] = hole.size;
        let [widest, highest, thickest] = self.reach;
        self.reach = [width.max(widest), height.max(highest), width.min(height).max(thickest)];
    }
}
