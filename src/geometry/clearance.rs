//! True distances between outlines, curves included.

use kurbo::{Point, Rect, Vec2};

use super::{Outline, Segment};

/// How two outlines lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// Each lies outside the other.
    Apart,
    /// The first lies inside the second.
    Inside,
    /// The first lies round the second.
    Around,
    /// They cross or touch.
    Crossing,
}

/// The place where two outlines come nearest to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// Smallest distance between the two outlines in millimetres; zero where they cross.
    pub distance: f64,
    /// The nearest point of the first outline.
    pub from: Point,
    /// The nearest point of the second outline.
    pub to: Point,
    /// How the outlines lie to each other.
    pub relation: Relation,
}

/// How far in millimetres the polylines of the first search may lie from the curves.
const SEARCH_MM: f64 = 0.05;

/// Returns where two outlines come nearest to each other, exact to rounding for lines and arcs alike.
#[must_use]
pub fn clearance(a: &Outline, b: &Outline) -> Clearance {
    let (parts_a, parts_b) = (parts(a), parts(b));
    let mut best = Nearest { distance: f64::INFINITY, from: Point::ORIGIN, to: Point::ORIGIN };
    for part_a in &parts_a {
        for part_b in &parts_b {
            if rect_distance(part_a.bounds, part_b.bounds) < best.distance {
                let near = part_a.nearest(part_b, best.distance);
                if near.distance < best.distance {
                    best = near;
                }
            }
        }
    }
    let Nearest { distance, from, to } = best;
    let relation = if distance <= 0.0 {
        Relation::Crossing
    } else if b.contains(from) {
        Relation::Inside
    } else if a.contains(to) {
        Relation::Around
    } else {
        Relation::Apart
    };
    Clearance { distance, from, to, relation }
}

/// Returns the distance in millimetres between two upright rectangles; zero if they overlap.
#[must_use]
pub fn rect_distance(a: Rect, b: Rect) -> f64 {
    let dx = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let dy = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    dx.hypot(dy)
}

/// A pair of nearest points.
#[derive(Clone, Copy)]
struct Nearest {
    distance: f64,
    from: Point,
    to: Point,
}

/// A piece of an outline, at most a quarter turn long, with a polyline that stands for it in the search.
struct Part {
    segment: Segment,
    points: Vec<Point>,
    bounds: Rect,
}

fn parts(outline: &Outline) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut push = |segment: Segment, points: Vec<Point>| {
        let start = Rect::from_points(segment.start(), segment.end());
        let bounds = points.iter().fold(start, |bounds, &point| bounds.union_pt(point));
        parts.push(Part { segment, points, bounds });
    };
    for segment in outline.segments() {
        match segment {
            Segment::Line(line) => push(*segment, vec![line.p0, line.p1]),
            Segment::Arc(arc) => {
                for part in arc.split_at_extremes() {
                    let mut points = Vec::new();
                    part.flatten_into(SEARCH_MM, &mut points);
                    points.push(part.point(part.end()));
                    push(Segment::Arc(part), points);
                }
            }
        }
    }
    parts
}

impl Part {
    /// Returns the nearest points of two parts; rough if they are no nearer than `limit` millimetres.
    fn nearest(&self, other: &Self, limit: f64) -> Nearest {
        let mut best = Nearest { distance: f64::INFINITY, from: Point::ORIGIN, to: Point::ORIGIN };
        for a in self.points.windows(2) {
            for b in other.points.windows(2) {
                if let ([a0, a1], [b0, b1]) = (a, b) {
                    let near = chord_distance(*a0, *a1, *b0, *b1);
                    if near.distance < best.distance {
                        best = near;
                    }
                }
            }
        }
        let both_straight = matches!((self.segment, other.segment), (Segment::Line(_), Segment::Line(_)));
        if both_straight || best.distance > limit + 2.0 * SEARCH_MM || best.distance == 0.0 {
            return best;
        }
        refined(&self.segment, &other.segment, best)
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
        if moved < 1e-10 {
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
    if h11 <= 0.0 || determinant <= 1e-12 {
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
fn chords_cross(a0: Point, a1: Point, b0: Point, b1: Point) -> Option<Point> {
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

/// Returns a place where a closed polyline crosses or touches itself.
pub(super) fn self_crossing(points: &[Point]) -> Option<Point> {
    crossing_chords(points).map(|(_, at)| at)
}

/// Returns which chords of a closed polyline cross or touch each other, by the index of their first point, and where.
pub(crate) fn crossing_chords(points: &[Point]) -> Option<([usize; 2], Point)> {
    let count = points.len();
    let following = points.iter().cycle().skip(1);
    let mut chords: Vec<(usize, Point, Point)> =
        points.iter().zip(following).enumerate().map(|(index, (&p0, &p1))| (index, p0, p1)).collect();
    let left = |chord: &(usize, Point, Point)| chord.1.x.min(chord.2.x);
    chords.sort_by(|a, b| left(a).total_cmp(&left(b)));
    for (position, &(i, a0, a1)) in chords.iter().enumerate() {
        let right = a0.x.max(a1.x);
        for &(j, b0, b1) in chords.iter().skip(position + 1) {
            if b0.x.min(b1.x) > right {
                break;
            }
            let neighbours = (i + 1) % count == j || (j + 1) % count == i;
            if !neighbours && let Some(at) = chords_cross(a0, a1, b0, b1) {
                return Some(([i.min(j), i.max(j)], at));
            }
        }
    }
    None
}
