//! Bézier curves that stand for an outline in the formats that have no better curve.

use kurbo::{BezPath, Point};

use super::{Arc, Outline, Segment};

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

impl Arc {
    /// Appends cubic Bézier curves within `tolerance` millimetres of the arc to a path that ends at its start.
    pub fn append_cubics(&self, tolerance: f64, path: &mut BezPath) {
        for part in self.split_at_axes() {
            let mut pieces = part.first_guess(tolerance);
            while pieces < 1024 && !part.fits(pieces, tolerance) {
                pieces += 1 + pieces / 4;
            }
            for cubic in part.cubics(pieces) {
                let [_, p1, p2, p3] = cubic.map(|local| self.to_plane(local));
                path.curve_to(p1, p2, p3);
            }
        }
    }

    /// The error of one cubic for a quarter circle of radius r is 2.73e-4 r and falls with the sixth power of the angle.
    fn first_guess(&self, tolerance: f64) -> usize {
        let radius = self.rx.max(self.ry) + self.distance.abs();
        let quarters = self.sweep.abs() / std::f64::consts::FRAC_PI_2;
        (quarters * (2.73e-4 * radius / tolerance).powf(1.0 / 6.0)).ceil().max(1.0) as usize
    }

    /// Cuts the arc into pieces of equal eccentric anomaly and gives the cubic of each, in the frame of the ellipse.
    ///
    /// The handles are those of the ellipse, exact up to the sixth order, plus those of the circle that the normal
    /// describes times the distance of the parallel curve.
    fn cubics(&self, pieces: usize) -> impl Iterator<Item = [Point; 4]> + '_ {
        let anomaly = |angle: f64| self.anomaly(angle);
        let (from, to) = (anomaly(self.start), anomaly(self.end()));
        let step = (to - from) / pieces as f64;
        let angle_at = move |k: usize| match k {
            0 => self.start,
            k if k == pieces => self.end(),
            k => self.angle_of_anomaly(from + k as f64 * step),
        };
        (0..pieces).map(move |k| {
            let (start, end) = (angle_at(k), angle_at(k + 1));
            let handle = |angle: f64| {
                let tangent = kurbo::Vec2::from_angle(angle + std::f64::consts::FRAC_PI_2);
                let (sin, cos) = self.anomaly(angle).sin_cos();
                let speed = (self.rx * sin).hypot(self.ry * cos);
                let reach = speed * quarter_tangent(step) + self.distance * quarter_tangent(end - start);
                tangent * reach
            };
            let (p0, p3) = (self.local_point(start), self.local_point(end));
            [p0, p0 + handle(start), p3 - handle(end), p3]
        })
    }

    /// Tells whether each of the cubics stays within the tolerance, measured where a cubic of this kind errs most.
    fn fits(&self, pieces: usize, tolerance: f64) -> bool {
        self.cubics(pieces).all(|[p0, p1, p2, p3]| {
            [0.15, 0.3, 0.5, 0.7, 0.85].into_iter().all(|t| {
                let s = 1.0 - t;
                let point = (p0.to_vec2() * (s * s * s)
                    + p1.to_vec2() * (3.0 * s * s * t)
                    + p2.to_vec2() * (3.0 * s * t * t)
                    + p3.to_vec2() * (t * t * t))
                    .to_point();
                // A twentieth is kept back for what lies between the places measured.
                self.local_distance(point) <= 0.95 * tolerance
            })
        })
    }

    /// Returns the distance of a point from the whole parallel curve, in the frame of the ellipse.
    fn local_distance(&self, point: Point) -> f64 {
        let angle = self.nearest_on_base(point.to_vec2());
        let normal = kurbo::Vec2::from_angle(angle);
        ((point.to_vec2() - self.local_point(angle).to_vec2()).dot(normal)).abs()
    }
}

/// Returns `4/3 tan(θ/4)`, the reach of the handles of a cubic that stands for an arc of a unit circle.
fn quarter_tangent(sweep: f64) -> f64 {
    4.0 / 3.0 * (0.25 * sweep).tan()
}
