//! A cutter written as a profile that can be read again.

use std::fmt::Write;

use super::{Cutter, Known, Lean, Scale, StopsFrom};
use crate::length::{Ruler, Unit, exact_mm};
use crate::tolerance::SAME_LENGTH_MM;

impl Cutter {
    /// Returns the cutter as a TOML profile; each of the `remarks` becomes a line of comment at its head.
    ///
    /// Lengths that lie on a mark of its scales, or on a sixty-fourth of an inch, are written in their unit, others in millimetres to a tenth of a
    /// thousandth, the angle of the blade to a hundredth of a degree, that of the arm to a ten-thousandth, stretch to a
    /// millionth.
    #[must_use]
    pub fn to_toml(&self, remarks: &[String]) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write_toml(remarks, &mut text);
        text
    }

    fn write_toml(&self, remarks: &[String], out: &mut String) -> std::fmt::Result {
        for line in remarks.iter().flat_map(|remark| remark.lines()) {
            writeln!(out, "{}", format!("# {line}").trim_end())?;
        }
        if !self.name.is_empty() {
            writeln!(out, "name = {}", toml::Value::from(self.name.as_str()))?;
        }
        let lean = match self.lean {
            Lean::TowardGuide => "toward_guide",
            Lean::AwayFromGuide => "away_from_guide",
        };
        writeln!(out, "unit = \"{}\"", self.ruler.unit())?;
        writeln!(out, "ruler_parts = {}", self.ruler.parts())?;
        writeln!(out, "guide_side = \"{}\"", self.guide_side.name())?;
        writeln!(out, "lean = \"{lean}\"")?;
        writeln!(out, "starts = \"{}\"", self.starts.name())?;
        writeln!(out, "bevel_angle = {}", decimal(self.bevel_angle_deg, 2))?;
        let (entry, exit) = (self.length(self.lead.entry), self.length(self.lead.exit));
        writeln!(out, "lead = {{ entry = {entry}, exit = {exit} }}")?;
        writeln!(out, "slip_sheet = {}", self.length(self.slip_sheet))?;
        writeln!(out, "into_slip_sheet = {}", self.length(self.into_slip_sheet))?;
        writeln!(out, "pass = {}", self.length(self.pass))?;
        writeln!(out, "rail = {}", self.length(self.rail))?;
        if self.stops.is_none() {
            writeln!(out, "has_stops = false")?;
        }
        writeln!(out, "\n[guide]\n{}", self.scale(&self.guide, self.known.guide))?;
        if let Some(stops) = &self.stops {
            if self.stops_from == StopsFrom::Rail {
                writeln!(out, "[stops]\nfrom = \"{}\"\n", self.stops_from.name())?;
            }
            writeln!(out, "[stops.far]\n{}", self.scale(&stops.far, self.known.far_stop))?;
            writeln!(out, "[stops.near]\n{}", self.scale(&stops.near, self.known.near_stop))?;
        }
        write!(out, "[arm]\n{}", self.scale(&self.arm, self.known.arm))?;
        writeln!(out, "out_of_square = {}", decimal(self.out_of_square_deg, 4))?;
        writeln!(out, "pivot = \"{}\"", self.pivot.name())
    }

    fn scale(&self, Scale { reach, offset, stretch }: &Scale, known: Option<Known>) -> String {
        let (reach, offset) = (self.length(*reach), self.length(*offset));
        let mut text = format!("reach = {reach}\noffset = {offset}\nstretch = {}\n", decimal(*stretch, 6));
        if let Some(Known { from, to, middle, plus_minus, stretch_plus_minus }) = known {
            let [from, to, middle, plus_minus] = [from, to, middle, plus_minus].map(|mm| self.length(mm));
            let stretch = decimal(stretch_plus_minus, 6);
            text += &format!(
                "known = {{ from = {from}, to = {to}, middle = {middle}, plus_minus = {plus_minus}, stretch_plus_minus = {stretch} }}\n"
            );
        }
        text
    }

    fn length(&self, mm: f64) -> String {
        // Sixty-fourths are finer than the scales of most cutters, but not than what is written of them.
        let finer = Ruler::new(Unit::Inch, 64).filter(|_| self.ruler.unit() == Unit::Inch);
        let readings = [Some(self.ruler), finer].into_iter().flatten().map(|ruler| ruler.read(mm));
        let exact = readings.into_iter().find(|reading| reading.rest.abs() <= SAME_LENGTH_MM);
        exact
            .map_or_else(|| format!("\"{}\"", exact_mm(mm)), |reading| format!("\"{} {}\"", reading.text, reading.unit))
    }
}

/// Writes a number with so many decimals at most; always as a decimal, so that TOML takes it for one.
fn decimal(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let text = text.trim_end_matches('0');
    let text = if text.ends_with('.') { format!("{text}0") } else { text.to_owned() };
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use crate::bench::{Cutter, Known, Lean, Pivot, RailSide, StopsFrom, WrittenCutter};
    use crate::job::Syntax;
    use crate::length::{Ruler, Unit};

    fn again(cutter: &Cutter) -> Cutter {
        WrittenCutter::read(&cutter.to_toml(&[]), Syntax::Toml).unwrap().resolve().into_result().unwrap()
    }

    #[test]
    fn a_written_profile_is_read_as_the_same_cutter() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        assert_eq!(again(&cutter), cutter);
        cutter.name = "the \"old\" one, Größe 2\\".to_owned();
        cutter.lean = Lean::AwayFromGuide;
        cutter.guide_side = RailSide::Right;
        cutter.guide.offset = -0.0125;
        cutter.arm.stretch = -0.001_234;
        cutter.bevel_angle_deg = 46.25;
        cutter.out_of_square_deg = -0.05;
        cutter.pivot = Pivot::Outer;
        let known = Known { from: 25.4, to: 101.6, middle: 60.0, plus_minus: 0.0312, stretch_plus_minus: 0.001_5 };
        cutter.known.guide = Some(known);
        cutter.known.arm = Some(Known { middle: 63.5, ..known });
        cutter.stops_from = StopsFrom::Rail;
        cutter.rail = 40.0 * 25.4;
        cutter.pass = 1.5;
        cutter.into_slip_sheet = 0.25;
        assert_eq!(again(&cutter), cutter);
        let metric = Cutter::without_stops(Ruler::new(Unit::Millimetre, 2).unwrap());
        assert_eq!(again(&metric).stops, None);
        assert!((again(&metric).lead.entry - metric.lead.entry).abs() < 1e-4);
    }

    #[test]
    fn remarks_are_comments() {
        let text = Cutter::usual(Ruler::usual(Unit::Inch)).to_toml(&["two\nlines".to_owned()]);
        assert!(text.starts_with("# two\n# lines\nunit = \"in\"\n"), "{text}");
    }
}
