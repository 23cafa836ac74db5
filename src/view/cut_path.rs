//! The cut path: closed outlines and grooves, nothing to read, for an automated cutter. The sheet is the board.

use super::View;
use super::face_work::{self, OnBoard};
use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::Outline;
use crate::mat::{Edge, Layer, Mat};

/// Draws the path for a board that lies face down. Grooves belong to the face and are not in it.
pub(super) fn draw_from_back(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    let to_sheet = OnBoard::new(mat, layer);
    let mirrored = |outline: &Outline| to_sheet.outline(&outline.mirrored(0.5 * mat.outer.width));
    add_cuts(layer, Edge::Back, mirrored, &mut drawing);
    drawing
}

/// Draws the path for a board that lies face up: first the grooves, while the board is whole. A board with pen work
/// gets the same register marks as its pen path.
pub(super) fn draw_from_face(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    let to_sheet = OnBoard::new(mat, layer);
    if layer.decoration.has_pen_work() {
        face_work::add_register_marks(mat.extent(layer).size(), &mut drawing);
    }
    face_work::add_groove_centres(layer, to_sheet, &mut drawing);
    add_cuts(layer, Edge::Face, |outline| to_sheet.outline(outline), &mut drawing);
    drawing
}

/// Openings come before the outer edge, so that the board stays whole while they are cut.
fn add_cuts(layer: &Layer, edge: Edge, to_sheet: impl Fn(&Outline) -> Outline, drawing: &mut Drawing) {
    for opening in &layer.openings {
        let outline = to_sheet(opening.outline(edge));
        drawing.add(Role::Cut, Mark::Outline { outline, opening: Some(opening.number) });
    }
    // The sheet is the board, and its edge is its own mirror image.
    if let Some(outline) = Outline::rectangle(drawing.sheet.to_rect()) {
        drawing.add(Role::Edge, Mark::Outline { outline, opening: None });
    }
}
