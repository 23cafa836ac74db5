//! Random outlines of every kind, and polylines of them that do not use the crate's own flattening.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use backline::geometry::{Arc, Outline, Segment};
use kurbo::{Line, Point, Rect, Vec2};
use proptest::prelude::*;

/// A place within a metre of the origin.
pub(crate) fn place() -> impl Strategy<Value = Point> {
    (-500.0..1000.0, -500.0..1000.0).prop_map(Point::from)
}

/// An ellipse, turned, up to ten times as long as wide.
pub(crate) fn ellipse() -> impl Strategy<Value = Outline> {
    (place(), 10.0..200.0, 0.1..1.0, -PI..PI)
        .prop_map(|(center, a, share, turn)| Outline::ellipse(center, a, a * share, turn).unwrap())
}

/// A convex polygon: corners on an ellipse, in order.
pub(crate) fn convex_corners() -> impl Strategy<Value = Vec<Point>> {
    (place(), 30.0..200.0, 30.0..200.0, 3_usize..9, proptest::collection::vec(0.0..0.8_f64, 9), -PI..PI).prop_map(
        |(center, a, b, count, jitter, first)| {
            (0..count)
                .map(|k| {
                    let (sin, cos) = (first + TAU * (k as f64 + jitter[k]) / count as f64).sin_cos();
                    Point::new(center.x + a * cos, center.y + b * sin)
                })
                .collect()
        },
    )
}

/// A polygon that is seen whole from a point within it, but hardly ever convex.
pub(crate) fn star_corners() -> impl Strategy<Value = Vec<Point>> {
    (place(), proptest::collection::vec((30.0..150.0, 0.0..0.7), 5..12)).prop_map(|(center, tips)| {
        let step = TAU / tips.len() as f64;
        tips.iter()
            .enumerate()
            .map(|(k, (radius, jitter))| center + Vec2::from_angle(step * (k as f64 + jitter)) * *radius)
            .collect()
    })
}

/// A convex polygon with its corners rounded: lines and circular arcs that meet smoothly.
pub(crate) fn rounded_polygon() -> impl Strategy<Value = Outline> {
    (convex_corners(), 2.0..30.0).prop_map(|(corners, radius)| {
        let inner = Outline::polygon(&corners).unwrap();
        let corners = inner.as_polygon().unwrap();
        let count = corners.len();
        let side = |k: usize| corners[(k + 1) % count] - corners[k % count];
        // The outside lies on the side of (dy, −dx).
        let normal = |k: usize| (side(k).y).atan2(side(k).x) - FRAC_PI_2;
        let mut segments = Vec::new();
        for k in 0..count {
            let shift = Vec2::from_angle(normal(k)) * radius;
            segments.push(Segment::Line(Line::new(corners[k] + shift, corners[(k + 1) % count] + shift)));
            let turn = (normal(k + 1) - normal(k)).rem_euclid(TAU);
            segments.push(Segment::Arc(Arc::circular(corners[(k + 1) % count], radius, normal(k), turn)));
        }
        Outline::new(segments).unwrap()
    })
}

/// An egg: a quarter of another ellipse in each quadrant, meeting smoothly.
pub(crate) fn egg() -> impl Strategy<Value = Outline> {
    (place(), 20.0..150.0, 20.0..150.0, 20.0..150.0, 20.0..150.0).prop_map(|(center, right, left, down, up)| {
        let quarters = [(right, down), (left, down), (left, up), (right, up)];
        let quarter = |(k, (rx, ry)): (usize, (f64, f64))| {
            Segment::Arc(Arc::elliptical(center, rx, ry, 0.0, k as f64 * FRAC_PI_2, FRAC_PI_2))
        };
        Outline::new(quarters.into_iter().enumerate().map(quarter).collect()).unwrap()
    })
}

/// A rectangle with scooped corners: hollow arcs between straight sides.
pub(crate) fn scooped() -> impl Strategy<Value = Outline> {
    (place(), 60.0..200.0, 60.0..200.0, 5.0..25.0).prop_map(|(corner, width, height, radius)| {
        let rect = Rect::from_origin_size(corner, (width, height));
        let scoop = |x, y, start| Arc::circular(Point::new(x, y), radius, start, -FRAC_PI_2);
        let arcs = [
            scoop(rect.x1, rect.y0, PI),
            scoop(rect.x1, rect.y1, -FRAC_PI_2),
            scoop(rect.x0, rect.y1, 0.0),
            scoop(rect.x0, rect.y0, FRAC_PI_2),
        ];
        let mut segments = Vec::new();
        for (before, after) in arcs.iter().zip(arcs.iter().cycle().skip(1)) {
            segments.push(Segment::Arc(*before));
            segments.push(Segment::Line(Line::new(before.point(before.end()), after.point(after.start))));
        }
        Outline::new(segments).unwrap()
    })
}

/// Smooth and convex.
pub(crate) fn smooth_convex() -> impl Strategy<Value = Outline> {
    prop_oneof![ellipse(), rounded_polygon(), egg()]
}

/// Of any kind.
pub(crate) fn any_outline() -> impl Strategy<Value = Outline> {
    let polygon = |corners: Vec<Point>| Outline::polygon(&corners).unwrap();
    prop_oneof![
        ellipse(),
        rounded_polygon(),
        egg(),
        scooped(),
        convex_corners().prop_map(polygon),
        star_corners().prop_map(polygon),
        // A parallel curve of an ellipse is a curve of its own kind.
        (ellipse(), 0.5..20.0).prop_map(|(ellipse, out)| ellipse.offset(out).unwrap()),
    ]
}

/// Points in order along an outline, so many on each piece, found from the definition of the pieces alone.
pub(crate) fn dense(outline: &Outline, on_each: usize) -> Vec<Point> {
    outline
        .segments()
        .iter()
        .flat_map(|segment| {
            (0..on_each).map(move |step| {
                let share = step as f64 / on_each as f64;
                match segment {
                    Segment::Line(line) => line.p0.lerp(line.p1, share),
                    Segment::Arc(arc) => {
                        let (from, to) = (anomaly(arc, arc.start), anomaly(arc, arc.end()));
                        by_definition(arc, from + (to - from) * share)
                    }
                }
            })
        })
        .collect()
}

/// The eccentric anomaly of the point of the ellipse whose normal has an angle, on the same turn.
fn anomaly(arc: &Arc, angle: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    let anomaly = (arc.ry * sin).atan2(arc.rx * cos);
    anomaly + TAU * ((angle - anomaly) / TAU).round()
}

/// The point of an ellipse with an eccentric anomaly, moved along the gradient of the ellipse.
fn by_definition(arc: &Arc, anomaly: f64) -> Point {
    let (sin, cos) = anomaly.sin_cos();
    let normal = Vec2::new(cos / arc.rx, sin / arc.ry).normalize();
    let local = Vec2::new(arc.rx * cos, arc.ry * sin) + normal * arc.distance;
    let across = Vec2::new(-arc.axis.y, arc.axis.x);
    arc.center + arc.axis * local.x + across * local.y
}

/// Returns the chords of a closed polyline.
pub(crate) fn chords(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone + '_ {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1))
}

/// Returns the distance of a point from a straight piece.
pub(crate) fn chord_distance(point: Point, (from, to): (Point, Point)) -> f64 {
    let along = to - from;
    let share = ((point - from).dot(along) / along.hypot2().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    point.distance(from + along * share)
}

/// Returns the distance of a point from a closed polyline.
pub(crate) fn distance(point: Point, points: &[Point]) -> f64 {
    chords(points).map(|chord| chord_distance(point, chord)).fold(f64::INFINITY, f64::min)
}

/// Returns the area inside a closed polyline, by the shoelace formula.
pub(crate) fn area(points: &[Point]) -> f64 {
    // About the first point, so that the far place of the outline costs no digits.
    let origin = points[0];
    chords(points).map(|(a, b)| 0.5 * (a - origin).cross(b - origin)).sum()
}

/// Returns the length of a closed polyline.
pub(crate) fn perimeter(points: &[Point]) -> f64 {
    chords(points).map(|(a, b)| a.distance(b)).sum()
}

/// Returns how often a closed polyline winds round a point, by the crossings of a ray to the right.
pub(crate) fn winding(point: Point, points: &[Point]) -> i32 {
    chords(points)
        .map(|(a, b)| {
            let side = (b - a).cross(point - a);
            match (a.y <= point.y, b.y <= point.y) {
                (true, false) if side > 0.0 => 1,
                (false, true) if side < 0.0 => -1,
                _ => 0,
            }
        })
        .sum()
}

/// The piece between two points whose bulge is the tangent of a quarter of its turn.
pub(crate) fn bulged_piece(from: Point, bulge: f64, to: Point) -> Segment {
    if bulge == 0.0 {
        return Segment::Line(Line::new(from, to));
    }
    let chord = to - from;
    let center = from.midpoint(to) + Vec2::new(-chord.y, chord.x) * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let radius = chord.hypot() * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    Segment::Arc(Arc::circular(center, radius, (from - center).atan2(), 4.0 * bulge.atan()))
}
