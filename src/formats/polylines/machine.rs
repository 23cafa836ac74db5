//! Polylines as plain text in the coordinates of a machine, for software of its own.
//!
//! As in the format `polylines` of drawings: comments with `#` at the top, then for each stroke a line `polyline ROLE OPENING closed|open
//! POINTS UNIT` and its points, one a line. Here the strokes are in the order and direction in which they are made, the number of
//! the tool stands at the end of the line, and the unit is the one of the profile, in one word.

use crate::formats::about::{self, Flattener};
use crate::formats::{ExportError, Exported, ProgramFormat, coordinate};
use crate::problem::{KeyPath, Problem};
use crate::program::{Controller, Curves, Pass, Program, Stroke, Tool};

/// Writes polylines as plain text.
pub(super) struct PolylinePrograms;

impl ProgramFormat for PolylinePrograms {
    fn name(&self) -> &'static str {
        "polylines"
    }

    fn extension(&self) -> &'static str {
        "txt"
    }

    fn summary(&self) -> &'static str {
        "polylines as plain text, one point a line, in the order of the strokes"
    }

    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
        let mut problems = about::neither_words_nor_depths(controller, tools);
        if controller.curves != Curves::Lines {
            let help = "set curves = \"lines\"";
            problems.push(Problem::error("format", KeyPath::root().key("curves"), "polylines have no curves", help));
        }
        problems
    }

    fn encode(&self, program: &Program) -> Result<Exported, ExportError> {
        let controller = &program.controller;
        let mut flattener = Flattener::new(controller);
        let mut out = b"# Backline polylines for a machine, version 1
"
        .to_vec();
        for line in about::cautioned(program) {
            out.extend_from_slice(format!("# {}\n", line.replace(char::is_control, " ")).as_bytes());
        }
        out.extend_from_slice(b"# polyline ROLE OPENING closed|open POINTS UNIT TOOL, then one point a line: X Y\n");
        for pass in &program.passes {
            for stroke in &pass.strokes {
                push_stroke(&mut out, pass, stroke, controller, &mut flattener);
            }
        }
        flattener.refuse()?;
        Ok(Exported::new(out, flattener.notes()))
    }
}

fn push_stroke(
    out: &mut Vec<u8>,
    pass: &Pass,
    stroke: &Stroke,
    controller: &Controller,
    flattener: &mut Flattener<'_>,
) {
    let points = flattener.points(stroke);
    let opening = stroke.opening.map_or_else(|| "-".to_owned(), |opening| opening.to_string());
    let closed = if stroke.closed { "closed" } else { "open" };
    let (role, count, unit, tool) =
        (pass.tool.work.role().name(), points.len(), controller.unit.file_part(), pass.tool.number);
    out.extend_from_slice(format!("polyline {role} {opening} {closed} {count} {unit} {tool}\n").as_bytes());
    for point in points {
        coordinate::push(out, point.x, &controller.unit);
        out.push(b' ');
        coordinate::push(out, point.y, &controller.unit);
        out.push(b'\n');
    }
}
