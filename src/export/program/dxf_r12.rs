//! DXF of release 12, with polylines, or with nothing but separate lines for the oldest readers.
//!
//! The release has no variable for the unit, so comments name it. Where the profile allows arcs, polylines have bulges; where
//! it allows native curves, whole circles are circles.

use kurbo::{Point, Rect};

use super::about::{self, Flattener};
use super::dxf_pairs::Pairs;
use super::{ExportError, Exported, ProgramFormat};
use crate::geometry::Segment;
use crate::machine::{Curves, Machine, Program, Stroke, Tool};
use crate::problem::{KeyPath, Problem};

/// Writes DXF of release 12.
pub(super) struct DxfR12 {
    lines_only: bool,
}

/// With polylines.
pub(super) const POLYLINES: DxfR12 = DxfR12 { lines_only: false };
/// With separate lines only.
pub(super) const LINES: DxfR12 = DxfR12 { lines_only: true };

impl ProgramFormat for DxfR12 {
    fn name(&self) -> &'static str {
        if self.lines_only { "dxf-r12-lines" } else { "dxf-r12" }
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn summary(&self) -> &'static str {
        if self.lines_only {
            "DXF release 12 with separate lines only, for the oldest readers"
        } else {
            "DXF release 12 with polylines"
        }
    }

    fn check(&self, machine: &Machine) -> Vec<Problem> {
        if self.lines_only && machine.curves != Curves::Lines {
            let help = "set curves = \"lines\" or the format dxf-r12";
            let place = KeyPath::root().key("curves");
            return vec![Problem::error("format", place, "the format dxf-r12-lines has no arcs", help)];
        }
        Vec::new()
    }

    fn write(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        let mut pairs = Pairs::new(&machine.unit);
        let mut flattener = Flattener::new(machine);
        pairs.comments(&about::lines(program, machine));
        header(&mut pairs, program.extent);
        tables(&mut pairs, program);
        pairs.start_section("ENTITIES");
        for pass in &program.passes {
            for stroke in &pass.strokes {
                if self.lines_only {
                    lines(&mut pairs, &flattener.points(stroke), stroke.closed, &pass.tool.layer);
                } else {
                    figure(&mut pairs, stroke, &pass.tool.layer, machine, &mut flattener);
                }
            }
        }
        pairs.end_section();
        pairs.text("0", "EOF");
        Ok(Exported { bytes: pairs.out, notes: flattener.notes() })
    }
}

fn header(pairs: &mut Pairs<'_>, extent: Rect) {
    pairs.start_section("HEADER");
    pairs.variable("$ACADVER");
    pairs.text("1", "AC1009");
    for (name, corner) in [("$EXTMIN", extent.origin()), ("$EXTMAX", Point::new(extent.x1, extent.y1))] {
        pairs.variable(name);
        pairs.location(corner);
    }
    pairs.end_section();
}

/// Lists the tools with each name of a layer once.
pub(super) fn layers(program: &Program) -> Vec<&Tool> {
    let mut layers: Vec<&Tool> = Vec::new();
    for pass in &program.passes {
        if !layers.iter().any(|tool| tool.layer == pass.tool.layer) {
            layers.push(&pass.tool);
        }
    }
    layers
}

fn tables(pairs: &mut Pairs<'_>, program: &Program) {
    let start = |pairs: &mut Pairs<'_>, name: &str, entries: usize| {
        pairs.text("0", "TABLE");
        pairs.text("2", name);
        pairs.integer("70", entries);
    };
    pairs.start_section("TABLES");
    start(pairs, "LTYPE", 1);
    for (code, value) in
        [("0", "LTYPE"), ("2", "CONTINUOUS"), ("70", "0"), ("3", "Solid line"), ("72", "65"), ("73", "0"), ("40", "0")]
    {
        pairs.text(code, value);
    }
    pairs.text("0", "ENDTAB");
    let layers = layers(program);
    start(pairs, "LAYER", layers.len());
    for tool in layers {
        pairs.text("0", "LAYER");
        pairs.text("2", &tool.layer);
        pairs.text("70", "0");
        pairs.integer("62", tool.dxf_color);
        pairs.text("6", "CONTINUOUS");
    }
    pairs.text("0", "ENDTAB");
    pairs.end_section();
}

/// Writes each straight piece as a line of its own.
fn lines(pairs: &mut Pairs<'_>, points: &[Point], closed: bool, layer: &str) {
    let back = points.first().filter(|_| closed);
    let following = points.iter().skip(1).chain(back);
    for (from, to) in points.iter().zip(following) {
        pairs.text("0", "LINE");
        pairs.text("8", layer);
        pairs.location(*from);
        pairs.point(["11", "21"], *to);
        pairs.text("31", "0");
    }
}

fn figure(pairs: &mut Pairs<'_>, stroke: &Stroke, layer: &str, machine: &Machine, flattener: &mut Flattener<'_>) {
    if machine.curves == Curves::Native
        && let Some((center, radius)) = whole_circle(stroke)
    {
        pairs.text("0", "CIRCLE");
        pairs.text("8", layer);
        pairs.location(center);
        pairs.length("40", radius);
        return;
    }
    let vertices = vertices(stroke, machine, flattener);
    pairs.text("0", "POLYLINE");
    pairs.text("8", layer);
    // Says that vertices follow: without it programs of the time show nothing.
    pairs.text("66", "1");
    pairs.location(Point::ORIGIN);
    pairs.text("70", if stroke.closed { "1" } else { "0" });
    for (point, bulge) in vertices {
        pairs.text("0", "VERTEX");
        pairs.text("8", layer);
        pairs.location(point);
        if bulge != 0.0 {
            pairs.number("42", bulge);
        }
    }
    pairs.text("0", "SEQEND");
    pairs.text("8", layer);
}

/// Returns centre and radius of a stroke that is a whole circle.
pub(super) fn whole_circle(stroke: &Stroke) -> Option<(Point, f64)> {
    match stroke.segments.as_slice() {
        [Segment::Arc(arc)] if stroke.closed && arc.is_full_turn() => Some((arc.center, arc.circle_radius()?)),
        _ => None,
    }
}

/// Returns the vertices of a polyline, each with the bulge of the piece after it: the tangent of a quarter of its turn.
pub(super) fn vertices(stroke: &Stroke, machine: &Machine, flattener: &mut Flattener<'_>) -> Vec<(Point, f64)> {
    if machine.curves == Curves::Lines {
        return flattener.points(stroke).into_iter().map(|point| (point, 0.0)).collect();
    }
    let mut vertices = Vec::new();
    for segment in stroke.as_arcs(machine.tolerance) {
        match segment {
            Segment::Line(line) => vertices.push((line.p0, 0.0)),
            Segment::Arc(arc) => {
                // A bulge of one is a half turn; beyond it readers differ.
                vertices.extend(half_turns(&arc).map(|part| (part.point(part.start), (0.25 * part.sweep).tan())));
            }
        }
    }
    if !stroke.closed {
        vertices.push((stroke.end(), 0.0));
    }
    vertices
}

/// Splits an arc into equal parts of half a turn at most.
pub(super) fn half_turns(arc: &crate::geometry::Arc) -> impl Iterator<Item = crate::geometry::Arc> + use<> {
    let arc = *arc;
    let parts = ((arc.sweep.abs() / std::f64::consts::PI) - 1e-9).ceil().max(1.0) as usize;
    let at =
        move |part: usize| if part == parts { arc.end() } else { arc.start + arc.sweep * part as f64 / parts as f64 };
    (0..parts).map(move |part| arc.between(at(part), at(part + 1)))
}
