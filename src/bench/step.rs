//! One step at the cutter: how the cutter stands before it, what is set anew, and what is cut.

use super::{Changes, CutOrder, Guide, Setup};
use crate::fault::Certain;

/// One cut in its place in the order, with what has to be done before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct CutStep {
    /// Position of the board.
    pub board: usize,
    /// Position of the cut among those of its board.
    pub cut: usize,
    /// How the cutter stands when the step begins; `None` before the first one, when nobody knows.
    pub before: Option<Setup>,
    /// How it stands for the cut, and when the step ends.
    pub setup: Setup,
}

impl CutStep {
    /// Returns what is done before the cut.
    #[must_use]
    pub fn changes(&self) -> Changes {
        Changes::between(self.before.as_ref(), &self.setup)
    }

    /// Tells whether anything is done before the cut.
    #[must_use]
    pub fn is_new(&self) -> bool {
        self.changes() != Changes::default()
    }

    /// Tells whether the guide is set or taken off.
    #[must_use]
    pub fn sets_guide(&self) -> bool {
        self.changes().guide > 0
    }

    /// Tells whether the guide comes back after it was taken off.
    #[must_use]
    pub fn puts_guide_on(&self) -> bool {
        self.before.is_some_and(|before| before.guide == Guide::Off) && self.setup.guide != Guide::Off
    }

    /// Tells for the near and the far stop whether it is set or moved out of the way.
    #[must_use]
    pub fn sets_stops(&self) -> [bool; 2] {
        let [near, far] = self.setup.stops;
        let [old_near, old_far] = self.before.map_or([None; 2], |before| before.stops.map(Some));
        [near.moves_from(old_near), far.moves_from(old_far)]
    }

    /// Tells whether the board is laid anew.
    #[must_use]
    pub fn lays(&self) -> bool {
        self.changes().laid > 0
    }

    /// Tells whether the head is changed or its blade is set to another depth.
    #[must_use]
    pub fn sets_blade(&self) -> bool {
        self.changes().blade > 0
    }

    /// Makes the steps of an order.
    pub(super) fn in_order(setups: &[Vec<Setup>], order: &CutOrder) -> Vec<Self> {
        let mut before = None;
        let mut steps = Vec::new();
        for (board, (setups, cuts)) in setups.iter().zip(&order.sequence).enumerate() {
            for (cut, &setup) in cuts.iter().map(|&cut| (cut, setups.get(cut).certain("setting of this cut"))) {
                steps.push(Self { board, cut, before, setup });
                before = Some(setup);
            }
        }
        steps
    }
}
