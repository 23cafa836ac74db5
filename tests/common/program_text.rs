//! The file of a machine as text, parted into its strokes and what stands between them, so that tests can alter it.

use backline::program::{Curves, Program};

/// A file: what stands before each stroke, and the strokes.
#[derive(Clone)]
pub(crate) struct ProgramText {
    pub(crate) parts: Vec<Part>,
    pub(crate) format: TextFormat,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Part {
    Other(String),
    Stroke(String),
}

#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum TextFormat {
    GCode,
    HpGl,
    Dxf,
    Svg,
    Polylines,
}

impl TextFormat {
    pub(crate) fn of(program: &Program) -> Self {
        match program.controller.format.as_str() {
            "gcode" => Self::GCode,
            "hpgl" => Self::HpGl,
            "svg-cut" => Self::Svg,
            "polylines" => Self::Polylines,
            _ => Self::Dxf,
        }
    }

    /// Parts the text into lines, or into records of DXF.
    fn units(self, text: &str) -> Vec<String> {
        if self != Self::Dxf {
            return text.split_inclusive('\n').map(str::to_owned).collect();
        }
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let mut records: Vec<String> = Vec::new();
        for pair in lines.chunks(2) {
            if pair[0].trim() == "0" || records.is_empty() {
                records.push(String::new());
            }
            records.last_mut().unwrap().push_str(&pair.concat());
        }
        records
    }

    /// Tells whether a stroke starts, or goes on, with a line.
    fn starts(self, unit: &str) -> bool {
        match self {
            Self::GCode => unit.starts_with("G0 X") && unit != "G0 X0 Y0\n",
            Self::HpGl => unit.starts_with("PU") && unit.len() > 4,
            Self::Dxf => {
                ["LINE\n", "POLYLINE\n", "LWPOLYLINE\n", "CIRCLE\n", "ARC\n", "ELLIPSE\n"].contains(&name(unit))
            }
            Self::Svg => unit.starts_with("<path"),
            Self::Polylines => unit.starts_with("polyline"),
        }
    }

    fn goes_on(self, unit: &str) -> bool {
        match self {
            Self::GCode => {
                !unit.starts_with('(') && !["M0\n", "M2\n", "G0 X0 Y0\n"].contains(&unit) && !unit.starts_with("M6")
            }
            Self::HpGl => !unit.starts_with("SP") && unit != "PU;\n",
            Self::Dxf => ["VERTEX\n", "SEQEND\n"].contains(&name(unit)),
            Self::Svg => false,
            Self::Polylines => unit.starts_with(|c: char| c.is_ascii_digit() || c == '-'),
        }
    }
}

/// Returns the second line of a record.
fn name(record: &str) -> &str {
    record.split_inclusive('\n').nth(1).unwrap_or("")
}

impl ProgramText {
    pub(crate) fn new(text: &str, format: TextFormat) -> Self {
        let mut parts: Vec<Part> = Vec::new();
        let mut in_stroke = false;
        for unit in format.units(text) {
            if format.starts(&unit) {
                parts.push(Part::Stroke(unit));
                in_stroke = true;
            } else if in_stroke && format.goes_on(&unit) {
                let Some(Part::Stroke(stroke)) = parts.last_mut() else { unreachable!() };
                stroke.push_str(&unit);
            } else {
                in_stroke = false;
                parts.push(Part::Other(unit));
            }
        }
        assert!(parts.iter().any(|part| matches!(part, Part::Stroke(_))), "no stroke in {text}");
        Self { parts, format }
    }

    pub(crate) fn text(&self) -> String {
        self.parts
            .iter()
            .map(|part| match part {
                Part::Other(text) | Part::Stroke(text) => text.as_str(),
            })
            .collect()
    }

    /// Returns the places of the strokes among the parts.
    pub(crate) fn strokes(&self) -> Vec<usize> {
        (0..self.parts.len()).filter(|at| matches!(self.parts[*at], Part::Stroke(_))).collect()
    }

    pub(crate) fn stroke(&self, at: usize) -> &str {
        let Part::Stroke(text) = &self.parts[at] else { panic!("no stroke") };
        text
    }

    /// Returns the pass of each stroke of the text.
    pub(crate) fn passes(&self, program: &Program) -> Vec<usize> {
        let controller = &program.controller;
        let separate = controller.dxf.separate || controller.format == "dxf-r12-lines";
        let mut passes = Vec::new();
        for (number, pass) in program.passes.iter().enumerate() {
            for stroke in &pass.strokes {
                let count = if !separate {
                    1
                } else if controller.curves == Curves::Lines {
                    let flat =
                        stroke.as_points(controller.tolerance, controller.flattening, controller.smallest_segment);
                    flat.points.len() - usize::from(!stroke.closed)
                } else {
                    panic!("arcs for themselves");
                };
                passes.extend(std::iter::repeat_n(number, count));
            }
        }
        assert_eq!(passes.len(), self.strokes().len(), "{}", program.machine);
        passes
    }
}
