//! True distances between outlines, curves included.

use std::ops::ControlFlow;

use kurbo::{Point, Rect};

use super::box_tree::BoxTree;
use super::stretch::{Nearest, Stretch, TOUCHING_MM, chords_cross};
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

/// Returns where two outlines come nearest to each other, lines and arcs alike.
///
/// The relation is exact. No two points are nearer than the distance by more than a ten-thousandth of a millimetre.
#[must_use]
pub fn clearance(a: &Outline, b: &Outline) -> Clearance {
    let (parts, others) = (a.stretches(), b.stretches());
    let tree = tree(&others);
    if let Some(at) = first_crossing(&parts, &others, &tree) {
        return Clearance { distance: 0.0, from: at, to: at, relation: Relation::Crossing };
    }
    let mut best = Nearest { distance: f64::INFINITY, from: Point::ORIGIN, to: Point::ORIGIN };
    for part in &parts {
        tree.near(part.bounds(), best.distance, |index| {
            if let Some(other) = others.get(index) {
                part.nearest(other, &mut best);
            }
            best.distance
        });
    }
    let Nearest { distance, from, to } = best;
    Clearance { distance, from, to, relation: relation_apart(a, b) }
}

/// Returns how two outlines lie to each other, exactly: with less work than [`clearance`].
#[must_use]
pub fn relation(a: &Outline, b: &Outline) -> Relation {
    if rect_distance(a.bounds(), b.bounds()) > TOUCHING_MM {
        return Relation::Apart;
    }
    let (parts, others) = (a.stretches(), b.stretches());
    match first_crossing(&parts, &others, &tree(&others)) {
        Some(_) => Relation::Crossing,
        None => relation_apart(a, b),
    }
}

/// Returns how two outlines lie to each other that neither cross nor touch.
fn relation_apart(a: &Outline, b: &Outline) -> Relation {
    // Any point will do: none touches the other outline.
    let start = |outline: &Outline| outline.segments().first().map(Segment::start);
    if start(a).is_some_and(|start| b.contains(start)) {
        Relation::Inside
    } else if start(b).is_some_and(|start| a.contains(start)) {
        Relation::Around
    } else {
        Relation::Apart
    }
}

fn tree(stretches: &[Stretch]) -> BoxTree {
    BoxTree::new(stretches.iter().map(Stretch::bounds))
}

/// Returns a place where two outlines cross or touch.
fn first_crossing(parts: &[Stretch], others: &[Stretch], tree: &BoxTree) -> Option<Point> {
    let mut found = None;
    for part in parts {
        tree.near(part.bounds(), TOUCHING_MM, |index| {
            if let Some(other) = others.get(index) {
                let _ = part.crossings(other, &mut |at| {
                    found = Some(at);
                    ControlFlow::Break(())
                });
            }
            // Nothing is nearer than nothing: the search ends.
            if found.is_some() { -1.0 } else { TOUCHING_MM }
        });
        if found.is_some() {
            break;
        }
    }
    found
}

/// Returns the distance in millimetres between two upright rectangles; zero if they overlap.
#[must_use]
pub fn rect_distance(a: Rect, b: Rect) -> f64 {
    let dx = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let dy = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    dx.hypot(dy)
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
