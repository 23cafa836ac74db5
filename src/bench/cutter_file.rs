//! A cutter profile as written in a file.

use serde::{Deserialize, Serialize};

use super::End;
use super::cutter::{Lean, Pivot, RailSide, StopsFrom};
use crate::job::{self, Measure, ReadError, Syntax};
use crate::length::Unit;

/// A cutter profile as written: what is left out is that of a usual cutter whose scales say the truth.
///
/// Lengths are numbers in `unit`, or text such as `"1/32 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenCutter {
    /// What the framer calls it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Unit of its scales and of bare numbers: `in`, `mm` or `cm`; inches if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Smallest mark of its scales: 16 for sixteenths of an inch, 2 for half millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ruler_parts: Option<u32>,
    /// On which side of the rail the guide lies, seen from the near end: `left` or `right`.
    pub guide_side: RailSide,
    /// Which way the point of the blade leans: `toward_guide` or `away_from_guide`.
    pub lean: Lean,
    /// The end at which the blade goes in: `far` if it is pulled, `near` if it is pushed.
    pub starts: End,
    /// Angle of the blade from upright in degrees; 45 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bevel_angle: Option<f64>,
    /// How far the cut runs beyond the mark on the head, where the corners meet; below zero where it falls short.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lead: Option<WrittenLead>,
    /// Thickness of the spare board under the work; that of 4-ply if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slip_sheet: Option<Measure>,
    /// How far the blade reaches into that spare board, square to it; 1/64 in if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub into_slip_sheet: Option<Measure>,
    /// Thickness of the thickest board that is cut in one pass; 5/64 in if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pass: Option<Measure>,
    /// Length of the rail, the longest way of the mark on the head; 48 in if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rail: Option<Measure>,
    /// The guide, against which the edge of the board lies.
    pub guide: WrittenScale,
    /// Whether it has stops; true if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub has_stops: Option<bool>,
    /// The stops.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stops: Option<WrittenStops>,
    /// The squaring arm, by which blanks are cut.
    pub arm: WrittenArm,
}

/// What a scale says, and what it really gives: `offset + (1 + stretch) · number`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenScale {
    /// The largest number on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<Measure>,
    /// How much more than its number it gives; below zero where it gives less.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset: Option<Measure>,
    /// How much more the distance grows than the number, as a share: 0.002 is 2 mm in a metre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stretch: Option<f64>,
    /// What is known of it by measurement.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub known: Option<WrittenKnown>,
}

/// How well a scale is known by measurement, as `backline calibrate fit` writes it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenKnown {
    /// The smallest number that was tried.
    pub from: Measure,
    /// The largest number that was tried.
    pub to: Measure,
    /// The middle of the numbers that were tried.
    pub middle: Measure,
    /// Half the 95 % interval of the distance at the middle.
    pub plus_minus: Measure,
    /// Half the 95 % interval of the stretch, as a share.
    pub stretch_plus_minus: f64,
}

impl WrittenKnown {
    /// Makes what is known of a scale between two numbers, with nothing uncertain about its stretch.
    #[must_use]
    pub fn new(
        from: impl Into<Measure>,
        to: impl Into<Measure>,
        middle: impl Into<Measure>,
        plus_minus: impl Into<Measure>,
    ) -> Self {
        Self {
            from: from.into(),
            to: to.into(),
            middle: middle.into(),
            plus_minus: plus_minus.into(),
            stretch_plus_minus: 0.0,
        }
    }
}

/// The stops of a cutter.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenStops {
    /// What their numbers count from: `board` for the edge at the end of each, `rail` for the near edge along the rail.
    pub from: StopsFrom,
    /// The stop at the far end of the rail.
    pub far: WrittenScale,
    /// The stop at the near end of the rail.
    pub near: WrittenScale,
}

/// How far the cut runs beyond the mark on the head.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenLead {
    /// Where the blade goes in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<Measure>,
    /// Where the blade comes out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exit: Option<Measure>,
}

/// The squaring arm of a cutter.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenArm {
    /// The largest number on its scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<Measure>,
    /// How much more than its number it gives; below zero where it gives less.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset: Option<Measure>,
    /// How much more the size of the blank grows than the number, as a share.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stretch: Option<f64>,
    /// What is known of it by measurement.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub known: Option<WrittenKnown>,
    /// How much more than a right angle the corner between arm and cut has, in degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub out_of_square: Option<f64>,
    /// The end about which it turns when it is squared: `rail` for the end at the rail, `outer` for the other.
    pub pivot: Pivot,
}

/// A commented cutter profile to start from.
pub const CUTTER_STARTER: &str = include_str!("cutter.toml");

/// Returns the JSON Schema of cutter profiles, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn cutter_schema() -> serde_json::Value {
    crate::job::schema_of::<WrittenCutter>()
}

impl crate::job::Described for WrittenCutter {
    const TABLES: &'static str = include_str!("cutter.tables");
}

impl WrittenCutter {
    /// Reads a profile from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }
}

#[cfg(test)]
mod tests {
    use super::{CUTTER_STARTER, WrittenCutter};
    use crate::bench::{Cutter, End};
    use crate::job::Syntax;
    use crate::length::{Ruler, Unit};

    fn read(text: &str) -> Result<Cutter, Vec<String>> {
        let written = WrittenCutter::read(text, Syntax::Toml).map_err(|error| vec![error.to_string()])?;
        written.resolve().into_result().map_err(|problems| problems.0.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn nothing_said_is_a_usual_cutter() {
        assert_eq!(read("").unwrap(), Cutter::usual(Ruler::usual(Unit::Inch)));
        assert_eq!(read("has_stops = false").unwrap(), Cutter::without_stops(Ruler::usual(Unit::Inch)));
        assert_eq!(read(CUTTER_STARTER).unwrap().guide, Cutter::usual(Ruler::usual(Unit::Inch)).guide);
    }

    #[test]
    fn lengths_are_written_as_in_jobs() {
        let cutter = read(
            "unit = 'mm'\nruler_parts = 2\nguide = { reach = 150, offset = '-1/32 in', stretch = 0.002 }\n\
             stops.near.offset = 0.4\nlead = { entry = 2, exit = '-0.5 mm' }\nbevel_angle = 46.5",
        )
        .unwrap();
        assert_eq!(cutter.ruler, Ruler::new(Unit::Millimetre, 2).unwrap());
        assert!((cutter.guide.distance(100.0) - (100.2 - 25.4 / 32.0)).abs() < 1e-9);
        assert!((cutter.stop_at(End::Near).unwrap().offset - 0.4).abs() < 1e-12);
        assert!((cutter.lead_at(End::Near) + 0.5).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_place() {
        let cases = [
            ("gide = 3", "there is no key `gide` here; did you mean `guide`? the keys here are"),
            ("guide.ofset = 3", "there is no key `ofset` here; did you mean `offset`?"),
            (
                "guide.offset = 9",
                "error[offset] at guide.offset: an offset of 9 in is more than the whole reach of 6 in",
            ),
            ("stops.far.reach = 0", "error[reach] at stops.far.reach"),
            // So short that a profile could not write it down.
            ("stops.far.reach = 0.0000001", "error[reach] at stops.far.reach"),
            ("arm.stretch = 2", "error[stretch] at arm.stretch: a scale cannot stretch by 2"),
            ("arm.stretch = nan", "error[stretch] at arm.stretch: a scale cannot stretch by NaN"),
            ("arm.out_of_square = -45", "error[square] at arm.out_of_square"),
            ("bevel_angle = 0", "error[bevel] at bevel_angle"),
            ("lead.entry = -2", "error[lead] at lead.entry: no blade over-runs or falls short by 2 in"),
            ("slip_sheet = 2", "error[slip-sheet] at slip_sheet"),
            ("slip_sheet = 'rag'", "error[board] at slip_sheet: `rag` does not say how thick the board is"),
            ("into_slip_sheet = '1/8'", "error[slip-sheet] at into_slip_sheet: the blade cannot reach 1/8 in into"),
            ("rail = 1", "error[length] at rail: 1 in is too little for `rail`"),
            ("pass = 0", "error[length] at pass: 0 in is too little for `pass`"),
            ("stops.from = 'table'", "`table` is not one of the choices; the choices are board, rail"),
            ("ruler_parts = 10", "error[ruler] at ruler_parts: no ruler in in has 10 parts; use one of 1, 2, 4"),
            ("has_stops = false\nstops.far.offset = 0.1", "error[contradiction] at stops"),
            ("name = \"a\\u0007\"", "error[name] at name: the name has the control character U+0007"),
            ("guide.reach = '3 1/x'", "error[length] at guide.reach"),
        ];
        for (text, start) in cases {
            let problems = read(text).unwrap_err();
            assert!(problems[0].starts_with(start), "{text}: {problems:?}");
        }
    }

    #[test]
    fn problems_are_collected() {
        assert_eq!(read("guide.reach = 0\narm.reach = 0\nlead.exit = 'x'").unwrap_err().len(), 3);
    }

    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::WrittenCutter>("bench/cutter.tables");
    }
}
