//! Smooth curves replaced by chains of circular arcs that touch each other without a corner.

use kurbo::{CubicBez, Line, ParamCurve, ParamCurveDeriv, Point, Vec2};

use super::{Arc, Segment};
use crate::tolerance::SAME_DIRECTION_RAD;

/// A place on a curve with the unit direction of travel there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Knot {
    pub(super) point: Point,
    pub(super) direction: Vec2,
}

/// A curve that is to be replaced, travelled from 0 to 1.
pub(super) trait Curve {
    /// Returns the place at a share of the curve's parameter.
    fn knot(&self, share: f64) -> Knot;
}

/// Places at which the distance between a piece of the curve and its two arcs is measured.
const MEASURED: usize = 16;
/// Share of the tolerance that is kept back for what lies between the places measured: the error of each arc is one
/// smooth bump, which eight places hit within two hundredths of its height.
const KEPT_BACK: f64 = 0.95;
/// Halving a curve this often leaves pieces of a few nanometres.
const DEEPEST: u32 = 24;
/// A piece that turns further than this is halved first, so that its two arcs cannot run the wrong way round.
const MOST_TURN: f64 = 1.6;

/// Appends arcs within `tolerance` millimetres of a curve that start and end at the given knots.
///
/// Neighbouring arcs share their direction to rounding, so that the parallel outline of the chain has no corner
/// either. The two arcs of a piece are those with tangents of equal length at both ends.
pub(super) fn fit(curve: &impl Curve, ends: [Knot; 2], tolerance: f64, into: &mut Vec<Segment>) {
    fit_part(curve, [0.0, 1.0], ends, tolerance, DEEPEST, into);
}

fn fit_part(
    curve: &impl Curve,
    [from, to]: [f64; 2],
    [start, end]: [Knot; 2],
    tolerance: f64,
    depth: u32,
    into: &mut Vec<Segment>,
) {
    let fitted = pair(start, end).filter(|pair| error(curve, from, to, pair) <= KEPT_BACK * tolerance);
    match fitted {
        Some(pair) => into.extend(pair),
        None if depth == 0 => {
            if start.point != end.point {
                into.push(Segment::Line(Line::new(start.point, end.point)));
            }
        }
        None => {
            let middle = 0.5 * (from + to);
            let knot = curve.knot(middle);
            fit_part(curve, [from, middle], [start, knot], tolerance, depth - 1, into);
            fit_part(curve, [middle, to], [knot, end], tolerance, depth - 1, into);
        }
    }
}

/// Returns the largest distance measured between a part of a curve and the arcs that stand for it.
fn error(curve: &impl Curve, from: f64, to: f64, pair: &[Segment; 2]) -> f64 {
    (1..MEASURED)
        .map(|place| {
            let point = curve.knot(from + (to - from) * place as f64 / MEASURED as f64).point;
            pair.iter().map(|segment| segment.nearest(point).distance(point)).fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max)
}

/// Returns the two arcs that join two knots.
fn pair(start: Knot, end: Knot) -> Option<[Segment; 2]> {
    let turn = start.direction.cross(end.direction).atan2(start.direction.dot(end.direction));
    if turn.abs() > MOST_TURN {
        return None;
    }
    // With tangents of length d at both ends the joint is midway between their tips, and
    // |P1 − P0 − d (T0 + T1)| = 2 d; solved for d without cancellation.
    let chord = end.point - start.point;
    let along = chord.dot(start.direction + end.direction);
    let apart = (end.direction - start.direction).hypot2();
    let reach = chord.hypot2() / (along + (along * along + apart * chord.hypot2()).sqrt());
    if !(along > 0.0 && reach.is_finite() && reach > 0.0) {
        return None;
    }
    let joint = (start.point + start.direction * reach).midpoint(end.point - end.direction * reach);
    let first = touching(start, joint)?;
    let last = touching(Knot { point: end.point, direction: -end.direction }, joint)?.reversed();
    Some([first, last])
}

/// Returns the arc that leaves a knot in its direction and ends at a point; a line if it is straight.
fn touching(from: Knot, to: Point) -> Option<Segment> {
    const LARGEST_RADIUS_MM: f64 = 1e9;
    let chord = to - from.point;
    let sweep = 2.0 * from.direction.cross(chord).atan2(from.direction.dot(chord));
    let radius = 0.5 * chord.hypot2() / from.direction.cross(chord).abs();
    if sweep.abs() > MOST_TURN || chord.hypot2() == 0.0 {
        return None;
    }
    if sweep.abs() <= SAME_DIRECTION_RAD || radius > LARGEST_RADIUS_MM {
        return Some(Segment::Line(Line::new(from.point, to)));
    }
    let normal = Vec2::new(from.direction.y, -from.direction.x) * sweep.signum();
    Some(Segment::Arc(Arc::circular(from.point - normal * radius, radius, normal.atan2(), sweep)))
}

impl Curve for CubicBez {
    fn knot(&self, share: f64) -> Knot {
        let derivative = self.deriv().eval(share).to_vec2();
        let direction = if derivative.hypot() > 1e-9 * (self.p3 - self.p0).hypot() {
            derivative
        } else {
            // Where a handle has no length the curve still has a direction.
            self.eval((share + 1e-4).min(1.0)) - self.eval((share - 1e-4).max(0.0))
        };
        Knot { point: self.eval(share), direction: unit(direction) }
    }
}

impl Curve for Arc {
    fn knot(&self, share: f64) -> Knot {
        let angle = self.start + share * self.sweep;
        Knot { point: self.point(angle), direction: self.tangent(angle) }
    }
}

/// Returns the unit vector in a direction; to the right if there is none.
fn unit(direction: Vec2) -> Vec2 {
    let length = direction.hypot();
    if length > 0.0 { direction / length } else { Vec2::new(1.0, 0.0) }
}
