//! Places where a cut is left closed, so that the piece stays in the board until it is parted by hand.

use super::path::{length_of, split};
use super::tool_model::Tabs;
use crate::geometry::Segment;
use crate::mat::over_run::turn;
use crate::program::Stroke;
use crate::tolerance::{CORNER_RAD, SAME_LENGTH_MM};

/// How far in millimetres a tab at least lies from a corner, so that corners are cut through (common practice, no source).
const FROM_CORNER_MM: f64 = 2.0;

/// Leaves tabs between strokes that go round one piece, evenly along them and away from corners.
///
/// A closed stroke then starts behind its first tab. A stroke that is too short for a tab has none.
pub(super) fn with_tabs(strokes: &[Stroke], tabs: Tabs) -> Vec<Stroke> {
    let total: f64 = strokes.iter().map(|stroke| length_of(&stroke.segments)).sum();
    let centres = (0..tabs.count).map(|tab| (tab as f64 + 0.5) / tabs.count as f64 * total);
    let centres: Vec<f64> = centres.collect();
    let mut out = Vec::new();
    let mut before = 0.0;
    for stroke in strokes {
        let length = length_of(&stroke.segments);
        let mine = centres.iter().map(|centre| centre - before).filter(|centre| (0.0..length).contains(centre));
        let gaps = mine.filter_map(|centre| gap(&stroke.segments, centre, tabs.length)).collect();
        out.extend(parted(stroke, gaps));
        before += length;
    }
    out
}

/// Returns where a tab starts and ends along a path: round a place if it can be, else in the nearest piece that has room for it.
fn gap(path: &[Segment], centre: f64, length: f64) -> Option<[f64; 2]> {
    let room = 0.5 * length + FROM_CORNER_MM;
    let mut stretches: Vec<[f64; 2]> = Vec::new();
    let mut at = 0.0;
    for (place, piece) in path.iter().enumerate() {
        let goes_on = place
            .checked_sub(1)
            .and_then(|last| path.get(last))
            .is_some_and(|last| turn(last, piece).abs() <= CORNER_RAD);
        let end = at + piece.length();
        match stretches.last_mut().filter(|_| goes_on) {
            Some([_, last]) => *last = end,
            None => stretches.push([at, end]),
        }
        at = end;
    }
    let nearest = |[start, end]: [f64; 2]| (end - start >= 2.0 * room).then(|| centre.clamp(start + room, end - room));
    let places = stretches.into_iter().filter_map(nearest);
    let place = places.min_by(|a, b| (a - centre).abs().total_cmp(&(b - centre).abs()))?;
    Some([place - 0.5 * length, place + 0.5 * length])
}

fn parted(stroke: &Stroke, mut gaps: Vec<[f64; 2]>) -> Vec<Stroke> {
    gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
    // Tabs that would overlap are one.
    gaps.dedup_by(|next, kept| {
        let is_over = next[0] <= kept[1] + SAME_LENGTH_MM;
        if is_over {
            kept[1] = kept[1].max(next[1]);
        }
        is_over
    });
    if gaps.is_empty() {
        return vec![stroke.clone()];
    }
    let mut pieces: Vec<Vec<Segment>> = Vec::new();
    let (mut rest, mut done) = (stroke.segments.clone(), 0.0);
    for [start, end] in gaps {
        let [piece, after] = split(&rest, start - done);
        let [_, after] = split(&after, end - start);
        pieces.push(piece);
        (rest, done) = (after, end);
    }
    if stroke.closed && !pieces.is_empty() {
        let first = pieces.remove(0);
        rest.extend(first);
    }
    pieces.push(rest);
    let pieces = pieces.into_iter().filter(|piece| !piece.is_empty());
    pieces.map(|segments| Stroke { segments, closed: false, ..stroke.clone() }).collect()
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::{Stroke, Tabs, length_of, with_tabs};
    use crate::geometry::Outline;

    #[test]
    fn four_tabs_of_a_rectangle_leave_its_corners_cut() {
        let outline = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 60.0)).unwrap();
        let segments = outline.segments().to_vec();
        let stroke = Stroke { segments, closed: true, opening: Some(1), depth: None, angle_deg: 0.0 };
        let strokes = with_tabs(&[stroke], Tabs { count: 4, length: 1.5 });
        assert_eq!(strokes.len(), 4);
        let cut: f64 = strokes.iter().map(|stroke| length_of(&stroke.segments)).sum();
        assert!((cut - (320.0 - 6.0)).abs() < 1e-6, "{cut}");
        for (stroke, next) in strokes.iter().zip(strokes.iter().cycle().skip(1)) {
            assert!(!stroke.closed);
            assert!((stroke.end().distance(next.start()) - 1.5).abs() < 1e-6);
            for corner in outline.segments().iter().map(crate::geometry::Segment::start) {
                assert!(stroke.start().distance(corner) >= 1.999 && stroke.end().distance(corner) >= 1.999);
            }
        }
    }
}
