//! Places where an outline comes so near to itself that what lies between is a sliver.

use std::f64::consts::{PI, TAU};

use kurbo::{Point, Rect, Vec2};

use super::box_tree::BoxTree;
use super::outline::Outline;
use super::segment::Segment;
use crate::tolerance::{BLUNT_RAD, NARROW_FLATTEN_MM};

/// A place between two stretches of one outline.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NarrowPlace {
    /// How wide it is, in millimetres.
    pub width: f64,
    /// Its middle.
    pub at: Point,
    /// Whether it is a part of what the outline encloses, rather than of what lies around it.
    pub is_inside: bool,
}

/// Between its two sides the way along the outline is longer than the width by this factor: corners of more than 10° are not slivers.
const LONGER: f64 = 12.0;
/// And longer than the largest width by this one, so that a short step in a side is none.
const LONGEST: f64 = 3.0;
/// A chord is looked at in so many places at most.
const MOST_PIECES: f64 = 500.0;

impl Outline {
    /// Returns the narrowest place of what it encloses, and of what lies around it, if narrower than `below` millimetres.
    ///
    /// The width counts straight across between places that are far apart along the outline.
    #[must_use]
    pub fn narrow_places(&self, below: f64) -> Vec<NarrowPlace> {
        let size = self.size();
        // A whole ellipse, or a figure of two pieces, is as narrow as its bounds.
        if self.as_closed_arc().is_some() || self.segments().len() < 3 {
            let width = size.width.min(size.height);
            let narrow = NarrowPlace { width, at: self.bounds().center(), is_inside: true };
            return if width < below { vec![narrow] } else { Vec::new() };
        }
        if self.is_plainly_wide(below) {
            return Vec::new();
        }
        let chords = PolygonEdges::new(&self.flatten(NARROW_FLATTEN_MM), LONGEST * below);
        let mut narrowest: [Option<NarrowPlace>; 2] = [None; 2];
        for corner in 0..chords.chords.len() {
            // What is wider than both that are known is of no use.
            let limit = |narrowest: &[Option<NarrowPlace>; 2]| {
                narrowest.iter().map(|known| known.map_or(below, |known| known.width)).fold(0.0, f64::max)
            };
            chords.visit_near(corner, limit(&narrowest), below, |place| {
                if let Some(known) = narrowest.get_mut(usize::from(place.is_inside))
                    && known.is_none_or(|known| place.width < known.width)
                {
                    *known = Some(place);
                }
                limit(&narrowest)
            });
        }
        narrowest.into_iter().flatten().collect()
    }
}

impl Outline {
    /// Tells of most convex outlines that they are nowhere narrow, without a closer look.
    ///
    /// A convex figure is nowhere narrower than twice its area over its perimeter: its diameter is at most half of that, and
    /// its area at most diameter times width.
    fn is_plainly_wide(&self, below: f64) -> bool {
        let curves_out = self.segments().iter().all(|segment| match segment {
            Segment::Line(_) => true,
            Segment::Arc(arc) => arc.sweep > 0.0,
        });
        let blunt = |(before, after): (&Segment, &Segment)| {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            let turn = incoming.cross(outgoing).atan2(incoming.dot(outgoing));
            (-BLUNT_RAD..PI - 2.0 / LONGER).contains(&turn)
        };
        curves_out && self.corners().all(blunt) && 2.0 * self.area() > below * self.perimeter()
    }
}

/// The chords of a closed polyline that encloses a positive area.
struct PolygonEdges {
    chords: Vec<PolygonEdge>,
    tree: BoxTree,
    length: f64,
}

/// A straight piece of the polyline, and how far along it that starts.
struct PolygonEdge {
    from: Point,
    to: Point,
    along: f64,
}

impl PolygonEdges {
    /// Cuts chords longer than `step` into pieces: what is narrow may lie between corners.
    fn new(points: &[Point], step: f64) -> Self {
        let mut chords = Vec::with_capacity(points.len());
        let mut length = 0.0;
        for (from, to) in points.iter().zip(points.iter().cycle().skip(1)) {
            let whole = from.distance(*to);
            let pieces = (whole / step).ceil().clamp(1.0, MOST_PIECES);
            let place = |piece: usize| from.lerp(*to, piece as f64 / pieces);
            for piece in 0..pieces as usize {
                chords.push(PolygonEdge { from: place(piece), to: place(piece + 1), along: length });
                length += whole / pieces;
            }
        }
        let tree = BoxTree::new(chords.iter().map(|chord| Rect::from_points(chord.from, chord.to)));
        Self { chords, tree, length }
    }

    /// Visits places between the start of a chord and what is no farther from it than a limit in millimetres, but far from it
    /// along the polyline; the visitor returns the limit that holds from then on.
    fn visit_near(&self, corner: usize, limit: f64, below: f64, mut visit: impl FnMut(NarrowPlace) -> f64) {
        let before = (corner + self.chords.len()).checked_sub(1).map_or(0, |before| before % self.chords.len());
        let (Some(own), Some(before)) = (self.chords.get(corner), self.chords.get(before)) else { return };
        let mut limit = limit;
        self.tree.near(Rect::from_points(own.from, own.from), limit, |index| {
            let Some(chord) = self.chords.get(index) else { return limit };
            let step = chord.to - chord.from;
            let length = step.hypot();
            let share =
                if length > 0.0 { ((own.from - chord.from).dot(step) / step.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
            let other = chord.from + step * share;
            let width = own.from.distance(other);
            let apart = (chord.along + share * length - own.along).abs();
            let apart = apart.min(self.length - apart);
            if width < limit && apart > LONGEST * below && apart > LONGER * width {
                let is_inside = is_between(own.to - own.from, before.from - own.from, other - own.from);
                limit = visit(NarrowPlace { width, at: own.from.midpoint(other), is_inside });
            }
            limit
        });
    }
}

/// Tells whether a direction points into the outline at one of its corners, where it goes on along `next` and comes from where
/// `previous` points to.
///
/// The inside lies to the left of the way, y down clockwise from it: from `next` on to `previous`.
fn is_between(next: Vec2, previous: Vec2, direction: Vec2) -> bool {
    let turn = |to: Vec2| next.cross(to).atan2(next.dot(to)).rem_euclid(TAU);
    turn(direction) < turn(previous)
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect};

    use super::{NarrowPlace, Outline};

    fn polygon(corners: &[(f64, f64)]) -> Outline {
        Outline::polygon(&corners.iter().map(|&corner| corner.into()).collect::<Vec<Point>>()).unwrap()
    }

    #[test]
    fn necks_and_tongues_are_found() {
        let neck = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 49.9),
            (160.0, 49.9),
            (160.0, 0.0),
            (250.0, 0.0),
            (250.0, 100.0),
            (160.0, 100.0),
            (160.0, 50.0),
            (100.0, 50.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        let [NarrowPlace { width, is_inside: true, at }] = polygon(&neck).narrow_places(1.6)[..] else {
            panic!("one neck")
        };
        assert!((width - 0.1).abs() < 1e-9 && (99.9..160.1).contains(&at.x), "{width} {at}");
        // A tongue of board, a millimetre wide, between two arms of an opening.
        let tongue = [
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, 60.0),
            (51.0, 60.0),
            (51.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        let [NarrowPlace { width, is_inside: false, .. }] = polygon(&tongue).narrow_places(1.6)[..] else {
            panic!("one tongue")
        };
        assert!((width - 1.0).abs() < 1e-9);
        // A spike of half a degree.
        let spike =
            [(0.0, 0.0), (100.0, 0.0), (100.0, 49.0), (160.0, 49.9), (100.0, 50.0), (100.0, 100.0), (0.0, 100.0)];
        let [NarrowPlace { width, is_inside: true, .. }] = polygon(&spike).narrow_places(1.6)[..] else {
            panic!("one spike")
        };
        // Some way from its tip.
        assert!(width < 0.3, "{width}");
    }

    #[test]
    fn usual_shapes_are_not_narrow() {
        for outline in [
            Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 50.0)),
            Outline::rounded_rectangle(Rect::new(0.0, 0.0, 100.0, 50.0), 1.0),
            Outline::ellipse(Point::ORIGIN, 80.0, 8.0, 0.3),
            // A corner of 15 degrees, and a step of a millimetre in a side.
            Outline::polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 26.8)].map(Point::from)),
            Outline::polygon(
                &[(0.0, 0.0), (50.0, 0.0), (50.0, 1.0), (100.0, 1.0), (100.0, 60.0), (0.0, 60.0)].map(Point::from),
            ),
        ] {
            assert_eq!(outline.unwrap().narrow_places(1.6), []);
        }
        let sliver = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 0.5)).unwrap();
        assert_eq!(sliver.narrow_places(1.6).len(), 1);
        let flat = Outline::ellipse(Point::ORIGIN, 80.0, 0.4, 0.0).unwrap();
        assert_eq!(flat.narrow_places(1.6).len(), 1);
    }
}
