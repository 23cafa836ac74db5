//! How an outline is followed: which way round, how far beyond corners, and what is left uncut.

use kurbo::{Point, Vec2};

use super::tool_model::Tabs;
use super::written::TravelDirection;
use crate::tolerance::{CORNER_RAD, SAME_LENGTH_MM};

/// How an outline is to be followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct ContourRules {
    pub(super) round: TravelDirection,
    /// How far outside the outline the far edge of the cut lies, below; inside, if below zero.
    pub(super) over: f64,
    /// Lead of the blade, added at every corner; `None` for no over-run at all.
    pub(super) lead: Option<f64>,
    /// Whether the waste lies inside.
    pub(super) waste_inside: bool,
    /// Whether the outline is cut rather than drawn, so that lead-in and overlap make sense.
    pub(super) is_cut: bool,
    /// What is left uncut.
    pub(super) tabs: Option<Tabs>,
}

impl ContourRules {
    /// Returns how far a cut must run on beyond a corner so that it meets its neighbour on the far side, and how far it does with the
    /// lead of the blade. `turn` is above zero where the corner points outwards.
    ///
    /// Where the far edge lies outside, that is at corners that point outwards; where it lies inside, at those that point inwards, and there
    /// the cut runs on into the waste.
    pub(super) fn stretch(self, turn: f64) -> (f64, f64) {
        let Some(lead) = self.lead else { return (0.0, 0.0) };
        let needed = (self.over * (0.5 * turn).tan()).max(0.0);
        let runs_on = turn > CORNER_RAD || (turn < -CORNER_RAD && needed > SAME_LENGTH_MM);
        (needed, if runs_on { needed + lead } else { 0.0 })
    }
}

/// A stretch of a cut beyond a corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct CornerOverRun {
    pub(super) corner: Point,
    pub(super) direction: Vec2,
    /// How far the cut runs on.
    pub(super) length: f64,
    /// How far it must, for the bevel alone.
    pub(super) needed: f64,
}
