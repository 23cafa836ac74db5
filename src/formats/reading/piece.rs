//! One stroke of a file: straight, an arc of a circle or an ellipse, or a cubic Bézier curve.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::tolerance::{ROUND_ARC_SHARE, WHOLE_TURN_RAD};
use kurbo::{Affine, CubicBez, Line, ParamCurve, ParamCurveExtrema, PathEl, Point, Rect, Vec2};

/// One stroke, in millimetres, x to the right and y down.
///
/// Most strokes are straight, and files have many: curves lie elsewhere, so that a line takes little room.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadSegment {
    /// A straight line.
    Line(Line),
    /// An arc of a circle or an ellipse.
    Arc(Box<ConjugateArc>),
    /// A cubic Bézier curve.
    Cubic(Box<CubicBez>),
}

/// The arc `center + u cos θ + v sin θ`, θ running from `start` over `sweep` radians.
///
/// With `u` and `v` at right angles they are the semi-axes; with any other two it is an ellipse all the same, so that
/// arcs stay exact however a file turns, mirrors, stretches or slants them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ConjugateArc {
    /// The centre.
    pub center: Point,
    /// From the centre to the point at θ = 0.
    pub u: Vec2,
    /// From the centre to the point at θ = 90°.
    pub v: Vec2,
    /// First θ in radians.
    pub start: f64,
    /// How far θ runs, in radians, either way.
    pub sweep: f64,
}

/// Most chords for one curve, however fine the tolerance: sizes in files of others may be anything.
const MOST_CHORDS: f64 = 20_000.0;

impl ConjugateArc {
    /// Makes an arc of a circle from its centre and the point where it starts; a sweep above zero turns from x towards y.
    #[must_use]
    pub fn circular(center: Point, from: Point, sweep: f64) -> Self {
        let u = from - center;
        Self { center, u, v: Vec2::new(-u.y, u.x), start: 0.0, sweep }
    }

    /// Makes an arc between two points from the tangent of a quarter of its sweep; zero gives no arc.
    ///
    /// This is the bulge of DXF; above zero it turns from x towards y.
    #[must_use]
    pub fn bulged(from: Point, to: Point, bulge: f64) -> Option<Self> {
        if bulge == 0.0 || from == to {
            return None;
        }
        let chord = to - from;
        let center = from.midpoint(to) + Vec2::new(-chord.y, chord.x) * (0.25 * (1.0 / bulge - bulge));
        Some(Self::circular(center, from, 4.0 * bulge.atan()))
    }

    /// Returns the point at an angle θ in radians.
    #[must_use]
    pub fn point(&self, angle: f64) -> Point {
        self.center + self.u * angle.cos() + self.v * angle.sin()
    }

    /// Returns the largest distance of the whole ellipse from its centre.
    fn longest(&self) -> f64 {
        let (sum, difference) = (self.u.hypot2() + self.v.hypot2(), self.u.hypot2() - self.v.hypot2());
        (0.5 * (sum + difference.hypot(2.0 * self.u.dot(self.v)))).sqrt()
    }

    /// Returns the radius if it is an arc of a circle, to a millionth.
    #[must_use]
    pub fn circle_radius(&self) -> Option<f64> {
        let radius = self.u.hypot();
        let off = (self.v.hypot() - radius).abs().max(self.u.dot(self.v).abs() / radius);
        (off <= ROUND_ARC_SHARE * radius).then_some(radius)
    }

    /// Tells whether it is a whole circle or ellipse.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.sweep.abs() >= TAU - WHOLE_TURN_RAD
    }

    fn bounds(&self) -> Rect {
        let (low, high) = (self.start.min(self.start + self.sweep), self.start.max(self.start + self.sweep));
        let mut bounds = Rect::from_points(self.point(low), self.point(high));
        // Where the tangent is upright or level.
        for first in [self.v.x.atan2(self.u.x), self.v.y.atan2(self.u.y)] {
            let mut angle = first + PI * ((low - first) / PI).ceil();
            for _ in 0..3 {
                if angle > high {
                    break;
                }
                bounds = bounds.union_pt(self.point(angle));
                angle += PI;
            }
        }
        bounds
    }
}

impl From<ConjugateArc> for ReadSegment {
    fn from(arc: ConjugateArc) -> Self {
        Self::Arc(Box::new(arc))
    }
}

impl From<CubicBez> for ReadSegment {
    fn from(cubic: CubicBez) -> Self {
        Self::Cubic(Box::new(cubic))
    }
}

impl ReadSegment {
    /// Returns where it starts.
    #[must_use]
    pub fn start(&self) -> Point {
        match self {
            Self::Line(line) => line.p0,
            Self::Arc(arc) => arc.point(arc.start),
            Self::Cubic(cubic) => cubic.p0,
        }
    }

    /// Returns where it ends.
    #[must_use]
    pub fn end(&self) -> Point {
        match self {
            Self::Line(line) => line.p1,
            Self::Arc(arc) => arc.point(arc.start + arc.sweep),
            Self::Cubic(cubic) => cubic.p3,
        }
    }

    /// Returns the point half way along its parameter.
    #[must_use]
    pub fn middle(&self) -> Point {
        match self {
            Self::Line(line) => line.p0.midpoint(line.p1),
            Self::Arc(arc) => arc.point(arc.start + 0.5 * arc.sweep),
            Self::Cubic(cubic) => cubic.eval(0.5),
        }
    }

    /// Returns the same stroke drawn the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Line(line) => Self::Line(Line::new(line.p1, line.p0)),
            Self::Arc(arc) => ConjugateArc { start: arc.start + arc.sweep, sweep: -arc.sweep, ..**arc }.into(),
            Self::Cubic(cubic) => CubicBez::new(cubic.p3, cubic.p2, cubic.p1, cubic.p0).into(),
        }
    }

    /// Returns the stroke after a change of coordinates, exactly.
    #[must_use]
    pub fn transformed(&self, by: Affine) -> Self {
        match self {
            Self::Line(line) => Self::Line(by * *line),
            Self::Arc(arc) => {
                let [a, b, c, d, _, _] = by.as_coeffs();
                let turned = |vector: Vec2| Vec2::new(a * vector.x + c * vector.y, b * vector.x + d * vector.y);
                ConjugateArc { center: by * arc.center, u: turned(arc.u), v: turned(arc.v), ..**arc }.into()
            }
            Self::Cubic(cubic) => (by * **cubic).into(),
        }
    }

    /// Returns the smallest upright rectangle round it, exact for curves too.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Line(line) => Rect::from_points(line.p0, line.p1),
            Self::Arc(arc) => arc.bounds(),
            Self::Cubic(cubic) => cubic.bounding_box(),
        }
    }

    /// Tells whether nothing but a dot is drawn: no point lies farther than `length` millimetres from the start.
    #[must_use]
    pub fn is_dot(&self, length: f64) -> bool {
        let bounds = self.bounds();
        bounds.width().max(bounds.height()) <= length
    }

    /// Appends the points of chords that stay within `tolerance` millimetres of it, without the first one.
    ///
    /// A curve gets at most 20,000 chords.
    pub fn flatten_into(&self, tolerance: f64, points: &mut Vec<Point>) {
        match self {
            Self::Line(line) => points.push(line.p1),
            Self::Arc(arc) => {
                // The image of a circle's chord is off by at most the longest semi-axis times 1 − cos(Δ/2).
                let share = (tolerance / arc.longest()).clamp(0.0, 2.0);
                let step = (4.0 * (0.5 * share).sqrt().min(1.0).asin()).min(FRAC_PI_2);
                let chords = (arc.sweep.abs() / step).ceil().clamp(1.0, MOST_CHORDS);
                points.extend(
                    (1..=chords as usize).map(|chord| arc.point(arc.start + arc.sweep * (chord as f64 / chords))),
                );
            }
            Self::Cubic(cubic) => {
                let hull =
                    (cubic.p1 - cubic.p0).hypot() + (cubic.p2 - cubic.p1).hypot() + (cubic.p3 - cubic.p2).hypot();
                let path = [PathEl::MoveTo(cubic.p0), PathEl::CurveTo(cubic.p1, cubic.p2, cubic.p3)];
                // The number of chords grows with the root of the length over the tolerance.
                let tolerance = tolerance.max(hull / (MOST_CHORDS * MOST_CHORDS));
                kurbo::flatten(path, tolerance, |element| {
                    if let PathEl::LineTo(point) = element {
                        points.push(point);
                    }
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, SQRT_2, TAU};

    use kurbo::{Affine, Point, Rect, Vec2};

    use super::{ConjugateArc, ReadSegment};

    fn near(a: Point, b: Point) -> bool {
        a.distance(b) < 1e-9
    }

    #[test]
    fn a_bulge_is_the_tangent_of_a_quarter_of_the_sweep() {
        // DXF reference, VERTEX, group 42: 1 is a semicircle, above zero counter-clockwise where y runs up.
        let half = ConjugateArc::bulged(Point::new(0.0, 0.0), Point::new(2.0, 0.0), 1.0);
        assert!(half.is_some_and(
            |arc| near(arc.center, Point::new(1.0, 0.0)) && near(arc.point(FRAC_PI_2), Point::new(1.0, -1.0))
        ));
        let quarter = ConjugateArc::bulged(Point::new(1.0, 0.0), Point::new(0.0, 1.0), SQRT_2 - 1.0);
        assert!(quarter.is_some_and(|arc| near(arc.center, Point::ORIGIN) && (arc.sweep - FRAC_PI_2).abs() < 1e-12));
        assert!(ConjugateArc::bulged(Point::ORIGIN, Point::new(1.0, 0.0), 0.0).is_none());
    }

    #[test]
    fn bounds_and_ends_survive_any_change_of_coordinates() {
        let whole = ConjugateArc {
            center: Point::new(5.0, 5.0),
            u: Vec2::new(3.0, 0.0),
            v: Vec2::new(0.0, 2.0),
            start: 0.3,
            sweep: -TAU,
        };
        assert_eq!(ReadSegment::from(whole).bounds(), Rect::new(2.0, 3.0, 8.0, 7.0));
        let slanted = ReadSegment::from(whole).transformed(Affine::new([1.0, 0.5, -0.2, 1.4, 3.0, 9.0]));
        let mut points = vec![slanted.start()];
        slanted.flatten_into(1e-6, &mut points);
        let bounds =
            points.iter().fold(Rect::from_points(points[0], points[0]), |bounds, &point| bounds.union_pt(point));
        let exact = slanted.bounds();
        assert!((bounds.x0 - exact.x0).abs() < 1e-5 && (bounds.y1 - exact.y1).abs() < 1e-5, "{bounds} {exact}");
        assert!(near(slanted.reversed().start(), slanted.end()) && near(slanted.reversed().middle(), slanted.middle()));
    }

    #[test]
    fn chords_stay_within_the_tolerance() {
        let arc = ReadSegment::from(ConjugateArc::circular(Point::ORIGIN, Point::new(200.0, 0.0), TAU));
        let mut points = vec![arc.start()];
        arc.flatten_into(0.01, &mut points);
        // The sagitta formula asks for π / acos(1 − tol/r) chords.
        let least = std::f64::consts::PI / (1.0 - 0.01 / 200.0_f64).acos();
        assert_eq!(points.len() - 1, least.ceil() as usize);
        let sagitta =
            points.windows(2).map(|pair| 200.0 - pair[0].midpoint(pair[1]).to_vec2().hypot()).fold(0.0, f64::max);
        assert!(sagitta <= 0.01, "{sagitta}");
    }
}
