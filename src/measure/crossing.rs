//! Outlines whose sides are strokes of their own that cross at the corners, because the blade runs on beyond them.

use kurbo::{Line, Point, Rect, Vec2};

use super::chains::PathChains;
use super::effort;
use crate::formats::reading::{ReadPath, ReadSegment};
use crate::tolerance::{JOINED_MM, PARALLEL};

/// Strokes cross at a corner if neither runs on farther beyond it than this, in millimetres *(common practice, no source)*.
///
/// A blade of 45° in board of 1/8 in must run on 12 mm at a corner of 30°; what is longer is another line.
pub(super) const LONGEST_OVER_RUN_MM: f64 = 20.0;
/// Ends of other strokes that are looked at in one place.
const MOST_AT_A_PLACE: usize = 32;

/// An outline that strokes enclose without ending at its corners.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Crossing {
    /// The outline: closed, cut off at its corners.
    pub path: ReadPath,
    /// The longest piece in millimetres that was cut off.
    pub over_run: f64,
}

/// Open paths or chains whose ends may cross; the sides of [`PathChains`] are its open chains.
pub(super) trait CrossingSides {
    fn side_count(&self) -> usize;
    /// Returns the first and the last stroke if both are straight, as they are drawn.
    fn straight_ends(&self, side: usize) -> Option<[Line; 2]>;
    fn strokes_of(&self, side: usize) -> usize;
    fn layer_of(&self, side: usize) -> &str;
}

/// A side of an outline, and where it is cut off.
#[derive(Debug, Clone, Copy)]
pub(super) struct CrossingSide {
    pub(super) side: usize,
    /// Whether the outline runs along it against the way in which it is drawn.
    pub(super) is_reversed: bool,
    /// Where the outline comes to it and leaves it.
    pub(super) corners: [Point; 2],
}

/// Sides that enclose something.
#[derive(Debug, Clone)]
pub(super) struct CrossingLoop {
    pub(super) sides: Vec<CrossingSide>,
    pub(super) over_run: f64,
}

impl CrossingSides for [ReadPath] {
    fn side_count(&self) -> usize {
        self.len()
    }

    fn straight_ends(&self, side: usize) -> Option<[Line; 2]> {
        let path = self.get(side).filter(|path| !path.closed)?;
        Some([straight(path.pieces.first()?, false)?, straight(path.pieces.last()?, false)?])
    }

    fn strokes_of(&self, side: usize) -> usize {
        self.get(side).map_or(0, |path| path.pieces.len())
    }

    fn layer_of(&self, side: usize) -> &str {
        self.get(side).map_or("", |path| &path.layer)
    }
}

impl CrossingSides for PathChains<'_> {
    fn side_count(&self) -> usize {
        self.open.len()
    }

    fn straight_ends(&self, side: usize) -> Option<[Line; 2]> {
        let [(first, is_first_reversed), (last, is_last_reversed)] = self.outer_pieces(*self.open.get(side)?)?;
        Some([straight(first, is_first_reversed)?, straight(last, is_last_reversed)?])
    }

    fn strokes_of(&self, side: usize) -> usize {
        self.open.get(side).map_or(0, |chain| self.count(*chain))
    }

    fn layer_of(&self, side: usize) -> &str {
        self.open.get(side).map_or("", |chain| self.layer(*chain))
    }
}

impl PathChains<'_> {
    /// Returns the bounds of an outline, cut off at its corners.
    pub(super) fn bounds_around(&self, around: &CrossingLoop) -> Rect {
        let mut all: Option<Rect> = None;
        for side in &around.sides {
            let Some(chain) = self.open.get(side.side) else { continue };
            let count = self.count(*chain);
            let [enters, leaves] = side.corners;
            let [from, to] = if side.is_reversed { [leaves, enters] } else { [enters, leaves] };
            for (at, (piece, is_reversed)) in self.pieces(*chain).enumerate() {
                let (start, end) =
                    if is_reversed { (piece.end(), piece.start()) } else { (piece.start(), piece.end()) };
                let bounds = match (at == 0, at + 1 == count) {
                    (false, false) => piece.bounds(),
                    (is_first, is_last) => {
                        Rect::from_points(if is_first { from } else { start }, if is_last { to } else { end })
                    }
                };
                all = Some(all.map_or(bounds, |all| all.union(bounds)));
            }
        }
        all.unwrap_or_default()
    }

    /// Counts the strokes of an outline.
    pub(super) fn strokes(&self, around: &CrossingLoop) -> usize {
        around.sides.iter().map(|side| self.strokes_of(side.side)).sum()
    }
}

fn straight(piece: &ReadSegment, is_reversed: bool) -> Option<Line> {
    match piece {
        ReadSegment::Line(line) if line.p0.distance(line.p1) > JOINED_MM => {
            Some(if is_reversed { Line::new(line.p1, line.p0) } else { *line })
        }
        _ => None,
    }
}

/// Finds outlines among open paths that cross near their ends; returns them, and the paths that belong to none.
#[must_use]
pub fn crossed(paths: Vec<ReadPath>) -> (Vec<Crossing>, Vec<ReadPath>) {
    let (loops, used) = loops(paths.as_slice());
    let crossing = |around: CrossingLoop| {
        let first = paths.get(around.sides.first()?.side)?;
        let mut pieces = Vec::new();
        for side in &around.sides {
            let path = paths.get(side.side)?;
            let mine = if side.is_reversed { path.reversed().pieces } else { path.pieces.clone() };
            pieces.extend(cut_off(mine, side.corners));
        }
        let (layer, run) = (first.layer.clone(), first.run.clone());
        let path = ReadPath { layer, closed: true, pieces, line: first.line, run };
        Some(Crossing { path, over_run: around.over_run })
    };
    let crossings = loops.into_iter().filter_map(crossing).collect();
    let rest = paths.into_iter().zip(used).filter(|(_, used)| !used).map(|(path, _)| path);
    (crossings, rest.collect())
}

/// Cuts a chain off at its corners.
fn cut_off(mut pieces: Vec<ReadSegment>, [start, end]: [Point; 2]) -> Vec<ReadSegment> {
    if let Some(ReadSegment::Line(line)) = pieces.first_mut() {
        line.p0 = start;
    }
    if let Some(ReadSegment::Line(line)) = pieces.last_mut() {
        line.p1 = end;
    }
    pieces
}

/// Finds outlines among sides that cross near their ends; returns them, and which sides they have.
pub(super) fn loops(sides: &(impl CrossingSides + ?Sized)) -> (Vec<CrossingLoop>, Vec<bool>) {
    let corners = CrossingCorners::of(sides);
    let mut used = vec![false; sides.side_count()];
    // Sides that lead nowhere are not followed again.
    let mut followed = used.clone();
    let mut loops = Vec::new();
    for first in (0..corners.sides.len()).map(|place| 2 * place) {
        let Some(around) = corners.around(first, &mut followed) else {
            continue;
        };
        for side in &around.sides {
            if let Some(used) = used.get_mut(side.side) {
                *used = true;
            }
        }
        loops.push(around);
    }
    (loops, used)
}

/// An end of a side that may run on beyond a corner.
struct SideEnd {
    side: usize,
    point: Point,
    /// The unit direction in which the side leaves there.
    outward: Vec2,
    /// Length of its straight piece.
    length: f64,
}

/// Where two ends cross.
struct EndCrossing {
    other: usize,
    at: Point,
    over_run: f64,
    /// How far both run on beyond it.
    cost: f64,
}

/// Which ends cross at corners. An end is twice the place of its side, and one more at the side's end.
struct CrossingCorners<'s, S: ?Sized> {
    all: &'s S,
    /// Those whose ends are straight.
    sides: Vec<u32>,
    /// The end at which each end crosses; none is beyond all.
    partners: Vec<u32>,
}

const NO_PARTNER: u32 = u32::MAX;

impl<'s, S: CrossingSides + ?Sized> CrossingCorners<'s, S> {
    /// Finds for every end the one that it crosses, if they are each other's nearest.
    fn of(all: &'s S) -> Self {
        let number = |number: usize| u32::try_from(number).unwrap_or(NO_PARTNER);
        let sides = (0..all.side_count()).filter(|side| all.straight_ends(*side).is_some()).map(number).collect();
        let mut corners = Self { all, sides, partners: Vec::new() };
        let count = 2 * corners.sides.len();
        let mut places: Vec<(i32, i32, u32)> = Vec::with_capacity(count);
        for place in 0..count {
            let cell = corners.end(place).map(|end| cell(end.point)).unwrap_or_default();
            places.push((cell.0, cell.1, number(place)));
        }
        places.sort_unstable();
        let nearest: Vec<u32> = (0..count).map(|end| corners.nearest(end, &places)).collect();
        let is_mutual =
            |(end, other): (usize, &u32)| nearest.get(*other as usize).is_some_and(|back| *back == number(end));
        let mutual =
            nearest.iter().enumerate().map(|(end, other)| if is_mutual((end, other)) { *other } else { NO_PARTNER });
        corners.partners = mutual.collect();
        corners
    }

    fn end(&self, end: usize) -> Option<SideEnd> {
        let side = *self.sides.get(end / 2)? as usize;
        let [first, last] = self.all.straight_ends(side)?;
        let (from, to) = if end % 2 == 1 { (last.p0, last.p1) } else { (first.p1, first.p0) };
        let along = to - from;
        let length = along.hypot();
        Some(SideEnd { side, point: to, outward: along / length, length })
    }

    /// Returns the end that crosses an end with the least over-run.
    fn nearest(&self, place: usize, places: &[(i32, i32, u32)]) -> u32 {
        let Some(end) = self.end(place) else { return NO_PARTNER };
        let (x, y) = cell(end.point);
        let mut best: Option<EndCrossing> = None;
        for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
            let here = (x.saturating_add(dx), y.saturating_add(dy));
            let from = places.partition_point(|(x, y, _)| (*x, *y) < here);
            let ends = places.get(from..).unwrap_or_default().iter().take_while(|(x, y, _)| (*x, *y) == here);
            for (.., other) in ends.take(MOST_AT_A_PLACE) {
                let other = *other as usize;
                if other != place
                    && let Some(crossing) = self.corner(&end, other)
                    && best.as_ref().is_none_or(|best| crossing.cost < best.cost)
                {
                    best = Some(crossing);
                }
            }
        }
        best.map_or(NO_PARTNER, |best| u32::try_from(best.other).unwrap_or(NO_PARTNER))
    }

    /// Returns where two ends cross, if they are the ends of one corner.
    fn corner(&self, end: &SideEnd, index: usize) -> Option<EndCrossing> {
        effort::step();
        let other = self.end(index)?;
        let same = end.side == other.side;
        if (same && self.all.strokes_of(end.side) < 3) || self.all.layer_of(end.side) != self.all.layer_of(other.side) {
            return None;
        }
        // end.point − s · end.outward = other.point − t · other.outward
        let slant = end.outward.cross(other.outward);
        if slant.abs() < PARALLEL {
            return None;
        }
        let between = end.point - other.point;
        let (s, t) = (between.cross(other.outward) / slant, between.cross(end.outward) / slant);
        let runs_on = |beyond: f64, end: &SideEnd| (-JOINED_MM..=LONGEST_OVER_RUN_MM.min(end.length)).contains(&beyond);
        (runs_on(s, end) && runs_on(t, &other)).then(|| EndCrossing {
            other: index,
            at: end.point - end.outward * s,
            over_run: s.max(0.0),
            cost: s.abs() + t.abs(),
        })
    }

    fn corner_at(&self, end: usize) -> Option<EndCrossing> {
        let partner = self.partners.get(end).copied().filter(|partner| *partner != NO_PARTNER)?;
        self.corner(&self.end(end)?, partner as usize)
    }

    /// Follows sides from corner to corner until they come back to the first; `None` if they do not.
    fn around(&self, first: usize, followed: &mut [bool]) -> Option<CrossingLoop> {
        let mut around = CrossingLoop { sides: Vec::new(), over_run: 0.0 };
        let mut strokes = 0;
        // Every side is entered at one of its ends, and left at the other.
        let mut entered = first;
        loop {
            let side = *self.sides.get(entered / 2)? as usize;
            if std::mem::replace(followed.get_mut(side)?, true) {
                return None;
            }
            let left = entered ^ 1;
            let (enters, leaves) = (self.corner_at(entered)?, self.corner_at(left)?);
            let corners = [enters.at, leaves.at];
            around.sides.push(CrossingSide { side, is_reversed: entered % 2 == 1, corners });
            around.over_run = around.over_run.max(enters.over_run).max(leaves.over_run);
            strokes += self.all.strokes_of(side);
            if leaves.other == first {
                break;
            }
            entered = leaves.other;
        }
        // Two lines enclose nothing.
        (strokes >= 3).then_some(around)
    }
}

/// Returns the cell in which a point lies.
fn cell(point: Point) -> (i32, i32) {
    let number = |length: f64| (length / (2.0 * LONGEST_OVER_RUN_MM)).floor() as i32;
    (number(point.x), number(point.y))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use kurbo::{Line, Point, Rect};

    use super::{ReadPath, ReadSegment, crossed};

    fn path(points: &[(f64, f64)]) -> ReadPath {
        let points: Vec<Point> = points.iter().map(|&point| point.into()).collect();
        let pieces = points.windows(2).map(|pair| ReadSegment::Line(Line::new(pair[0], pair[1]))).collect();
        ReadPath { layer: "0".into(), closed: false, pieces, line: 0, run: Arc::default() }
    }

    #[test]
    fn sides_that_cross_at_their_corners_are_an_outline() {
        let sides = vec![
            path(&[(-1.0, 0.0), (102.0, 0.0)]),
            path(&[(0.0, 50.0), (0.0, -1.5)]),
            path(&[(100.0, -3.0), (100.0, 51.0)]),
            path(&[(-0.5, 50.0), (100.5, 50.0)]),
            path(&[(40.0, 20.0), (60.0, 20.0)]),
        ];
        let (crossings, rest) = crossed(sides);
        assert_eq!((crossings.len(), rest.len()), (1, 1));
        assert_eq!((crossings[0].path.bounds(), crossings[0].over_run), (Rect::new(0.0, 0.0, 100.0, 50.0), 3.0));
        assert!(crossings[0].path.closed && crossings[0].path.gap() < 1e-9);
    }

    #[test]
    fn a_chain_that_crosses_itself_is_an_outline() {
        let (crossings, rest) =
            crossed(vec![path(&[(-4.0, 0.0), (90.0, 0.0), (90.0, 60.0), (0.0, 60.0), (0.0, -2.0)])]);
        assert_eq!((crossings.len(), rest.len()), (1, 0));
        assert_eq!((crossings[0].path.bounds(), crossings[0].over_run), (Rect::new(0.0, 0.0, 90.0, 60.0), 4.0));
    }

    #[test]
    fn a_missing_side_and_lines_that_cross_far_from_their_ends_enclose_nothing() {
        let open = vec![
            path(&[(-1.0, 0.0), (102.0, 0.0)]),
            path(&[(0.0, 50.0), (0.0, -1.5)]),
            path(&[(100.0, -3.0), (100.0, 51.0)]),
        ];
        assert_eq!(crossed(open.clone()), (Vec::new(), open));
        let hash = vec![
            path(&[(-30.0, 0.0), (130.0, 0.0)]),
            path(&[(-30.0, 50.0), (130.0, 50.0)]),
            path(&[(0.0, -30.0), (0.0, 80.0)]),
            path(&[(100.0, -30.0), (100.0, 80.0)]),
        ];
        assert_eq!(crossed(hash).0, []);
    }

    #[test]
    fn a_thicket_of_crossing_strokes_does_not_take_forever() {
        let thicket = (0..30_000).map(|at| {
            let angle = f64::from(at) * 0.7;
            path(&[(0.0, 0.0), (9.0 * angle.cos(), 9.0 * angle.sin())])
        });
        let (crossings, rest) = crossed(thicket.collect());
        assert!(crossings.len() + rest.len() <= 30_000);
    }
}
