//! The normal form between a drawing and the files of machines: strokes in order, each with its tool.

use kurbo::{Point, Rect};

use super::profile::Tool;
use crate::geometry::{Flattening, Segment, circular_segments};

/// What a machine does with one board, from the first stroke to the last.
///
/// The rules that every program keeps, so that a format only has to write what it finds:
///
/// 1. All coordinates are millimetres in the frame of the machine: its zero, its directions of x and y. Nothing is left to
///    be moved, flipped or mirrored.
/// 2. Passes are in the order of work. Each has one tool, and at least one stroke; no tool has two passes.
/// 3. Strokes are in the order in which they are made, and each is travelled from its first segment to its last, which is
///    the direction of the tool. Between two strokes the tool is up.
/// 4. The segments of a stroke meet within 1e-6 mm, and none is shorter than that. A stroke is `closed` if its end is its
///    start.
/// 5. Curves are exact. [`Stroke::as_arcs`] and [`Stroke::as_points`] reduce them to what a machine reads.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Program {
    /// What the file is called inside: job, board and machine.
    pub title: String,
    /// The passes.
    pub passes: Vec<Pass>,
    /// The smallest upright rectangle round board and strokes, in millimetres.
    pub extent: Rect,
    /// The board as it lies on the bed, in millimetres.
    pub board: Rect,
    /// Whether the board lies turned by a quarter, clockwise.
    pub turned: bool,
    /// How far the tool travels while it is up.
    pub travel: Travel,
}

impl Program {
    /// Tells whether all the numbers of its strokes are finite.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        let strokes = self.passes.iter().flat_map(|pass| &pass.strokes);
        self.extent.is_finite() && strokes.flat_map(|stroke| &stroke.segments).all(Segment::is_finite)
    }
}

/// All strokes of one tool.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pass {
    /// The tool.
    pub tool: Tool,
    /// Its strokes in order.
    pub strokes: Vec<Stroke>,
}

/// A line that is drawn or cut without lifting the tool.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Stroke {
    /// Its pieces in the direction of travel.
    pub segments: Vec<Segment>,
    /// Whether it ends where it starts.
    pub closed: bool,
    /// Number of the opening that it belongs to.
    pub opening: Option<usize>,
}

/// How far a tool travels while it is up, from the zero of the machine to the start of the last stroke, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Travel {
    /// How far it travels.
    pub length: f64,
    /// No order of the same strokes travels less than this.
    pub lower_bound: f64,
}

/// A stroke reduced to straight pieces.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Points {
    /// Its points in order; of a closed stroke the first one is not repeated.
    pub points: Vec<Point>,
    /// How far in millimetres it may at most lie from the curves.
    pub error: f64,
}

impl Stroke {
    /// Returns where the tool goes down.
    #[must_use]
    pub fn start(&self) -> Point {
        self.segments.first().map_or(Point::ORIGIN, Segment::start)
    }

    /// Returns where the tool is lifted.
    #[must_use]
    pub fn end(&self) -> Point {
        self.segments.last().map_or(Point::ORIGIN, Segment::end)
    }

    /// Returns the stroke as lines and arcs of circles within `tolerance` millimetres of it.
    ///
    /// Lines and arcs of circles stay what they are; other curves become chains of arcs that touch each other.
    #[must_use]
    pub fn as_arcs(&self, tolerance: f64) -> Vec<Segment> {
        circular_segments(&self.segments, tolerance)
    }

    /// Returns the stroke as points within `tolerance` millimetres of it, joined by straight lines.
    ///
    /// Points of curves that are nearer to the one before than `smallest` millimetres are left out, and the error says how
    /// far the rest may lie from the curves.
    #[must_use]
    pub fn as_points(&self, tolerance: f64, flattening: Flattening, smallest: f64) -> Points {
        let mut thinned = Thinned { points: vec![self.start()], left_out: Vec::new(), off: 0.0, smallest };
        for segment in &self.segments {
            if let Segment::Arc(arc) = segment {
                let mut points = Vec::new();
                arc.append_points(tolerance, flattening, &mut points);
                points.into_iter().skip(1).for_each(|point| thinned.try_to_keep(point));
            }
            thinned.keep(segment.end());
        }
        let Thinned { mut points, off, .. } = thinned;
        if self.closed && points.len() > 1 {
            points.pop();
        }
        let curved = self.segments.iter().any(|segment| matches!(segment, Segment::Arc(_)));
        Points { points, error: if curved { tolerance + off } else { 0.0 } }
    }
}

/// Points of which those too near to the one before are left out.
struct Thinned {
    points: Vec<Point>,
    /// Those left out since the last one kept.
    left_out: Vec<Point>,
    /// How far one that was left out lies from the line that passes it.
    off: f64,
    smallest: f64,
}

impl Thinned {
    fn try_to_keep(&mut self, point: Point) {
        if self.points.last().is_some_and(|last| last.distance(point) < self.smallest) {
            self.left_out.push(point);
        } else {
            self.keep(point);
        }
    }

    fn keep(&mut self, point: Point) {
        if let Some(&last) = self.points.last() {
            let line = Segment::Line(kurbo::Line::new(last, point));
            for left_out in self.left_out.drain(..) {
                let near = if last == point { last } else { line.nearest(left_out) };
                self.off = self.off.max(left_out.distance(near));
            }
        }
        self.points.push(point);
    }
}
