//! Outlines whose sides are strokes of their own that cross at the corners, because the blade runs on beyond them.

use std::collections::BTreeMap;

use kurbo::{Line, Point, Vec2};

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

/// An end of a path that may run on beyond a corner.
struct PathEnd {
    path: usize,
    is_last: bool,
    point: Point,
    /// The unit direction in which the path leaves there.
    outward: Vec2,
    /// Length of its straight piece.
    length: f64,
}

/// Where two ends cross.
#[derive(Clone, Copy)]
struct EndCrossing {
    other: usize,
    at: Point,
    over_run: f64,
    /// How far both run on beyond it.
    cost: f64,
}

/// Finds outlines among open paths that cross near their ends; returns them, and the paths that belong to none.
#[must_use]
pub fn crossed(paths: Vec<ReadPath>) -> (Vec<Crossing>, Vec<ReadPath>) {
    let ends = ends(&paths);
    let corners = corners(&paths, &ends);
    let mut used = vec![false; paths.len()];
    let mut crossings = Vec::new();
    // The two ends of a path lie side by side.
    let at_path: BTreeMap<usize, usize> = ends.iter().enumerate().rev().map(|(at, end)| (end.path, at)).collect();
    for (&index, &first) in &at_path {
        if used.get(index).is_none_or(|used| *used) {
            continue;
        }
        if let Some(crossing) = around(first, &paths, &ends, &corners, &mut used) {
            crossings.push(crossing);
        }
    }
    let rest = paths.into_iter().zip(used).filter(|(_, used)| !used).map(|(path, _)| path);
    (crossings, rest.collect())
}

/// Lists both ends of every open path that is straight there; a path with one such end only is left out.
fn ends(paths: &[ReadPath]) -> Vec<PathEnd> {
    let mut ends = Vec::new();
    for (index, path) in paths.iter().enumerate().filter(|(_, path)| !path.closed) {
        let straight = |piece: Option<&ReadSegment>| match piece {
            Some(ReadSegment::Line(line)) if line.p0.distance(line.p1) > JOINED_MM => Some(*line),
            _ => None,
        };
        let end = |line: Line, is_last: bool| {
            let (from, to) = if is_last { (line.p0, line.p1) } else { (line.p1, line.p0) };
            let along = to - from;
            PathEnd { path: index, is_last, point: to, outward: along / along.hypot(), length: along.hypot() }
        };
        if let (Some(first), Some(last)) = (straight(path.pieces.first()), straight(path.pieces.last())) {
            ends.extend([end(first, false), end(last, true)]);
        }
    }
    ends
}

/// Finds the end that each one crosses; only where that is mutual there is a corner.
fn corners(paths: &[ReadPath], ends: &[PathEnd]) -> Vec<Option<EndCrossing>> {
    let cell = |point: Point| {
        let number = |length: f64| (length / (2.0 * LONGEST_OVER_RUN_MM)).floor() as i64;
        (number(point.x), number(point.y))
    };
    let mut places: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (index, end) in ends.iter().enumerate() {
        let here = places.entry(cell(end.point)).or_default();
        if here.len() < MOST_AT_A_PLACE {
            here.push(index);
        }
    }
    let best = |at: usize, end: &PathEnd| {
        let (x, y) = cell(end.point);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy))));
        around
            .filter_map(|cell| places.get(&cell))
            .flatten()
            .filter(|other| **other != at)
            .filter_map(|&other| corner(paths, end, ends.get(other)?, other))
            .min_by(|a, b| a.cost.total_cmp(&b.cost))
    };
    let nearest: Vec<Option<EndCrossing>> = ends.iter().enumerate().map(|(at, end)| best(at, end)).collect();
    let is_mutual = |at: usize, corner: &EndCrossing| {
        nearest.get(corner.other).and_then(Option::as_ref).is_some_and(|back| back.other == at)
    };
    nearest.iter().enumerate().map(|(at, corner)| corner.filter(|corner| is_mutual(at, corner))).collect()
}

/// Returns where two ends cross, if they do.
fn corner(paths: &[ReadPath], end: &PathEnd, other: &PathEnd, index: usize) -> Option<EndCrossing> {
    let layer = |end: &PathEnd| paths.get(end.path).map(|path| &path.layer);
    let same = end.path == other.path;
    if layer(end) != layer(other) || (same && paths.get(end.path).is_none_or(|path| path.pieces.len() < 3)) {
        return None;
    }
    // end.point − s · end.outward = other.point − t · other.outward
    let slant = end.outward.cross(other.outward);
    if slant.abs() < PARALLEL {
        return None;
    }
    let between = end.point - other.point;
    let (s, t) = (between.cross(other.outward) / slant, between.cross(end.outward) / slant);
    let runs_on = |beyond: f64, end: &PathEnd| (-JOINED_MM..=LONGEST_OVER_RUN_MM.min(end.length)).contains(&beyond);
    (runs_on(s, end) && runs_on(t, other)).then(|| EndCrossing {
        other: index,
        at: end.point - end.outward * s,
        over_run: s.max(0.0),
        cost: s.abs() + t.abs(),
    })
}

/// Follows corners from the first end of a path until they lead back to it.
fn around(
    first: usize,
    paths: &[ReadPath],
    ends: &[PathEnd],
    corners: &[Option<EndCrossing>],
    used: &mut [bool],
) -> Option<Crossing> {
    let corner = |at: usize| corners.get(at).copied().flatten();
    let mut pieces = Vec::new();
    let mut members = Vec::new();
    let mut over_run: f64 = 0.0;
    // Every path is entered at one of its ends, and left at the other.
    let mut entered = first;
    loop {
        let end = ends.get(entered)?;
        let left = if end.is_last { entered.checked_sub(1)? } else { entered + 1 };
        let (enters, leaves) = (corner(entered)?, corner(left)?);
        if members.contains(&end.path) || used.get(end.path).is_none_or(|used| *used) {
            return None;
        }
        members.push(end.path);
        over_run = over_run.max(enters.over_run).max(leaves.over_run);
        let path = paths.get(end.path)?;
        let path = if end.is_last { path.reversed() } else { path.clone() };
        pieces.extend(cut_off(path.pieces, enters.at, leaves.at));
        if leaves.other == first {
            break;
        }
        entered = leaves.other;
    }
    // Two lines enclose nothing.
    if pieces.len() < 3 {
        return None;
    }
    let first = paths.get(*members.first()?)?;
    let (layer, run) = (first.layer.clone(), first.run);
    for member in members {
        if let Some(used) = used.get_mut(member) {
            *used = true;
        }
    }
    Some(Crossing { path: ReadPath { layer, closed: true, pieces, run }, over_run })
}

/// Lets a chain start and end at the corners.
fn cut_off(mut pieces: Vec<ReadSegment>, start: Point, end: Point) -> Vec<ReadSegment> {
    if let Some(ReadSegment::Line(line)) = pieces.first_mut() {
        line.p0 = start;
    }
    if let Some(ReadSegment::Line(line)) = pieces.last_mut() {
        line.p1 = end;
    }
    pieces
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Point, Rect};

    use super::{ReadPath, ReadSegment, crossed};
    use crate::formats::reading::RunSettings;

    fn path(points: &[(f64, f64)]) -> ReadPath {
        let points: Vec<Point> = points.iter().map(|&point| point.into()).collect();
        let pieces = points.windows(2).map(|pair| ReadSegment::Line(Line::new(pair[0], pair[1]))).collect();
        ReadPath { layer: "0".into(), closed: false, pieces, run: RunSettings::default() }
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
