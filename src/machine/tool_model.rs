//! What a tool of a machine can cut of what a job asks for.

use super::depth::Depth;
use super::written::{SideUp, TravelDirection};
use super::written_tool::{Bevelled, BladeLean, Compensation};
use crate::mat::{Bevel, BevelDirection};
use crate::program::ToolKind;
use crate::tolerance::SAME_ANGLE_DEG;

/// What a tool can cut, and how deep it goes. Lengths are millimetres.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ToolModel {
    /// What it is.
    pub kind: ToolKind,
    /// Of a bevel knife the angles from upright, and of a V tool the angles between the walls, that it can be set to, in degrees.
    pub angles: Vec<f64>,
    /// Whether a bevel knife may be set anew within one file, by the lines before each cut.
    pub turns_between: bool,
    /// The bevels that it cuts.
    pub bevels: Vec<BevelDirection>,
    /// The thickest board that it cuts; `None` is not said.
    pub thickest: Option<f64>,
    /// Width of the line that it takes away; 0 for a knife.
    pub width: f64,
    /// Who moves a tool of some width aside.
    pub compensation: Compensation,
    /// What an upright tool does with an opening that is to have a bevel.
    pub bevelled: Bevelled,
    /// How deep it goes, each time it goes over a stroke; empty if the profile does not say.
    pub depths: Vec<Depth>,
    /// What keeps the piece that falls out in its place.
    pub tabs: Option<Tabs>,
}

/// Places where a cut is left closed, so that the piece stays in the board until it is parted by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tabs {
    /// How many for each opening or edge.
    pub count: usize,
    /// How long each is, in millimetres.
    pub length: f64,
}

impl BladeLean {
    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// Returns to which side a blade leans that goes round an opening and leaves a bevel; a straight cut counts as standard.
    ///
    /// From the back the point of the blade lies outside the line at a standard bevel, and from the face inside it. Outside is on the
    /// left of who goes clockwise.
    #[must_use]
    pub fn of(side: SideUp, bevel: BevelDirection, round: TravelDirection) -> Self {
        let is_outside = (side == SideUp::Back) == (bevel != BevelDirection::Reverse);
        if is_outside == (round == TravelDirection::Clockwise) { Self::Left } else { Self::Right }
    }

    /// Returns which way round a blade that leans so must go.
    #[must_use]
    pub fn round(self, side: SideUp, bevel: BevelDirection) -> TravelDirection {
        if Self::of(side, bevel, TravelDirection::Clockwise) == self {
            TravelDirection::Clockwise
        } else {
            TravelDirection::Counterclockwise
        }
    }
}

impl ToolModel {
    /// Makes the model of a tool of a kind that the profile says nothing else of.
    #[must_use]
    pub const fn new(kind: ToolKind) -> Self {
        Self {
            kind,
            angles: Vec::new(),
            turns_between: false,
            bevels: Vec::new(),
            thickest: None,
            width: 0.0,
            compensation: Compensation::File,
            bevelled: Bevelled::Sight,
            depths: Vec::new(),
            tabs: None,
        }
    }

    /// Tells whether it can be set to an angle in degrees.
    #[must_use]
    pub fn has_angle(&self, angle_deg: f64) -> bool {
        self.angles.iter().any(|angle| (angle - angle_deg).abs() <= SAME_ANGLE_DEG)
    }

    /// Returns the gaps that leave the tabs: between the round ends of a tool of some width a tab is as much shorter.
    pub(super) fn gaps(&self) -> Option<Tabs> {
        self.tabs.map(|tabs| Tabs { length: tabs.length + self.width, ..tabs })
    }

    /// Returns how far its middle must run beside an outline, in the waste, in millimetres.
    #[must_use]
    pub fn aside(&self) -> f64 {
        match self.compensation {
            Compensation::File => 0.5 * self.width,
            Compensation::Controller => 0.0,
        }
    }

    /// Returns its angles in words: `45°`, `30° or 45°`.
    #[must_use]
    pub fn angles_in_words(&self) -> String {
        let angles: Vec<String> = self.angles.iter().map(|angle| format!("{angle}°")).collect();
        angles.join(" or ")
    }

    /// Returns the angle of the blade in degrees for a bevel: zero for an upright tool.
    #[must_use]
    pub fn lean_for(&self, bevel: Bevel) -> f64 {
        match (self.kind, bevel.direction) {
            (ToolKind::BevelKnife, BevelDirection::Standard | BevelDirection::Reverse) => bevel.angle_deg,
            _ => 0.0,
        }
    }
}

/// Tells whether an opening with a bevel is to be cut square to the board.
pub(super) fn is_square(bevel: Bevel) -> bool {
    bevel.direction == BevelDirection::Straight || bevel.angle_deg <= SAME_ANGLE_DEG
}

#[cfg(test)]
mod tests {
    use super::super::written::{SideUp, TravelDirection};
    use super::super::written_tool::BladeLean;
    use crate::mat::BevelDirection::{Reverse, Standard};

    #[test]
    fn a_blade_that_leans_one_way_goes_round_each_bevel_its_own_way() {
        for (side, bevel, round, lean) in [
            (SideUp::Back, Standard, TravelDirection::Clockwise, BladeLean::Left),
            (SideUp::Back, Reverse, TravelDirection::Clockwise, BladeLean::Right),
            (SideUp::Back, Reverse, TravelDirection::Counterclockwise, BladeLean::Left),
            (SideUp::Face, Standard, TravelDirection::Clockwise, BladeLean::Right),
            (SideUp::Face, Standard, TravelDirection::Counterclockwise, BladeLean::Left),
            (SideUp::Face, Reverse, TravelDirection::Clockwise, BladeLean::Left),
        ] {
            assert_eq!(BladeLean::of(side, bevel, round), lean, "{side:?} {bevel:?} {round:?}");
            assert_eq!(lean.round(side, bevel), round);
        }
    }
}
