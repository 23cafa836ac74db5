//! Outlines put together from the strokes of a file, and strokes that are drawn twice or have no length.

use std::collections::BTreeMap;

use kurbo::Point;

use crate::fault::Certain;
use crate::formats::reading::{ReadPath, ReadSegment};
use crate::tolerance::{DOT_MM, JOINED_MM, SAME_STROKE_MM};

/// Ends of other strokes that are looked at in one place.
const MOST_AT_A_PLACE: usize = 16;

/// Joins strokes of a layer whose ends meet, and closes chains that come back to their start.
///
/// What runs on beyond the start of a closed chain, as the over-run of a blade does, is a path of its own.
#[must_use]
pub fn outlines(paths: &[ReadPath]) -> Vec<ReadPath> {
    let mut whole = Vec::new();
    let mut open = Vec::new();
    for path in paths {
        if path.closed {
            whole.push(path.clone());
        } else {
            let (closed, rest) = without_over_run(path);
            whole.extend(closed);
            open.extend(rest);
        }
    }
    Joiner::new(open).join(&mut whole);
    whole
}

/// Cuts an open path where it comes back to its start, if it does before its end.
fn without_over_run(path: &ReadPath) -> (Option<ReadPath>, Option<ReadPath>) {
    let Some(start) = path.pieces.first().map(ReadSegment::start) else {
        return (None, None);
    };
    let comes_back = |piece: &ReadSegment| piece.end().distance(start) <= JOINED_MM;
    // The first strokes of a chain may be shorter than that distance; there and back encloses nothing.
    let back = path.pieces.iter().enumerate().skip(2).find(|(_, piece)| comes_back(piece) && !piece.is_dot(JOINED_MM));
    match back {
        Some((at, _)) => {
            let (around, rest) = path.pieces.split_at(at + 1);
            let part = |pieces: &[ReadSegment], closed| ReadPath {
                layer: path.layer.clone(),
                closed,
                pieces: pieces.to_vec(),
                run: path.run,
            };
            (Some(part(around, true)), (!rest.is_empty()).then(|| part(rest, false)))
        }
        None => (None, Some(path.clone())),
    }
}

/// A place on the grid in which ends are looked up, on a layer.
type GridCell = (usize, i64, i64);

/// Open paths whose ends are looked up by place.
struct Joiner {
    paths: Vec<Option<ReadPath>>,
    layers: Vec<usize>,
    ends: BTreeMap<GridCell, Vec<usize>>,
}

impl Joiner {
    fn new(paths: Vec<ReadPath>) -> Self {
        let mut names: BTreeMap<&str, usize> = BTreeMap::new();
        let mut layers = Vec::with_capacity(paths.len());
        for path in &paths {
            let next = names.len();
            layers.push(*names.entry(&path.layer).or_insert(next));
        }
        let mut joiner = Self { paths: Vec::new(), layers, ends: BTreeMap::new() };
        for (index, path) in paths.iter().enumerate() {
            let layer = joiner.layers.get(index).copied().certain("layer for this path");
            for end in ends(path).into_iter().flatten() {
                joiner.ends.entry(cell(layer, end)).or_default().push(index);
            }
        }
        joiner.paths = paths.into_iter().map(Some).collect();
        joiner
    }

    /// Takes all paths out, joined where they meet.
    fn join(mut self, joined: &mut Vec<ReadPath>) {
        for index in 0..self.paths.len() {
            let Some(mut chain) = self.paths.get_mut(index).and_then(Option::take) else {
                continue;
            };
            let layer = self.layers.get(index).copied().certain("layer for this path");
            // On from the end, and then on from the start.
            for _ in 0..2 {
                while chain.gap() > JOINED_MM
                    && let Some(next) = chain.pieces.last().and_then(|last| self.take_after(layer, last))
                {
                    chain.pieces.extend(next.pieces);
                }
                if chain.gap() > JOINED_MM {
                    chain = chain.reversed();
                }
            }
            let encloses =
                chain.pieces.len() > 2 || chain.pieces.iter().any(|piece| !matches!(piece, ReadSegment::Line(_)));
            chain.closed =
                encloses && chain.gap() <= JOINED_MM && !chain.pieces.iter().all(|piece| piece.is_dot(JOINED_MM));
            joined.push(chain);
        }
    }

    /// Takes a path that goes on from the end of a stroke, turned so that it starts there.
    ///
    /// One that only goes back along the stroke is drawn twice and leads nowhere.
    fn take_after(&mut self, layer: usize, last: &ReadSegment) -> Option<ReadPath> {
        let point = last.end();
        let near = |a: Point, b: Point| a.distance(b) <= JOINED_MM;
        let (_, x, y) = cell(layer, point);
        for (dx, dy) in [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)] {
            let Some(here) = self.ends.get_mut(&(layer, x.saturating_add(dx), y.saturating_add(dy))) else {
                continue;
            };
            while here.last().is_some_and(|index| self.paths.get(*index).is_none_or(Option::is_none)) {
                here.pop();
            }
            for &index in here.iter().rev().take(MOST_AT_A_PLACE) {
                let Some(path) = self.paths.get(index).and_then(Option::as_ref) else {
                    continue;
                };
                let Some([start, end]) = ends(path) else {
                    continue;
                };
                let at_start = near(start, point);
                let goes_back = |piece: &ReadSegment| {
                    near(piece.middle(), last.middle()) && near(if at_start { end } else { start }, last.start())
                };
                let doubles = path.pieces.len() == 1 && path.pieces.iter().all(goes_back);
                if (at_start || near(end, point)) && !doubles {
                    let path = self.paths.get_mut(index).and_then(Option::take)?;
                    return Some(if at_start { path } else { path.reversed() });
                }
            }
        }
        None
    }
}

fn ends(path: &ReadPath) -> Option<[Point; 2]> {
    Some([path.pieces.first()?.start(), path.pieces.last()?.end()])
}

fn cell(layer: usize, point: Point) -> GridCell {
    (layer, (point.x / JOINED_MM).floor() as i64, (point.y / JOINED_MM).floor() as i64)
}

/// Counts strokes that lie on top of an equal one of any layer; dots do not count.
#[must_use]
pub fn doubled(paths: &[ReadPath]) -> usize {
    let mut known: BTreeMap<(i64, i64), Vec<[Point; 3]>> = BTreeMap::new();
    let mut count = 0;
    let near = |a: Point, b: Point| a.distance(b) <= SAME_STROKE_MM;
    for piece in paths.iter().flat_map(|path| &path.pieces).filter(|piece| !piece.is_dot(DOT_MM)) {
        let points @ [start, middle, end] = [piece.start(), piece.middle(), piece.end()];
        let same = |other: &[Point; 3]| {
            let [other_start, other_middle, other_end] = *other;
            near(middle, other_middle)
                && ((near(start, other_start) && near(end, other_end))
                    || (near(start, other_end) && near(end, other_start)))
        };
        let (x, y) =
            ((middle.x / (2.0 * SAME_STROKE_MM)).floor() as i64, (middle.y / (2.0 * SAME_STROKE_MM)).floor() as i64);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy))));
        if around.clone().any(|cell| known.get(&cell).is_some_and(|here| here.iter().any(same))) {
            count += 1;
        } else {
            let here = known.entry((x, y)).or_default();
            // Hardly anything is drawn through one place more often.
            if here.len() < MOST_AT_A_PLACE {
                here.push(points);
            }
        }
    }
    count
}

/// Counts strokes without length.
#[must_use]
pub fn dots(paths: &[ReadPath]) -> usize {
    paths.iter().flat_map(|path| &path.pieces).filter(|piece| piece.is_dot(DOT_MM)).count()
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Point};

    use super::{ReadPath, ReadSegment, dots, doubled, outlines};
    use crate::formats::reading::RunSettings;

    fn path(points: &[(f64, f64)]) -> ReadPath {
        let points: Vec<Point> = points.iter().map(|&point| point.into()).collect();
        let pieces = points.windows(2).map(|pair| ReadSegment::Line(Line::new(pair[0], pair[1]))).collect();
        ReadPath { layer: "0".into(), closed: false, pieces, run: RunSettings::default() }
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
