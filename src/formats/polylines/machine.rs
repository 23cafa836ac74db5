//! Polylines as plain text in the coordinates of a machine, for software of its own.
//!
//! As in the format `polylines` of drawings: comments with `#` at the top, then for each stroke a line `polyline ROLE OPENING closed|open
//! POINTS UNIT` and its points, one a line. Here the strokes are in the order and direction in which they are made, the number of
//! the tool stands at the end of the line, and the unit is the one of the profile, in one word.

use crate::formats::about::{self, Flattener};
use crate::formats::{ExportError, Exported, ProgramFormat, coordinate};
use crate::machine::{Curves, Machine, Pass, Program, Stroke};
use crate::problem::{KeyPath, Problem};

/// Writes polylines as plain text.
pub(super) struct Polylines;

impl ProgramFormat for Polylines {
    fn name(&self) -> &'static str {
        "polylines"
    }

    fn extension(&self) -> &'static str {
        "txt"
    }

    fn summary(&self) -> &'static str {
        "polylines as plain text, one point a line, in the order of the strokes"
    }

    fn check(&self, machine: &Machine) -> Vec<Problem> {
        if machine.curves == Curves::Lines {
            return Vec::new();
        }
        let help = "set curves = \"lines\"";
        vec![Problem::error("format", KeyPath::root().key("curves"), "polylines have no curves", help)]
    }

    fn encode(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        let mut flattener = Flattener::new(machine);
        let mut out = b"# Backline polylines for a machine, version 1\n".to_vec();
        for line in about::lines(program, machine) {
            out.extend_from_slice(format!("# {}\n", line.replace(char::is_control, " ")).as_bytes());
        }
        out.extend_from_slice(b"# polyline ROLE OPENING closed|open POINTS UNIT TOOL, then one point a line: X Y\n");
        for pass in &program.passes {
            for stroke in &pass.strokes {
                push_stroke(&mut out, pass, stroke, machine, &mut flattener);
            }
        }
        Ok(Exported { bytes: out, notes: flattener.notes() })
    }
}

fn push_stroke(out: &mut Vec<u8>, pass: &Pass, stroke: &Stroke, machine: &Machine, flattener: &mut Flattener<'_>) {
    let points = flattener.points(stroke);
    let opening = stroke.opening.map_or_else(|| "-".to_owned(), |opening| opening.to_string());
    let closed = if stroke.closed { "closed" } else { "open" };
    let (role, count, unit, tool) = (pass.tool.work.name(), points.len(), machine.unit.file_part(), pass.tool.number);
    out.extend_from_slice(format!("polyline {role} {opening} {closed} {count} {unit} {tool}\n").as_bytes());
    for point in points {
        coordinate::push(out, point.x, &machine.unit);
        out.push(b' ');
        coordinate::push(out, point.y, &machine.unit);
        out.push(b'\n');
    }
}
