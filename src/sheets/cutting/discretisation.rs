//! Lengths that rows of pieces can have: the normal positions of one axis.

#![allow(clippy::indexing_slicing, reason = "places come from the axis itself")]

use super::task::Units;

/// Lengths that rows of pieces can have.
#[derive(Debug)]
pub(super) struct DiscretisationPoints {
    pub(super) lengths: Vec<Units>,
    /// For every length the place of the longest row that fits.
    pub(super) places: Vec<u32>,
}

impl DiscretisationPoints {
    /// All lengths up to a whole that sums of sides make.
    pub(super) fn new(whole: Units, sides: impl Iterator<Item = Units>) -> Self {
        let mut reached = vec![false; whole as usize + 1];
        reached[0] = true;
        let mut sides: Vec<Units> = sides.collect();
        sides.sort_unstable();
        sides.dedup();
        for at in 0..reached.len() {
            for side in sides.iter().map(|side| *side as usize) {
                if side <= at && reached[at - side] {
                    reached[at] = true;
                    break;
                }
            }
        }
        let mut lengths = Vec::new();
        let mut places = Vec::with_capacity(reached.len());
        for (at, reached) in reached.iter().enumerate() {
            if *reached {
                lengths.push(at as Units);
            }
            places.push(lengths.len() as u32 - 1);
        }
        Self { lengths, places }
    }

    /// The place of the longest of them that is no longer than a length, which is no longer than the whole.
    pub(super) fn place(&self, length: Units) -> usize {
        self.places[length as usize] as usize
    }

    /// What is left of the length at a place after a shorter one at another, as a place.
    pub(super) fn rest(&self, of: usize, first: usize) -> usize {
        self.place(self.lengths[of] - self.lengths[first])
    }
}

/// The greatest common divisor; of 0 and a number, the number.
pub(super) fn greatest_divisor(one: Units, other: Units) -> Units {
    if other == 0 { one } else { greatest_divisor(other, one % other) }
}
