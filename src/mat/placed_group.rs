//! Openings that are placed together.

use std::ops::Range;

/// Openings that are arranged within the same borders, and the boards that they are cut through.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PlacedGroup {
    /// Its boards, counted from zero at the top. Borders are measured in the first of them.
    pub boards: Range<usize>,
    /// The one of its boards that the sizes of the openings are given for.
    pub base: usize,
    /// The numbers of its openings.
    pub numbers: Range<usize>,
    /// The numbers of those that the job places by hand, in rising order.
    pub by_hand: Vec<usize>,
    /// Whether its borders are counted to the edge of the art, not to the openings.
    pub to_art: bool,
}

impl PlacedGroup {
    /// Tells whether the job places the opening of a number by hand.
    #[must_use]
    pub fn is_by_hand(&self, number: usize) -> bool {
        self.by_hand.binary_search(&number).is_ok()
    }
}
