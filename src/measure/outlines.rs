//! Outlines put together from the strokes of a file, and strokes that are drawn twice or have no length.

use kurbo::Point;

use super::chains::PathChains;
use super::effort;
use crate::formats::reading::ReadPath;
use crate::tolerance::{DOT_MM, SAME_STROKE_MM};

/// Strokes that are looked at in one place: hardly anything is drawn through one place more often.
const MOST_AT_A_PLACE: usize = 48;

/// Joins strokes of a layer whose ends meet, and closes chains that come back to their start.
///
/// Closed ones come first. What runs on beyond the start of a closed chain, as the over-run of a blade does, is a path of its own.
#[must_use]
pub fn outlines(paths: &[ReadPath]) -> Vec<ReadPath> {
    let chains = PathChains::of(paths);
    chains.closed.iter().chain(&chains.open).filter_map(|chain| chains.path(*chain)).collect()
}

/// A stroke by the cell in which its middle lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct PlacedStroke {
    x: i32,
    y: i32,
    path: u32,
    piece: u32,
}

impl PlacedStroke {
    fn new(middle: Point, path: usize, piece: usize) -> Self {
        let cell = |length: f64| (length / (2.0 * SAME_STROKE_MM)).floor() as i32;
        // No file that is read has more strokes.
        let number = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        Self { x: cell(middle.x), y: cell(middle.y), path: number(path), piece: number(piece) }
    }

    /// Returns its start, middle and end.
    fn points(self, paths: &[ReadPath]) -> Option<[Point; 3]> {
        let piece = paths.get(self.path as usize)?.pieces.get(self.piece as usize)?;
        Some([piece.start(), piece.middle(), piece.end()])
    }
}

/// Counts strokes that lie on top of an equal one of any layer; dots do not count.
#[must_use]
pub fn doubled(paths: &[ReadPath]) -> usize {
    let mut strokes: Vec<PlacedStroke> = Vec::with_capacity(paths.iter().map(|path| path.pieces.len()).sum());
    for (path, read) in paths.iter().enumerate() {
        let drawn = read.pieces.iter().enumerate().filter(|(_, piece)| !piece.is_dot(DOT_MM));
        strokes.extend(drawn.map(|(at, piece)| PlacedStroke::new(piece.middle(), path, at)));
    }
    // Each is held against those before it in its own cell, the one above and the three to the left.
    strokes.sort_unstable();
    let has_double = |at: usize, stroke: &PlacedStroke| {
        let Some(points) = stroke.points(paths) else { return false };
        let same = |other: &PlacedStroke| {
            effort::step();
            other.points(paths).is_some_and(|other| is_same(points, other))
        };
        let before = strokes.get(..at).unwrap_or_default();
        let own = before.iter().rev().take_while(|other| (other.x, other.y) >= (stroke.x, stroke.y.saturating_sub(1)));
        if own.take(MOST_AT_A_PLACE).any(same) {
            return true;
        }
        let (left, above, below) = (stroke.x.saturating_sub(1), stroke.y.saturating_sub(1), stroke.y.saturating_add(1));
        let from = before.partition_point(|other| (other.x, other.y) < (left, above));
        let beside = before.get(from..).unwrap_or_default().iter();
        beside.take_while(|other| (other.x, other.y) <= (left, below)).take(MOST_AT_A_PLACE).any(same)
    };
    strokes.iter().enumerate().filter(|(at, stroke)| has_double(*at, stroke)).count()
}

fn is_same([start, middle, end]: [Point; 3], [other_start, other_middle, other_end]: [Point; 3]) -> bool {
    let near = |a: Point, b: Point| a.distance(b) <= SAME_STROKE_MM;
    near(middle, other_middle)
        && ((near(start, other_start) && near(end, other_end)) || (near(start, other_end) && near(end, other_start)))
}

/// Counts strokes without length.
#[must_use]
pub fn dots(paths: &[ReadPath]) -> usize {
    paths.iter().flat_map(|path| &path.pieces).filter(|piece| piece.is_dot(DOT_MM)).count()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use kurbo::{Line, Point};

    use super::{ReadPath, dots, doubled, outlines};
    use crate::formats::reading::ReadSegment;

    fn path(points: &[(f64, f64)]) -> ReadPath {
        let points: Vec<Point> = points.iter().map(|&point| point.into()).collect();
        let pieces = points.windows(2).map(|pair| ReadSegment::Line(Line::new(pair[0], pair[1]))).collect();
        ReadPath { layer: "0".into(), closed: false, pieces, line: 0, run: Arc::default() }
    }

    #[test]
    fn single_lines_in_any_order_and_direction_make_an_outline() {
        let sides = [
            path(&[(0.0, 0.0), (4.0, 0.0)]),
            path(&[(0.0, 3.0), (0.0, 0.0)]),
            path(&[(4.0, 3.0), (4.0, 0.004)]),
            path(&[(4.0, 3.0), (0.0, 3.0)]),
        ];
        let found = outlines(&sides);
        assert_eq!((found.len(), found[0].closed, found[0].pieces.len()), (1, true, 4));
        let found = outlines(&sides[..3]);
        assert_eq!((found.len(), found[0].closed), (1, false));
        assert!((found[0].gap() - 4.0).abs() < 1e-9);
    }

    #[test]
    fn an_over_run_is_a_path_of_its_own() {
        let found = outlines(&[path(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 0.0), (1.0, 0.0)])]);
        assert_eq!(
            found.iter().map(|path| (path.closed, path.pieces.len())).collect::<Vec<_>>(),
            [(true, 3), (false, 1)]
        );
    }

    #[test]
    fn doubled_lines_and_dots_are_counted() {
        let paths = [
            path(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)]),
            path(&[(4.0, 0.0004), (0.0, 0.0)]),
            path(&[(1.0, 1.0), (1.0, 1.0)]),
        ];
        assert_eq!((doubled(&paths), dots(&paths)), (1, 1));
    }

    #[test]
    fn a_star_of_many_lines_does_not_take_forever() {
        let star: Vec<ReadPath> = (0..20_000).map(|ray| path(&[(0.0, 0.0), (f64::from(ray), 1.0)])).collect();
        assert_eq!(outlines(&star).iter().map(|path| path.pieces.len()).sum::<usize>(), 20_000);
        assert_eq!(doubled(&star), 0);
    }
}
