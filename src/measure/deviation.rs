//! How far curves lie from other curves, everywhere along them and not only at their corners.

use super::effort;
use crate::tolerance::{SEARCH_MM, SEARCH_SHARE};
use kurbo::{Point, Rect, Vec2};

/// Places that the search may look at before it settles for an upper bound: so many, and so many more for each chord.
///
/// One or two for a chord are enough where curves lie on each other, so that drawings of many curves are measured to the end.
const MOST_PLACES: (usize, usize) = (100_000, 64);
/// Chords in a leaf of the tree.
const LEAF: usize = 8;

/// A chord of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chord {
    pub(super) from: Point,
    pub(super) to: Point,
}

/// Chords that can be asked which of them is nearest.
#[derive(Debug, Default)]
pub(super) struct Chords {
    chords: Vec<Chord>,
    /// Bounds of leaves and of pairs of bounds, level by level, leaves first.
    levels: Vec<Vec<Rect>>,
}

/// The place of some curves that is farthest from others.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Farthest {
    /// How far it is, in millimetres.
    pub distance: f64,
    /// Where it is.
    pub at: Point,
}

impl Chord {
    /// Returns its unit direction; zero if it has no length.
    pub(super) fn direction(&self) -> Vec2 {
        let along = self.to - self.from;
        let length = along.hypot();
        if length > 0.0 { along / length } else { Vec2::ZERO }
    }

    pub(super) fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    pub(super) fn bounds(&self) -> Rect {
        Rect::from_points(self.from, self.to)
    }

    fn distance(&self, point: Point) -> f64 {
        effort::step();
        let along = self.to - self.from;
        let length = along.hypot2();
        let share = if length > 0.0 { ((point - self.from).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
        point.distance(self.from + along * share)
    }
}

/// Adds the chords between consecutive points; a single point is a chord without length.
pub(super) fn push_chords(points: &[Point], chords: &mut Vec<Chord>) {
    if let [single] = points {
        chords.push(Chord { from: *single, to: *single });
    }
    chords.extend(points.windows(2).filter_map(|pair| match pair {
        [from, to] => Some(Chord { from: *from, to: *to }),
        _ => None,
    }));
}

impl Chords {
    pub(super) fn new(chords: Vec<Chord>) -> Self {
        let around = |rects: &[Rect]| rects.iter().copied().reduce(|a, b| a.union(b)).unwrap_or_default();
        let leaves = |chords: &[Chord]| chords.iter().map(Chord::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        let mut levels: Vec<Vec<Rect>> = vec![chords.chunks(LEAF).map(leaves).collect()];
        while let Some(last) = levels.last().filter(|last| last.len() > 1) {
            let above = last.chunks(2).map(around).collect();
            levels.push(above);
        }
        Self { chords, levels }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.chords.is_empty()
    }

    /// Returns the distance of the nearest chord and its index; `guess` is a chord that may be near.
    fn nearest(&self, point: Point, guess: usize) -> (f64, usize) {
        let mut best = self.chords.get(guess).map_or((f64::INFINITY, guess), |chord| (chord.distance(point), guess));
        let top = self.levels.len().saturating_sub(1);
        let mut waiting = vec![(top, 0_usize)];
        while let Some((level, index)) = waiting.pop() {
            let Some(bounds) = self.levels.get(level).and_then(|rects| rects.get(index)) else {
                continue;
            };
            if distance_to(*bounds, point) >= best.0 {
                continue;
            }
            if level > 0 {
                let of = |child: usize| {
                    self.levels
                        .get(level - 1)
                        .and_then(|rects| rects.get(child))
                        .map_or(f64::INFINITY, |rect| distance_to(*rect, point))
                };
                let (left, right) = (2 * index, 2 * index + 1);
                // The nearer one is looked at first.
                let (first, second) = if of(left) <= of(right) { (left, right) } else { (right, left) };
                waiting.push((level - 1, second));
                waiting.push((level - 1, first));
            } else {
                let start = index * LEAF;
                for (offset, chord) in self.chords.get(start..).unwrap_or_default().iter().take(LEAF).enumerate() {
                    let distance = chord.distance(point);
                    if distance < best.0 {
                        best = (distance, start + offset);
                    }
                }
            }
        }
        best
    }

    /// Returns the distance of the nearest chord; endless if there are none.
    pub(super) fn distance(&self, point: Point) -> f64 {
        self.nearest(point, 0).0
    }

    /// Returns the unit direction of the chord that is nearest to a place; zero if there is none.
    pub(super) fn direction_at(&self, point: Point) -> Vec2 {
        let (_, index) = self.nearest(point, 0);
        self.chords.get(index).map_or(Vec2::ZERO, Chord::direction)
    }

    fn chord_distance(&self, index: usize, point: Point) -> f64 {
        self.chords.get(index).map_or(f64::INFINITY, |chord| chord.distance(point))
    }
}

fn distance_to(rect: Rect, point: Point) -> f64 {
    let dx = (rect.x0 - point.x).max(point.x - rect.x1).max(0.0);
    let dy = (rect.y0 - point.y).max(point.y - rect.y1).max(0.0);
    dx.hypot(dy)
}

/// A part of a chord, with the nearest chords at its ends.
struct ChordPart {
    chord: Chord,
    from: (f64, usize),
    to: (f64, usize),
}

impl ChordPart {
    /// Returns a distance that no point of the part exceeds.
    ///
    /// The distance from a chord is a convex function along a line, so that it is largest at an end; and no distance
    /// changes faster than the place.
    fn bound(&self, others: &Chords) -> f64 {
        let length = self.chord.from.distance(self.chord.to);
        let by_steps = 0.5 * (self.from.0 + self.to.0 + length);
        let by_first = self.from.0.max(others.chord_distance(self.from.1, self.chord.to));
        let by_last = self.to.0.max(others.chord_distance(self.to.1, self.chord.from));
        by_steps.min(by_first).min(by_last)
    }

    /// Returns a place that parts it in two: beside the end of the nearest chord, from where on another one is nearest, or
    /// the middle.
    fn parting(&self, others: &Chords) -> Point {
        let Chord { from, to } = self.chord;
        let along = to - from;
        let share = |point: Point| (point - from).dot(along) / along.hypot2();
        let nearest = [self.from.1, self.to.1].into_iter().filter_map(|index| others.chords.get(index));
        let mut ends = nearest.flat_map(|chord| [share(chord.from), share(chord.to)]);
        // A share near an end would leave nearly all of it.
        from.lerp(to, ends.find(|share| (0.1..=0.9).contains(share)).unwrap_or(0.5))
    }
}

/// Returns the place of `curves` that is farthest from `others`; `None` if there are no curves.
///
/// With nothing to be near to, it is endlessly far away. A place no farther than `enough` millimetres is not surely the
/// farthest, which is quicker; zero asks for it in any case.
pub(super) fn farthest_beyond(enough: f64, curves: &[Chord], others: &Chords) -> Option<Farthest> {
    let first = curves.first()?;
    if others.is_empty() {
        return Some(Farthest { distance: f64::INFINITY, at: first.from });
    }
    let mut best = Farthest { distance: -1.0, at: first.from };
    let mut take = |distance: f64, at: Point| {
        if distance > best.distance {
            best = Farthest { distance, at };
        }
        best.distance
    };
    let mut parts = Vec::with_capacity(curves.len());
    let mut guess = 0;
    for &chord in curves {
        let from = others.nearest(chord.from, guess);
        let to = others.nearest(chord.to, from.1);
        guess = to.1;
        take(from.0, chord.from);
        take(to.0, chord.to);
        parts.push(ChordPart { chord, from, to });
    }
    let mut left = MOST_PLACES.1.saturating_mul(curves.len()).saturating_add(MOST_PLACES.0);
    while let Some(part) = parts.pop() {
        let bound = part.bound(others);
        let known = take(-1.0, part.chord.from).max(enough);
        if bound <= known + SEARCH_MM.max(SEARCH_SHARE * known) {
            continue;
        }
        let middle = part.parting(others);
        if left == 0 {
            take(bound, middle);
            continue;
        }
        left -= 1;
        let there = others.nearest(middle, part.from.1);
        take(there.0, middle);
        parts.push(ChordPart { chord: Chord { from: part.chord.from, to: middle }, from: part.from, to: there });
        parts.push(ChordPart { chord: Chord { from: middle, to: part.chord.to }, from: there, to: part.to });
    }
    Some(best)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use kurbo::Point;

    use super::{Chord, Chords, farthest_beyond, push_chords};

    fn circle(radius: f64, chords: usize) -> Vec<Chord> {
        let points: Vec<Point> = (0..=chords)
            .map(|at| Point::new(1.0, 2.0) + kurbo::Vec2::from_angle(TAU * at as f64 / chords as f64) * radius)
            .collect();
        let mut all = Vec::new();
        push_chords(&points, &mut all);
        all
    }

    #[test]
    fn the_sagitta_is_found_between_the_corners() {
        let (fine, rough) = (circle(100.0, 20_000), circle(100.0, 36));
        // r (1 − cos(π/n)), the sagitta of a chord.
        let sagitta = 100.0 * (1.0 - (TAU / 72.0).cos());
        for (curves, others) in [(&rough, &fine), (&fine, &rough)] {
            let found = farthest_beyond(0.0, curves, &Chords::new(others.clone())).map_or(0.0, |found| found.distance);
            assert!((found - sagitta).abs() < 3e-5, "{found} instead of {sagitta}");
        }
    }

    #[test]
    fn the_farthest_place_may_lie_in_the_middle_of_a_line() {
        let line = |from: (f64, f64), to: (f64, f64)| Chord { from: from.into(), to: to.into() };
        let others = Chords::new(vec![line((0.0, 0.0), (0.0, 9.0)), line((10.0, 0.0), (10.0, 9.0))]);
        let found = farthest_beyond(0.0, &[line((0.0, 1.0), (10.0, 1.0))], &others);
        assert!(
            found.is_some_and(
                |found| (found.distance - 5.0).abs() < 1e-3 && found.at.distance(Point::new(5.0, 1.0)) < 1e-3
            )
        );
    }

    /// The search ran out of places on some tens of thousands of chords, and took what it did not know for a deviation.
    #[test]
    fn many_curves_are_measured_to_the_end() {
        let many =
            |chords: usize| -> Vec<Chord> { (0..12).flat_map(|ring| circle(75.0 + f64::from(ring), chords)).collect() };
        let (curves, others) = (many(4_000), many(4_700));
        let sagitta = 86.0 * (1.0 - (TAU / 8_000.0).cos());
        for enough in [0.0, 1e-4] {
            let found =
                farthest_beyond(enough, &curves, &Chords::new(others.clone())).map_or(0.0, |found| found.distance);
            assert!(found < 2.0 * sagitta, "{found}");
        }
    }

    #[test]
    fn nothing_is_near_to_nothing() {
        let dot = [Chord { from: Point::ORIGIN, to: Point::ORIGIN }];
        assert_eq!(
            farthest_beyond(0.0, &dot, &Chords::new(Vec::new())).map(|found| found.distance),
            Some(f64::INFINITY)
        );
        assert_eq!(farthest_beyond(0.0, &[], &Chords::new(dot.to_vec())), None);
    }
}
