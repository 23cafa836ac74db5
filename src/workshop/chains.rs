//! Which distances a measured drawing shows along each side: of rows and columns of openings all of them, of openings that
//! lie otherwise those of the whole group.

use crate::pairs::pairs;
use crate::tolerance::SAME_STOP_MM;
use kurbo::{Rect, Size};

/// The stops of the chains along two opposite sides, in millimetres from the left or top edge of the mat.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ChainStops {
    /// Along the top or the left side.
    pub(super) near: Vec<f64>,
    /// Along the bottom or the right side, if the openings there lie otherwise.
    pub(super) far: Option<Vec<f64>>,
    /// Whether the stops tell of the group only, not of each opening.
    pub(super) group_only: bool,
}

/// An interval on one axis.
type Span = (f64, f64);

/// Returns the distances along the top (and the bottom) of a mat.
pub(super) fn across(openings: &[Rect], mat: Size) -> ChainStops {
    stops(openings.iter().map(|rect| ((rect.y0, rect.y1), (rect.x0, rect.x1))).collect(), mat.width)
}

/// Returns the distances along the left (and the right) side of a mat.
pub(super) fn down(openings: &[Rect], mat: Size) -> ChainStops {
    stops(openings.iter().map(|rect| ((rect.x0, rect.x1), (rect.y0, rect.y1))).collect(), mat.height)
}

/// Each opening comes with its span across the chain, by which it belongs to a row, and its span along it.
fn stops(mut openings: Vec<(Span, Span)>, length: f64) -> ChainStops {
    openings.sort_by(|(a, _), (b, _)| a.0.total_cmp(&b.0));
    let rows = rows(&openings);
    let spans: Option<Vec<Vec<Span>>> = rows.into_iter().map(apart).collect();
    let whole = |spans: &[Span]| {
        let mut stops = vec![0.0];
        stops.extend(spans.iter().flat_map(|(from, to)| [*from, *to]));
        stops.push(length);
        stops.dedup_by(|later, earlier| *later - *earlier < SAME_STOP_MM);
        stops
    };
    if let Some([first, .., last]) = spans.as_deref() {
        let known = |row: &Vec<Span>| same(row, first) || same(row, last);
        if spans.iter().flatten().all(known) {
            let far = (!same(first, last)).then(|| whole(last));
            return ChainStops { near: whole(first), far, group_only: false };
        }
    } else if let Some([only]) = spans.as_deref() {
        return ChainStops { near: whole(only), far: None, group_only: false };
    }
    ChainStops { near: whole(&group(&openings)), far: None, group_only: true }
}

/// Returns the stops of the whole group of openings alone.
pub(super) fn group_only(stops: &ChainStops) -> ChainStops {
    let all = stops.near.iter().chain(stops.far.iter().flatten()).copied();
    let inner = |stop: &f64| stops.near.first().zip(stops.near.last()).is_some_and(|(a, b)| stop > a && stop < b);
    let (from, to) =
        all.filter(inner).fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), stop| (from.min(stop), to.max(stop)));
    let ends = stops.near.first().into_iter().chain(stops.near.last());
    let mut near: Vec<f64> = ends.copied().chain([from, to]).filter(|stop| stop.is_finite()).collect();
    near.sort_by(f64::total_cmp);
    near.dedup_by(|later, earlier| *later - *earlier < SAME_STOP_MM);
    ChainStops { near, far: None, group_only: true }
}

fn group(openings: &[(Span, Span)]) -> Vec<Span> {
    let along = openings.iter().map(|(_, along)| *along);
    along.reduce(|(a, b), (c, d)| (a.min(c), b.max(d))).into_iter().collect()
}

/// Joins openings whose spans across overlap to rows.
fn rows(openings: &[(Span, Span)]) -> Vec<Vec<Span>> {
    let mut rows: Vec<(f64, Vec<Span>)> = Vec::new();
    for ((from, to), along) in openings {
        match rows.last_mut() {
            Some((end, row)) if *from < *end - SAME_STOP_MM => {
                *end = end.max(*to);
                row.push(*along);
            }
            _ => rows.push((*to, vec![*along])),
        }
    }
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Sorts the spans of a row, each once; `None` if some overlap.
fn apart(mut row: Vec<Span>) -> Option<Vec<Span>> {
    row.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    row.dedup_by(|b, a| is_same(*a, *b));
    let clear = pairs(&row).all(|(a, b)| b.0 >= a.1 - SAME_STOP_MM);
    clear.then_some(row)
}

fn is_same(a: Span, b: Span) -> bool {
    (a.0 - b.0).abs() < SAME_STOP_MM && (a.1 - b.1).abs() < SAME_STOP_MM
}

fn same(a: &[Span], b: &[Span]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_same(*a, *b))
}

#[cfg(test)]
mod tests {
    use kurbo::{Rect, Size};

    use super::{ChainStops, across, down, group_only};

    const MAT: Size = Size::new(100.0, 80.0);

    #[test]
    fn a_grid_has_one_chain_a_side() {
        let grid = [(10.0, 10.0), (50.0, 10.0), (10.0, 45.0), (50.0, 45.0)]
            .map(|corner| Rect::from_origin_size(corner, (30.0, 25.0)));
        let expected = vec![0.0, 10.0, 40.0, 50.0, 80.0, 100.0];
        assert_eq!(across(&grid, MAT), ChainStops { near: expected, far: None, group_only: false });
        assert_eq!(down(&grid, MAT).near, [0.0, 10.0, 35.0, 45.0, 70.0, 80.0]);
        assert_eq!(group_only(&across(&grid, MAT)).near, [0.0, 10.0, 80.0, 100.0]);
    }

    #[test]
    fn one_over_two_has_a_chain_above_and_one_below() {
        let openings =
            [Rect::new(10.0, 10.0, 90.0, 40.0), Rect::new(10.0, 50.0, 45.0, 70.0), Rect::new(55.0, 50.0, 90.0, 70.0)];
        let stops = across(&openings, MAT);
        assert_eq!(stops.near, [0.0, 10.0, 90.0, 100.0]);
        assert_eq!(stops.far, Some(vec![0.0, 10.0, 45.0, 55.0, 90.0, 100.0]));
        // The large one spans both columns; its heights and theirs do not overlap.
        assert_eq!(down(&openings, MAT).near, [0.0, 10.0, 40.0, 50.0, 70.0, 80.0]);
    }

    #[test]
    fn openings_at_random_show_the_group() {
        let openings = [Rect::new(10.0, 10.0, 40.0, 40.0), Rect::new(30.0, 30.0, 60.0, 70.0)];
        let stops = across(&openings, MAT);
        assert!(stops.group_only);
        assert_eq!(stops.near, [0.0, 10.0, 60.0, 100.0]);
    }
}
