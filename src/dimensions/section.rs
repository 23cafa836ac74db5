//! The section through the left side of an opening: the widths of bevels and of the strips of lower boards.

use kurbo::Point;

use super::dimension::DimensionKind;
use super::measured::MeasuredSize;
use crate::mat::{Edge, Mat, Opening};
use crate::pairs::pairs;
use crate::tolerance::SAME_STOP_MM;

/// An edge in the section.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SectionEdge {
    /// Its x on the mat in millimetres.
    pub(crate) x: f64,
    /// Its board, the top one being 1, and which edge of that it is: the face, or what is seen of the bevel.
    pub(crate) of: (usize, Edge),
}

/// Returns what the section goes through: in each board from the top the leftmost opening that is seen through the one above.
pub(crate) fn cut_through(mat: &Mat) -> Vec<&Opening> {
    let mut cuts: Vec<&Opening> = Vec::with_capacity(mat.layers.len());
    for layer in &mat.layers {
        let above = cuts.last().copied();
        let seen = |opening: &&Opening| {
            above.is_none_or(|above| {
                let (a, b) = (above.sight.bounds(), opening.sight.bounds());
                above.number == opening.number || a.union(b) == a
            })
        };
        let left = |a: &&Opening, b: &&Opening| a.sight.bounds().x0.total_cmp(&b.sight.bounds().x0);
        let Some(opening) = layer.openings.iter().filter(seen).min_by(left) else { break };
        cuts.push(opening);
    }
    cuts
}

/// Returns the edges that the eye sees in the section, from left to right; of those at one place the first.
pub(crate) fn edges(mat: &Mat) -> Vec<SectionEdge> {
    let both = cut_through(mat).into_iter().zip(1..).flat_map(|(opening, board)| {
        let (face, back) = (opening.face.bounds().x0, opening.back.bounds().x0);
        [SectionEdge { x: face, of: (board, Edge::Face) }, SectionEdge { x: face.max(back), of: (board, Edge::Sight) }]
    });
    let mut edges: Vec<SectionEdge> = both.collect();
    edges.sort_by(|a, b| a.x.total_cmp(&b.x));
    edges.dedup_by(|later, earlier| later.x - earlier.x < SAME_STOP_MM);
    edges
}

pub(super) fn add(mat: &Mat, found: &mut Vec<MeasuredSize>) {
    found.extend(distances(mat));
}

/// Measures between neighbouring edges, from left to right.
pub(crate) fn distances(mat: &Mat) -> Vec<MeasuredSize> {
    let y = cut_through(mat).first().map_or(0.0, |opening| opening.sight.bounds().center().y);
    let edges = edges(mat);
    pairs(&edges)
        .map(|(from, to)| {
            let kind = DimensionKind::Section { from: from.of, to: to.of };
            MeasuredSize::new(kind, [Point::new(from.x, y), Point::new(to.x, y)])
        })
        .collect()
}
