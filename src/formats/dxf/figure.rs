//! Chains of lines and arcs as the figures that DXF has for them.

use kurbo::{Point, Vec2};

use super::entities::Entities;
use crate::geometry::{Arc, Segment, circular_segments};
use crate::tolerance::SAME_DIRECTION_RAD;

/// The best figures that curves may become.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CurveFigures {
    /// Arcs of circles.
    Arcs,
    /// Whole circles, and whole ellipses where the release has them.
    Native,
}

/// How curves are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CurveStyle {
    pub(super) best: CurveFigures,
    /// Whether each piece is an entity of its own, and not part of a polyline.
    pub(super) separate: bool,
    /// Largest distance in millimetres between a curve and the arcs that stand for it.
    pub(super) tolerance: f64,
}

impl CurveStyle {
    /// Writes a chain, y up.
    pub(super) fn write(&self, segments: &[Segment], closed: bool, entities: &mut impl Entities) {
        if let [Segment::Arc(arc)] = segments
            && closed
            && arc.is_full_turn()
        {
            if let Some(radius) = arc.circle_radius().filter(|_| self.best == CurveFigures::Native) {
                return entities.circle(arc.center, radius);
            }
            // Some readers turn an ellipse the wrong way, so one that is turned is made of arcs of circles.
            let is_straight = arc.axis.x.abs().min(arc.axis.y.abs()) <= SAME_DIRECTION_RAD;
            if self.best == CurveFigures::Native && arc.distance == 0.0 && is_straight && whole_ellipse(arc, entities) {
                return;
            }
        }
        if !self.separate {
            return entities.polyline(vertices(segments, closed, self.tolerance).into_iter(), closed);
        }
        // Parts of ellipses are arcs of circles, too: some readers draw every ellipse whole.
        separate(&circular_segments(segments, self.tolerance), entities);
    }
}

/// Writes a chain of straight pieces, each as a line of its own.
pub(super) fn lines(points: impl ExactSizeIterator<Item = Point>, closed: bool, entities: &mut impl Entities) {
    let mut points = points;
    let Some(first) = points.next() else { return };
    let mut from = first;
    for to in points {
        entities.line(from, to);
        from = to;
    }
    if closed {
        entities.line(from, first);
    }
}

fn separate(pieces: &[Segment], entities: &mut impl Entities) {
    for piece in pieces {
        match piece {
            Segment::Line(line) => entities.line(line.p0, line.p1),
            Segment::Arc(arc) => arc.half_turns().for_each(|part| {
                // Arcs of DXF run against the clock, whichever way they were travelled.
                let (from, to) = if part.sweep > 0.0 { (part.start, part.end()) } else { (part.end(), part.start) };
                let angle = |angle: f64| part.normal(angle).atan2();
                let radius = part.circle_radius().unwrap_or(part.rx);
                entities.arc(part.center, radius, [angle(from), angle(to)]);
            }),
        }
    }
}

/// Returns the vertices of a polyline, each with the bulge of the piece after it: the tangent of a quarter of its turn.
fn vertices(segments: &[Segment], closed: bool, tolerance: f64) -> Vec<(Point, f64)> {
    let mut vertices = Vec::new();
    for segment in circular_segments(segments, tolerance) {
        match segment {
            Segment::Line(line) => vertices.push((line.p0, 0.0)),
            Segment::Arc(arc) => {
                // A bulge of one is a half turn; beyond it readers differ.
                vertices.extend(arc.half_turns().map(|part| (part.point(part.start), (0.25 * part.sweep).tan())));
            }
        }
    }
    if let Some(last) = segments.last().filter(|_| !closed) {
        vertices.push((last.end(), 0.0));
    }
    vertices
}

/// Writes a whole ellipse whose axes lie along x and y; tells whether the release has such an entity.
fn whole_ellipse(arc: &Arc, entities: &mut impl Entities) -> bool {
    let across = Vec2::new(-arc.axis.y, arc.axis.x);
    if arc.rx >= arc.ry {
        entities.ellipse(arc.center, arc.axis * arc.rx, arc.ry / arc.rx)
    } else {
        entities.ellipse(arc.center, across * arc.ry, arc.rx / arc.ry)
    }
}
