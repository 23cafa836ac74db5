//! SVG for cutters: lines at real size, in the colour and width that the profile has for each kind of work; no text, no transforms, no styles.

use crate::formats::about::{self, Flattener};
use crate::formats::coordinate::{self, CoordinateGrid};
use crate::formats::number;
use crate::formats::{ExportError, Exported, ProgramFormat};
use crate::problem::{KeyPath, Problem};
use crate::program::{AxisDirection, Controller, Curves, MachineUnit, Program, Stroke, Tool};

use super::path_data::{PathData, PathNumbers};

/// Writes SVG for cutters.
pub(super) struct CutSvg;

impl PathNumbers for CoordinateGrid {
    fn push_length(&self, out: &mut Vec<u8>, millimetres: f64) {
        self.push(out, millimetres);
    }

    fn push_angle(&self, out: &mut Vec<u8>, degrees: f64) {
        number::push::<6>(out, degrees);
    }
}

impl ProgramFormat for CutSvg {
    fn name(&self) -> &'static str {
        "svg-cut"
    }

    fn extension(&self) -> &'static str {
        "svg"
    }

    fn summary(&self) -> &'static str {
        "SVG for cutters: thin lines, a colour for each kind of work"
    }

    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
        let mut problems = about::neither_words_nor_depths(controller, tools);
        if (controller.origin.x, controller.origin.y) == (AxisDirection::Right, AxisDirection::Down) {
            return problems;
        }
        let message =
            "in SVG x runs right and y runs down; with other directions the drawing would be turned or mirrored";
        let help = "set x = \"right\" and y = \"down\" in [origin]";
        problems.push(Problem::error("format", KeyPath::root().key("origin"), message, help));
        problems
    }

    fn encode(&self, program: &Program) -> Result<Exported, ExportError> {
        let controller = &program.controller;
        let mut writer = SvgProgramWriter { out: Vec::new(), controller, flattener: Flattener::new(controller) };
        writer.head(program);
        for pass in &program.passes {
            writer.group(&pass.tool, &pass.strokes);
        }
        writer.raw("</svg>\n");
        writer.flattener.refuse()?;
        let notes = writer.flattener.notes();
        Ok(Exported::new(writer.out, notes))
    }
}

struct SvgProgramWriter<'c> {
    out: Vec<u8>,
    controller: &'c Controller,
    flattener: Flattener<'c>,
}

impl SvgProgramWriter<'_> {
    fn head(&mut self, program: &Program) {
        let extent = program.extent;
        // Some programs ignore where the view box starts, so it starts at zero if it may.
        let (left, top) = (extent.x0.min(0.0), extent.y0.min(0.0));
        let (width, height) = (extent.x1 - left, extent.y1 - top);
        let mm = MachineUnit { name: "mm".to_owned(), millimetres: 1.0 };
        let unit = &self.controller.unit;
        // Inches stay inches; every other unit is said in millimetres, which all readers know.
        let (shown, name) = if unit.name == "in" { (unit.clone(), "in") } else { (mm, "mm") };
        self.raw("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- ");
        let comment = about::cautioned(program).join("; ");
        // Two hyphens end a comment, and XML holds no control characters.
        let comment = comment.replace(|letter: char| letter.is_control() || letter > '\u{FFFD}', " ");
        self.raw(&comment.replace("--", "- -").replace("--", "- -"));
        self.raw(" -->\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
        coordinate::push(&mut self.out, width, &shown);
        self.raw(name);
        self.raw("\" height=\"");
        coordinate::push(&mut self.out, height, &shown);
        self.raw(name);
        self.raw("\" viewBox=\"");
        for (place, length) in [left, top, width, height].into_iter().enumerate() {
            self.raw(if place == 0 { "" } else { " " });
            self.length(length);
        }
        self.raw("\">\n");
    }

    fn group(&mut self, tool: &Tool, strokes: &[Stroke]) {
        let [red, green, blue] = tool.color;
        self.raw("<g id=\"");
        self.raw(tool.work.name());
        self.raw(&format!("\" fill=\"none\" stroke=\"#{red:02x}{green:02x}{blue:02x}\" stroke-width=\""));
        self.length(tool.line_width);
        self.raw("\">\n");
        for stroke in strokes {
            self.stroke(stroke);
        }
        self.raw("</g>\n");
    }

    fn stroke(&mut self, stroke: &Stroke) {
        self.raw("<path d=\"");
        let numbers = CoordinateGrid::from(&self.controller.unit);
        let mut data = PathData { out: &mut self.out, numbers, only_cubics: false };
        match self.controller.curves {
            Curves::Lines => data.lines(self.flattener.points(stroke), stroke.closed),
            Curves::Arcs => data.chain(&stroke.as_arcs(self.controller.tolerance), stroke.closed),
            Curves::Native => data.chain(&stroke.segments, stroke.closed),
        }
        self.raw("\"/>\n");
    }

    fn raw(&mut self, markup: &str) {
        self.out.extend_from_slice(markup.as_bytes());
    }

    fn length(&mut self, millimetres: f64) {
        coordinate::push(&mut self.out, millimetres, &self.controller.unit);
    }
}
