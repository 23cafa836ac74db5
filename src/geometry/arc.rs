//! The one curve of the crate: an arc of an ellipse, or of a curve parallel to an ellipse.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::tolerance::{ROUNDING_COUNT, ROUNDING_QUARTERS, ROUNDING_RAD};
use kurbo::{Point, Vec2};

/// An arc of a circle, of an ellipse, or of the parallel curve of an ellipse.
///
/// The curve is described by the direction of its normal, the *normal angle* ψ, measured in the frame of the
/// ellipse. With the support function `h(ψ) = √(rx² cos²ψ + ry² sin²ψ)` of the ellipse its points are
///
/// ```text
/// p(ψ) = (rx² cosψ / h + d cosψ,  ry² sinψ / h + d sinψ)
/// ```
///
/// and its signed radius of curvature is `rx² ry² / h³ + d`. Moving such an arc sideways only changes `d`, so
/// that any number of bevels and reveals stays exact. A circle of radius r is `rx = ry = r, d = 0`.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Arc {
    /// Centre of the ellipse, in millimetres.
    pub center: Point,
    /// Semi-axis along [`Arc::axis`], in millimetres, above zero.
    pub rx: f64,
    /// Semi-axis across [`Arc::axis`], in millimetres, above zero.
    pub ry: f64,
    /// Unit vector along the first axis of the ellipse.
    pub axis: Vec2,
    /// Distance of the parallel curve from the ellipse in millimetres, positive away from the centre.
    pub distance: f64,
    /// Normal angle at the start, in radians, in the frame of the ellipse.
    pub start: f64,
    /// Change of the normal angle along the arc in radians, at most a full turn; its sign is the direction of travel.
    pub sweep: f64,
}

impl Arc {
    /// Makes an arc of a circle from its centre, radius in millimetres, start angle and sweep in radians.
    #[must_use]
    pub fn circular(center: Point, radius: f64, start: f64, sweep: f64) -> Self {
        Self::elliptical(center, radius, radius, 0.0, start, sweep)
    }

    /// Makes an arc of an ellipse whose first axis is turned by `turn` radians; `start` and `sweep` are normal angles.
    #[must_use]
    pub fn elliptical(center: Point, rx: f64, ry: f64, turn: f64, start: f64, sweep: f64) -> Self {
        let axis = if turn == 0.0 { Vec2::new(1.0, 0.0) } else { Vec2::from_angle(turn) };
        Self { center, rx, ry, axis, distance: 0.0, start, sweep }
    }

    /// Returns the radius in millimetres if the arc is an arc of a circle.
    #[must_use]
    pub fn circle_radius(&self) -> Option<f64> {
        (self.rx.to_bits() == self.ry.to_bits()).then_some(self.rx + self.distance)
    }

    /// Tells whether the arc is a whole closed curve.
    #[must_use]
    pub fn is_full_turn(&self) -> bool {
        (self.sweep.abs() - TAU).abs() < ROUNDING_RAD
    }

    /// Tells whether the arc turns once round and starts at one of its axes, so that its quarters mirror each other.
    pub(super) fn is_whole_from_axis(&self) -> bool {
        self.is_full_turn() && (self.start / FRAC_PI_2).fract() == 0.0
    }

    /// Returns the first quarter turn of an arc that is at least that long.
    pub(super) fn first_quarter(&self) -> Self {
        self.between(self.start, self.start + FRAC_PI_2.copysign(self.sweep))
    }

    /// Tells whether the axes of the ellipse are level and upright.
    #[must_use]
    pub fn is_upright(&self) -> bool {
        self.axis.x == 0.0 || self.axis.y == 0.0
    }

    /// Returns the normal angle at the end of the arc.
    #[must_use]
    pub fn end(&self) -> f64 {
        self.start + self.sweep
    }

    /// Returns the point at a normal angle.
    #[must_use]
    pub fn point(&self, angle: f64) -> Point {
        self.to_plane(self.local_point(angle))
    }

    /// Returns the unit normal at a normal angle, pointing away from the centre, in the plane.
    #[must_use]
    pub fn normal(&self, angle: f64) -> Vec2 {
        self.turned(Vec2::from_angle(angle))
    }

    /// Returns the unit tangent at a normal angle, in the direction of travel.
    #[must_use]
    pub fn tangent(&self, angle: f64) -> Vec2 {
        let normal = self.normal(angle);
        Vec2::new(-normal.y, normal.x) * self.sweep.signum()
    }

    /// Returns the radius of curvature in millimetres at a normal angle; below zero where the parallel curve has turned inside out.
    #[must_use]
    pub fn radius_at(&self, angle: f64) -> f64 {
        if let Some(radius) = self.circle_radius() {
            return radius;
        }
        let h = self.support(Vec2::from_angle(angle));
        (self.rx * self.ry).powi(2) / (h * h * h) + self.distance
    }

    /// Returns the smallest radius of curvature in millimetres anywhere on the arc.
    ///
    /// It lies at an end of the arc or where the arc crosses an axis: `b²/a` at the ends of the major axis.
    #[must_use]
    pub fn smallest_radius(&self) -> f64 {
        self.split_at_axes()
            .flat_map(|part| [part.start, part.end()])
            .map(|angle| self.radius_at(angle))
            .fold(f64::INFINITY, f64::min)
    }

    /// Returns the parallel arc at `distance` millimetres away from the centre.
    #[must_use]
    pub fn grown(&self, distance: f64) -> Self {
        Self { distance: self.distance + distance, ..*self }
    }

    /// Returns the same arc travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { start: self.end(), sweep: -self.sweep, ..*self }
    }

    /// Returns the part of the arc between two normal angles.
    #[must_use]
    pub fn between(&self, start: f64, end: f64) -> Self {
        Self { start, sweep: end - start, ..*self }
    }

    /// Splits the arc into equal parts of half a turn at most.
    pub(crate) fn half_turns(&self) -> impl Iterator<Item = Self> + use<> {
        let arc = *self;
        let parts = (arc.sweep.abs() / PI - ROUNDING_COUNT).ceil().max(1.0) as usize;
        let at = move |part: usize| {
            if part == parts { arc.end() } else { arc.start + arc.sweep * part as f64 / parts as f64 }
        };
        (0..parts).map(move |part| arc.between(at(part), at(part + 1)))
    }

    /// Returns the mirror image in the vertical line at `x`, in millimetres; the direction of travel turns round.
    #[must_use]
    pub fn mirrored(&self, x: f64) -> Self {
        Self {
            center: Point::new(2.0 * x - self.center.x, self.center.y),
            axis: Vec2::new(-self.axis.x, self.axis.y),
            start: -self.start,
            sweep: -self.sweep,
            ..*self
        }
    }

    /// Splits the arc where its normal points along an axis of the ellipse, where its curvature is largest or smallest.
    pub fn split_at_axes(&self) -> impl Iterator<Item = Self> + '_ {
        self.split_at(0.0)
    }

    /// Splits the arc where its normal points left, right, up or down in the plane: where its bounds are reached.
    pub(super) fn split_at_extremes(&self) -> impl Iterator<Item = Self> + '_ {
        let turn = if self.axis.y == 0.0 { 0.0 } else { self.axis.atan2() };
        self.split_at(-turn)
    }

    /// Splits the arc where its normal points along a direction in the plane or across it; the arc runs along the direction at
    /// some of these points.
    pub fn split_along(&self, direction: Vec2) -> impl Iterator<Item = Self> + '_ {
        let local = Vec2::new(direction.dot(self.axis), self.axis.cross(direction));
        self.split_at(local.atan2())
    }

    /// Splits at all normal angles that are `phase` plus a whole number of quarter turns.
    fn split_at(&self, phase: f64) -> impl Iterator<Item = Self> + '_ {
        let step = FRAC_PI_2.copysign(self.sweep);
        let quarters = (self.start - phase) / step;
        // A quarter turn that coincides with the start is not a split.
        let first = (quarters + ROUNDING_QUARTERS).floor() + 1.0;
        let count = ((self.end() - phase) / step - ROUNDING_QUARTERS).ceil() - first;
        let count = if count > 0.0 { count as usize } else { 0 };
        let cut = move |k: usize| {
            if k == 0 {
                self.start
            } else if k == count + 1 {
                self.end()
            } else {
                phase + (first + (k as f64) - 1.0) * step
            }
        };
        (0..=count).map(move |k| self.between(cut(k), cut(k + 1)))
    }

    /// Returns the signed length in millimetres: positive for a positive sweep.
    ///
    /// The length of a parallel arc is that of the ellipse plus distance times turning (Steiner).
    #[must_use]
    pub fn signed_length(&self) -> f64 {
        self.ellipse_length() + self.distance * self.sweep
    }

    /// Returns `½∫(x dy − y dx)` along the arc about the origin of the plane, in square millimetres.
    ///
    /// Closed form but for the length of the ellipse: with the point e and the normal n of the ellipse,
    /// `½∫p×dp = ½ rx ry Δθ + d (L + ½[e×n]) + ½ d² Δψ`, θ being the eccentric anomaly.
    #[must_use]
    pub fn signed_area(&self) -> f64 {
        if let Some(radius) = self.circle_radius() {
            // Chord and segment: a very flat arc would lose its area in that of its large circle.
            let (from, to) = (self.point(self.start).to_vec2(), self.point(self.end()).to_vec2());
            return 0.5 * from.cross(to) + 0.5 * radius * radius * (self.sweep - self.sweep.sin());
        }
        let base = Self { distance: 0.0, ..*self };
        let moment = |angle: f64| base.local_point(angle).to_vec2().cross(Vec2::from_angle(angle));
        let anomaly = self.anomaly(self.end()) - self.anomaly(self.start);
        let about_center = 0.5 * self.rx * self.ry * anomaly
            + self.distance * (self.ellipse_length() + 0.5 * (moment(self.end()) - moment(self.start)))
            + 0.5 * self.distance * self.distance * self.sweep;
        let chord = self.point(self.end()) - self.point(self.start);
        about_center + 0.5 * self.center.to_vec2().cross(chord)
    }

    /// Returns the signed length of the ellipse below the arc, by Gauss's quadrature over its eccentric anomaly.
    fn ellipse_length(&self) -> f64 {
        if self.circle_radius().is_some() {
            return self.rx * self.sweep;
        }
        const PARTS: usize = 8;
        if self.is_whole_from_axis() {
            return 4.0 * self.first_quarter().ellipse_length();
        }
        self.split_at_axes()
            .map(|arc| {
                let (from, to) = (self.anomaly(arc.start), self.anomaly(arc.end()));
                let width = (to - from) / PARTS as f64;
                (0..PARTS)
                    .map(|part| {
                        let middle = from + (part as f64 + 0.5) * width;
                        let sum: f64 = kurbo::common::GAUSS_LEGENDRE_COEFFS_16
                            .iter()
                            .map(|&(weight, node)| {
                                let (sin, cos) = (middle + 0.5 * width * node).sin_cos();
                                weight * self.support(Vec2::new(sin, cos))
                            })
                            .sum();
                        0.5 * width * sum
                    })
                    .sum::<f64>()
            })
            .sum()
    }

    /// Returns the eccentric anomaly of the ellipse point with the given normal angle, on the same turn as the angle.
    pub(super) fn anomaly(&self, angle: f64) -> f64 {
        let (sin, cos) = angle.sin_cos();
        same_turn((self.ry * sin).atan2(self.rx * cos), angle)
    }

    /// Returns the normal angle of the ellipse point with the given eccentric anomaly, on the same turn as the anomaly.
    pub(super) fn angle_of_anomaly(&self, anomaly: f64) -> f64 {
        let (sin, cos) = anomaly.sin_cos();
        same_turn((self.rx * sin).atan2(self.ry * cos), anomaly)
    }

    /// Returns the support function of the ellipse for a unit normal in its own frame, in millimetres.
    pub(super) fn support(&self, normal: Vec2) -> f64 {
        // A plain square root: these are millimetres, far from where their squares would overflow.
        Vec2::new(self.rx * normal.x, self.ry * normal.y).hypot2().sqrt()
    }

    /// Returns the point at a normal angle in the frame of the ellipse.
    pub(super) fn local_point(&self, angle: f64) -> Point {
        let normal = Vec2::from_angle(angle);
        if let Some(radius) = self.circle_radius() {
            return (normal * radius).to_point();
        }
        let h = self.support(normal);
        Point::new(
            normal.x * (self.rx * self.rx / h + self.distance),
            normal.y * (self.ry * self.ry / h + self.distance),
        )
    }

    /// Tells whether the whole curve goes round a point, where that can be told without looking for the nearest point.
    ///
    /// The ellipse whose semi-axes are longer by the distance lies inside the parallel curve if that lies outside its
    /// ellipse, and outside it if that lies inside.
    pub(super) fn is_plainly_inside(&self, point: Point) -> Option<bool> {
        let (rx, ry) = (self.rx + self.distance, self.ry + self.distance);
        // Where an ellipse is bent little it can be moved beyond its own centre.
        if rx <= 0.0 || ry <= 0.0 {
            return None;
        }
        let local = self.to_local(point);
        let (across, up) = (local.x / rx, local.y / ry);
        let in_ellipse = across * across + up * up < 1.0;
        let is_ellipse = self.distance == 0.0 || self.circle_radius().is_some();
        (is_ellipse || in_ellipse == (self.distance > 0.0)).then_some(in_ellipse)
    }

    /// Takes a point from the frame of the ellipse to the plane.
    pub(super) fn to_plane(self, local: Point) -> Point {
        self.center + self.turned(local.to_vec2())
    }

    /// Takes a point from the plane to the frame of the ellipse.
    pub(super) fn to_local(self, point: Point) -> Vec2 {
        let from_center = point - self.center;
        Vec2::new(from_center.dot(self.axis), self.axis.cross(from_center))
    }

    /// Turns a vector from the frame of the ellipse to the plane.
    fn turned(&self, local: Vec2) -> Vec2 {
        Vec2::new(self.axis.x * local.x - self.axis.y * local.y, self.axis.y * local.x + self.axis.x * local.y)
    }
}

/// Adds the whole turns that bring an angle nearest to another one.
pub(super) fn same_turn(angle: f64, to: f64) -> f64 {
    angle + TAU * ((to - angle) / TAU).round()
}
