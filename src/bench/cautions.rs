//! What everything that a person takes to the bench says about blades.

/// The usual cautions of work with blades, a sentence each.
pub const CAUTIONS: [&str; 4] = [
    "Blades cut people: cut away from the body, keep the free hand behind the blade, retract or park the blade before you move the board.",
    "Change blades with the holder locked, and put old ones into a sharps box.",
    "Test on scrap first: these numbers are no better than the scales of the cutter.",
    "The manual of the cutter and local rules come first; for art of value, ask a conservator.",
];
