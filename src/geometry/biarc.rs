//! Smooth curves replaced by chains of circular arcs that touch each other without a corner.

use kurbo::{CubicBez, Line, ParamCurve, ParamCurveDeriv, Point, Vec2};

use super::{Arc, Segment};
use crate::tolerance::{LAST_SHARE, NO_HANDLE_SHARE, SAME_DIRECTION_RAD, SAME_LENGTH_MM, STEP_SHARE};

/// A place on a curve with the unit direction of travel there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TangentPoint {
    pub(super) point: Point,
    pub(super) direction: Vec2,
}

/// A curve that is to be replaced, travelled from 0 to 1.
pub(super) trait Curve {
    /// Returns the place at a share of the curve's parameter.
    fn tangent_point(&self, share: f64) -> TangentPoint;
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
pub(super) fn fit(curve: &impl Curve, ends: [TangentPoint; 2], tolerance: f64, into: &mut Vec<Segment>) {
    fit_part(curve, [0.0, 1.0], ends, tolerance, DEEPEST, into);
}

fn fit_part(
    curve: &impl Curve,
    [from, to]: [f64; 2],
    [start, end]: [TangentPoint; 2],
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
            let tangent_point = curve.tangent_point(middle);
            fit_part(curve, [from, middle], [start, tangent_point], tolerance, depth - 1, into);
            fit_part(curve, [middle, to], [tangent_point, end], tolerance, depth - 1, into);
        }
    }
}

/// Returns pieces as lines and arcs of circles within `tolerance` millimetres of them.
///
/// Lines and arcs of circles stay what they are; other curves become chains of arcs that touch each other.
#[must_use]
pub fn circular_segments(segments: &[Segment], tolerance: f64) -> Vec<Segment> {
    let mut circular = Vec::with_capacity(segments.len());
    for segment in segments {
        match segment {
            Segment::Arc(arc) => arc.append_circular(tolerance, &mut circular),
            line @ Segment::Line(_) => circular.push(*line),
        }
    }
    circular
}

impl Arc {
    /// Appends arcs of circles within `tolerance` millimetres of the arc, which touch each other without a corner.
    ///
    /// Each pair of them is as long as the tolerance allows, to a few hundredths; an arc of a circle stays what it is. A
    /// tolerance below [`SAME_LENGTH_MM`] counts as that.
    pub fn append_circular(&self, tolerance: f64, into: &mut Vec<Segment>) {
        if self.circle_radius().is_some() {
            into.push(Segment::Arc(*self));
            return;
        }
        let tolerance = KEPT_BACK * tolerance.max(SAME_LENGTH_MM);
        for part in self.split_at_axes() {
            part.append_pairs(tolerance, into);
        }
    }

    /// Walks along the arc with the longest pairs of arcs that stay within the tolerance.
    ///
    /// The error of a pair grows with about the third power of its length, which tells the next guess.
    fn append_pairs(&self, tolerance: f64, into: &mut Vec<Segment>) {
        const ROUNDS: usize = 12;
        let mut done = 0.0;
        let mut step = 1.0;
        while done < 1.0 {
            let mut fits: Option<(f64, [Segment; 2])> = None;
            for _ in 0..ROUNDS {
                step = f64::min(step, 1.0 - done);
                let found = pair(self.tangent_point(done), self.tangent_point(done + step));
                let off = found.map_or(f64::INFINITY, |pair| error(self, done, done + step, &pair));
                if let Some(pair) = found.filter(|_| off <= tolerance && fits.is_none_or(|(best, _)| best < step)) {
                    fits = Some((step, pair));
                }
                if off <= tolerance && (off > 0.8 * tolerance || step >= 1.0 - done) {
                    break;
                }
                step *= (0.9 * tolerance / off).cbrt().clamp(0.4, 2.0);
            }
            let Some((length, pair)) = fits else {
                // Not even a tiny part of the curve fits: the general way halves it until it does.
                fit_part(
                    self,
                    [done, 1.0],
                    [self.tangent_point(done), self.tangent_point(1.0)],
                    tolerance,
                    DEEPEST,
                    into,
                );
                return;
            };
            into.extend(pair);
            // The last share would otherwise be missed by rounding.
            done = if done + length > 1.0 - LAST_SHARE { 1.0 } else { done + length };
            step = length;
        }
    }
}

/// Returns the largest distance measured between a part of a curve and the arcs that stand for it.
fn error(curve: &impl Curve, from: f64, to: f64, pair: &[Segment; 2]) -> f64 {
    (1..MEASURED)
        .map(|place| {
            let point = curve.tangent_point(from + (to - from) * place as f64 / MEASURED as f64).point;
            pair.iter().map(|segment| segment.nearest(point).distance(point)).fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max)
}

/// Returns the two arcs that join two knots.
fn pair(start: TangentPoint, end: TangentPoint) -> Option<[Segment; 2]> {
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
    let last = touching(TangentPoint { point: end.point, direction: -end.direction }, joint)?.reversed();
    Some([first, last])
}

/// Returns the arc that leaves a knot in its direction and ends at a point; a line if it is straight.
fn touching(from: TangentPoint, to: Point) -> Option<Segment> {
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
    fn tangent_point(&self, share: f64) -> TangentPoint {
        let derivative = self.deriv().eval(share).to_vec2();
        let direction = if derivative.hypot() > NO_HANDLE_SHARE * (self.p3 - self.p0).hypot() {
            derivative
        } else {
            // Where a handle has no length the curve still has a direction.
            self.eval((share + STEP_SHARE).min(1.0)) - self.eval((share - STEP_SHARE).max(0.0))
        };
        TangentPoint { point: self.eval(share), direction: unit(direction) }
    }
}

impl Curve for Arc {
    fn tangent_point(&self, share: f64) -> TangentPoint {
        let angle = self.start + share * self.sweep;
        TangentPoint { point: self.point(angle), direction: self.tangent(angle) }
    }
}

/// Returns the unit vector in a direction; to the right if there is none.
fn unit(direction: Vec2) -> Vec2 {
    let length = direction.hypot();
    if length > 0.0 { direction / length } else { Vec2::new(1.0, 0.0) }
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use crate::geometry::{Arc, Segment};

    #[test]
    fn a_chain_of_arcs_stays_within_its_tolerance_and_has_no_corner() {
        for (rx, ry, distance) in [(127.0, 101.6, 0.0), (150.0, 15.0, 1.4), (400.0, 40.0, -1.4), (60.0, 59.0, 0.0)] {
            let curve = Arc { distance, ..Arc::elliptical(Point::new(3.0, 4.0), rx, ry, 0.4, 0.3, 5.5) };
            for tolerance in [0.1, 0.01, 0.001] {
                let mut chain = Vec::new();
                curve.append_circular(tolerance, &mut chain);
                for pair in chain.windows(2) {
                    assert!(pair[0].end().distance(pair[1].start()) < 1e-9);
                    assert!(pair[0].end_direction().cross(pair[1].start_direction()).abs() < 1e-9);
                }
                for segment in &chain {
                    for place in 0..=24 {
                        let at = match segment {
                            Segment::Line(line) => line.p0.lerp(line.p1, f64::from(place) / 24.0),
                            Segment::Arc(arc) => arc.point(arc.start + arc.sweep * f64::from(place) / 24.0),
                        };
                        let off = Segment::Arc(curve).nearest(at).distance(at);
                        assert!(off <= tolerance, "{off} for {tolerance} on {rx} x {ry}");
                    }
                }
            }
        }
    }
}
