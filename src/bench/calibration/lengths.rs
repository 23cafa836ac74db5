//! The lengths of a record, each checked against what can be.

use super::pair::CalibrationPoint;
use super::reader::{LARGEST_MISS_MM, RecordReader};
use crate::bench::Scale;
use crate::job::{Measure, Scope};
use crate::length::exact_mm;
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// Thinnest and thickest board in millimetres (common practice, no source).
const THICKNESS_MM: [f64; 2] = [0.3, 10.0];

impl RecordReader<'_> {
    /// Reads one length, which counts twice, or two.
    pub(super) fn one_or_two(&mut self, measured: &[Measure], place: &Scope) -> Option<[f64; 2]> {
        match measured {
            [] => None,
            [one] => self.length(Some(one), place).map(|one| [one, one]),
            [first, second] => {
                let first = self.length(Some(first), &place.index(0));
                let second = self.length(Some(second), &place.index(1));
                Some([first?, second?])
            }
            more => {
                let message = format!("these are {} lengths", more.len());
                self.problems.push(
                    place
                        .error("length", message, "give one, or two: one for each end")
                        .with_count("lengths", more.len()),
                );
                None
            }
        }
    }

    pub(super) fn thickness(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        self.keep(measured_thickness(length?, place))
    }

    /// Reads a number that was set on a scale, which has to reach that far.
    pub(super) fn set(&mut self, number: Option<&Measure>, place: &Scope, scale: &Scale, name: &str) -> Option<f64> {
        let number = self.keep(place.mm(number?))?;
        if number <= scale.reach + SAME_LENGTH_MM {
            return Some(number);
        }
        // Numbers that clash are not rounded to a ruler.
        let (set, reach) = (exact_mm(number), exact_mm(scale.reach));
        let message = format!("{name} reaches {reach}, so it was not set to {set}");
        self.problems.push(
            place
                .error("impossible", message, "look for the wrong unit, or give the profile its reach")
                .with_mm("set", number)
                .with_mm("reach", scale.reach),
        );
        None
    }

    /// Refuses what no cutter makes of the number that was set.
    pub(super) fn check_given(&mut self, pair: &CalibrationPoint, scale: &Scale, what: &str) {
        let expected = scale.distance(pair.set);
        let miss = pair.given - expected;
        if miss.abs() <= LARGEST_MISS_MM {
            return;
        }
        let ratio = pair.given / expected.max(SAME_LENGTH_MM);
        let near = |factor: f64| (ratio / factor - 1.0).abs() < 0.2;
        let unit = if near(25.4) || near(1.0 / 25.4) {
            "; it looks like inches for millimetres, or the other way round"
        } else if near(10.0) || near(0.1) {
            "; it looks like centimetres for millimetres, or the other way round"
        } else {
            ""
        };
        let message = format!(
            "{what} is {:.1} mm {} than what was set{unit}",
            miss.abs(),
            if miss > 0.0 { "more" } else { "less" }
        );
        let help = "no scale is off by that much: measure again, look for the wrong unit or line, or give the profile its offset";
        self.problems.push(Problem::error("impossible", &pair.path, message, help).with_mm("miss", miss));
    }

    pub(super) fn length(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        let length = self.keep(place.mm(length?))?;
        self.readings.lengths.push(length);
        Some(length)
    }

    /// Reads how far a cut runs beyond a corner.
    pub(super) fn over(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        let length = self.keep(measured_over(length?, place))?;
        self.readings.lengths.push(length);
        Some(length)
    }

    pub(super) fn keep(&mut self, length: Result<f64, Problem>) -> Option<f64> {
        length.map_err(|problem| self.problems.push(problem)).ok()
    }
}

/// Reads the thickness of a board in millimetres, as it was measured: a board's name is none, and no board is as thin or as
/// thick as one in the wrong unit.
pub(crate) fn measured_thickness(length: &Measure, place: &Scope) -> Result<f64, Problem> {
    let measured = place.mm(length).map_err(|problem| match place.board_mm(length) {
        // The angle of the blade would be wrong by as much as a board differs from others of its name.
        Ok(usual) => {
            let message = format!("a board of that name is about {} thick: that is not a measurement", exact_mm(usual));
            let help = "measure this board, over several sheets if you can, and write the length alone";
            place.error("length", message, help)
        }
        Err(_) => problem,
    })?;
    let [least, most] = THICKNESS_MM;
    if (least..=most).contains(&measured) {
        return Ok(measured);
    }
    let message = format!("no board is {} thick", place.ruler().show(measured));
    let help = format!("give its measured thickness, from {least} to {most} mm; look for the wrong unit");
    let problem = place.error("length", message, help);
    Err(problem.with_mm("thickness", measured).with_mm("least", least).with_mm("most", most))
}

/// Reads how far a cut runs beyond a corner, in millimetres: `1.5` or `1.5 past` it, `0.5 short` of it or `-0.5`.
pub(crate) fn measured_over(length: &Measure, place: &Scope) -> Result<f64, Problem> {
    let Measure::Text(text) = length else { return place.signed_mm(length) };
    let text = text.trim_end();
    let said = [("past", 1.0), ("short", -1.0)]
        .into_iter()
        .find_map(|(word, sign)| Some((text.strip_suffix(word)?.trim_end().to_owned(), sign)));
    match said {
        Some((length, sign)) => Ok(sign * place.mm(&Measure::Text(length))?),
        None => place.signed_mm(length),
    }
}
