//! A closed outline of lines and arcs, with its exact measures.

use std::f64::consts::{FRAC_PI_2, TAU};

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::{Arc, Segment};
use crate::limits::spend;
use crate::tolerance::AXIS_ROUNDING;

/// A closed outline of straight lines and arcs that encloses a positive area (see the module's frame of reference).
///
/// All coordinates are millimetres. Consecutive pieces meet; the last one ends where the first one starts.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    segments: Vec<Segment>,
}

impl Outline {
    /// Closes a chain of pieces into an outline, turning it round if it encloses a negative area.
    ///
    /// Returns `None` if there is no piece, a number is not finite, or the area is zero.
    #[must_use]
    pub fn new(segments: Vec<Segment>) -> Option<Self> {
        let outline = Self { segments };
        let area = outline.area();
        // The area of a whole turn does not know where its centre lies.
        if !area.is_finite() || area == 0.0 || !outline.segments.iter().all(Segment::is_finite) {
            return None;
        }
        Some(if area < 0.0 { outline.turned_round() } else { outline })
    }

    /// Wraps pieces that are known to enclose a positive area.
    pub(super) fn from_positive(segments: Vec<Segment>) -> Self {
        Self { segments }
    }

    fn turned_round(&self) -> Self {
        Self { segments: self.segments.iter().rev().map(Segment::reversed).collect() }
    }

    /// Makes a rectangle; `None` unless its width and height are above zero and finite.
    #[must_use]
    pub fn rectangle(rect: Rect) -> Option<Self> {
        Self::polygon(&[
            Point::new(rect.x0, rect.y0),
            Point::new(rect.x1, rect.y0),
            Point::new(rect.x1, rect.y1),
            Point::new(rect.x0, rect.y1),
        ])
    }

    /// Makes a rectangle whose corners are rounded with a radius in millimetres.
    ///
    /// Returns `None` if the rectangle is empty or the radius is above half its shorter side.
    #[must_use]
    pub fn rounded_rectangle(rect: Rect, radius: f64) -> Option<Self> {
        if radius == 0.0 {
            return Self::rectangle(rect);
        }
        let half = 0.5 * rect.width().min(rect.height());
        if !(radius > 0.0 && radius <= half) {
            return None;
        }
        let inner = rect.inset(-radius);
        let corners = [(inner.x1, inner.y0), (inner.x1, inner.y1), (inner.x0, inner.y1), (inner.x0, inner.y0)];
        let mut segments = Vec::with_capacity(8);
        let mut from = Point::new(inner.x0, rect.y0);
        for (quarter, (x, y)) in corners.into_iter().enumerate() {
            let arc = Arc::circular(Point::new(x, y), radius, (quarter as f64 - 1.0) * FRAC_PI_2, FRAC_PI_2);
            let to = arc.point(arc.start);
            if from.distance(to) > crate::tolerance::SAME_LENGTH_MM {
                segments.push(Segment::Line(Line::new(from, to)));
            }
            segments.push(Segment::Arc(arc));
            from = arc.point(arc.end());
        }
        Self::new(segments)
    }

    /// Makes an ellipse from its centre, its semi-axes in millimetres and the turn of the first axis in radians.
    ///
    /// Returns `None` unless both semi-axes are above zero and finite.
    #[must_use]
    pub fn ellipse(center: Point, rx: f64, ry: f64, turn: f64) -> Option<Self> {
        if !(rx > 0.0 && ry > 0.0) {
            return None;
        }
        Self::new(vec![Segment::Arc(Arc::elliptical(center, rx, ry, turn, 0.0, TAU))])
    }

    /// Makes a polygon from its corners in order; repeated corners are dropped.
    ///
    /// Returns `None` if fewer than three corners are left, a number is not finite or the area is zero.
    #[must_use]
    pub fn polygon(corners: &[Point]) -> Option<Self> {
        let mut distinct: Vec<Point> = Vec::with_capacity(corners.len());
        for &corner in corners {
            if distinct.last() != Some(&corner) {
                distinct.push(corner);
            }
        }
        if distinct.len() > 1 && distinct.first() == distinct.last() {
            distinct.pop();
        }
        if distinct.len() < 3 {
            return None;
        }
        let following = distinct.iter().cycle().skip(1);
        Self::new(distinct.iter().zip(following).map(|(&a, &b)| Segment::Line(Line::new(a, b))).collect())
    }

    /// Returns the pieces in order.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Pairs each piece with the one before it, the first with the last.
    pub(crate) fn corners(&self) -> impl Iterator<Item = (&Segment, &Segment)> {
        let before = self.segments.iter().cycle().skip(self.segments.len().saturating_sub(1));
        before.zip(&self.segments)
    }

    /// Returns the corners if all pieces are straight.
    #[must_use]
    pub fn as_polygon(&self) -> Option<Vec<Point>> {
        self.segments
            .iter()
            .map(|segment| match segment {
                Segment::Line(line) => Some(line.p0),
                Segment::Arc(_) => None,
            })
            .collect()
    }

    /// Returns the arc if the outline is one whole circle, ellipse or parallel curve of an ellipse.
    #[must_use]
    pub fn as_closed_arc(&self) -> Option<&Arc> {
        match self.segments.as_slice() {
            [Segment::Arc(arc)] if arc.is_full_turn() => Some(arc),
            _ => None,
        }
    }

    /// Returns the enclosed area in square millimetres, exact to rounding (Green's theorem piece by piece).
    #[must_use]
    pub fn area(&self) -> f64 {
        self.segments.iter().map(Segment::signed_area).sum()
    }

    /// Returns the length of the outline in millimetres.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// Returns the smallest upright rectangle round the outline, in millimetres; exact for curves too.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        if let Some(arc) = self.as_closed_arc().filter(|arc| arc.is_upright()) {
            let half = Vec2::new(arc.rx + arc.distance, arc.ry + arc.distance);
            let half = if arc.axis.y == 0.0 { half } else { Vec2::new(half.y, half.x) };
            return Rect::from_points(arc.center - half, arc.center + half);
        }
        let mut bounds = Rect::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
        let mut include = |point: Point| bounds = bounds.union_pt(point);
        for segment in &self.segments {
            match segment {
                Segment::Line(line) => include(line.p0),
                Segment::Arc(arc) => {
                    include(arc.point(arc.start));
                    arc.split_at_extremes().for_each(|part| include(part.point(part.end())));
                }
            }
        }
        bounds
    }

    /// Returns width and height of the bounds in millimetres.
    #[must_use]
    pub fn size(&self) -> Size {
        self.bounds().size()
    }

    /// Returns the outline moved by a vector in millimetres.
    #[must_use]
    pub fn translated(&self, by: Vec2) -> Self {
        Self { segments: self.segments.iter().map(|segment| segment.translated(by)).collect() }
    }

    /// Returns the outline enlarged from the origin by a factor above zero.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self { segments: self.segments.iter().map(|segment| segment.scaled(factor)).collect() }
    }

    /// Returns the outline turned about a point by an angle in radians; above zero is clockwise, since y runs down.
    ///
    /// Exact: arcs turn with their axis, and quarter turns have no rounding in their directions.
    #[must_use]
    pub fn turned(&self, angle: f64, about: Point) -> Self {
        let direction = unit(angle);
        Self { segments: self.segments.iter().map(|segment| segment.turned(direction, about)).collect() }
    }

    /// Returns the mirror image in the vertical line at `x`, in millimetres.
    #[must_use]
    pub fn mirrored(&self, x: f64) -> Self {
        Self { segments: self.segments.iter().rev().map(|segment| segment.mirrored(x)).collect() }
    }

    /// Returns the point of the outline that is nearest to `point`.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Point {
        spend(self.segments.len() as u64);
        self.segments
            .iter()
            .map(|segment| segment.nearest(point))
            .min_by(|a, b| a.distance_squared(point).total_cmp(&b.distance_squared(point)))
            .unwrap_or(point)
    }

    /// Tells whether a point lies inside the outline, by the winding number of the exact curve.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        // The winding number counts how often the outline crosses a level line to the right of the point, upwards less
        // downwards. An arc is cut where it could cross it twice and counts as its chord, unless the point lies in the
        // sliver between the two, which the exact foot of the perpendicular decides.
        let mut winding = 0;
        // Where pieces meet they share the point: at its height the crossings would otherwise not add up.
        let start = self.segments.first().map_or(point, Segment::start);
        let mut to = start;
        spend(self.segments.len() as u64);
        for segment in &self.segments {
            match segment {
                Segment::Line(line) => winding += crossing(point, std::mem::replace(&mut to, line.p1), line.p1),
                Segment::Arc(arc) => {
                    for part in arc.split_at_extremes() {
                        let from = std::mem::replace(&mut to, part.point(part.end()));
                        winding += crossing(point, from, to);
                        if in_sliver(point, &part, from, to) {
                            winding += if part.sweep > 0.0 { 1 } else { -1 };
                        }
                    }
                }
            }
        }
        winding += crossing(point, to, start);
        winding > 0
    }
}

/// Returns the unit vector at an angle in radians; at whole quarters its parts are exactly zero and one.
fn unit(angle: f64) -> Vec2 {
    let direction = Vec2::from_angle(angle);
    if direction.x.abs() < AXIS_ROUNDING {
        Vec2::new(0.0, direction.y.signum())
    } else if direction.y.abs() < AXIS_ROUNDING {
        Vec2::new(direction.x.signum(), 0.0)
    } else {
        direction
    }
}

/// Returns 1 or -1 if the step from `from` to `to` crosses the level line to the right of a point with rising or falling
/// y, and 0 if it does not.
pub(super) fn crossing(point: Point, from: Point, to: Point) -> i32 {
    let (before, after) = (from.y > point.y, to.y > point.y);
    let left_of_step = (to - from).cross(point - from) > 0.0;
    match (before, after) {
        (false, true) if left_of_step => 1,
        (true, false) if !left_of_step => -1,
        _ => 0,
    }
}

/// Tells whether a point lies between an arc of at most a quarter turn and its chord.
fn in_sliver(point: Point, arc: &Arc, from: Point, to: Point) -> bool {
    // A point on the chord itself lies on the side on which `crossing` takes it to lie.
    let left_of_step = (to - from).cross(point - from) > 0.0;
    let beyond_chord = left_of_step != (arc.sweep > 0.0);
    if !beyond_chord {
        return false;
    }
    if let Some(is_inside) = arc.is_plainly_inside(point) {
        return is_inside;
    }
    let angle = arc.nearest_angle(point);
    // Beyond the ends of the arc the nearest angle is that of an end.
    let within = (angle - arc.start) * (angle - arc.end()) < 0.0;
    within && (point - arc.point(angle)).dot(arc.normal(angle)) < 0.0
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Vec2};

    use super::Outline;

    #[test]
    fn a_point_on_the_chord_of_a_quarter_lies_inside() {
        let circle = Outline::ellipse(Point::new(70.0, 140.0), 30.0, 30.0, 0.0).unwrap();
        for outline in [circle.mirrored(70.0), circle] {
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
                for share in [0.25, 0.5, 2f64.sqrt() / 30.0] {
                    let from_center = Vec2::new(30.0 * share * x, 30.0 * (1.0 - share) * y);
                    assert!(outline.contains(Point::new(70.0, 140.0) + from_center), "{from_center:?}");
                }
            }
        }
    }
}
