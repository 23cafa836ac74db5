//! The cut path: closed outlines and nothing else, for an automated cutter. The sheet is the board.

use super::View;
use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::Outline;
use crate::mat::{Edge, Layer, Mat};

/// Draws the path for a board that lies face down.
pub(super) fn draw_from_back(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    draw(view, mat, layer, Edge::Back, |outline| outline.mirrored(0.5 * mat.outer.width))
}

/// Draws the path for a board that lies face up.
pub(super) fn draw_from_face(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    draw(view, mat, layer, Edge::Face, Outline::clone)
}

/// Openings come before the outer edge, so that the board stays whole while they are cut.
fn draw(view: &View, mat: &Mat, layer: &Layer, edge: Edge, turned: impl Fn(&Outline) -> Outline) -> Drawing {
    let mut drawing =
        Drawing { title: view.title_of(mat, layer), view: view.title, sheet: mat.outer, layers: Vec::new() };
    for opening in &layer.openings {
        let outline = turned(opening.outline(edge));
        drawing.add(Role::Cut, Mark::Outline { outline, opening: Some(opening.number) });
    }
    if let Some(outline) = mat.edge() {
        drawing.add(Role::Edge, Mark::Outline { outline, opening: None });
    }
    drawing
}
