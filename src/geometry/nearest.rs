//! The point of an arc that is nearest to a point of the plane.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use kurbo::{Point, Vec2};

use super::Arc;
use super::arc::same_turn;
use crate::tolerance::NEAREST_RAD;

impl Arc {
    /// Returns the normal angle of the point of the arc that is nearest to a point of the plane.
    pub(super) fn nearest_angle(&self, point: Point) -> f64 {
        let (low, high) = (self.start.min(self.end()), self.start.max(self.end()));
        let angle = self.nearest_on_carrier(point);
        let turned = angle + TAU * ((low - angle) / TAU).ceil();
        if turned <= high {
            return turned;
        }
        // Of a circle's arc that does not face the point, an end is nearest; an ellipse may come near again elsewhere.
        let other = if self.circle_radius().is_some() { None } else { self.other_minimum(point) };
        let nearer = |a: f64, b: f64| {
            if self.point(a).distance_squared(point) <= self.point(b).distance_squared(point) { a } else { b }
        };
        let end = nearer(self.start, self.end());
        other.map_or(end, |other| nearer(end, other))
    }

    /// Finds where between its ends an arc that does not face a point comes nearest to it, if it does at all.
    ///
    /// A few points of the arc bracket the place; there the distance has a level tangent, which bisection finds.
    fn other_minimum(&self, point: Point) -> Option<f64> {
        const SAMPLES: i32 = 32;
        let at = |sample: i32| self.start + self.sweep * f64::from(sample) / f64::from(SAMPLES);
        let distance = |sample: &i32| self.point(at(*sample)).distance_squared(point);
        let best = (1..SAMPLES).min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
        // Below zero while the arc still approaches the point.
        let slope = |angle: f64| (self.point(angle) - point).dot(self.tangent(angle));
        let (mut before, mut after) = (at(best - 1), at(best + 1));
        if slope(before) > 0.0 || slope(after) < 0.0 {
            return None;
        }
        for _ in 0..60 {
            let middle = 0.5 * (before + after);
            if slope(middle) < 0.0 {
                before = middle;
            } else {
                after = middle;
            }
        }
        Some(0.5 * (before + after))
    }

    /// Returns the normal angle of the point of the whole curve, beyond the ends of the arc too, nearest to a point.
    pub(super) fn nearest_on_carrier(&self, point: Point) -> f64 {
        self.nearest_on_base(self.to_local(point))
    }

    /// Returns the normal angle of a point of the whole curve, on the turn nearest to another angle.
    pub(super) fn angle_near(&self, point: Point, to: f64) -> f64 {
        same_turn(self.nearest_on_carrier(point), to)
    }

    /// Returns the normal angle of the foot of the perpendicular from a local point to the whole ellipse.
    pub(super) fn nearest_on_base(&self, local: Vec2) -> f64 {
        if self.circle_radius().is_some() { local.atan2() } else { self.nearest_on_ellipse(local) }
    }

    /// Newton's method for the foot of the perpendicular from a local point to the ellipse.
    fn nearest_on_ellipse(&self, local: Vec2) -> f64 {
        // In the first quadrant the foot's normal angle is bracketed; bisection guards Newton.
        let (x, y) = (local.x.abs(), local.y.abs());
        let (mut low, mut high) = (0.0, FRAC_PI_2);
        let mut angle = (y * self.rx).atan2(x * self.ry);
        for _ in 0..60 {
            let normal = Vec2::from_angle(angle);
            let h = self.support(normal);
            let foot = Vec2::new(self.rx * self.rx * normal.x / h, self.ry * self.ry * normal.y / h);
            // Positive while the foot must move to a larger normal angle.
            let miss = normal.cross(Vec2::new(x, y) - foot);
            if miss > 0.0 {
                low = angle;
            } else {
                high = angle;
            }
            let radius = (self.rx * self.ry).powi(2) / (h * h * h);
            let slope = radius + (Vec2::new(x, y) - foot).dot(normal);
            let next = angle + miss / slope;
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            if (next - angle).abs() < NEAREST_RAD {
                break;
            }
            angle = next;
        }
        let angle = if local.x < 0.0 { PI - angle } else { angle };
        if local.y < 0.0 { -angle } else { angle }
    }
}
