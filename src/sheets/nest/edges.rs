//! The outer edges of boards that lie beside each other: a cut that two of them share is made once.

use kurbo::{Line, Rect};

use crate::tolerance::SHARED_EDGE_MM;

/// A cut along outer edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SharedEdge {
    /// All round the board of a place in the list: nothing lies near it.
    Round(usize),
    /// Along the edges of one board or of several, from left to right or from top to bottom.
    Straight(Line),
}

/// Returns the cuts that part boards, given as rectangles in millimetres that do not overlap.
///
/// A board from which all others are farther away than `clearance` millimetres is cut all round. The edges of the others
/// are straight cuts, each as long as it can be, and no stretch of an edge is in two of them.
#[must_use]
pub fn shared_edges(boards: &[Rect], clearance: f64) -> Vec<SharedEdge> {
    let (mut round, mut level, mut upright) = (Vec::new(), Vec::new(), Vec::new());
    for (index, board) in boards.iter().enumerate() {
        let around = board.inflate(clearance + SHARED_EDGE_MM, clearance + SHARED_EDGE_MM);
        let is_near =
            |other: &Rect| around.x0 < other.x1 && other.x0 < around.x1 && around.y0 < other.y1 && other.y0 < around.y1;
        if !boards.iter().enumerate().any(|(other, rect)| other != index && is_near(rect)) {
            round.push(SharedEdge::Round(index));
            continue;
        }
        level.extend([board.y0, board.y1].map(|at| EdgeStretch { at, from: board.x0, to: board.x1 }));
        upright.extend([board.x0, board.x1].map(|at| EdgeStretch { at, from: board.y0, to: board.y1 }));
    }
    let level = united(level).into_iter().map(|EdgeStretch { at, from, to }| Line::new((from, at), (to, at)));
    let upright = united(upright).into_iter().map(|EdgeStretch { at, from, to }| Line::new((at, from), (at, to)));
    round.into_iter().chain(level.chain(upright).map(SharedEdge::Straight)).collect()
}

/// A stretch of a level or an upright line.
#[derive(Clone, Copy)]
struct EdgeStretch {
    /// Where the line crosses the other axis.
    at: f64,
    from: f64,
    to: f64,
}

/// Joins stretches of one line that overlap or touch.
fn united(mut stretches: Vec<EdgeStretch>) -> Vec<EdgeStretch> {
    stretches.sort_by(|a, b| a.at.total_cmp(&b.at));
    let mut whole: Vec<EdgeStretch> = Vec::new();
    for line in stretches.chunk_by_mut(|a, b| b.at - a.at <= SHARED_EDGE_MM) {
        line.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.at.total_cmp(&b.at)));
        let mut last: Option<EdgeStretch> = None;
        for stretch in line.iter() {
            match &mut last {
                Some(last) if stretch.from <= last.to + SHARED_EDGE_MM => last.to = last.to.max(stretch.to),
                _ => whole.extend(last.replace(*stretch)),
            }
        }
        whole.extend(last);
    }
    whole
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Rect};

    use super::{SharedEdge, shared_edges};

    #[test]
    fn an_edge_that_two_boards_share_is_one_cut() {
        // Two boards side by side, one below the left one that is narrower, and one far away.
        let boards = [
            Rect::new(0.0, 0.0, 100.0, 80.0),
            Rect::new(100.0, 0.0, 150.0, 60.0),
            Rect::new(0.0, 80.0, 70.0, 120.0),
            Rect::new(200.0, 0.0, 250.0, 50.0),
        ];
        let line = |a: (f64, f64), b: (f64, f64)| SharedEdge::Straight(Line::new(a, b));
        let expected = [
            SharedEdge::Round(3),
            line((0.0, 0.0), (150.0, 0.0)),
            line((100.0, 60.0), (150.0, 60.0)),
            line((0.0, 80.0), (100.0, 80.0)),
            line((0.0, 120.0), (70.0, 120.0)),
            line((0.0, 0.0), (0.0, 120.0)),
            line((70.0, 80.0), (70.0, 120.0)),
            line((100.0, 0.0), (100.0, 80.0)),
            line((150.0, 0.0), (150.0, 60.0)),
        ];
        assert_eq!(shared_edges(&boards, 0.0), expected);
    }

    #[test]
    fn edges_of_one_line_with_a_gap_between_stay_apart() {
        let boards = [Rect::new(0.0, 0.0, 100.0, 80.0), Rect::new(103.0, 0.0, 150.0, 80.0)];
        assert_eq!(shared_edges(&boards, 2.0), [SharedEdge::Round(0), SharedEdge::Round(1)]);
        let cuts = shared_edges(&boards, 4.0);
        assert_eq!(cuts.len(), 8);
        assert!(
            cuts.iter().all(|cut| matches!(cut, SharedEdge::Straight(line) if (line.p1 - line.p0).hypot() < 101.0))
        );
    }

    #[test]
    fn rounding_makes_no_second_cut() {
        let boards = [Rect::new(0.0, 0.0, 99.9995, 80.0), Rect::new(100.0, 0.0, 150.0, 80.0004)];
        assert_eq!(shared_edges(&boards, 0.0).len(), 5);
    }
}
