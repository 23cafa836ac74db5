//! A line that a tool makes without being lifted, exactly and reduced to what a controller reads.

use kurbo::Point;

use crate::geometry::{Flattening, Segment, circular_segments};

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
    /// How deep the tool goes below the surface, in millimetres; `None` if the profile does not say.
    pub depth: Option<f64>,
    /// How far the blade leans from upright, in degrees.
    pub angle_deg: f64,
}

/// A stroke reduced to straight pieces.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FlattenedStroke {
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
    pub fn as_points(&self, tolerance: f64, flattening: Flattening, smallest: f64) -> FlattenedStroke {
        let mut thinned = ThinnedPoints { points: vec![self.start()], left_out: Vec::new(), off: 0.0, smallest };
        for segment in &self.segments {
            if let Segment::Arc(arc) = segment {
                let mut points = Vec::new();
                arc.append_points(tolerance, flattening, &mut points);
                points.into_iter().skip(1).for_each(|point| thinned.try_to_keep(point));
            }
            thinned.keep(segment.end());
        }
        let ThinnedPoints { mut points, off, .. } = thinned;
        if self.closed && points.len() > 1 {
            points.pop();
        }
        let curved = self.segments.iter().any(|segment| matches!(segment, Segment::Arc(_)));
        FlattenedStroke { points, error: if curved { tolerance + off } else { 0.0 } }
    }
}

/// Points of which those too near to the one before are left out.
struct ThinnedPoints {
    points: Vec<Point>,
    /// Those left out since the last one kept.
    left_out: Vec<Point>,
    /// How far one that was left out lies from the line that passes it.
    off: f64,
    smallest: f64,
}

impl ThinnedPoints {
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
