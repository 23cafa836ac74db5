//! Outlines moved sideways: straight sides stay straight and meet in mitres, arcs become their parallel arcs.

use kurbo::{Line, Point, Vec2};
use std::f64::consts::TAU;

use super::offset_error::OffsetError;
use super::{Arc, Outline, Segment, clearance};
use crate::tolerance::{
    MEETING_SHARE, ROUNDING_OF_PLACE, SAME_DIRECTION_RAD, SAME_LENGTH_MM, SLIGHT_BEND_RAD, SMALLEST_RADIUS_MM,
    WHOLE_TURN_RAD,
};

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
        if !distance.is_finite() {
            return Err(self.not_finite());
        }
        crate::limits::spend(self.segments().len() as u64);
        let mut moved = Vec::with_capacity(self.segments().len());
        for (piece, segment) in self.segments().iter().enumerate() {
            moved.push(moved_piece(segment, distance, piece)?);
        }
        self.mitre_corners(&mut moved, distance)?;
        for (piece, (before, after)) in self.segments().iter().zip(&moved).enumerate() {
            // A mitre may have made an arc longer, to where it is bent more.
            if let (Segment::Arc(arc), Segment::Arc(longer)) = (before, after)
                && longer.smallest_radius() < SMALLEST_RADIUS_MM
            {
                return Err(arc_vanishes(arc, piece));
            }
            if !keeps_direction(before, after) {
                let at = before.start().midpoint(before.end());
                return Err(OffsetError::SideVanishes { piece, at, length: before.length() });
            }
        }
        if !moved.iter().all(Segment::is_finite) {
            return Err(self.not_finite());
        }
        let moved = Self::from_positive(moved);
        if !self.is_convex()
            && let Some(at) = moved.crossing()
        {
            return Err(OffsetError::Crosses { at });
        }
        Ok(moved)
    }

    /// Tells whether the outline has no inward corner and no inward arc, and goes round once.
    #[must_use]
    pub fn is_convex(&self) -> bool {
        let mut turned = 0.0;
        for (before, after) in self.corners() {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            let turn = incoming.cross(outgoing).atan2(incoming.dot(outgoing));
            let sweep = match after {
                Segment::Arc(arc) => arc.sweep,
                Segment::Line(_) => 0.0,
            };
            if turn < -SAME_DIRECTION_RAD || sweep < 0.0 {
                return false;
            }
            turned += turn + sweep;
        }
        // Two arcs that overlap by a hair at an inward tip seem to turn back outwards there, which is a round more.
        turned < 1.5 * TAU
    }

    /// Returns a place where the outline crosses or touches itself, if there is one.
    #[must_use]
    pub fn crossing(&self) -> Option<Point> {
        if self.as_closed_arc().is_some() {
            return None;
        }
        clearance::self_crossing(&self.flatten(crate::tolerance::FLATTEN_MM))
    }

    fn not_finite(&self) -> OffsetError {
        OffsetError::NotFinite { at: self.segments().first().map_or(Point::ORIGIN, Segment::start) }
    }

    /// Lets the neighbours at each corner meet again.
    fn mitre_corners(&self, moved: &mut [Segment], distance: f64) -> Result<(), OffsetError> {
        let count = moved.len();
        for (index, (before, after)) in self.corners().enumerate() {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            let turn = incoming.cross(outgoing);
            // Directions so nearly the same leave no gap when they move; where they would meet is not worth asking.
            let smooth = turn.abs() <= SAME_DIRECTION_RAD.max(NO_GAP_MM / distance.abs());
            if smooth && incoming.dot(outgoing) > 0.0 {
                continue;
            }
            let corner = after.start();
            let previous = (index + count - 1) % count;
            let meeting = corner_moved(before, after, distance).ok_or(OffsetError::CornerOpens { at: corner })?;
            if let Some(piece) = moved.get_mut(previous) {
                *piece = with_end(piece, meeting);
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

/// Returns where the corner between two pieces lies after the move; `None` if they no longer meet there.
///
/// Curves may meet in two places. The corner that moved here is the one at which the outline still bends to the same
/// side: the two places become one, and the bend nothing, just where the pieces part.
pub(super) fn corner_moved(before: &Segment, after: &Segment, distance: f64) -> Option<Point> {
    let corner = after.start();
    let (incoming, outgoing) = (before.end_direction(), after.start_direction());
    let bend = incoming.cross(outgoing);
    let slight = bend.abs() < SLIGHT_BEND_RAD && incoming.dot(outgoing) > 0.0;
    let met = |step: f64, guess: Point| {
        let (before, after) = (moved_piece(before, step, 0).ok()?, moved_piece(after, step, 0).ok()?);
        let meeting = meet(&before, &after, guess)?;
        let (incoming, outgoing) = (direction_at(&before, meeting), direction_at(&after, meeting));
        let bends = incoming.cross(outgoing) * bend.signum() > 0.0;
        let there = bends && !turns_back((&before, &after), (incoming, outgoing), meeting);
        (there || slight).then_some(meeting)
    };
    // The guess supposes straight sides; where curves turn much within the distance it may lead astray, and the corner
    // is followed on its way instead.
    let follow = || {
        (1..=FOLLOWING_STEPS)
            .try_fold(corner, |at, step| met(distance * f64::from(step) / f64::from(FOLLOWING_STEPS), at))
    };
    let at_once = met(distance, corner + mitre(incoming, outgoing) * distance);
    let meeting = if is_line(before) && is_line(after) { at_once } else { at_once.or_else(follow) };
    meeting.filter(|meeting| meeting.distance(corner) < LONGEST_MITRE * distance.abs())
}

/// Tells whether two pieces touch at a corner and the outline turns straight back, so that there is no corner to cut.
///
/// Curves that meet at a small angle β meet again `2β / κ` farther on, κ being the difference of their curvatures. Between
/// the two places they part by `β² / 2κ`, and where that is no more than rounding the places are one.
fn turns_back((before, after): (&Segment, &Segment), (incoming, outgoing): (Vec2, Vec2), at: Point) -> bool {
    if incoming.dot(outgoing) >= 0.0 {
        return false;
    }
    // Travelled against each other, the same curve bends to the left and to the right: the difference is a sum.
    let curvature = (curvature_at(before, at) + curvature_at(after, at)).abs();
    incoming.cross(outgoing).powi(2) < 2.0 * curvature * TOUCHING * rounding(at)
}

/// Curves whose two meeting places part by fewer roundings than this touch: each is found to one rounding of each curve.
const TOUCHING: f64 = 10.0;

/// Corners that would move by more than this many times the distance are too sharp to cut.
///
/// A corner moves by `2 / (α + β)` times the distance, α and β being its small angles in radians before and after.
/// Between straight sides both are the same, and the sharpest has 1e-4.
pub(super) const LONGEST_MITRE: f64 = 2e4;

/// Moved pieces whose ends part by less than this in millimetres still meet, a tenth of the length that counts as none.
const NO_GAP_MM: f64 = 0.1 * SAME_LENGTH_MM;

/// Steps in which a corner between curves is followed.
const FOLLOWING_STEPS: u32 = 64;

fn is_line(segment: &Segment) -> bool {
    matches!(segment, Segment::Line(_))
}

/// Returns the direction of travel of the whole curve that carries a piece, where it passes a point.
fn direction_at(segment: &Segment, point: Point) -> Vec2 {
    match segment {
        Segment::Line(_) => segment.start_direction(),
        Segment::Arc(arc) => arc.tangent(arc.nearest_on_carrier(point)),
    }
}

/// Returns the curvature in 1/mm of the whole curve that carries a piece where it passes a point, above zero to the left.
fn curvature_at(segment: &Segment, point: Point) -> f64 {
    match segment {
        Segment::Line(_) => 0.0,
        Segment::Arc(arc) => arc.sweep.signum() / arc.radius_at(arc.nearest_on_carrier(point)),
    }
}

fn moved_piece(segment: &Segment, distance: f64, piece: usize) -> Result<Segment, OffsetError> {
    match segment {
        Segment::Line(_) => Ok(segment.translated(outward(segment.start_direction()) * distance)),
        Segment::Arc(arc) => {
            let moved = arc.grown(distance * arc.sweep.signum());
            if moved.smallest_radius() < SMALLEST_RADIUS_MM {
                return Err(arc_vanishes(arc, piece));
            }
            Ok(Segment::Arc(moved))
        }
    }
}

fn arc_vanishes(arc: &Arc, piece: usize) -> OffsetError {
    OffsetError::ArcVanishes { piece, at: arc.point(tightest_angle(arc)), radius: arc.smallest_radius() }
}

fn tightest_angle(arc: &Arc) -> f64 {
    arc.split_at_axes()
        .flat_map(|part| [part.start, part.end()])
        .min_by(|a, b| arc.radius_at(*a).total_cmp(&arc.radius_at(*b)))
        .unwrap_or(arc.start)
}

/// Returns the length in millimetres that the rounding of `f64` leaves open in a place.
fn rounding(point: Point) -> f64 {
    ROUNDING_OF_PLACE * (1.0 + point.to_vec2().hypot())
}

/// Returns where the curves that carry two pieces meet, by Newton's method from a point near by.
pub(super) fn meet(before: &Segment, after: &Segment, guess: Point) -> Option<Point> {
    let mut point = guess;
    for _ in 0..50 {
        let (miss_a, normal_a) = signed_distance(before, point);
        let (miss_b, normal_b) = signed_distance(after, point);
        // Pieces that meet at a small angle leave the place along them uncertain, but not that it lies on both.
        if !point.is_finite() {
            return None;
        }
        let on_both = miss_a.abs().max(miss_b.abs()) < rounding(point);
        if on_both {
            return Some(point);
        }
        let determinant = normal_a.cross(normal_b);
        if determinant.abs() < SAME_DIRECTION_RAD {
            return None;
        }
        let step = Vec2::new(miss_a * normal_b.y - miss_b * normal_a.y, miss_b * normal_a.x - miss_a * normal_b.x)
            / determinant;
        point -= step;
        if step.hypot() < MEETING_SHARE * (1.0 + point.to_vec2().hypot()) {
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

pub(super) fn with_end(segment: &Segment, end: Point) -> Segment {
    match segment {
        Segment::Line(line) => Segment::Line(Line::new(line.p0, end)),
        Segment::Arc(arc) => Segment::Arc(arc.between(arc.start, arc.angle_near(end, arc.end()))),
    }
}

pub(super) fn with_start(segment: &Segment, start: Point) -> Segment {
    match segment {
        Segment::Line(line) => Segment::Line(Line::new(start, line.p1)),
        Segment::Arc(arc) => Segment::Arc(arc.between(arc.angle_near(start, arc.start), arc.end())),
    }
}

fn keeps_direction(before: &Segment, after: &Segment) -> bool {
    match (before, after) {
        (Segment::Line(before), Segment::Line(after)) => {
            let along = (before.p1 - before.p0).normalize();
            along.dot(after.p1 - after.p0) > SAME_LENGTH_MM
        }
        (Segment::Arc(before), Segment::Arc(after)) => {
            let longest = after.radius_at(after.start).max(after.radius_at(after.end()));
            let kept = after.sweep * before.sweep.signum();
            kept * longest > SAME_LENGTH_MM && kept < TAU + WHOLE_TURN_RAD
        }
        _ => false,
    }
}
