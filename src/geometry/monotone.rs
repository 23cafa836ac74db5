//! A stretch of a piece between chord and bulge, from which crossings and least distances follow with certainty.

use kurbo::{Point, Rect, Vec2};

use super::box_tree::count_step;
use super::{Arc, Outline, Segment};
use crate::tolerance::{EVEN_BEND_MM, LEAST_DETERMINANT, REFINED_MM, TOUCHING_MM};

/// A pair of nearest points of two curves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Nearest {
    /// How far apart they are, in millimetres.
    pub(super) distance: f64,
    pub(super) from: Point,
    pub(super) to: Point,
}

/// A straight line, or an arc that is nowhere level or upright but at its ends.
///
/// Its chord is a diagonal of its bounds, and the curve lies on one side of the chord, no farther from it than the bulge.
#[derive(Debug, Clone, Copy)]
pub(super) struct MonotoneSegment {
    pub(super) piece: Segment,
    from: Point,
    to: Point,
    bulge: f64,
}

impl Outline {
    /// Cuts the outline into stretches, in order; consecutive ones share the point where they meet.
    pub(super) fn stretches(&self) -> Vec<MonotoneSegment> {
        let mut stretches: Vec<MonotoneSegment> = Vec::with_capacity(self.segments().len());
        for segment in self.segments() {
            match segment {
                Segment::Line(line) => {
                    stretches.push(MonotoneSegment { piece: *segment, from: line.p0, to: line.p1, bulge: 0.0 });
                }
                Segment::Arc(arc) => stretches.extend(arc.split_at_extremes().map(MonotoneSegment::of_arc)),
            }
        }
        // The end of a line and the start of an arc may differ by rounding, and nothing must slip through between them.
        let mut end = stretches.last().map_or(Point::ORIGIN, |last| last.to);
        for stretch in &mut stretches {
            stretch.from = end;
            end = stretch.to;
        }
        stretches
    }
}

impl MonotoneSegment {
    fn of_arc(arc: Arc) -> Self {
        Self::between(arc, arc.point(arc.start), arc.point(arc.end()))
    }

    /// `from` and `to` are the ends of the arc.
    ///
    /// Chord c and end tangents make a triangle round the arc, whose angles at the chord add up to the turn s. It is highest, and
    /// the arc in it, if they are equal: `½ c tan ½s`.
    fn between(arc: Arc, from: Point, to: Point) -> Self {
        let bulge = 0.5 * from.distance(to) * (0.5 * arc.sweep.abs()).tan();
        Self { piece: Segment::Arc(arc), from, to, bulge }
    }

    pub(super) fn bounds(&self) -> Rect {
        Rect::from_points(self.from, self.to)
    }

    /// Tells whether the stretch is straight.
    fn is_straight(&self) -> bool {
        matches!(self.piece, Segment::Line(_))
    }

    fn halves(&self) -> [Self; 2] {
        match &self.piece {
            Segment::Line(_) => [*self, *self],
            Segment::Arc(arc) => {
                let middle = arc.start + 0.5 * arc.sweep;
                let point = arc.point(middle);
                [
                    Self::between(arc.between(arc.start, middle), self.from, point),
                    Self::between(arc.between(middle, arc.end()), point, self.to),
                ]
            }
        }
    }

    /// Pairs what is left to compare of two stretches after the one that bulges more has been halved.
    fn split_pairs(&self, other: &Self) -> [(Self, Self); 2] {
        if self.bulge >= other.bulge {
            self.halves().map(|half| (half, *other))
        } else {
            other.halves().map(|half| (*self, half))
        }
    }

    /// Returns a place where two stretches are no farther from each other than a distance in millimetres, if there is one.
    ///
    /// The chords decide once the curves cannot be on the other side of the distance, or are as good as straight.
    pub(super) fn nearer_than(&self, other: &Self, distance: f64) -> Option<Point> {
        let mut open = vec![(*self, *other)];
        while let Some((a, b)) = open.pop() {
            count_step();
            let bulge = a.bulge + b.bulge;
            let near = chord_distance(a.from, a.to, b.from, b.to);
            if near.distance > bulge + distance {
                continue;
            }
            if bulge <= TOUCHING_MM || near.distance + bulge <= distance {
                return Some(near.from.midpoint(near.to));
            }
            open.extend(a.split_pairs(&b));
        }
        None
    }

    /// Lowers `best` to the nearest points of two stretches if they are nearer to each other.
    pub(super) fn nearest(&self, other: &Self, best: &mut Nearest) {
        let mut open = vec![(*self, *other)];
        while let Some((a, b)) = open.pop() {
            count_step();
            let bulge = a.bulge + b.bulge;
            let near = chord_distance(a.from, a.to, b.from, b.to);
            // What is not nearer by more than the bulges in question is found by walking along the curves.
            if near.distance - bulge >= best.distance - EVEN_BEND_MM.min(0.5 * best.distance) {
                if a.is_straight() && b.is_straight() && near.distance < best.distance {
                    *best = near;
                }
                continue;
            }
            if bulge <= EVEN_BEND_MM {
                let found = if a.is_straight() && b.is_straight() { near } else { refined(&a.piece, &b.piece, near) };
                if found.distance < best.distance {
                    *best = found;
                }
            } else {
                let [first, second] = a.split_pairs(&b);
                let distance = |(a, b): &(Self, Self)| chord_distance(a.from, a.to, b.from, b.to).distance;
                // The nearer pair is looked at first.
                open.extend(if distance(&first) < distance(&second) { [second, first] } else { [first, second] });
            }
        }
    }
}

/// Walks from a rough pair of nearest points to the exact one: by Newton's method where both points lie within their
/// pieces, by projecting each on to the other piece where one lies at an end.
fn refined(a: &Segment, b: &Segment, rough: Nearest) -> Nearest {
    let mut from = a.nearest(rough.to);
    let mut to = b.nearest(from);
    for _ in 0..40 {
        let stepped = newton_step(a, b, from, to).unwrap_or((from, to));
        let next_from = a.nearest(b.nearest(stepped.0));
        let next_to = b.nearest(next_from);
        let moved = next_from.distance(from) + next_to.distance(to);
        (from, to) = (next_from, next_to);
        if moved < REFINED_MM {
            break;
        }
    }
    Nearest { distance: from.distance(to), from, to }
}

/// One step of Newton's method in the arc lengths of both curves; `None` where the distance is not locally convex.
fn newton_step(a: &Segment, b: &Segment, from: Point, to: Point) -> Option<(Point, Point)> {
    let (tangent_a, bend_a) = frame(a, from);
    let (tangent_b, bend_b) = frame(b, to);
    let gap = from - to;
    let gradient = (gap.dot(tangent_a), -gap.dot(tangent_b));
    let h11 = 1.0 + gap.dot(bend_a);
    let h22 = 1.0 - gap.dot(bend_b);
    let h12 = -tangent_a.dot(tangent_b);
    let determinant = h11 * h22 - h12 * h12;
    if h11 <= 0.0 || determinant <= LEAST_DETERMINANT {
        return None;
    }
    let step_a = (h12 * gradient.1 - h22 * gradient.0) / determinant;
    let step_b = (h12 * gradient.0 - h11 * gradient.1) / determinant;
    Some((from + tangent_a * step_a, to + tangent_b * step_b))
}

/// Returns the unit tangent of a piece at one of its points and the change of the tangent per millimetre.
fn frame(segment: &Segment, at: Point) -> (Vec2, Vec2) {
    match segment {
        Segment::Line(_) => (segment.start_direction(), Vec2::ZERO),
        Segment::Arc(arc) => {
            let angle = arc.nearest_angle(at);
            (arc.tangent(angle), -arc.normal(angle) / arc.radius_at(angle))
        }
    }
}

/// Returns the nearest points of two straight pieces; distance zero at a place where they cross.
fn chord_distance(a0: Point, a1: Point, b0: Point, b1: Point) -> Nearest {
    if let Some(at) = chords_cross(a0, a1, b0, b1) {
        return Nearest { distance: 0.0, from: at, to: at };
    }
    let foot = |point: Point, p0: Point, p1: Point| {
        let along = p1 - p0;
        let length = along.hypot2();
        let t = if length > 0.0 { ((point - p0).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
        p0 + along * t
    };
    let candidates = [(a0, foot(a0, b0, b1)), (a1, foot(a1, b0, b1)), (foot(b0, a0, a1), b0), (foot(b1, a0, a1), b1)];
    candidates.into_iter().fold(Nearest { distance: f64::INFINITY, from: a0, to: b0 }, |best, (from, to)| {
        let distance = from.distance(to);
        if distance < best.distance { Nearest { distance, from, to } } else { best }
    })
}

/// Returns where two straight pieces properly cross or touch.
pub(super) fn chords_cross(a0: Point, a1: Point, b0: Point, b1: Point) -> Option<Point> {
    let (along_a, along_b, between) = (a1 - a0, b1 - b0, b0 - a0);
    let determinant = along_a.cross(along_b);
    if determinant == 0.0 {
        return None;
    }
    let s = between.cross(along_b) / determinant;
    let t = between.cross(along_a) / determinant;
    let within = (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t);
    within.then(|| a0 + along_a * s)
}
