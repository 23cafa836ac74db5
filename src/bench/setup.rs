//! How a hand cutter is set and how the board lies in it: what goes from one cut to the next.

use serde::Serialize;

/// How a hand cutter is set and how the board lies in it for one cut. Equal numbers mean equal settings.
///
/// Numbers are counted in marks of their scale, since two distances that read the same need no change. Nothing is left
/// open: a stop that a cut has no use for stands out of the way, because one that still stands ends the cut too early.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Setup {
    /// The guide.
    pub guide: Guide,
    /// The near and the far stop.
    pub stops: [Stop; 2],
    /// How the board lies: another number is another edge against the guide, another side up, another board or another
    /// pencil line.
    pub lie: usize,
    /// The head and how far its blade is out: another number is another of them.
    pub blade: usize,
}

/// The guide of a hand cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Guide {
    /// It is taken off, so that any width of board lies on its side of the rail.
    Off,
    /// It stands at a number, in marks of its scale.
    At(i64),
}

/// A stop of a hand cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Stop {
    /// The cutter has none.
    None,
    /// It is out of the way: open, or taken off.
    Away,
    /// It stands at a number, in marks of its scale.
    At(i64),
}

impl Setup {
    /// Makes a setup; nothing of it may be left open.
    #[must_use]
    pub const fn new(guide: Guide, stops: [Stop; 2], lie: usize, blade: usize) -> Self {
        Self { guide, stops, lie, blade }
    }

    /// Tells whether the board lies free, with the blade on a pencil line.
    #[must_use]
    pub const fn is_free(&self) -> bool {
        matches!(self.guide, Guide::Off)
    }
}

impl Stop {
    /// Tells whether it has to be moved to come from another state, or from one that nobody knows.
    #[must_use]
    pub fn moves_from(self, before: Option<Self>) -> bool {
        self != Self::None && before != Some(self)
    }
}
