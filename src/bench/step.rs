//! One step at the cutter: what is set anew, and what is cut.

use super::{Changes, Order, Setup};

/// One cut in its place in the order, with what has to be done before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// Position of the board.
    pub board: usize,
    /// Position of the cut among those of its board.
    pub cut: usize,
    /// Whether the guide is set.
    pub sets_guide: bool,
    /// Whether the near stop is set, or moved out of the way.
    pub sets_near: bool,
    /// Whether the far stop is set, or moved out of the way.
    pub sets_far: bool,
    /// Whether the board is laid anew.
    pub lays: bool,
}

impl Step {
    /// Tells whether anything is done before the cut.
    #[must_use]
    pub const fn is_new(&self) -> bool {
        self.sets_guide || self.sets_near || self.sets_far || self.lays
    }

    /// Makes the steps of an order.
    pub(super) fn in_order(setups: &[Vec<Setup>], order: &Order) -> Vec<Self> {
        let mut stand: Option<Setup> = None;
        let mut steps = Vec::new();
        for (board, (setups, cuts)) in setups.iter().zip(&order.sequence).enumerate() {
            for (cut, setup) in cuts.iter().filter_map(|&cut| Some((cut, setups.get(cut)?))) {
                let Changes { guide, laid, .. } = Changes::between(stand.as_ref(), setup);
                let old = stand.map_or([None; 2], |stand| stand.stops);
                let set = |end: usize| setup.guide.is_some() && old.get(end) != setup.stops.get(end);
                steps.push(Self {
                    board,
                    cut,
                    sets_guide: guide > 0,
                    sets_near: set(0),
                    sets_far: set(1),
                    lays: laid > 0,
                });
                stand = Some(setup.after(stand.as_ref()));
            }
        }
        steps
    }
}
