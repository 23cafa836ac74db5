//! A hand cutter as it is known: its scales, its blade, and which way it works.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Scale, Setting};
use crate::length::Ruler;
use crate::mat::Bevel;

/// A hand cutter; lengths in millimetres.
///
/// Its ends and sides are those of a framer who stands at the near end of the rail and looks along it. The board lies
/// face down, with the edge of the side that is cut against the guide.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutter {
    /// What the framer calls it; may be empty.
    pub name: String,
    /// The marks of its scales.
    pub ruler: Ruler,
    /// On which side of the rail the guide lies.
    pub guide_side: Side,
    /// Which way the point of the blade leans.
    pub lean: Lean,
    /// The end at which the blade goes in.
    pub starts: End,
    /// Angle of the blade from the board's normal, in degrees.
    pub bevel_angle_deg: f64,
    /// How far the cut runs beyond the mark on the head.
    pub lead: Lead,
    /// Thickness of the spare board under the work.
    pub slip_sheet: f64,
    /// The guide: the distance from the edge of the board to the cut on its back.
    pub guide: Scale,
    /// The stops; `None` on a cutter without them.
    pub stops: Option<Stops>,
    /// The squaring arm: the size of the blank.
    pub arm: Scale,
    /// How much more than a right angle the corner between arm and cut has, in degrees.
    pub out_of_square_deg: f64,
}

/// The two stops; the distance of each is that from the edge of the board, at its end, to the mark on the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// The stop at the far end of the rail.
    pub far: Scale,
    /// The stop at the near end of the rail.
    pub near: Scale,
}

/// How far the cut runs beyond where the mark on the head stands when the blade goes in and when it comes out, in
/// millimetres; below zero where it falls short.
///
/// Measured on the side of the board where the opening is larger (the face, with a standard bevel): there the cuts of
/// two sides have to meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lead {
    /// Where the blade goes in.
    pub entry: f64,
    /// Where the blade comes out.
    pub exit: f64,
}

/// A side of the rail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The left hand side.
    #[default]
    Left,
    /// The right hand side.
    Right,
}

/// Which way the point of the blade leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Lean {
    /// The point comes out nearer to the guide: with the border against the guide the bevel is a standard one.
    #[default]
    TowardGuide,
    /// The point comes out farther from the guide: with the border against the guide the bevel is a reverse one.
    AwayFromGuide,
}

/// An end of the rail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum End {
    /// The far end: the blade is pulled toward the framer.
    #[default]
    Far,
    /// The near end: the blade is pushed away from the framer.
    Near,
}

/// Largest number in millimetres on the scales of the guide and the stops (common practice, no source).
const GUIDE_REACH_MM: f64 = 152.4;
/// Largest number in millimetres on the scale of the arm (common practice, no source).
const ARM_REACH_MM: f64 = 812.8;
/// What the stops of a cutter let the blade run on: the bevel of 4-ply at 45 degrees, so that with all borders 3 in
/// guide and stops read 3 in (common practice, no source).
const LEAD_WITH_STOPS_MM: f64 = 25.4 / 16.0;
/// What a blade without stops falls short of its mark: the framer goes in 3/16 in before the line to cut 4-ply through
/// to the corner of the face, 1/16 in before it (Balloffet & Hille 2005).
const LEAD_WITHOUT_STOPS_MM: f64 = -25.4 / 8.0;
/// Thickness of the spare board under the work: 4-ply (common practice, no source).
const SLIP_SHEET_MM: f64 = 25.4 / 16.0;

impl Lead {
    /// Returns the usual lead of a cutter with or without stops.
    pub(super) const fn usual(stops: bool) -> Self {
        let lead = if stops { LEAD_WITH_STOPS_MM } else { LEAD_WITHOUT_STOPS_MM };
        Self { entry: lead, exit: lead }
    }
}

impl Cutter {
    /// Returns a cutter that nobody has measured, with stops and with scales that say the truth.
    #[must_use]
    pub fn usual(ruler: Ruler) -> Self {
        let stop = Scale::true_up_to(GUIDE_REACH_MM);
        Self {
            name: String::new(),
            ruler,
            guide_side: Side::default(),
            lean: Lean::default(),
            starts: End::default(),
            bevel_angle_deg: Bevel::USUAL_ANGLE_DEG,
            lead: Lead::usual(true),
            slip_sheet: SLIP_SHEET_MM,
            guide: Scale::true_up_to(GUIDE_REACH_MM),
            stops: Some(Stops { far: stop, near: stop }),
            arm: Scale::true_up_to(ARM_REACH_MM),
            out_of_square_deg: 0.0,
        }
    }

    /// Returns a cutter without stops that nobody has measured: the framer starts and ends each cut by eye.
    #[must_use]
    pub fn without_stops(ruler: Ruler) -> Self {
        Self { lead: Lead::usual(false), stops: None, ..Self::usual(ruler) }
    }

    /// Returns the lead in millimetres at an end of the rail.
    #[must_use]
    pub fn lead_at(&self, end: End) -> f64 {
        if end == self.starts { self.lead.entry } else { self.lead.exit }
    }

    /// Returns the scale of the stop at an end of the rail; `None` without stops.
    #[must_use]
    pub fn stop_at(&self, end: End) -> Option<&Scale> {
        self.stops.as_ref().map(|stops| match end {
            End::Far => &stops.far,
            End::Near => &stops.near,
        })
    }

    /// Returns what to set the guide to, for a cut on the back of the board that far in millimetres from the edge.
    #[must_use]
    pub fn set_guide(&self, back: f64) -> Setting {
        self.guide.set(back, self.ruler)
    }

    /// Returns what to set a stop to; `None` without stops.
    ///
    /// `end_of_cut` is the distance in millimetres, from the edge of the board at that end, to where the cut shall end
    /// on the side of the board where the opening is larger: to the corner of the larger outline for clean corners.
    #[must_use]
    pub fn set_stop(&self, end: End, end_of_cut: f64) -> Option<Setting> {
        self.stop_at(end).map(|scale| scale.set(self.mark(end, end_of_cut), self.ruler))
    }

    /// Returns how far from the edge of the board, in millimetres, the mark on the head stands where the blade goes in
    /// or comes out, so that the cut ends at `end_of_cut` (see [`Cutter::set_stop`]).
    #[must_use]
    pub fn mark(&self, end: End, end_of_cut: f64) -> f64 {
        end_of_cut + self.lead_at(end)
    }

    /// Returns what to set the squaring arm to, for a blank of that size in millimetres.
    #[must_use]
    pub fn set_arm(&self, size: f64) -> Setting {
        self.arm.set(size, self.ruler)
    }

    /// Returns the width in millimetres of the bevel that its blade cuts in a board of that thickness: `t · tan β`.
    #[must_use]
    pub fn bevel_width(&self, thickness: f64) -> f64 {
        Bevel { angle_deg: self.bevel_angle_deg, ..Bevel::default() }.width(thickness)
    }
}

impl Side {
    /// Returns the word for it: `left` or `right`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Lean {
    /// Returns the words for it: `toward the guide` or `away from the guide`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TowardGuide => "toward the guide",
            Self::AwayFromGuide => "away from the guide",
        }
    }
}

impl End {
    /// Both ends, the far one first.
    pub const BOTH: [Self; 2] = [Self::Far, Self::Near];

    /// Returns the word for it: `far` or `near`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Far => "far",
            Self::Near => "near",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Cutter, End};
    use crate::length::{Ruler, Unit};

    const INCH: f64 = 25.4;

    fn four_ply_corner(back: f64) -> f64 {
        back - INCH / 16.0
    }

    #[test]
    fn borders_of_3_in_give_guide_and_both_stops_3_in() {
        // Common practice, no source.
        let cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        assert_eq!(cutter.set_guide(3.0 * INCH).to_string(), "3 in");
        for end in End::BOTH {
            assert_eq!(cutter.set_stop(end, four_ply_corner(3.0 * INCH)).unwrap().to_string(), "3 in");
        }
    }

    #[test]
    fn without_stops_the_blade_goes_in_3_16_in_before_the_line() {
        // Balloffet & Hille 2005, for 4-ply.
        let cutter = Cutter::without_stops(Ruler::usual(Unit::Inch));
        for end in End::BOTH {
            let mark = cutter.mark(end, four_ply_corner(3.0 * INCH));
            assert!((mark - (3.0 - 3.0 / 16.0) * INCH).abs() < 1e-9, "{mark}");
            assert!(cutter.set_stop(end, 70.0).is_none());
        }
    }

    #[test]
    fn entry_is_where_the_blade_starts() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Millimetre));
        cutter.lead.entry = 2.0;
        assert!((cutter.lead_at(End::Far) - 2.0).abs() < 1e-12);
        cutter.starts = End::Near;
        assert!((cutter.lead_at(End::Near) - 2.0).abs() < 1e-12);
    }
}
