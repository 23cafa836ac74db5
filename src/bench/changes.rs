//! What has to be set and turned between cuts, and how often.

use std::iter::Sum;
use std::ops::{Add, Sub};

use serde::Serialize;

/// How a hand cutter is set and how the board lies in it for one cut. Equal numbers mean equal settings.
///
/// Settings are counted in marks of their scale, since two distances that read the same need no change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Setup {
    /// The guide; `None` for a cut to a pencil line, which leaves the guide alone.
    pub guide: Option<i64>,
    /// The near and the far stop; `None` for a stop that is out of the way.
    pub stops: [Option<i64>; 2],
    /// How the board lies: another number is another edge against the guide, another board or another pencil line.
    pub lie: usize,
}

/// How often something is set or turned; the guide counts more than any number of stops, these more than any turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct Changes {
    /// How often the guide is set, the first time included.
    pub guide: u32,
    /// How often one of the two stops is set, the first time included.
    pub stops: u32,
    /// How often a board is laid against the guide or the pencil line, the first time included.
    pub laid: u32,
}

impl Setup {
    /// Returns how the cutter stands after the cut: one to a pencil line leaves the guide and the stops as they were.
    pub(super) fn after(self, before: Option<&Self>) -> Self {
        match (self.guide, before) {
            (None, Some(before)) => Self { lie: self.lie, ..*before },
            _ => self,
        }
    }
}

impl Changes {
    /// Counts what a sequence of cuts takes, beginning with nothing set and no board in the cutter.
    #[must_use]
    pub fn along<'a>(setups: impl IntoIterator<Item = &'a Setup>) -> Self {
        let mut stand = None;
        setups.into_iter().fold(Self::default(), |sum, setup| {
            let step = Self::between(stand.as_ref(), setup);
            stand = Some(setup.after(stand.as_ref()));
            sum + step
        })
    }

    /// Counts what one cut after another takes; `None` stands for a cutter with nothing set.
    #[must_use]
    pub fn between(before: Option<&Setup>, after: &Setup) -> Self {
        let laid = u32::from(before.is_none_or(|before| before.lie != after.lie));
        if after.guide.is_none() {
            return Self { laid, ..Self::default() };
        }
        let guide = u32::from(before.and_then(|before| before.guide) != after.guide);
        let stops = before.map_or([None; 2], |before| before.stops);
        let stops = stops.iter().zip(after.stops).filter(|(before, after)| **before != *after).count();
        Self { guide, stops: u32::try_from(stops).unwrap_or(u32::MAX), laid }
    }
}

impl Add for Changes {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            guide: self.guide.saturating_add(other.guide),
            stops: self.stops.saturating_add(other.stops),
            laid: self.laid.saturating_add(other.laid),
        }
    }
}

/// Takes away what another order needs; none of the three goes below zero.
impl Sub for Changes {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            guide: self.guide.saturating_sub(other.guide),
            stops: self.stops.saturating_sub(other.stops),
            laid: self.laid.saturating_sub(other.laid),
        }
    }
}

impl Sum for Changes {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::default(), Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::{Changes, Setup};

    fn setup(guide: i64, near: i64, far: i64, lie: usize) -> Setup {
        Setup { guide: Some(guide), stops: [Some(near), Some(far)], lie }
    }

    #[test]
    fn equal_borders_set_everything_once() {
        let cuts = [0, 1, 2, 3].map(|lie| setup(48, 48, 48, lie));
        assert_eq!(Changes::along(&cuts), Changes { guide: 1, stops: 2, laid: 4 });
    }

    #[test]
    fn a_pencil_line_leaves_the_guide_and_the_stops_alone() {
        let pencil = Setup { guide: None, stops: [None; 2], lie: 9 };
        let cuts = [setup(48, 48, 48, 0), pencil, setup(48, 48, 48, 0)];
        assert_eq!(Changes::along(&cuts), Changes { guide: 1, stops: 2, laid: 3 });
    }

    #[test]
    fn the_guide_counts_more_than_stops_and_these_more_than_turns() {
        let few = Changes { guide: 1, stops: 9, laid: 9 };
        assert!(few < Changes { guide: 2, stops: 0, laid: 0 });
        assert!(few < Changes { guide: 1, stops: 10, laid: 0 });
    }
}
