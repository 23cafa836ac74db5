//! What has to be set and turned between cuts, and how often.

use std::iter::Sum;
use std::ops::{Add, Sub};

use serde::Serialize;

use super::Setup;

/// How often something is set or turned; the guide counts more than any number of stops, these more than any turns, and
/// these more than the blade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Changes {
    /// How often the guide is set or taken off, the first time included.
    pub guide: u32,
    /// How often one of the two stops is set or moved out of the way, the first time included.
    pub stops: u32,
    /// How often a board is laid against the guide or on the pencil line, the first time included.
    pub laid: u32,
    /// How often the head is changed or its blade is set to another depth, the first time included.
    pub blade: u32,
}

impl Changes {
    /// Counts what a sequence of cuts takes, beginning with a cutter of which nobody knows how it stands.
    #[must_use]
    pub fn along<'a>(setups: impl IntoIterator<Item = &'a Setup>) -> Self {
        let mut stand = None;
        setups.into_iter().fold(Self::default(), |sum, setup| {
            let step = Self::between(stand, setup);
            stand = Some(setup);
            sum + step
        })
    }

    /// Counts what one cut after another takes; `None` stands for a cutter of which nobody knows how it stands.
    #[must_use]
    pub fn between(before: Option<&Setup>, after: &Setup) -> Self {
        let stop = |end: usize| {
            let old = before.and_then(|before| before.stops.get(end)).copied();
            u32::from(after.stops.get(end).is_some_and(|stop| stop.moves_from(old)))
        };
        Self {
            guide: u32::from(before.is_none_or(|before| before.guide != after.guide)),
            stops: stop(0) + stop(1),
            laid: u32::from(before.is_none_or(|before| before.lie != after.lie)),
            blade: u32::from(before.is_none_or(|before| before.blade != after.blade)),
        }
    }
}

impl Add for Changes {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            guide: self.guide.saturating_add(other.guide),
            stops: self.stops.saturating_add(other.stops),
            laid: self.laid.saturating_add(other.laid),
            blade: self.blade.saturating_add(other.blade),
        }
    }
}

/// Takes away what another order needs; none of them goes below zero.
impl Sub for Changes {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            guide: self.guide.saturating_sub(other.guide),
            stops: self.stops.saturating_sub(other.stops),
            laid: self.laid.saturating_sub(other.laid),
            blade: self.blade.saturating_sub(other.blade),
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
    use super::Changes;
    use crate::bench::{Guide, Setup, Stop};

    fn setup(guide: i64, near: i64, far: i64, lie: usize) -> Setup {
        Setup { guide: Guide::At(guide), stops: [Stop::At(near), Stop::At(far)], lie, blade: 0 }
    }

    fn changes(guide: u32, stops: u32, laid: u32) -> Changes {
        Changes { guide, stops, laid, blade: 1 }
    }

    #[test]
    fn equal_borders_set_everything_once() {
        let cuts = [0, 1, 2, 3].map(|lie| setup(48, 48, 48, lie));
        assert_eq!(Changes::along(&cuts), changes(1, 2, 4));
    }

    #[test]
    fn a_pencil_line_takes_the_guide_off_and_the_stops_out_of_the_way() {
        let pencil = Setup { guide: Guide::Off, stops: [Stop::Away; 2], lie: 9, blade: 0 };
        let cuts = [setup(48, 48, 48, 0), pencil, setup(48, 48, 48, 0)];
        assert_eq!(Changes::along(&cuts), changes(3, 6, 3));
    }

    #[test]
    fn a_cutter_without_stops_moves_none() {
        let by_eye = |guide, lie| Setup { guide, stops: [Stop::None; 2], lie, blade: 0 };
        assert_eq!(Changes::along(&[by_eye(Guide::At(48), 0), by_eye(Guide::Off, 1)]), changes(2, 0, 2));
    }

    #[test]
    fn the_guide_counts_more_than_stops_and_these_more_than_turns_and_these_more_than_the_blade() {
        let few = Changes { guide: 1, stops: 9, laid: 9, blade: 9 };
        assert!(few < Changes { guide: 2, ..Changes::default() });
        assert!(few < Changes { guide: 1, stops: 10, ..Changes::default() });
        assert!(few < Changes { guide: 1, stops: 9, laid: 10, blade: 0 });
    }
}
