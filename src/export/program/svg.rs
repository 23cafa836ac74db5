//! SVG for cutters: hairlines at real size, one colour for each kind of work; no text, no transforms, no styles.

use kurbo::Point;

use super::about::{self, Flattener};
use super::units;
use super::{ExportError, Exported, ProgramFormat};
use crate::export::number;
use crate::geometry::{Arc, Segment};
use crate::machine::{Curves, Machine, MachineUnit, Program, Stroke, Tool, Toward};
use crate::problem::{KeyPath, Problem};
use crate::tolerance::CURVE_FIT_MM;

/// Writes SVG for cutters.
pub(super) struct CutSvg;

/// Width of a line in millimetres: programs of cutters take the thinnest lines for cuts (common practice, no source).
const HAIRLINE_MM: f64 = 0.01;

impl ProgramFormat for CutSvg {
    fn name(&self) -> &'static str {
        "svg-cut"
    }

    fn extension(&self) -> &'static str {
        "svg"
    }

    fn summary(&self) -> &'static str {
        "SVG for cutters: hairlines, one colour for each kind of work"
    }

    fn check(&self, machine: &Machine) -> Vec<Problem> {
        if (machine.origin.x, machine.origin.y) == (Toward::Right, Toward::Down) {
            return Vec::new();
        }
        let message =
            "in SVG x runs right and y runs down; with other directions the drawing would be turned or mirrored";
        let help = "set x = \"right\" and y = \"down\" in [origin]";
        vec![Problem::error("format", KeyPath::root().key("origin"), message, help)]
    }

    fn write(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        let mut writer = Writer { out: Vec::new(), machine, flattener: Flattener::new(machine) };
        writer.head(program);
        for pass in &program.passes {
            writer.group(&pass.tool, &pass.strokes);
        }
        writer.raw("</svg>\n");
        let notes = writer.flattener.notes();
        Ok(Exported { bytes: writer.out, notes })
    }
}

struct Writer<'m> {
    out: Vec<u8>,
    machine: &'m Machine,
    flattener: Flattener<'m>,
}

impl Writer<'_> {
    fn head(&mut self, program: &Program) {
        let extent = program.extent;
        // Some programs ignore where the view box starts, so it starts at zero if it may.
        let (left, top) = (extent.x0.min(0.0), extent.y0.min(0.0));
        let (width, height) = (extent.x1 - left, extent.y1 - top);
        let mm = MachineUnit { name: "mm".to_owned(), millimetres: 1.0 };
        let unit = &self.machine.unit;
        // Inches stay inches; every other unit is said in millimetres, which all readers know.
        let (shown, name) = if unit.name == "in" { (unit.clone(), "in") } else { (mm, "mm") };
        self.raw("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- ");
        let comment = about::lines(program, self.machine).join("; ");
        // Two hyphens end a comment, and XML holds no control characters.
        let comment = comment.replace(|letter: char| letter.is_control() || letter > '\u{FFFD}', " ");
        self.raw(&comment.replace("--", "- -").replace("--", "- -"));
        self.raw(" -->\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
        units::push(&mut self.out, width, &shown);
        self.raw(name);
        self.raw("\" height=\"");
        units::push(&mut self.out, height, &shown);
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
        self.length(HAIRLINE_MM);
        self.raw("\">\n");
        for stroke in strokes {
            self.stroke(stroke);
        }
        self.raw("</g>\n");
    }

    fn stroke(&mut self, stroke: &Stroke) {
        self.raw("<path d=\"");
        self.step("M", stroke.start());
        match self.machine.curves {
            Curves::Lines => {
                for point in self.flattener.points(stroke).into_iter().skip(1) {
                    self.step("L", point);
                }
            }
            Curves::Arcs => self.segments(&stroke.as_arcs(self.machine.tolerance), stroke.closed),
            Curves::Native => self.segments(&stroke.segments, stroke.closed),
        }
        self.raw(if stroke.closed { "Z\"/>\n" } else { "\"/>\n" });
    }

    fn segments(&mut self, segments: &[Segment], closed: bool) {
        let drawn = match segments {
            // `Z` draws the last line.
            [first @ .., Segment::Line(_)] if closed => first,
            all => all,
        };
        drawn.iter().for_each(|segment| self.segment(segment));
    }

    fn segment(&mut self, segment: &Segment) {
        match segment {
            Segment::Line(line) => self.step("L", line.p1),
            Segment::Arc(arc) if arc.distance == 0.0 || arc.circle_radius().is_some() => self.elliptical(arc),
            Segment::Arc(arc) => self.parallel(arc),
        }
    }

    /// Writes an arc in quarters: the centre of a half turn would hang on the last decimal of its ends.
    fn elliptical(&mut self, arc: &Arc) {
        let (rx, ry) = arc.circle_radius().map_or((arc.rx, arc.ry), |radius| (radius, radius));
        let turn = if rx.to_bits() == ry.to_bits() { 0.0 } else { arc.axis.atan2().to_degrees() };
        for part in arc.split_at_axes() {
            self.raw("A");
            self.length(rx);
            self.raw(" ");
            self.length(ry);
            self.raw(" ");
            number::push::<6>(&mut self.out, turn);
            self.raw(if arc.sweep > 0.0 { " 0 1 " } else { " 0 0 " });
            self.point(part.point(part.end()));
        }
    }

    /// Writes the parallel curve of an ellipse, for which SVG has no figure, as Bézier curves.
    fn parallel(&mut self, arc: &Arc) {
        for [first, second, end] in arc.to_cubics(CURVE_FIT_MM) {
            self.step("C", first);
            self.step(" ", second);
            self.step(" ", end);
        }
    }

    fn raw(&mut self, markup: &str) {
        self.out.extend_from_slice(markup.as_bytes());
    }

    fn length(&mut self, millimetres: f64) {
        units::push(&mut self.out, millimetres, &self.machine.unit);
    }

    fn point(&mut self, point: Point) {
        self.length(point.x);
        self.raw(" ");
        self.length(point.y);
    }

    fn step(&mut self, command: &str, to: Point) {
        self.raw(command);
        self.point(to);
    }
}
