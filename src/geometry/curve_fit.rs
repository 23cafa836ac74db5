//! Bézier curves that stand for an outline in the formats that have no better curve.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Affine, BezPath, CubicBez, ParamCurve, Point, Vec2};

use super::{Arc, Outline, Segment};
use crate::tolerance::{ON_CURVE_RAD, SAME_DIRECTION_RAD};

impl Outline {
    /// Returns the outline as lines and cubic Bézier curves within `tolerance` millimetres of it.
    #[must_use]
    pub fn to_bezier(&self, tolerance: f64) -> BezPath {
        let mut path = BezPath::new();
        let Some(first) = self.segments().first() else {
            return path;
        };
        path.move_to(first.start());
        let last = self.segments().len() - 1;
        for (index, segment) in self.segments().iter().enumerate() {
            match segment {
                // The closing stroke draws the last line.
                Segment::Line(line) if index < last => path.line_to(line.p1),
                Segment::Line(_) => {}
                Segment::Arc(arc) => arc.append_cubics(tolerance, &mut path),
            }
        }
        path.close_path();
        path
    }
}

/// Share of a cubic's length at which its distance from the arc is measured; between those places it errs less.
const MEASURED_AT: [f64; 4] = [0.12, 0.24, 0.76, 0.88];

impl Arc {
    /// Returns cubic Bézier curves within `tolerance` millimetres of the arc, each by its two handles and its end.
    #[must_use]
    pub fn to_cubics(&self, tolerance: f64) -> Vec<[Point; 3]> {
        let mut cubics = Vec::new();
        self.for_each_cubic(tolerance, |cubic| cubics.push(cubic));
        cubics
    }

    /// Appends cubic Bézier curves within `tolerance` millimetres of the arc to a path that ends at its start.
    pub fn append_cubics(&self, tolerance: f64, path: &mut BezPath) {
        self.for_each_cubic(tolerance, |[first, second, end]| path.curve_to(first, second, end));
    }

    /// Goes through the curves of [`Arc::to_cubics`].
    fn for_each_cubic(&self, tolerance: f64, mut take: impl FnMut([Point; 3])) {
        let mut take_all = |cubics: &[CubicBez]| {
            cubics.iter().for_each(|cubic| take([cubic.p1, cubic.p2, cubic.p3].map(|point| self.to_plane(point))));
        };
        let mut cubics = Vec::new();
        if !self.is_whole_from_axis() {
            for part in self.split_at_axes() {
                cubics.clear();
                part.append_local_cubics(tolerance, &mut cubics);
                take_all(&cubics);
            }
            return;
        }
        self.first_quarter().append_local_cubics(tolerance, &mut cubics);
        let start = Vec2::from_angle(self.start);
        let mut starts_level = start.x.abs() > start.y.abs();
        for _ in 0..4 {
            take_all(&cubics);
            // The next quarter is the mirror image of this one in the axis on which this one ends.
            let mirror = if starts_level { Affine::FLIP_X } else { Affine::FLIP_Y };
            cubics.reverse();
            for cubic in &mut cubics {
                let CubicBez { p0, p1, p2, p3 } = mirror * *cubic;
                *cubic = CubicBez::new(p3, p2, p1, p0);
            }
            starts_level = !starts_level;
        }
    }

    /// Appends the cubics of an arc that spans a quarter at most, in the frame of the ellipse.
    fn append_local_cubics(&self, tolerance: f64, cubics: &mut Vec<CubicBez>) {
        if self.distance == 0.0 || self.circle_radius().is_some() {
            self.append_equal(tolerance, cubics);
        } else {
            self.append_fitted(tolerance, cubics);
        }
    }

    /// Appends cubics of equal eccentric anomaly, for arcs of ellipses and circles.
    ///
    /// The error of one cubic for a quarter circle of radius r is 2.73e-4 r and falls with the sixth power of the
    /// angle; an ellipse is a squeezed circle and errs no more than the circle about it.
    fn append_equal(&self, tolerance: f64, cubics: &mut Vec<CubicBez>) {
        let radius = self.circle_radius().unwrap_or(self.rx.max(self.ry));
        let (from, to) = (self.anomaly(self.start), self.anomaly(self.end()));
        let quarters = (to - from).abs() / FRAC_PI_2;
        let pieces = (quarters * (2.73e-4 * radius / tolerance).powf(1.0 / 6.0)).ceil().max(1.0);
        let step = (to - from) / pieces;
        let mut start = self.start;
        for piece in 1..pieces as usize {
            let end = self.angle_of_anomaly(from + piece as f64 * step);
            cubics.push(self.between(start, end).cubic());
            start = end;
        }
        cubics.push(self.between(start, self.end()).cubic());
    }

    /// Walks along a parallel curve with the longest cubics that stay within the tolerance.
    fn append_fitted(&self, tolerance: f64, cubics: &mut Vec<CubicBez>) {
        let (mut from, to) = (self.anomaly(self.start), self.anomaly(self.end()));
        let mut start = self.start;
        let mut step = to - from;
        // Bounded: each round brings the error of the cubic near the tolerance from the error of the last one.
        for _ in 0..1024 {
            let is_last = step.abs() >= (to - from).abs();
            let end = if is_last { self.end() } else { self.angle_of_anomaly(from + step) };
            let piece = self.between(start, end);
            let (cubic, error) = piece.fitted_cubic();
            // The error falls with the sixth power of the step; a fifth is kept back so that few are tried twice.
            let scale = (0.8 * tolerance / error).powf(1.0 / 6.0).clamp(0.3, 1.6);
            if error <= tolerance || step.abs() < SAME_DIRECTION_RAD {
                cubics.push(cubic);
                if is_last {
                    return;
                }
                from += step;
                start = end;
            } else if is_last {
                step = to - from;
            }
            step *= scale;
        }
        cubics.push(self.between(start, self.end()).cubic());
    }

    /// Returns the cubic that stands for the whole arc, in the frame of the ellipse.
    ///
    /// The handles are those of the ellipse, exact up to the sixth order, plus those of the circle that the normal
    /// describes times the distance of the parallel curve.
    fn cubic(&self) -> CubicBez {
        let (from, to) = (self.anomaly(self.start), self.anomaly(self.end()));
        let handle = |angle: f64, anomaly: f64| {
            let (sin, cos) = anomaly.sin_cos();
            let speed = (self.rx * sin).hypot(self.ry * cos);
            let reach = speed * quarter_tangent(to - from) + self.distance * quarter_tangent(self.sweep);
            Vec2::from_angle(angle + FRAC_PI_2) * reach
        };
        let (p0, p3) = (self.local_point(self.start), self.local_point(self.end()));
        CubicBez::new(p0, p0 + handle(self.start, from), p3 - handle(self.end(), to), p3)
    }

    /// Returns the cubic with both handles scaled so that its middle lies on the arc, and its largest distance from the arc.
    fn fitted_cubic(&self) -> (CubicBez, f64) {
        let (from, to) = (self.anomaly(self.start), self.anomaly(self.end()));
        let miss =
            |cubic: &CubicBez, t: f64| self.distance_near(cubic.eval(t), self.angle_of_anomaly(from + t * (to - from)));
        let mut cubic = self.cubic();
        let (first, last) = (cubic.p1 - cubic.p0, cubic.p2 - cubic.p3);
        let (middle_miss, normal) = miss(&cubic, 0.5);
        let growth = 1.0 - middle_miss / (0.375 * (first + last).dot(normal));
        cubic.p1 = cubic.p0 + first * growth;
        cubic.p2 = cubic.p3 + last * growth;
        let error = MEASURED_AT.into_iter().map(|t| miss(&cubic, t).0.abs()).fold(f64::MIN_POSITIVE, f64::max);
        // A twentieth is kept back for what lies between the places measured.
        (cubic, error / 0.95)
    }

    /// Returns how far outside the curve a point lies, and the normal there, from a normal angle near by, in the frame
    /// of the ellipse.
    fn distance_near(&self, point: Point, mut angle: f64) -> (f64, Vec2) {
        let squares = Vec2::new(self.rx * self.rx, self.ry * self.ry);
        // Bounded: Newton's method from close by; the error of the distance is of second order in that of the angle.
        let mut rounds = 0;
        loop {
            let normal = Vec2::from_angle(angle);
            let h = self.support(normal);
            let on_curve =
                Vec2::new(normal.x * (squares.x / h + self.distance), normal.y * (squares.y / h + self.distance));
            let from_curve = point.to_vec2() - on_curve;
            let radius = squares.x * squares.y / (h * h * h) + self.distance;
            let step = normal.cross(from_curve) / radius;
            rounds += 1;
            if step.abs() < ON_CURVE_RAD || rounds > 8 {
                return (from_curve.dot(normal), normal);
            }
            angle += step.clamp(-0.2, 0.2);
        }
    }
}

/// Returns `4/3 tan(θ/4)`, the reach of the handles of a cubic that stands for an arc of a unit circle.
fn quarter_tangent(sweep: f64) -> f64 {
    4.0 / 3.0 * (0.25 * sweep).tan()
}
