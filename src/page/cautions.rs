//! What everything that a person takes to the bench says about blades.

/// Which way the blade of a cutter travels through the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum BladeTravel {
    /// It goes in at the far end and comes towards the person.
    Toward,
    /// It goes in at the near end and goes away from the person.
    Away,
    /// It is not known which cutter will be used.
    Unknown,
}

const OTHERS: [&str; 3] = [
    "Change blades with the holder locked, and put old ones into a sharps box.",
    "Test on scrap first: these numbers are only as good as the scales of the cutter.",
    "The manual of the cutter and local rules come first; for art of value, ask a conservator.",
];

const UNKNOWN: &str = "Blades cut people: keep yourself and your free hand out of the line in which the blade travels, and retract or park \
    the blade before you move the board.";
const TOWARD: &str = "Blades cut people: this blade comes towards you. Stand beside the rail and not in line with it, hold the board on the far \
    side of the blade, never in front of it, and retract or park the blade before you move the board.";
const AWAY: &str = "Blades cut people: this blade goes away from you. Keep the free hand behind it, on your own side, never beyond it, \
    and retract or park the blade before you move the board.";

/// For templates, which are cut with any cutter: some push the blade and some pull it.
pub(crate) const TEMPLATE_CAUTION: &str = "Blades cut people: keep hands and body out of the path of the blade, and cut in the direction that \
    the manual of your cutter gives. Test on scrap first.";
/// For the small room below a tile.
pub(crate) const TILE_CAUTION: &str = "Blades cut people: test on scrap and follow the manual of the cutter.";

/// Returns the cautions of work with blades, a sentence or two each: the first one fits the way the blade travels.
#[must_use]
pub const fn cautions(travel: BladeTravel) -> [&'static str; 4] {
    let first = match travel {
        BladeTravel::Toward => TOWARD,
        BladeTravel::Away => AWAY,
        BladeTravel::Unknown => UNKNOWN,
    };
    [first, OTHERS[0], OTHERS[1], OTHERS[2]]
}
