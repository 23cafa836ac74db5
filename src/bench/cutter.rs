//! A hand cutter as it is known: its scales, its blade, and which way it works.

use serde::{Deserialize, Serialize};

use super::{End, Knowledge, Scale, Setting};
use crate::length::Ruler;
use crate::mat::Bevel;
use crate::tolerance::SAME_LENGTH_MM;

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
    pub guide_side: RailSide,
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
    /// How far the point of the blade reaches into the slip sheet, square to the board; never more than its thickness.
    pub into_slip_sheet: f64,
    /// The thickest board that is cut in one pass.
    pub pass: f64,
    /// Length of the rail: the longest way of the mark on the head.
    pub rail: f64,
    /// The guide: the distance from the edge of the board to the cut on the side that lies up.
    pub guide: Scale,
    /// The stops; `None` on a cutter without them.
    pub stops: Option<Stops>,
    /// What the numbers of the stops count from.
    pub stops_from: StopsFrom,
    /// The squaring arm: the size of the blank.
    pub arm: Scale,
    /// How much more than a right angle the corner between arm and cut has, in degrees.
    pub out_of_square_deg: f64,
    /// The end about which the arm turns when it is squared.
    pub pivot: Pivot,
    /// What is known of its scales by measurement.
    pub known: Knowledge,
}

/// The two stops; the distance of each is that from the edge of the board, at its end, to the mark on the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// The stop at the far end of the rail.
    pub far: Scale,
    /// The stop at the near end of the rail.
    pub near: Scale,
}

impl Stops {
    /// Makes the two stops of their scales.
    #[must_use]
    pub const fn new(far: Scale, near: Scale) -> Self {
        Self { far, near }
    }
}

/// What the numbers of the stops count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum StopsFrom {
    /// Each from the edge of the board at its own end, so that a number holds for long and for short sides.
    #[default]
    Board,
    /// Both along the rail from the edge of the board at the near end, so that the far one goes with the length of the side.
    Rail,
}

/// The end about which a squaring arm turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Pivot {
    /// The end at the rail.
    #[default]
    Rail,
    /// The end away from the rail; the arm is moved at the rail.
    Outer,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum RailSide {
    /// The left hand side.
    #[default]
    Left,
    /// The right hand side.
    Right,
}

/// Which way the point of the blade leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Lean {
    /// The point comes out nearer to the guide: with the border against the guide the bevel is a standard one.
    #[default]
    TowardGuide,
    /// The point comes out farther from the guide: with the border against the guide the bevel is a reverse one.
    AwayFromGuide,
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
/// How far the blade reaches into the slip sheet: 1/64 in, so that it just scratches it (common practice, no source).
const INTO_SLIP_SHEET_MM: f64 = 25.4 / 64.0;
/// The thickest board that one pass cuts: 5-ply, so that 4-ply takes one pass and 6-ply and 8-ply take two (common
/// practice, no source).
const PASS_MM: f64 = 25.4 / 64.0 * 5.0;
/// No board takes more passes than this.
const MOST_PASSES: f64 = 20.0;
/// Length of the rail: a little more than the long side of a sheet of 32 × 40 in (common practice, no source).
const RAIL_MM: f64 = 1219.2;

impl Lead {
    /// Makes a lead of its two ends, in millimetres.
    #[must_use]
    pub const fn new(entry: f64, exit: f64) -> Self {
        Self { entry, exit }
    }

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
            guide_side: RailSide::default(),
            lean: Lean::default(),
            starts: End::default(),
            bevel_angle_deg: Bevel::USUAL_ANGLE_DEG,
            lead: Lead::usual(true),
            slip_sheet: SLIP_SHEET_MM,
            into_slip_sheet: INTO_SLIP_SHEET_MM,
            pass: PASS_MM,
            rail: RAIL_MM,
            guide: Scale::true_up_to(GUIDE_REACH_MM),
            stops: Some(Stops { far: stop, near: stop }),
            stops_from: StopsFrom::default(),
            arm: Scale::true_up_to(ARM_REACH_MM),
            out_of_square_deg: 0.0,
            pivot: Pivot::default(),
            known: Knowledge::default(),
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
        self.guide.set(back, self.ruler).known_by(self.known.guide)
    }

    /// Returns what to set a stop to, for a side of the board that is `length` millimetres long; `None` without stops.
    ///
    /// `end_of_cut` is the distance in millimetres, from the edge of the board at that end, to where the cut shall end
    /// on the side of the board where the opening is larger: to the corner of the larger outline for clean corners.
    #[must_use]
    pub fn set_stop(&self, end: End, end_of_cut: f64, length: f64) -> Option<Setting> {
        let mark = self.mark(end, end_of_cut);
        let wanted = if self.counts_along_rail(end) { length - mark } else { mark };
        self.stop_at(end).map(|scale| scale.set(wanted, self.ruler).known_by(self.known.stop(end)))
    }

    /// Tells whether the number of the stop at an end counts from the edge at the other end.
    #[must_use]
    pub fn counts_along_rail(&self, end: End) -> bool {
        end == End::Far && self.stops_from == StopsFrom::Rail
    }

    /// Returns how deep the blade reaches below the side that lies up, square to a board of a thickness in millimetres:
    /// through it and just into the slip sheet.
    #[must_use]
    pub fn depth(&self, thickness: f64) -> f64 {
        thickness + self.into_slip_sheet.min(self.slip_sheet)
    }

    /// Returns the depths in millimetres of the passes that a board of a thickness takes, the last one right through.
    #[must_use]
    pub fn passes(&self, thickness: f64) -> Vec<f64> {
        let count = (thickness / self.pass - SAME_LENGTH_MM).ceil().clamp(1.0, MOST_PASSES);
        let depth = self.depth(thickness);
        (1..=count as u32).map(|pass| depth * f64::from(pass) / count).collect()
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
        self.arm.set(size, self.ruler).known_by(self.known.arm)
    }

    /// Returns the width in millimetres of the bevel that its blade cuts in a board of that thickness: `t · tan β`.
    #[must_use]
    pub fn bevel_width(&self, thickness: f64) -> f64 {
        Bevel { angle_deg: self.bevel_angle_deg, ..Bevel::default() }.width(thickness)
    }
}

impl RailSide {
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
    /// Returns the words for it: `towards the guide` or `away from the guide`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TowardGuide => "towards the guide",
            Self::AwayFromGuide => "away from the guide",
        }
    }
}

impl StopsFrom {
    /// Returns the word for it: `board` or `rail`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::Rail => "rail",
        }
    }
}

impl Pivot {
    /// Returns the word for it: `rail` or `outer`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Rail => "rail",
            Self::Outer => "outer",
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
    use super::{Cutter, End, StopsFrom};
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
            assert_eq!(cutter.set_stop(end, four_ply_corner(3.0 * INCH), 406.4).unwrap().to_string(), "3 in");
        }
    }

    #[test]
    fn without_stops_the_blade_goes_in_3_16_in_before_the_line() {
        // Balloffet & Hille 2005, for 4-ply.
        let cutter = Cutter::without_stops(Ruler::usual(Unit::Inch));
        for end in End::BOTH {
            let mark = cutter.mark(end, four_ply_corner(3.0 * INCH));
            assert!((mark - (3.0 - 3.0 / 16.0) * INCH).abs() < 1e-9, "{mark}");
            assert!(cutter.set_stop(end, 70.0, 400.0).is_none());
        }
    }

    #[test]
    fn a_stop_along_the_rail_goes_with_the_length_of_the_side() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        cutter.stops_from = StopsFrom::Rail;
        let set = |end| cutter.set_stop(end, four_ply_corner(3.0 * INCH), 16.0 * INCH).unwrap().to_string();
        assert_eq!((set(End::Near), set(End::Far)), ("3 in".to_owned(), "13 in".to_owned()));
    }

    #[test]
    fn thick_board_takes_several_passes_and_the_last_just_scratches_the_slip_sheet() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        let passes = |cutter: &Cutter, thickness: f64| cutter.passes(thickness * INCH).len();
        assert_eq!([1.0, 2.0, 4.0, 6.0, 8.0, 12.0].map(|ply| passes(&cutter, ply / 64.0)), [1, 1, 1, 2, 2, 3]);
        let all = cutter.passes(INCH / 8.0);
        assert!((all[1] - (INCH / 8.0 + INCH / 64.0)).abs() < 1e-9 && (all[0] - 0.5 * all[1]).abs() < 1e-9);
        // Without a slip sheet the blade stops at the base.
        cutter.slip_sheet = 0.0;
        assert!((cutter.depth(INCH / 16.0) - INCH / 16.0).abs() < 1e-9);
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
