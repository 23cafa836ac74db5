//! A calibration in words, as `calibrate` prints it.

use std::fmt::Write;

use super::{Calibration, Estimate, MoreMeasurements, ScaleFit, ValueFit};
use crate::bench::End;

/// Begins the list of the readings of a scale.
const BESIDE: &str = "readings beside the fit";

/// Said of a record that cannot show one of the likely slips.
const FACE_UNSEEN: &str = "No opening was measured, so borders that were measured on the face by mistake would not show: measure an opening too.";

impl Calibration {
    /// Describes what was found, part by part: the number, its 95 % interval, and how many more cuts are worth making.
    #[must_use]
    pub fn describe(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write_words(&mut text);
        text
    }

    /// Returns what the head of the written profile says of how well it is known.
    #[must_use]
    pub fn remarks(&self) -> Vec<String> {
        let mut remarks = vec![format!("Fitted by Backline to {}; ± is a 95 % interval.", pieces(self.pieces))];
        remarks.extend(
            self.describe()
                .lines()
                .skip(1)
                .take_while(|line| line.starts_with("  "))
                .filter(|line| !line.trim_start().starts_with(BESIDE))
                .map(|line| line.trim().to_owned()),
        );
        remarks
    }

    fn write_words(&self, out: &mut String) -> std::fmt::Result {
        let name = if self.cutter.name.is_empty() { "the cutter" } else { &self.cutter.name };
        writeln!(out, "{name}, from {}; ± is a 95 % interval", pieces(self.pieces))?;
        let [far, near] = &self.stops;
        for (name, fit) in [("guide", &self.guide), ("far stop", far), ("near stop", near), ("arm", &self.arm)] {
            self.scale(name, fit.as_ref(), out)?;
        }
        let [entry, exit] = &self.leads;
        let mm = |value: &ValueFit| signed(value.estimate, 1.0, 2, " mm");
        value("lead where the blade goes in", entry.as_ref(), mm, "cut by eye", out)?;
        value("lead where it comes out", exit.as_ref(), mm, "cut by eye", out)?;
        let plain = |fit: &ValueFit| format!("{:.1}° ± {:.1}°", fit.estimate.value, fit.estimate.half_width());
        value("angle of the blade", self.bevel_angle_deg.as_ref(), plain, "bevel", out)?;
        let degrees = |fit: &ValueFit| signed(fit.estimate, 1.0, 3, "°");
        value("arm beyond a right angle", self.out_of_square_deg.as_ref(), degrees, "piece", out)?;
        let metre = |fit: &ValueFit| signed(fit.estimate, 1000.0, 1, " mm in a metre");
        value("border wider at the far end", self.drift.as_ref(), metre, "cut", out)?;
        self.unmeasured(out)?;
        if self.openings == 0 && self.guide.is_some() {
            writeln!(out, "{FACE_UNSEEN}")?;
        }
        writeln!(
            out,
            "Rely on these numbers only between the smallest and the largest setting tried; beyond them, a setting is a guess."
        )?;
        self.cutter.cautions().iter().try_for_each(|caution| writeln!(out, "{caution}"))
    }

    fn scale(&self, name: &str, fit: Option<&ScaleFit>, out: &mut String) -> std::fmt::Result {
        let Some(fit) = fit else { return Ok(()) };
        let offset = signed(fit.offset, 1.0, 2, " mm");
        let stretch = signed(fit.stretch, 1000.0, 1, " mm in a metre");
        let ruler = self.cutter.ruler;
        let range = format!("{} to {}", ruler.show(fit.from), ruler.show(fit.to));
        // An offset-only fit keeps the stretch that the profile had.
        let open = fit.stretch.half_width() > 0.0 && !fit.stretches();
        let left_out = if open { ", left out: it cannot be told from zero" } else { "" };
        writeln!(out, "  {name}: offset {offset}, stretch {stretch}{left_out}")?;
        writeln!(
            out,
            "    {} readings from {range}, spread {:.2} mm; a setting there is known to within ± {:.2} mm: {}",
            fit.readings,
            fit.spread,
            fit.half_width,
            more(fit.more, "cut", &format!("{:.2} mm, half a mark", fit.goal))
        )?;
        self.beside_the_fit(name, out)
    }

    /// Lists how far each reading lies from the fit.
    fn beside_the_fit(&self, name: &str, out: &mut String) -> std::fmt::Result {
        let Some(part) = self.readings.iter().find(|part| part.part == name) else { return Ok(()) };
        let listed: Vec<String> = part
            .readings
            .iter()
            .map(|reading| {
                let doubt = if reading.doubtful { " DOUBTFUL" } else { "" };
                format!(
                    "{} {:+.2}{doubt}",
                    self.cutter.ruler.show(reading.set),
                    reading.given - part.fit.at(reading.set)
                )
            })
            .collect();
        writeln!(out, "    {BESIDE}, in mm: {}", listed.join(", "))
    }

    /// Names what stays as it was.
    fn unmeasured(&self, out: &mut String) -> std::fmt::Result {
        let [far, near] = End::BOTH;
        let [far_stop, near_stop] = &self.stops;
        let [entry, exit] = &self.leads;
        let stop = |fit: &Option<ScaleFit>, end| fit.is_none() && self.cutter.stop_at(end).is_some();
        let parts = [
            ("guide", self.guide.is_none()),
            ("far stop", stop(far_stop, far)),
            ("near stop", stop(near_stop, near)),
            ("arm", self.arm.is_none()),
            ("lead where the blade goes in", entry.is_none()),
            ("lead where it comes out", exit.is_none()),
            ("angle of the blade", self.bevel_angle_deg.is_none()),
            ("squareness", self.out_of_square_deg.is_none()),
        ];
        let names: Vec<&str> = parts.into_iter().filter_map(|(name, missing)| missing.then_some(name)).collect();
        if names.is_empty() { Ok(()) } else { writeln!(out, "Not measured, kept as it was: {}.", names.join(", ")) }
    }
}

fn value(
    name: &str,
    fit: Option<&ValueFit>,
    shown: impl Fn(&ValueFit) -> String,
    one: &str,
    out: &mut String,
) -> std::fmt::Result {
    let Some(fit) = fit else { return Ok(()) };
    let readings = if fit.readings == 1 { "reading" } else { "readings" };
    writeln!(out, "  {name}: {} ({} {readings}): {}", shown(fit), fit.readings, more(fit.more, one, "what matters"))
}

/// Writes `+0.82 ± 0.10 mm`, both multiplied.
fn signed(estimate: Estimate, factor: f64, decimals: usize, unit: &str) -> String {
    format!("{:+.decimals$} ± {:.decimals$}{unit}", factor * estimate.value, factor * estimate.half_width())
}

fn more(more: MoreMeasurements, one: &str, goal: &str) -> String {
    match more {
        MoreMeasurements::Enough => "enough".to_owned(),
        MoreMeasurements::Measure(1) => format!("1 more {one} brings it within {goal}"),
        MoreMeasurements::Measure(count) => {
            format!("{count} more {one}s bring it within {goal}").replace("cut by eyes", "cuts by eye")
        }
        MoreMeasurements::MeasureFiner => {
            format!("no number of {one}s brings it within {goal}: measure with more care")
                .replace("cut by eyes", "cuts by eye")
        }
    }
}

fn pieces(count: usize) -> String {
    if count == 1 { "1 test piece".to_owned() } else { format!("{count} test pieces") }
}
