//! A cutter profile as written in a file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::cutter::{Cutter, End, Lead, Lean, Side, Stops};
use super::cutter_scale::Scale;
use crate::job::{self, Measure, ReadError, Scope, Syntax};
use crate::length::{Ruler, Unit};
use crate::mat::Bevel;
use crate::problem::Problem;

/// A cutter profile as written: what is left out is that of a usual cutter whose scales say the truth.
///
/// Lengths are numbers in `unit`, or text such as `"1/32 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
    pub guide_side: Side,
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
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
}

/// The stops of a cutter.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenStops {
    /// The stop at the far end of the rail.
    pub far: WrittenScale,
    /// The stop at the near end of the rail.
    pub near: WrittenScale,
}

/// How far the cut runs beyond the mark on the head.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
    /// How much more than a right angle the corner between arm and cut has, in degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub out_of_square: Option<f64>,
}

/// A commented cutter profile to start from.
pub const CUTTER_STARTER: &str = include_str!("cutter.toml");

/// A scale that stretches by more than this share has been misread: an inch scale read in the wrong fractions.
const LARGEST_STRETCH: f64 = 0.1;
/// An arm farther out of square than this many degrees is broken or has been misread.
const LARGEST_SQUARE_ERROR_DEG: f64 = 10.0;
/// A cut that runs on or falls short by more than this many millimetres is no lead of a blade.
const LONGEST_LEAD_MM: f64 = 25.4;
/// A spare board thicker than this many millimetres does not go under a rail.
const THICKEST_SLIP_SHEET_MM: f64 = 25.4;

/// Returns the JSON Schema of cutter profiles, made from the types that read them.
#[must_use]
pub fn cutter_schema() -> serde_json::Value {
    schemars::schema_for!(WrittenCutter).to_value()
}

impl WrittenCutter {
    /// Reads a profile from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read(text, syntax)
    }

    /// Works out the cutter: millimetres, nothing left out.
    ///
    /// # Errors
    ///
    /// Returns every [`Problem`] found, with its place in the file.
    pub fn resolve(&self) -> Result<Cutter, Vec<Problem>> {
        let mut problems = Vec::new();
        let unit = self.unit.unwrap_or(Unit::Inch);
        let ruler = job::read_ruler(unit, self.ruler_parts).unwrap_or_else(|problem| {
            problems.push(problem);
            Ruler::usual(unit)
        });
        let mut reader = Reader { scope: Scope::root(Some(unit), ruler), problems };
        reader.problems.extend(reader.scope.key("name").bad_name(&self.name));
        let cutter = self.resolve_with(&mut reader, ruler);
        if reader.problems.is_empty() { Ok(cutter) } else { Err(reader.problems) }
    }

    fn resolve_with(&self, reader: &mut Reader, ruler: Ruler) -> Cutter {
        let has_stops = self.has_stops.unwrap_or(true);
        if !has_stops && self.stops.is_some() {
            let message = "`has_stops` is false, but `stops` describes them";
            reader.problems.push(reader.scope.key("stops").error("contradiction", message, "keep one of the two"));
        }
        let usual = if has_stops { Cutter::usual(ruler) } else { Cutter::without_stops(ruler) };
        let written_stops = self.stops.clone().unwrap_or_default();
        let stops = usual.stops.map(|Stops { far, near }| Stops {
            far: reader.scale(&written_stops.far, far, &["stops", "far"]),
            near: reader.scale(&written_stops.near, near, &["stops", "near"]),
        });
        let WrittenArm { reach, offset, stretch, out_of_square } = self.arm.clone();
        let lead = self.lead.clone().unwrap_or_default();
        Cutter {
            name: self.name.clone(),
            guide_side: self.guide_side,
            lean: self.lean,
            starts: self.starts,
            bevel_angle_deg: reader.bevel_angle(self.bevel_angle, usual.bevel_angle_deg),
            lead: Lead {
                entry: reader.lead(lead.entry.as_ref(), usual.lead.entry, "entry"),
                exit: reader.lead(lead.exit.as_ref(), usual.lead.exit, "exit"),
            },
            slip_sheet: reader.slip_sheet(self.slip_sheet.as_ref(), usual.slip_sheet),
            guide: reader.scale(&self.guide, usual.guide, &["guide"]),
            stops,
            arm: reader.scale(&WrittenScale { reach, offset, stretch }, usual.arm, &["arm"]),
            out_of_square_deg: reader.out_of_square(out_of_square),
            ..usual
        }
    }
}

/// Reads the values of a profile and collects what is wrong with them.
struct Reader {
    scope: Scope,
    problems: Vec<Problem>,
}

impl Reader {
    fn at(&self, keys: &[&'static str]) -> Scope {
        keys.iter().fold(self.scope.clone(), |scope, key| scope.key(*key))
    }

    /// Keeps the value, or the usual one in place of a problem.
    fn keep(&mut self, value: Result<f64, Problem>, usual: f64) -> f64 {
        value.unwrap_or_else(|problem| {
            self.problems.push(problem);
            usual
        })
    }

    fn scale(&mut self, written: &WrittenScale, usual: Scale, keys: &[&'static str]) -> Scale {
        let place = self.at(keys);
        let reach = written.reach.as_ref().map_or(Ok(usual.reach), |reach| above_zero(reach, &place.key("reach")));
        let reach = self.keep(reach, usual.reach);
        let offset = written.offset.as_ref().map_or(Ok(usual.offset), |offset| {
            let place = place.key("offset");
            let offset = place.signed_mm(offset)?;
            if offset.abs() < reach {
                return Ok(offset);
            }
            let message = format!(
                "an offset of {} is more than the whole reach of {}",
                place.ruler().show(offset),
                place.ruler().show(reach)
            );
            Err(place.error("offset", message, "give how much more than its number the scale really gives"))
        });
        let stretch = written.stretch.map_or(Ok(usual.stretch), |stretch| {
            let help = "give a share: 0.002 is 2 mm in a metre";
            within(stretch, LARGEST_STRETCH, &place.key("stretch"), "stretch", "a scale does not stretch by", "", help)
        });
        Scale { reach, offset: self.keep(offset, usual.offset), stretch: self.keep(stretch, usual.stretch) }
    }

    fn bevel_angle(&mut self, angle: Option<f64>, usual: f64) -> f64 {
        let Some(angle) = angle else {
            return usual;
        };
        // A blade that stands upright cuts no bevel, and one bent the other way leans by `lean`.
        if angle > 0.0 && angle <= Bevel::LARGEST_ANGLE_DEG {
            return angle;
        }
        self.problems.push(self.scope.key("bevel_angle").error(
            "bevel",
            format!("the blade of a bevel head does not lean {angle} degrees"),
            format!("give the angle from upright, above 0 and at most {} degrees", Bevel::LARGEST_ANGLE_DEG),
        ));
        usual
    }

    fn lead(&mut self, lead: Option<&Measure>, usual: f64, key: &'static str) -> f64 {
        let place = self.at(&["lead", key]);
        let read = |lead: &Measure| {
            let lead = place.signed_mm(lead)?;
            if lead.abs() <= LONGEST_LEAD_MM {
                return Ok(lead);
            }
            let message = format!("no blade runs on or falls short by {}", place.ruler().show(lead.abs()));
            Err(place.error("lead", message, "give the distance from the mark on the head to the end of the cut"))
        };
        let lead = lead.map_or(Ok(usual), read);
        self.keep(lead, usual)
    }

    fn slip_sheet(&mut self, thickness: Option<&Measure>, usual: f64) -> f64 {
        let place = self.scope.key("slip_sheet");
        let read = |thickness: &Measure| {
            let thickness = place.mm(thickness)?;
            if thickness <= THICKEST_SLIP_SHEET_MM {
                return Ok(thickness);
            }
            let message = format!("a spare board of {} does not go under a rail", place.ruler().show(thickness));
            Err(place.error("slip-sheet", message, "give its thickness; 0 if there is none"))
        };
        let thickness = thickness.map_or(Ok(usual), read);
        self.keep(thickness, usual)
    }

    fn out_of_square(&mut self, degrees: Option<f64>) -> f64 {
        let place = self.at(&["arm", "out_of_square"]);
        let help = "give how many degrees more than 90 the corner between arm and cut has";
        let read = |degrees| {
            let message = "an arm does not stand out of square by";
            within(degrees, LARGEST_SQUARE_ERROR_DEG, &place, "square", message, " degrees", help)
        };
        let degrees = degrees.map_or(Ok(0.0), read);
        self.keep(degrees, 0.0)
    }
}

/// A shorter scale, in millimetres, has no number to set.
const LEAST_REACH_MM: f64 = 1.0;

fn above_zero(length: &Measure, place: &Scope) -> Result<f64, Problem> {
    let length = place.mm(length)?;
    if length >= LEAST_REACH_MM {
        return Ok(length);
    }
    Err(place.error("reach", "a scale that reaches nowhere sets nothing", "give the largest number on it"))
}

/// Checks that a number lies within a bound on either side of zero.
fn within(
    number: f64,
    bound: f64,
    place: &Scope,
    code: &'static str,
    message: &str,
    unit: &str,
    help: &str,
) -> Result<f64, Problem> {
    // Not a number lies within nothing.
    if number.abs() <= bound {
        return Ok(number);
    }
    Err(place.error(code, format!("{message} {number}{unit}: at most {bound} either way is believed"), help))
}

#[cfg(test)]
mod tests {
    use super::{CUTTER_STARTER, WrittenCutter};
    use crate::bench::{Cutter, End};
    use crate::job::Syntax;
    use crate::length::{Ruler, Unit};

    fn read(text: &str) -> Result<Cutter, Vec<String>> {
        let written = WrittenCutter::read(text, Syntax::Toml).map_err(|error| vec![error.to_string()])?;
        written.resolve().map_err(|problems| problems.iter().map(ToString::to_string).collect())
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
            ("arm.stretch = 2", "error[stretch] at arm.stretch: a scale does not stretch by 2"),
            ("arm.stretch = nan", "error[stretch] at arm.stretch: a scale does not stretch by NaN"),
            ("arm.out_of_square = -45", "error[square] at arm.out_of_square"),
            ("bevel_angle = 0", "error[bevel] at bevel_angle"),
            ("lead.entry = -2", "error[lead] at lead.entry: no blade runs on or falls short by 2 in"),
            ("slip_sheet = 2", "error[slip-sheet] at slip_sheet"),
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
}
