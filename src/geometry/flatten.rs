//! Polylines that stay within a tolerance of an outline, with as few points as that allows.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Vec2};

use super::{Arc, Outline, Segment};
use crate::tolerance::{ROUNDING_COUNT, ROUNDING_MM, SAME_LENGTH_MM};

/// On which side of a curve the chords lie that stand for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum Flattening {
    /// On its inner side: every point lies on the curve.
    #[default]
    Inside,
    /// On both sides: each chord cuts through the curve, and the points between the ends of a curve lie outside it, as far as the
    /// middle of a chord lies inside. That takes about 30 % fewer points at the same tolerance.
    BothSides,
}

impl Outline {
    /// Returns the corners of a closed polyline whose largest distance from the outline is at most `tolerance` millimetres.
    ///
    /// Every point lies on the outline. Curves have points where they are farthest left, right, up and down, so that
    /// the polyline has the size of the outline; between those the points are as few as the tolerance allows. A
    /// tolerance below [`SAME_LENGTH_MM`] counts as that.
    #[must_use]
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        self.flatten_by(tolerance, Flattening::Inside)
    }

    /// Returns the corners of such a polyline as [`Outline::flatten`] does, with chords on the sides of curves that are asked for.
    ///
    /// Corners of the outline, and the points where curves are farthest left, right, up and down, lie on it in any case.
    #[must_use]
    pub fn flatten_by(&self, tolerance: f64, flattening: Flattening) -> Vec<Point> {
        let tolerance = tolerance.max(SAME_LENGTH_MM);
        let mut points = Vec::with_capacity(self.segments().len());
        for segment in self.segments() {
            match segment {
                Segment::Line(line) => points.push(line.p0),
                Segment::Arc(arc) if arc.has_upright_quarters() => {
                    arc.flatten_by_quarters(tolerance, flattening, &mut points);
                }
                Segment::Arc(arc) => {
                    for part in arc.split_at_extremes() {
                        part.flatten_into(tolerance, flattening, &mut points);
                    }
                }
            }
        }
        points
    }
}

impl Arc {
    /// Appends the start of the arc and the points after it, without its end, of a polyline within `tolerance` millimetres.
    ///
    /// As in [`Outline::flatten_by`] the ends of the arc and the points farthest left, right, up and down are on it and among them,
    /// and a tolerance below [`SAME_LENGTH_MM`] counts as that.
    pub fn append_points(&self, tolerance: f64, flattening: Flattening, points: &mut Vec<Point>) {
        for part in self.split_at_extremes() {
            part.flatten_into(tolerance.max(SAME_LENGTH_MM), flattening, points);
        }
    }

    /// Appends the start of the arc and the points after it, without its end.
    pub(super) fn flatten_into(&self, tolerance: f64, flattening: Flattening, points: &mut Vec<Point>) {
        match (self.circle_radius(), flattening) {
            (Some(radius), Flattening::BothSides) if radius > tolerance => {
                self.cut_through_circle(radius, tolerance, points);
            }
            (Some(radius), _) => self.flatten_circle(radius, tolerance, points),
            (None, Flattening::Inside) => self.flatten_ellipse(tolerance, 0.0, points),
            (None, Flattening::BothSides) => {
                let first = points.len();
                self.flatten_ellipse(tolerance, tolerance, points);
                if points.get(first..).is_some_and(|added| self.leads_beyond_its_ends(added)) {
                    points.truncate(first);
                    self.flatten_ellipse(tolerance, 0.0, points);
                }
            }
        }
    }

    /// Tells whether points lie beyond the tangent at one of the ends of the arc, which is a quarter turn at most: at the tips
    /// of flat ovals, where both ends are near, a point outside the curve has no place between the tangents.
    fn leads_beyond_its_ends(&self, points: &[Point]) -> bool {
        [self.start, self.end()].into_iter().any(|angle| {
            let (normal, end) = (self.normal(angle), self.point(angle));
            points.iter().any(|point| (*point - end).dot(normal) > ROUNDING_MM)
        })
    }

    /// Tells whether the arc is a whole ellipse, or parallel curve of one, whose axes are level and upright and which
    /// starts at one of them.
    fn has_upright_quarters(&self) -> bool {
        self.is_upright() && self.is_whole_from_axis() && self.circle_radius().is_none()
    }

    /// Flattens one quarter and mirrors it to the other three.
    fn flatten_by_quarters(&self, tolerance: f64, flattening: Flattening, points: &mut Vec<Point>) {
        let quarter = self.first_quarter();
        let mut chain = Vec::new();
        quarter.flatten_into(tolerance, flattening, &mut chain);
        chain.push(quarter.point(quarter.end()));
        let start = self.point(self.start) - self.center;
        let mut starts_level = start.x.abs() > start.y.abs();
        for _ in 0..4 {
            points.extend(chain.iter().take(chain.len() - 1));
            // The next quarter is the mirror image of this one in the axis on which this one ends.
            chain.reverse();
            for point in &mut chain {
                *point = if starts_level {
                    Point::new(2.0 * self.center.x - point.x, point.y)
                } else {
                    Point::new(point.x, 2.0 * self.center.y - point.y)
                };
            }
            starts_level = !starts_level;
        }
    }

    /// Equal chords; the sagitta `r (1 − cos(θ/2))` of each is at most the tolerance.
    fn flatten_circle(&self, radius: f64, tolerance: f64, points: &mut Vec<Point>) {
        let chords = (self.sweep.abs() / largest_step(radius, tolerance) - ROUNDING_COUNT).ceil().max(1.0);
        let step = self.sweep / chords;
        let turn = Vec2::from_angle(step);
        let mut spoke = self.normal(self.start) * radius;
        for _ in 0..chords as usize {
            points.push(self.center + spoke);
            spoke = Vec2::new(spoke.x * turn.x - spoke.y * turn.y, spoke.x * turn.y + spoke.y * turn.x);
        }
    }

    /// Chords with their middles as far inside the circle as the points between them lie outside it.
    ///
    /// They are as few as the tolerance allows, and then as near to the circle as so many can be.
    fn cut_through_circle(&self, radius: f64, tolerance: f64, points: &mut Vec<Point>) {
        const ROUNDS: usize = 16;
        let half = 0.5 * self.sweep.abs();
        let (at_end, between) = half_chords(radius, tolerance);
        let more = ((half - at_end) / between - ROUNDING_COUNT).ceil().max(0.0);
        // The angles grow with about the root of the distance.
        let mut off = tolerance;
        let reached = |off: f64| {
            let (at_end, between) = half_chords(radius, off);
            at_end + more * between
        };
        for _ in 0..ROUNDS {
            off = (off * (half / reached(off)).powi(2)).min(tolerance);
        }
        let (at_end, between) = half_chords(radius, off);
        points.push(self.point(self.start));
        for point in 0..more as usize {
            let angle = self.start + (at_end + (2 * point + 1) as f64 * between) * self.sweep.signum();
            points.push(self.center + self.normal(angle) * (radius + off));
        }
    }

    /// Walks along the curve with the longest chords that stay within the tolerance.
    ///
    /// The points between its ends lie `rise` millimetres outside the curve, at most the tolerance.
    fn flatten_ellipse(&self, tolerance: f64, rise: f64, points: &mut Vec<Point>) {
        let direction = self.sweep.signum();
        let risen = self.grown(rise);
        let mut before = None;
        let mut angle = self.start;
        let mut from = self.local_point(angle);
        let mut step = largest_step(self.radius_at(angle), tolerance);
        loop {
            points.push(self.to_plane(from));
            let left = (self.end() - angle) * direction;
            let start = from;
            (step, from) = self.longest_step(&risen, (angle, from), step, left, tolerance);
            if step >= left {
                if let Some((before, start_before)) = before {
                    let moved = self.below_last_tangent(&risen, before, angle);
                    if let (Some(moved), Some(point)) = (moved, points.last_mut()) {
                        *point = self.to_plane(risen.local_point(moved));
                    }
                    let last = moved.unwrap_or(angle);
                    self.even_out_last(&risen, (before, start_before), last, tolerance, points);
                }
                return;
            }
            before = Some((angle, start));
            angle += direction * step;
        }
    }

    /// Returns the change of the normal angle, at most `left`, of the longest chord within the tolerance from a point with
    /// its normal angle, short by a few hundredths at most, and where the chord ends; `step` is a first guess.
    ///
    /// A chord ends on the parallel curve `risen`, or at the end of the arc itself. The error of a chord grows with about the
    /// square of its length, which tells the next guess; where the curve bends more and more or less and less that overshoots,
    /// and the interval between a chord that fits and one that does not is halved instead.
    fn longest_step(
        &self,
        risen: &Self,
        (angle, from): (f64, Point),
        mut step: f64,
        left: f64,
        tolerance: f64,
    ) -> (f64, Point) {
        const ROUNDS: usize = 24;
        let (mut fits, mut too_long) = ((0.0, from), f64::INFINITY);
        let mut rounds = 0;
        loop {
            step = step.min(left);
            let end = angle + self.sweep.signum() * step;
            let to = if step < left { risen.local_point(end) } else { self.local_point(end) };
            let error = self.chord_error((angle, from), (end, to));
            if error <= tolerance {
                fits = (step, to);
            } else {
                too_long = step;
            }
            rounds += 1;
            let long_enough = error <= tolerance && (error > 0.94 * tolerance || step >= left);
            if long_enough || (rounds > ROUNDS && fits.0 > 0.0) {
                return fits;
            }
            let scale = if error > 0.0 { (0.97 * tolerance / error).sqrt() } else { 2.0 };
            let next = step * scale.clamp(0.25, 4.0);
            step = if next > fits.0 && next < too_long { next } else { 0.5 * (fits.0 + too_long.min(left)) };
        }
    }

    /// Returns the normal angle to which the last point is moved back where it would lie farther out than the end of the arc; `None`
    /// where it does not. An outline has points where it is farthest left, right, up and down, and no point of its
    /// polyline lies beyond them.
    fn below_last_tangent(&self, risen: &Self, before: f64, last: f64) -> Option<f64> {
        const HALVINGS: usize = 48;
        let normal = Vec2::from_angle(self.end());
        let most = self.local_point(self.end()).to_vec2().dot(normal);
        let lies_below = |angle: f64| risen.local_point(angle).to_vec2().dot(normal) <= most;
        if lies_below(last) || !lies_below(before) {
            return None;
        }
        let (mut below, mut beyond) = (before, last);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (below + beyond);
            if lies_below(middle) { below = middle } else { beyond = middle }
        }
        Some(below)
    }

    /// Moves the last point, which has the normal angle `last`, towards the one before it if the rest of the curve is
    /// shorter than half a chord and both chords stay within the tolerance.
    fn even_out_last(
        &self,
        risen: &Self,
        (before, start): (f64, Point),
        last: f64,
        tolerance: f64,
        points: &mut [Point],
    ) {
        let [middle, end] = [risen.local_point(last), self.local_point(self.end())];
        let (chord, rest) = (middle.distance(start), end.distance(middle));
        if rest >= 0.5 * chord {
            return;
        }
        let moved = last - (last - before) * 0.5 * (chord - rest) / chord;
        let middle = (moved, risen.local_point(moved));
        // Where the curve bends more and more, the longer rest may leave the tolerance.
        let fits = self.chord_error((before, start), middle) <= tolerance
            && self.chord_error(middle, (self.end(), end)) <= tolerance;
        if let (true, Some(point)) = (fits, points.last_mut()) {
            *point = self.to_plane(middle.1);
        }
    }

    /// Returns how far the curve between two normal angles lies outside a chord between two points on it or outside it at those
    /// angles, in the frame of the ellipse.
    ///
    /// It is exact: the tangent is parallel to the chord where the curve is farthest from it, and there the support
    /// function gives the distance.
    fn chord_error(&self, (start, from): (f64, Point), (end, to): (f64, Point)) -> f64 {
        let direction = self.sweep.signum();
        let chord = (to - from) * direction;
        let length = chord.hypot2().sqrt();
        if length == 0.0 {
            return 0.0;
        }
        let normal = Vec2::new(chord.y, -chord.x) / length;
        let turned_past = |from: Vec2, to: Vec2| direction * from.cross(to) < 0.0;
        if turned_past(Vec2::from_angle(start), normal) || turned_past(normal, Vec2::from_angle(end)) {
            // A chord that leads out of the curve or into it, on a piece too short to have a tangent parallel to it.
            let off = |angle: f64| (self.local_point(angle) - from).dot(normal);
            return off(start).max(off(end));
        }
        self.support(normal) + self.distance - from.to_vec2().dot(normal)
    }
}

/// Returns the angles in radians that half a chord spans whose middle lies `off` millimetres inside a circle, from there to the
/// circle, and to the circle that is larger by as much again.
fn half_chords(radius: f64, off: f64) -> (f64, f64) {
    // As in [`largest_step`]; the ratios of the radii are 1 − off / radius and 1 − 2 off / (radius + off).
    let angle = |half_versine: f64| 2.0 * half_versine.sqrt().min(1.0).asin();
    (angle(0.5 * off / radius), angle(off / (radius + off)))
}

/// Returns the largest angle in radians that a chord of a circle may span within the tolerance, at most a quarter turn.
fn largest_step(radius: f64, tolerance: f64) -> f64 {
    if radius <= tolerance {
        return FRAC_PI_2;
    }
    // acos(1 − x) loses digits for small x; 2 asin(√(x/2)) does not.
    (4.0 * (0.5 * tolerance / radius).sqrt().min(1.0).asin()).min(FRAC_PI_2)
}
