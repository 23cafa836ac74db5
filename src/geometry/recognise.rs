//! Bézier curves recognised as the arcs of circles and ellipses for which they stand.

use std::f64::consts::{FRAC_PI_2, TAU};

use kurbo::{CubicBez, Point, Vec2};

use super::Arc;
use crate::tolerance::{
    CLOSED_SHARE, QUARTER_HANDLE_SHARE, QUARTER_RAD, ROUND_SHARE, SAME_HANDLE_SHARE, SQUARE_SHARE, UPRIGHT_RAD,
};

/// A drawing program writes no more than a quarter turn as one curve; a little more is left for rounding.
const MOST_TURN: f64 = FRAC_PI_2 * 1.01;
/// Larger radii in millimetres are straight lines to any cutter.
const LARGEST_RADIUS_MM: f64 = 1e6;
/// An arc of an ellipse that a cubic curve stands for.
///
/// Its points are `center + u cos θ + v sin θ`.
#[derive(Debug, Clone, Copy)]
pub(super) struct RecognisedArc {
    center: Point,
    /// Elements xx, xy, yy of the symmetric matrix `u uᵀ + v vᵀ`, the same for all arcs of one ellipse.
    shape: [f64; 3],
    start: Point,
    end: Point,
    turns_positive: bool,
    /// Whether one curve alone proves the arc: it is of a circle, or a quarter between the axes of an ellipse.
    sure: bool,
}

/// Returns the arc whose customary Bézier curve a cubic is, within `tolerance` millimetres of its handles.
///
/// The handles of an arc of θ have `k = 4/3 tan(θ/4)` of the length of the conjugate half diameters; that the chord
/// lies along the sum of the handles and is `tan(θ/2)/k` times as long is the test for an ellipse.
pub(super) fn arc_of(cubic: &CubicBez, tolerance: f64) -> Option<RecognisedArc> {
    let chord = cubic.p3 - cubic.p0;
    let tolerance = tolerance.min(SAME_HANDLE_SHARE * chord.hypot());
    circle_of(cubic, tolerance).or_else(|| ellipse_of(cubic, tolerance))
}

fn circle_of(cubic: &CubicBez, tolerance: f64) -> Option<RecognisedArc> {
    let (first, last, chord) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2, cubic.p3 - cubic.p0);
    let turn = first.cross(last).atan2(first.dot(last));
    let half = 0.5 * turn;
    let radius = 0.5 * chord.hypot() / half.sin().abs();
    if !(turn.abs() <= MOST_TURN && radius < LARGEST_RADIUS_MM) {
        return None;
    }
    let exact = radius * 4.0 / 3.0 * (0.25 * turn).abs().tan();
    let measured = 0.5 * (first.hypot() + last.hypot());
    let customary =
        (turn.abs() - FRAC_PI_2).abs() < QUARTER_RAD && (measured - exact).abs() < QUARTER_HANDLE_SHARE * exact;
    let reach = if customary { measured } else { exact };
    let along = chord / chord.hypot();
    let handle = |angle: f64| turned(along, angle) * reach;
    let miss = (first - handle(-half)).hypot().max((last - handle(half)).hypot());
    if miss > tolerance {
        return None;
    }
    let to_center = Vec2::new(-along.y, along.x) * turn.signum() * radius * half.cos();
    let square = radius * radius;
    Some(RecognisedArc {
        center: cubic.p0.midpoint(cubic.p3) + to_center,
        shape: [square, 0.0, square],
        start: cubic.p0,
        end: cubic.p3,
        turns_positive: turn > 0.0,
        sure: true,
    })
}

fn ellipse_of(cubic: &CubicBez, tolerance: f64) -> Option<RecognisedArc> {
    let (first, last, chord) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2, cubic.p3 - cubic.p0);
    let sum = first + last;
    let ratio = chord.dot(sum) / sum.hypot2();
    let quarter = (ratio * quarter_handle() - 1.0).abs() < QUARTER_HANDLE_SHARE;
    let (turn, handle) = if quarter {
        (FRAC_PI_2, 1.0 / ratio)
    } else {
        let turn = turn_of(ratio)?;
        (turn, 4.0 / 3.0 * (0.25 * turn).tan())
    };
    let v = first / handle;
    let u = (v * turn.cos() - last / handle) / turn.sin();
    let center = cubic.p0 - u;
    let miss = (center + u * turn.cos() + v * turn.sin()) - cubic.p3;
    if !(miss.hypot() <= tolerance && u.hypot().max(v.hypot()) < LARGEST_RADIUS_MM) {
        return None;
    }
    let square = u.dot(v).abs() < SQUARE_SHARE * u.hypot() * v.hypot();
    Some(RecognisedArc {
        center,
        shape: [u.x * u.x + v.x * v.x, u.x * u.y + v.x * v.y, u.y * u.y + v.y * v.y],
        start: cubic.p0,
        end: cubic.p3,
        turns_positive: u.cross(v) > 0.0,
        sure: quarter && square,
    })
}

/// Returns the handle of a quarter of a unit circle that touches it in the middle, `4/3 (√2 − 1)`.
fn quarter_handle() -> f64 {
    4.0 / 3.0 * (std::f64::consts::SQRT_2 - 1.0)
}

/// Returns the eccentric angle whose chord is `ratio` times the sum of its handles, by halving.
fn turn_of(ratio: f64) -> Option<f64> {
    let ratio_of = |turn: f64| (0.5 * turn).tan() / (4.0 / 3.0 * (0.25 * turn).tan());
    let (mut low, mut high) = (0.2, MOST_TURN);
    if !(ratio >= ratio_of(low) && ratio <= ratio_of(high)) {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if ratio_of(middle) < ratio { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}

/// Makes one arc of the arcs of a run of curves, all of one ellipse; `None` if the run does not prove an arc.
pub(super) fn joined(run: &[RecognisedArc]) -> Option<Arc> {
    let (first, last) = (run.first()?, run.last()?);
    if run.len() < 2 && !first.sure {
        return None;
    }
    let count = run.len() as f64;
    let mean = |of: &dyn Fn(&RecognisedArc) -> f64| run.iter().map(of).sum::<f64>() / count;
    let center = Point::new(mean(&|found| found.center.x), mean(&|found| found.center.y));
    let [xx, xy, yy] = [mean(&|found| found.shape[0]), mean(&|found| found.shape[1]), mean(&|found| found.shape[2])];
    // The eigenvalues of the shape are the squares of the half axes.
    let (middle, spread) = (0.5 * (xx + yy), (0.5 * (xx - yy)).hypot(xy));
    let (long, short) = ((middle + spread).sqrt(), (middle - spread).max(0.0).sqrt());
    let mut arc = if long - short < ROUND_SHARE * long {
        Arc::circular(center, middle.sqrt(), 0.0, 1.0)
    } else {
        upright(center, long, short, 0.5 * xy.atan2(0.5 * (xx - yy)))
    };
    if !(arc.rx > 0.0 && arc.ry > 0.0) {
        return None;
    }
    arc.start = arc.nearest_on_carrier(first.start);
    let direction = if first.turns_positive { 1.0 } else { -1.0 };
    if run.len() > 2 && first.start.distance(last.end) <= CLOSED_SHARE * short {
        arc.sweep = TAU * direction;
        return Some(arc);
    }
    let turn = (arc.nearest_on_carrier(last.end) - arc.start) * direction;
    arc.sweep = direction * turn.rem_euclid(TAU);
    Some(arc)
}

/// Makes an ellipse; one that is upright but for rounding becomes so.
fn upright(center: Point, long: f64, short: f64, turn: f64) -> Arc {
    if turn.abs() < UPRIGHT_RAD {
        Arc::elliptical(center, long, short, 0.0, 0.0, 1.0)
    } else if (turn.abs() - FRAC_PI_2).abs() < UPRIGHT_RAD {
        Arc::elliptical(center, short, long, 0.0, 0.0, 1.0)
    } else {
        Arc::elliptical(center, long, short, turn, 0.0, 1.0)
    }
}

impl RecognisedArc {
    /// Tells whether another arc that starts where this one ends lies on the same ellipse within `tolerance` millimetres.
    pub(super) fn continues(&self, next: &Self, tolerance: f64) -> bool {
        let radius = self.shape[0].max(self.shape[2]).sqrt();
        let same = |a: f64, b: f64| (a - b).abs() <= 2.0 * tolerance * radius;
        self.turns_positive == next.turns_positive
            && self.center.distance(next.center) <= tolerance
            && self.shape.iter().zip(&next.shape).all(|(&a, &b)| same(a, b))
    }
}

fn turned(vector: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(vector.x * cos - vector.y * sin, vector.x * sin + vector.y * cos)
}
