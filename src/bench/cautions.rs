//! What everything that a person takes to the bench says about blades.

use super::{Cutter, End};

/// The usual cautions of work with blades, a sentence each, for any cutter.
pub const CAUTIONS: [&str; 4] = [
    "Blades cut people: keep yourself and your free hand out of the line in which the blade travels, and retract or park the blade before you move the board.",
    OTHERS[0],
    OTHERS[1],
    OTHERS[2],
];

const OTHERS: [&str; 3] = [
    "Change blades with the holder locked, and put old ones into a sharps box.",
    "Test on scrap first: these numbers are no better than the scales of the cutter.",
    "The manual of the cutter and local rules come first; for art of value, ask a conservator.",
];

/// For a blade that goes in at the far end.
const PULLED: &str = "Blades cut people: this blade comes toward you. Stand beside the rail and not in line with it, hold the board on the far \
    side of the blade, never in front of it, and retract or park the blade before you move the board.";
/// For a blade that goes in at the near end.
const PUSHED: &str = "Blades cut people: this blade goes away from you. Keep the free hand behind it, on your own side, never beyond it, \
    and retract or park the blade before you move the board.";

impl Cutter {
    /// Returns the cautions for this cutter: the first one fits the way the blade travels.
    #[must_use]
    pub const fn cautions(&self) -> [&'static str; 4] {
        let first = match self.starts {
            End::Far => PULLED,
            End::Near => PUSHED,
        };
        [first, OTHERS[0], OTHERS[1], OTHERS[2]]
    }
}
