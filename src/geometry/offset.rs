//! Outlines moved sideways: straight sides stay straight and meet in mitres, arcs become their parallel arcs.

use std::fmt;

use kurbo::{Line, Point, Vec2};

use super::{Arc, Outline, Segment, clearance};
use crate::tolerance::{SAME_DIRECTION_RAD, SMALLEST_RADIUS_MM};

/// Why an outline cannot be moved sideways by a distance. All lengths are millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OffsetError {
    /// An arc would need a radius of curvature below zero.
    ArcVanishes {
        /// Index of the arc among the pieces of the outline.
        piece: usize,
        /// Where the arc is bent most.
        at: Point,
        /// Its smallest radius of curvature: the distance must stay below it.
        radius: f64,
    },
    /// A side would shrink to nothing because its neighbours close in on it.
    SideVanishes {
        /// Index of the side among the pieces of the outline.
        piece: usize,
        /// The middle of the side.
        at: Point,
        /// Length of the side.
        length: f64,
    },
    /// Two pieces that meet in a corner no longer meet.
    CornerOpens {
        /// The corner.
        at: Point,
    },
    /// The moved outline crosses itself.
    Crosses {
        /// A place where it does.
        at: Point,
    },
}

impl OffsetError {
    /// Returns the place in the unmoved outline (for a crossing: in the moved one), in millimetres.
    #[must_use]
    pub fn place(&self) -> Point {
        match *self {
            Self::ArcVanishes { at, .. }
            | Self::SideVanishes { at, .. }
            | Self::CornerOpens { at }
            | Self::Crosses { at } => at,
        }
    }
}

impl fmt::Display for OffsetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Point { x, y } = self.place();
        match self {
            Self::ArcVanishes { radius, .. } => {
                write!(f, "the curve at ({x:.3}, {y:.3}) mm has a radius of only {radius:.3} mm")
            }
            Self::SideVanishes { length, .. } => {
                write!(f, "the side at ({x:.3}, {y:.3}) mm is only {length:.3} mm long and would vanish")
            }
            Self::CornerOpens { .. } => write!(f, "the sides that meet at ({x:.3}, {y:.3}) mm would no longer meet"),
            Self::Crosses { .. } => write!(f, "the moved outline would cross itself at ({x:.3}, {y:.3}) mm"),
        }
    }
}

impl std::error::Error for OffsetError {}

impl Outline {
    /// Returns the parallel outline at `distance` millimetres outside, or inside if the distance is below zero.
    ///
    /// At a corner of interior angle α each straight side grows by `distance / tan(α/2)`, which is a mitre of any
    /// length. Arcs stay exact.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] with the place if a curve is bent too tightly, a side would vanish or the moved
    /// outline would cross itself; such an outline has no bevel of that width.
    pub fn offset(&self, distance: f64) -> Result<Self, OffsetError> {
        if distance == 0.0 {
            return Ok(self.clone());
        }
        let mut moved = Vec::with_capacity(self.segments().len());
        for (piece, segment) in self.segments().iter().enumerate() {
            moved.push(moved_piece(segment, distance, piece)?);
        }
        self.mitre_corners(&mut moved, distance)?;
        for (piece, (before, after)) in self.segments().iter().zip(&moved).enumerate() {
            if !keeps_direction(before, after) {
                let at = before.start().midpoint(before.end());
                return Err(OffsetError::SideVanishes { piece, at, length: before.length() });
            }
        }
        let moved = Self::from_positive(moved);
        if !self.is_convex()
            && let Some(at) = moved.crossing()
        {
            return Err(OffsetError::Crosses { at });
        }
        Ok(moved)
    }

    /// Tells whether the outline has no inward corner and no inward arc.
    #[must_use]
    pub fn is_convex(&self) -> bool {
        self.corners().all(|(before, after)| {
            let bends_out = match after {
                Segment::Arc(arc) => arc.sweep > 0.0,
                Segment::Line(_) => true,
            };
            bends_out && before.end_direction().cross(after.start_direction()) >= -SAME_DIRECTION_RAD
        })
    }

    /// Returns a place where the outline crosses or touches itself, if there is one.
    #[must_use]
    pub fn crossing(&self) -> Option<Point> {
        if self.as_closed_arc().is_some() {
            return None;
        }
        clearance::self_crossing(&self.flatten(crate::tolerance::FLATTEN_MM))
    }

    /// Lets the neighbours at each corner meet again.
    fn mitre_corners(&self, moved: &mut [Segment], distance: f64) -> Result<(), OffsetError> {
        let count = moved.len();
        for (index, (before, after)) in self.corners().enumerate() {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            let turn = incoming.cross(outgoing);
            let smooth = turn.abs() <= SAME_DIRECTION_RAD && incoming.dot(outgoing) > 0.0;
            if smooth {
                continue;
            }
            let corner = after.start();
            let previous = (index + count - 1) % count;
            let [Some(&before), Some(&after)] = [moved.get(previous), moved.get(index)] else {
                continue;
            };
            let guess = corner + mitre(incoming, outgoing) * distance;
            let meeting = meet(&before, &after, guess).ok_or(OffsetError::CornerOpens { at: corner })?;
            if let Some(piece) = moved.get_mut(previous) {
                *piece = with_end(&before, meeting);
            }
            // Read again: where an outline has one piece, the piece before is the piece itself.
            if let Some(piece) = moved.get_mut(index) {
                *piece = with_start(piece, meeting);
            }
        }
        Ok(())
    }
}

/// Returns how far and where to a corner moves when both its sides move outwards by one.
pub(crate) fn mitre(incoming: Vec2, outgoing: Vec2) -> Vec2 {
    let (a, b) = (outward(incoming), outward(outgoing));
    (a + b) / (1.0 + a.dot(b))
}

/// Returns the normal on the outside of a direction of travel.
fn outward(direction: Vec2) -> Vec2 {
    Vec2::new(direction.y, -direction.x)
}

fn moved_piece(segment: &Segment, distance: f64, piece: usize) -> Result<Segment, OffsetError> {
    match segment {
        Segment::Line(_) => Ok(segment.translated(outward(segment.start_direction()) * distance)),
        Segment::Arc(arc) => {
            let moved = arc.grown(distance * arc.sweep.signum());
            if moved.smallest_radius() < SMALLEST_RADIUS_MM {
                let at = arc.point(tightest_angle(arc));
                return Err(OffsetError::ArcVanishes { piece, at, radius: arc.smallest_radius() });
            }
            Ok(Segment::Arc(moved))
        }
    }
}

fn tightest_angle(arc: &Arc) -> f64 {
    arc.split_at_axes()
        .flat_map(|part| [part.start, part.end()])
        .min_by(|a, b| arc.radius_at(*a).total_cmp(&arc.radius_at(*b)))
        .unwrap_or(arc.start)
}

/// Returns where the curves that carry two pieces meet, by Newton's method from a point near by.
fn meet(before: &Segment, after: &Segment, guess: Point) -> Option<Point> {
    let mut point = guess;
    for _ in 0..50 {
        let (miss_a, normal_a) = signed_distance(before, point);
        let (miss_b, normal_b) = signed_distance(after, point);
        let determinant = normal_a.cross(normal_b);
        if !point.is_finite() || determinant.abs() < SAME_DIRECTION_RAD {
            return None;
        }
        let step = Vec2::new(miss_a * normal_b.y - miss_b * normal_a.y, miss_b * normal_a.x - miss_a * normal_b.x)
            / determinant;
        point -= step;
        if step.hypot() < 1e-12 * (1.0 + point.to_vec2().hypot()) {
            return Some(point);
        }
    }
    None
}

/// Returns the distance of a point from the whole curve that carries a piece, and the unit normal along which it grows.
fn signed_distance(segment: &Segment, point: Point) -> (f64, Vec2) {
    match segment {
        Segment::Line(line) => {
            let normal = outward(segment.start_direction());
            ((point - line.p0).dot(normal), normal)
        }
        Segment::Arc(arc) => {
            let angle = arc.nearest_on_carrier(point);
            let normal = arc.normal(angle);
            ((point - arc.point(angle)).dot(normal), normal)
        }
    }
}

fn with_end(segment: &Segment, end: Point) -> Segment {
    match segment {
        Segment::Line(line) => Segment::Line(Line::new(line.p0, end)),
        Segment::Arc(arc) => Segment::Arc(arc.between(arc.start, arc.angle_near(end, arc.end()))),
    }
}

fn with_start(segment: &Segment, start: Point) -> Segment {
    match segment {
        Segment::Line(line) => Segment::Line(Line::new(start, line.p1)),
        Segment::Arc(arc) => Segment::Arc(arc.between(arc.angle_near(start, arc.start), arc.end())),
    }
}

fn keeps_direction(before: &Segment, after: &Segment) -> bool {
    match (before, after) {
        (Segment::Line(before), Segment::Line(after)) => (before.p1 - before.p0).dot(after.p1 - after.p0) > 0.0,
        (Segment::Arc(before), Segment::Arc(after)) => {
            before.sweep * after.sweep > 0.0 && after.sweep.abs() < std::f64::consts::TAU + 1e-9
        }
        _ => false,
    }
}
