//! Curves of DXF made of control points, knots and weights, as cubic Bézier curves.

use kurbo::{CubicBez, ParamCurve, Point, Vec2};

use crate::formats::reading::ReadSegment;
use crate::pairs::pairs;
use crate::tolerance::SPLINE_SHARE;

/// Highest degree that is drawn; programs write 2, 3 and now and then 5.
const HIGHEST_DEGREE: usize = 25;
/// A stretch between two knots is halved no more often than this.
const MOST_HALVINGS: u32 = 8;

/// A non-uniform rational B-spline (DXF reference, SPLINE; de Boor, "A Practical Guide to Splines").
#[derive(Debug)]
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    /// x · w, y · w and w of each control point.
    weighted: Vec<[f64; 3]>,
}

impl Spline {
    /// Puts a spline together; `None` if the numbers do not make one. Without weights all are one.
    pub(super) fn new(degree: usize, knots: Vec<f64>, points: &[Point], weights: &[f64]) -> Option<Self> {
        let counts = (1..=HIGHEST_DEGREE).contains(&degree)
            && points.len() > degree
            && knots.len() == points.len() + degree + 1
            && (weights.is_empty() || weights.len() == points.len());
        let rising = pairs(&knots).all(|(a, b)| a <= b);
        let usable = |weight: &f64| (1e-6..=1e6).contains(weight);
        if !counts || !rising || !weights.iter().all(usable) {
            return None;
        }
        let weight = |at: usize| weights.get(at).copied().unwrap_or(1.0);
        let weighted =
            points.iter().enumerate().map(|(at, point)| [point.x * weight(at), point.y * weight(at), weight(at)]);
        let spline = Self { degree, knots, weighted: weighted.collect() };
        let has_length = spline.spans().next().is_some();
        has_length.then_some(spline)
    }

    /// Lists the stretches between different knots, by the index of the knot at their start.
    fn spans(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        let last = self.weighted.len();
        (self.degree..last).filter_map(|index| {
            let (from, to) = (*self.knots.get(index)?, *self.knots.get(index + 1)?);
            (from < to).then_some((index, from, to))
        })
    }

    /// Returns place and derivative at a parameter on the stretch that starts with the knot `span` (de Boor's algorithm).
    fn at(&self, span: usize, parameter: f64) -> Option<(Point, Vec2)> {
        let degree = self.degree;
        let mut column: Vec<[f64; 3]> = self.weighted.get(span - degree..=span)?.to_vec();
        let mut slope = [0.0; 3];
        for level in 1..=degree {
            if level == degree
                && let [first, second] = *column.get(..2)?
            {
                let width = self.knots.get(span + 1)? - self.knots.get(span)?;
                slope = difference(second, first).map(|number| number * degree as f64 / width);
            }
            for index in 0..=degree - level {
                let low = *self.knots.get(span - degree + level + index)?;
                let high = *self.knots.get(span + 1 + index)?;
                let share = (parameter - low) / (high - low);
                let (from, to) = (*column.get(index)?, *column.get(index + 1)?);
                let between = |from: f64, to: f64| from + (to - from) * share;
                *column.get_mut(index)? = [between(from[0], to[0]), between(from[1], to[1]), between(from[2], to[2])];
            }
        }
        let [x, y, w] = *column.first()?;
        let place = Vec2::new(x, y) / w;
        let [dx, dy, dw] = slope;
        let derivative = (Vec2::new(dx, dy) - place * dw) / w;
        (place.is_finite() && derivative.is_finite()).then_some((place.to_point(), derivative))
    }

    /// Appends Bézier curves that stay within a ten millionth of its size; exact up to degree 3 without weights.
    ///
    /// Returns `None` where the numbers are beyond all measure.
    pub(super) fn append_to(&self, pieces: &mut Vec<ReadSegment>) -> Option<()> {
        let tolerance = SPLINE_SHARE * self.reach();
        for (span, from, to) in self.spans() {
            let mut waiting = vec![(from, to, 0)];
            while let Some((from, to, halvings)) = waiting.pop() {
                let (start, leaves) = self.at(span, from)?;
                let (end, arrives) = self.at(span, to)?;
                let third = (to - from) / 3.0;
                let cubic = CubicBez::new(start, start + leaves * third, end - arrives * third, end);
                let is_near = |share: f64| {
                    let place = self.at(span, from + (to - from) * share).map(|(place, _)| place);
                    place.is_some_and(|place| place.distance(cubic.eval(share)) <= tolerance)
                };
                if halvings >= MOST_HALVINGS || [0.25, 0.5, 0.75].into_iter().all(is_near) {
                    pieces.push(cubic.into());
                } else {
                    let middle = from.midpoint(to);
                    waiting.push((middle, to, halvings + 1));
                    waiting.push((from, middle, halvings + 1));
                }
            }
        }
        Some(())
    }

    /// Returns the larger side of the box of its control points.
    fn reach(&self) -> f64 {
        let places = || self.weighted.iter().map(|[x, y, w]| Vec2::new(x / w, y / w));
        let low = places().fold(Vec2::new(f64::INFINITY, f64::INFINITY), |a, b| Vec2::new(a.x.min(b.x), a.y.min(b.y)));
        let high =
            places().fold(-Vec2::new(f64::INFINITY, f64::INFINITY), |a, b| Vec2::new(a.x.max(b.x), a.y.max(b.y)));
        (high.x - low.x).max(high.y - low.y)
    }
}

fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    let ([ax, ay, aw], [bx, by, bw]) = (a, b);
    [ax - bx, ay - by, aw - bw]
}

#[cfg(test)]
mod tests {
    use std::f64::consts::FRAC_1_SQRT_2;

    use kurbo::{CubicBez, ParamCurve, Point};

    use super::{ReadSegment, Spline};

    fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|&point| point.into()).collect()
    }

    fn pieces(spline: &Spline) -> Vec<ReadSegment> {
        let mut pieces = Vec::new();
        spline.append_to(&mut pieces).unwrap();
        pieces
    }

    #[test]
    fn four_points_of_degree_three_are_a_bezier_curve() {
        let control = points(&[(0.0, 0.0), (1.0, 2.0), (3.0, 2.0), (4.0, 0.0)]);
        let spline = Spline::new(3, [[0.0; 4], [2.0; 4]].concat(), &control, &[]).unwrap();
        let [ReadSegment::Cubic(ref found)] = pieces(&spline)[..] else { panic!("one curve") };
        let cubic = CubicBez::new(control[0], control[1], control[2], control[3]);
        for at in 0..=10 {
            let share = f64::from(at) / 10.0;
            assert!(found.eval(share).distance(cubic.eval(share)) < 1e-12);
        }
    }

    #[test]
    fn nine_weighted_points_are_a_circle() {
        // The circle of "The NURBS Book", Piegl and Tiller, example 7.3: degree 2, weights 1 and cos 45°.
        let control = points(&[
            (1.0, 0.0),
            (1.0, 1.0),
            (0.0, 1.0),
            (-1.0, 1.0),
            (-1.0, 0.0),
            (-1.0, -1.0),
            (0.0, -1.0),
            (1.0, -1.0),
            (1.0, 0.0),
        ]);
        let weights: Vec<f64> = (0..9).map(|at| if at % 2 == 0 { 1.0 } else { FRAC_1_SQRT_2 }).collect();
        let knots = vec![0.0, 0.0, 0.0, 0.25, 0.25, 0.5, 0.5, 0.75, 0.75, 1.0, 1.0, 1.0];
        let spline = Spline::new(2, knots, &control, &weights).unwrap();
        let found = pieces(&spline);
        let off = |piece: &ReadSegment| {
            let ReadSegment::Cubic(cubic) = piece else { panic!("a curve") };
            (0..=8).map(|at| (cubic.eval(f64::from(at) / 8.0).to_vec2().hypot() - 1.0).abs()).fold(0.0, f64::max)
        };
        let worst = found.iter().map(off).fold(0.0, f64::max);
        assert!(worst < 2.1e-7 && found.len() <= 128, "{worst} {}", found.len());
    }

    #[test]
    fn numbers_that_make_no_spline_are_refused() {
        let control = points(&[(0.0, 0.0), (1.0, 2.0), (3.0, 2.0), (4.0, 0.0)]);
        let clamped = [[0.0; 4], [1.0; 4]].concat();
        assert!(Spline::new(0, vec![0.0; 5], &control, &[]).is_none());
        assert!(Spline::new(3, vec![0.0; 8], &control, &[]).is_none());
        assert!(Spline::new(3, clamped[1..].to_vec(), &control, &[]).is_none());
        assert!(Spline::new(3, clamped.clone(), &control, &[1.0, 0.0, 1.0, 1.0]).is_none());
        assert!(Spline::new(3, clamped.iter().rev().copied().collect(), &control, &[]).is_none());
        assert!(Spline::new(4, clamped, &control, &[]).is_none());
    }
}
