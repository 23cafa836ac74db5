//! True distances between outlines, curves included.

use kurbo::{Point, Rect};

use super::box_tree::{BoxTree, rect_distance};
use super::monotone::{MonotoneSegment, Nearest, chords_cross};
use super::{Outline, Segment};
use crate::tolerance::TOUCHING_MM;

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
#[non_exhaustive]
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
    PreparedOutline::new(a).clearance(&PreparedOutline::new(b))
}

/// Returns how two outlines lie to each other, exactly: with less work than [`clearance`].
#[must_use]
pub fn relation(a: &Outline, b: &Outline) -> Relation {
    PreparedOutline::new(a).relation(&PreparedOutline::new(b))
}

/// An outline cut into stretches in a tree, to be compared with several others.
#[derive(Debug)]
pub(crate) struct PreparedOutline<'a> {
    outline: &'a Outline,
    bounds: Rect,
    stretches: Vec<MonotoneSegment>,
    tree: BoxTree,
}

impl<'a> PreparedOutline<'a> {
    /// Cuts an outline into stretches and sorts them into a tree.
    pub(crate) fn new(outline: &'a Outline) -> Self {
        let stretches = outline.stretches();
        let tree = BoxTree::new(stretches.iter().map(MonotoneSegment::bounds));
        Self { outline, bounds: outline.bounds(), stretches, tree }
    }

    /// Returns the smallest upright rectangle round it.
    pub(crate) fn bounds(&self) -> Rect {
        self.bounds
    }

    /// Returns where it comes nearest to another outline (see [`clearance`]).
    pub(crate) fn clearance(&self, other: &PreparedOutline<'_>) -> Clearance {
        if let Some(at) = self.nearer_than(other, TOUCHING_MM) {
            return Clearance { distance: 0.0, from: at, to: at, relation: Relation::Crossing };
        }
        let mut best = Nearest { distance: f64::INFINITY, from: Point::ORIGIN, to: Point::ORIGIN };
        for part in &self.stretches {
            other.tree.near(part.bounds(), best.distance, |index| {
                if let Some(opposite) = other.stretches.get(index) {
                    part.nearest(opposite, &mut best);
                }
                best.distance
            });
        }
        let Nearest { distance, from, to } = best;
        Clearance { distance, from, to, relation: self.relation_apart(other) }
    }

    /// Returns how it lies to another outline.
    pub(crate) fn relation(&self, other: &PreparedOutline<'_>) -> Relation {
        self.relation_beyond(other, TOUCHING_MM)
    }

    /// Returns how it lies to another outline; what comes nearer to it than a distance in millimetres counts as crossing it.
    pub(crate) fn relation_beyond(&self, other: &PreparedOutline<'_>, distance: f64) -> Relation {
        if rect_distance(self.bounds, other.bounds) > distance {
            return Relation::Apart;
        }
        match self.nearer_than(other, distance) {
            Some(_) => Relation::Crossing,
            None => self.relation_apart(other),
        }
    }

    /// Returns how two outlines lie to each other that neither cross nor touch.
    fn relation_apart(&self, other: &PreparedOutline<'_>) -> Relation {
        // Any point will do: none touches the other outline.
        let start = |outline: &Outline| outline.segments().first().map(Segment::start);
        let holds = |outer: &PreparedOutline<'_>, inner: &PreparedOutline<'_>| {
            outer.bounds.union(inner.bounds) == outer.bounds
                && start(inner.outline).is_some_and(|start| outer.outline.contains(start))
        };
        if holds(other, self) {
            Relation::Inside
        } else if holds(self, other) {
            Relation::Around
        } else {
            Relation::Apart
        }
    }

    /// Returns a place where another outline is no farther away than a distance in millimetres, if there is one.
    fn nearer_than(&self, other: &PreparedOutline<'_>, distance: f64) -> Option<Point> {
        let (few, many) = if self.stretches.len() <= other.stretches.len() { (self, other) } else { (other, self) };
        let mut found = None;
        for part in &few.stretches {
            many.tree.near(part.bounds(), distance, |index| {
                found = found.or_else(|| part.nearer_than(many.stretches.get(index)?, distance));
                // Nothing is nearer than nothing: the search ends.
                if found.is_some() { -1.0 } else { distance }
            });
            if found.is_some() {
                break;
            }
        }
        found
    }
}

/// Returns a place where a closed polyline crosses or touches itself.
pub(super) fn self_crossing(points: &[Point]) -> Option<Point> {
    crossing_chords(points).map(|(_, at)| at)
}

/// Returns which chords of a closed polyline cross or touch each other, by the index of their first point, and where: the
/// first such chord with the first that meets it.
pub(crate) fn crossing_chords(points: &[Point]) -> Option<([usize; 2], Point)> {
    let count = points.len();
    let chords: Vec<(Point, Point)> = points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect();
    let bounds = |&(from, to): &(Point, Point)| Rect::from_points(from, to);
    let tree = BoxTree::new(chords.iter().map(bounds));
    for (index, chord) in chords.iter().enumerate() {
        let mut first: Option<(usize, Point)> = None;
        tree.near(bounds(chord), 0.0, |other| {
            let neighbours = (index + 1) % count == other || (other + 1) % count == index;
            let wanted = other > index && !neighbours && first.is_none_or(|(known, _)| other < known);
            if let Some((from, to)) = chords.get(other).filter(|_| wanted)
                && let Some(at) = chords_cross(chord.0, chord.1, *from, *to)
            {
                first = Some((other, at));
            }
            0.0
        });
        if let Some((other, at)) = first {
            return Some(([index, other], at));
        }
    }
    None
}
