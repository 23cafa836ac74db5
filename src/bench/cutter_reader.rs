//! From a cutter profile as written to the cutter, with everything checked.

use super::cutter::{Cutter, Lead, Stops, StopsFrom};
use super::cutter_file::{WrittenArm, WrittenCutter, WrittenKnown, WrittenScale};
use super::cutter_scale::Scale;
use super::knowledge::{Knowledge, Known};
use crate::checked::Checked;
use crate::job::{self, Measure, Scope};
use crate::length::{Ruler, Unit};
use crate::mat::Bevel;
use crate::problem::{NumberUnit, Problem};

/// A scale that stretches by more than this share has been misread: an inch scale read in the wrong fractions.
const LARGEST_STRETCH: f64 = 0.1;
/// An arm farther out of square than this many degrees is broken or has been misread.
const LARGEST_SQUARE_ERROR_DEG: f64 = 10.0;
/// A cut that runs on or falls short by more than this many millimetres is not a lead of a blade.
const LONGEST_LEAD_MM: f64 = 25.4;
/// A rail shorter than this many millimetres cuts no window.
const SHORTEST_RAIL_MM: f64 = 100.0;
/// A pass through less than this many millimetres is not a pass.
const THINNEST_PASS_MM: f64 = 0.2;
/// A spare board thicker than this many millimetres does not go under a rail.
const THICKEST_SLIP_SHEET_MM: f64 = 25.4;

impl WrittenCutter {
    /// Works out the cutter: millimetres, nothing left out. Problems have their places in the file.
    pub fn resolve(&self) -> Checked<Cutter> {
        let mut problems = Vec::new();
        let unit = self.unit.unwrap_or(Unit::Inch);
        let ruler = job::read_ruler(unit, self.ruler_parts).unwrap_or_else(|problem| {
            problems.push(problem);
            Ruler::usual(unit)
        });
        let mut reader = CutterReader { scope: Scope::root(Some(unit), ruler), problems };
        reader.problems.extend(reader.scope.key("name").bad_name(&self.name));
        let cutter = self.resolve_with(&mut reader, ruler);
        Checked::if_sound(cutter, reader.problems)
    }

    fn resolve_with(&self, reader: &mut CutterReader, ruler: Ruler) -> Cutter {
        let has_stops = self.has_stops.unwrap_or(true);
        if !has_stops && self.stops.is_some() {
            let message = "`has_stops` is false, but `stops` describes them";
            reader.problems.push(reader.scope.key("stops").error("contradiction", message, "keep one of the two"));
        }
        let usual = if has_stops { Cutter::usual(ruler) } else { Cutter::without_stops(ruler) };
        let written_stops = self.stops.clone().unwrap_or_default();
        let stops_from = written_stops.from;
        let rail = reader.at_least(self.rail.as_ref(), Scope::mm, usual.rail, "rail", SHORTEST_RAIL_MM);
        let stops = usual.stops.map(|Stops { far, near }| {
            // Along the rail the number of the far stop is nearly as large as the board is long.
            let far = if stops_from == StopsFrom::Rail { Scale { reach: rail, ..far } } else { far };
            Stops {
                far: reader.scale(&written_stops.far, far, &["stops", "far"]),
                near: reader.scale(&written_stops.near, near, &["stops", "near"]),
            }
        });
        let WrittenArm { reach, offset, stretch, known, out_of_square, pivot } = self.arm.clone();
        let known = Knowledge {
            guide: reader.known(self.guide.known.as_ref(), &["guide"]),
            far_stop: reader.known(written_stops.far.known.as_ref(), &["stops", "far"]),
            near_stop: reader.known(written_stops.near.known.as_ref(), &["stops", "near"]),
            arm: reader.known(known.as_ref(), &["arm"]),
        };
        let lead = self.lead.clone().unwrap_or_default();
        let slip_sheet = reader.slip_sheet(self.slip_sheet.as_ref(), usual.slip_sheet);
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
            slip_sheet,
            into_slip_sheet: reader.scratch(self.into_slip_sheet.as_ref(), usual.into_slip_sheet, slip_sheet),
            pass: reader.at_least(self.pass.as_ref(), Scope::board_mm, usual.pass, "pass", THINNEST_PASS_MM),
            rail,
            guide: reader.scale(&self.guide, usual.guide, &["guide"]),
            stops,
            stops_from,
            arm: reader.scale(&WrittenScale { reach, offset, stretch, known: None }, usual.arm, &["arm"]),
            out_of_square_deg: reader.out_of_square(out_of_square),
            pivot,
            known,
            ..usual
        }
    }
}

/// Reads the values of a profile and collects what is wrong with them.
struct CutterReader {
    scope: Scope,
    problems: Vec<Problem>,
}

impl CutterReader {
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
            Err(place
                .error("offset", message, "give how much farther than its number the scale really sets")
                .with_mm("offset", offset)
                .with_mm("reach", reach))
        });
        let stretch = written.stretch.map_or(Ok(usual.stretch), |stretch| {
            let help = "give a ratio: 0.002 is 2 mm in a metre";
            within(
                stretch,
                LARGEST_STRETCH,
                &place.key("stretch"),
                "stretch",
                "a scale cannot stretch by",
                NumberUnit::Ratio,
                help,
            )
        });
        Scale { reach, offset: self.keep(offset, usual.offset), stretch: self.keep(stretch, usual.stretch) }
    }

    fn known(&mut self, written: Option<&WrittenKnown>, keys: &[&'static str]) -> Option<Known> {
        let written = written?;
        let place = self.at(keys).key("known");
        let mut length = |length: &Measure, key: &'static str| {
            place.key(key).mm(length).map_err(|problem| self.problems.push(problem)).ok()
        };
        let [from, to] = [length(&written.from, "from"), length(&written.to, "to")];
        let [middle, plus_minus] = [length(&written.middle, "middle"), length(&written.plus_minus, "plus_minus")];
        let known = Known {
            from: from?,
            to: to?,
            middle: middle?,
            plus_minus: plus_minus?,
            stretch_plus_minus: written.stretch_plus_minus,
        };
        // Not a number is not a share.
        if known.from <= known.to && (0.0..=1.0).contains(&known.stretch_plus_minus) {
            return Some(known);
        }
        let message = "what the profile says is known about this scale is impossible";
        let help = "let `backline calibrate fit` write it, or leave it out";
        self.problems.push(place.error("known", message, help));
        None
    }

    fn bevel_angle(&mut self, angle: Option<f64>, usual: f64) -> f64 {
        let Some(angle) = angle else {
            return usual;
        };
        // A blade that stands upright cuts no bevel, and one bent the other way leans by `lean`.
        if angle > 0.0 && angle <= Bevel::LARGEST_ANGLE_DEG {
            return angle;
        }
        self.problems.push(
            self.scope
                .key("bevel_angle")
                .error(
                    "bevel",
                    format!("the blade of a bevel head cannot lean {angle} degrees"),
                    format!("give the angle from upright, above 0 and at most {} degrees", Bevel::LARGEST_ANGLE_DEG),
                )
                .with_degrees("angle", angle)
                .with_degrees("most", Bevel::LARGEST_ANGLE_DEG),
        );
        usual
    }

    fn lead(&mut self, lead: Option<&Measure>, usual: f64, key: &'static str) -> f64 {
        let place = self.at(&["lead", key]);
        let read = |lead: &Measure| {
            let lead = place.signed_mm(lead)?;
            if lead.abs() <= LONGEST_LEAD_MM {
                return Ok(lead);
            }
            let message = format!("no blade over-runs or falls short by {}", place.ruler().show(lead.abs()));
            Err(place
                .error("lead", message, "give the distance from the mark on the head to the end of the cut")
                .with_mm("lead", lead)
                .with_mm("most", LONGEST_LEAD_MM))
        };
        let lead = lead.map_or(Ok(usual), read);
        self.keep(lead, usual)
    }

    fn slip_sheet(&mut self, thickness: Option<&Measure>, usual: f64) -> f64 {
        let place = self.scope.key("slip_sheet");
        let read = |thickness: &Measure| {
            let thickness = place.board_mm(thickness)?;
            if thickness <= THICKEST_SLIP_SHEET_MM {
                return Ok(thickness);
            }
            let message = format!("a spare board {} thick does not fit under a rail", place.ruler().show(thickness));
            Err(place
                .error("slip-sheet", message, "give its thickness; 0 if there is none")
                .with_mm("thickness", thickness)
                .with_mm("most", THICKEST_SLIP_SHEET_MM))
        };
        let thickness = thickness.map_or(Ok(usual), read);
        self.keep(thickness, usual)
    }

    fn scratch(&mut self, depth: Option<&Measure>, usual: f64, slip_sheet: f64) -> f64 {
        let place = self.scope.key("into_slip_sheet");
        let read = |depth: &Measure| {
            let depth = place.mm(depth)?;
            if depth <= slip_sheet {
                return Ok(depth);
            }
            let show = |mm| place.ruler().show(mm);
            let message =
                format!("the blade cannot reach {} into a slip sheet {} thick", show(depth), show(slip_sheet));
            Err(place
                .error("slip-sheet", message, "give how deep the blade scratches the slip sheet: 1/64 in is enough")
                .with_mm("depth", depth)
                .with_mm("slip_sheet", slip_sheet))
        };
        let depth = depth.map_or(Ok(usual), read);
        self.keep(depth, usual)
    }

    fn at_least(
        &mut self,
        length: Option<&Measure>,
        mm: impl Fn(&Scope, &Measure) -> Result<f64, Problem>,
        usual: f64,
        key: &'static str,
        least: f64,
    ) -> f64 {
        let place = self.scope.key(key);
        let read = |length: &Measure| {
            let length = mm(&place, length)?;
            if length >= least {
                return Ok(length);
            }
            let message = format!("{} is too little for `{key}`", place.ruler().show(length));
            Err(place
                .error("length", message, format!("give at least {}", place.ruler().show(least)))
                .with_mm("length", length)
                .with_mm("least", least))
        };
        let length = length.map_or(Ok(usual), read);
        self.keep(length, usual)
    }

    fn out_of_square(&mut self, degrees: Option<f64>) -> f64 {
        let place = self.at(&["arm", "out_of_square"]);
        let help = "give by how many degrees the corner between arm and cut exceeds 90";
        let read = |degrees| {
            let message = "an arm cannot be out of square by";
            within(degrees, LARGEST_SQUARE_ERROR_DEG, &place, "square", message, NumberUnit::Degree, help)
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
    Err(place.error("reach", "a scale without reach cannot set anything", "give the largest number on it"))
}

/// Checks that a number lies within a bound on either side of zero.
fn within(
    number: f64,
    bound: f64,
    place: &Scope,
    code: &'static str,
    message: &str,
    unit: NumberUnit,
    help: &str,
) -> Result<f64, Problem> {
    // Not a number lies within nothing.
    if number.abs() <= bound {
        return Ok(number);
    }
    let words = if unit == NumberUnit::Degree { " degrees" } else { "" };
    let message = format!("{message} {number}{words}: at most {bound} either way is accepted");
    Err(place.error(code, message, help).with(code, number, unit).with("most", bound, unit))
}
