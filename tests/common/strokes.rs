//! Polylines as an independent reader finds them in a file, and their comparison with the drawing that was written.
#![allow(dead_code, reason = "each test program uses a part of it")]

use backline::drawing::{Drawing, Mark, Polyline, Role};
use backline::geometry::{Flattening, Outline};
use kurbo::{Point, Size};

/// Places on each chord where its distance from the curve is measured.
const SAMPLES: usize = 8;

/// A polyline in a file, in millimetres from the top left corner of the sheet, y down.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stroke {
    /// Name of the role; `pen 2` and so on where a format has only pens.
    pub(crate) role: String,
    /// Number of the opening, where the format says it.
    pub(crate) opening: Option<usize>,
    pub(crate) closed: bool,
    /// A closed stroke does not repeat its first point.
    pub(crate) points: Vec<Point>,
}

/// Turns a coordinate of a format whose y axis runs up from the bottom edge into one on the sheet.
pub(crate) fn from_bottom_left(point: Point, sheet: Size) -> Point {
    Point::new(point.x, sheet.height - point.y)
}

/// Returns the polylines that a file should hold, each with its role.
pub(crate) fn expected(drawing: &Drawing, tolerance: f64) -> Vec<(Role, Polyline)> {
    let layers = drawing.to_polylines(tolerance, Flattening::Inside).layers;
    layers.into_iter().flat_map(|layer| layer.polylines.into_iter().map(move |line| (layer.role, line))).collect()
}

/// Checks roles, closing and every point of the strokes, which may be off by `bound` millimetres.
pub(crate) fn assert_same_strokes(strokes: &[Stroke], expected: &[(Role, Polyline)], bound: f64) {
    assert_eq!(strokes.len(), expected.len());
    for (stroke, (role, line)) in strokes.iter().zip(expected) {
        assert_eq!(stroke.role, role.name());
        assert_eq!(stroke.closed, line.closed);
        assert_eq!(stroke.points.len(), line.points.len());
        for (read, drawn) in stroke.points.iter().zip(&line.points) {
            assert!(read.distance(*drawn) <= bound, "{drawn} was drawn, {read} was read");
        }
    }
}

/// Returns the outlines of a drawing, in order.
pub(crate) fn outlines(drawing: &Drawing) -> Vec<(Role, &Outline)> {
    let marks = drawing.layers.iter().flat_map(|layer| layer.marks.iter().map(move |mark| (layer.role, mark)));
    let outlines = marks.filter_map(|(role, mark)| match mark {
        Mark::Outline { outline, .. } => Some((role, outline)),
        _ => None,
    });
    outlines.collect()
}

/// Checks that a closed stroke and an outline are nowhere farther apart than `bound` at the points of the stroke and
/// `bound + tolerance` between them, either way, in millimetres.
pub(crate) fn assert_follows(stroke: &Stroke, outline: &Outline, bound: f64, tolerance: f64) {
    assert!(stroke.closed);
    for &point in &stroke.points {
        let distance = point.distance(outline.nearest(point));
        assert!(distance <= bound, "the point {point} is {distance} mm off the outline");
    }
    let chords: Vec<(Point, Point)> = chords(stroke).collect();
    for (from, to) in &chords {
        for sample in 1..SAMPLES {
            let point = from.lerp(*to, sample as f64 / SAMPLES as f64);
            let distance = point.distance(outline.nearest(point));
            assert!(distance <= bound + tolerance, "the chord is {distance} mm off the outline at {point}");
        }
    }
    for point in outline.flatten(tolerance / 10.0) {
        let distance = chords.iter().map(|&(from, to)| distance(point, from, to)).fold(f64::INFINITY, f64::min);
        assert!(distance <= bound + tolerance, "the outline is {distance} mm off the stroke at {point}");
    }
}

fn chords(stroke: &Stroke) -> impl Iterator<Item = (Point, Point)> + '_ {
    stroke.points.iter().copied().zip(stroke.points.iter().copied().cycle().skip(1))
}

/// Returns the distance of a point from a straight piece.
fn distance(point: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let share = if along.hypot2() > 0.0 { (point - from).dot(along) / along.hypot2() } else { 0.0 };
    point.distance(from + along * share.clamp(0.0, 1.0))
}
