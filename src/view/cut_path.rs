//! The cut path: closed outlines and grooves, nothing to read, for an automated cutter. The sheet is the board.

use super::board_view::{View, always};
use super::face_work;
use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::Outline;
use crate::mat::{Edge, Layer, Mat, Placement};

impl View {
    /// The cut path for a board that lies face down.
    pub const CUT: Self = Self {
        name: "cut",
        title: "cut path from the back",
        summary: "for a cutter, board face down: closed back outlines only, mirrored; grooves are cut from the face",
        from_back: true,
        on_page: false,
        edges: true,
        applies: always,
        draw: draw_from_back,
        lay: lay_from_back,
    };

    /// The cut path for a board that lies face up.
    pub const CUT_FACE: Self = Self {
        name: "cut-face",
        title: "cut path from the face",
        summary: "for a cutter, board face up: closed face outlines and grooves, not mirrored",
        from_back: false,
        on_page: false,
        edges: true,
        applies: always,
        draw: draw_from_face,
        lay: lay_from_face,
    };
}

/// Draws the path for a board that lies face down. Grooves belong to the face and are not in it.
fn draw_from_back(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    lay_from_back(mat, layer, &Placement::new(mat, layer, true), &mut drawing);
    add_edge(&mut drawing);
    drawing
}

/// Draws the path for a board that lies face up: first the grooves, while the board is whole. A board with pen work
/// gets the same register marks as its pen path.
fn draw_from_face(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    lay_from_face(mat, layer, &Placement::new(mat, layer, false), &mut drawing);
    add_edge(&mut drawing);
    drawing
}

/// Adds what is cut in a board that lies face down, but for its edge.
fn lay_from_back(_: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    add_cuts(layer, Edge::Back, placement, drawing);
}

/// Adds what is cut in a board that lies face up, but for its edge.
fn lay_from_face(mat: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    if layer.decoration.has_pen_work() {
        face_work::add_register_marks(mat, layer, placement, drawing);
    }
    face_work::add_groove_centres(layer, placement, drawing);
    add_cuts(layer, Edge::Face, placement, drawing);
}

fn add_cuts(layer: &Layer, edge: Edge, placement: &Placement, drawing: &mut Drawing) {
    for opening in &layer.openings {
        let outline = placement.outline(opening.outline(edge));
        drawing.add(Role::Cut, Mark::Outline { outline, opening: Some(opening.number) });
    }
}

/// Openings come before the outer edge, so that the board stays whole while they are cut.
fn add_edge(drawing: &mut Drawing) {
    // The sheet is the board, and its edge is its own mirror image.
    if let Some(outline) = Outline::rectangle(drawing.sheet.to_rect()) {
        drawing.add(Role::Edge, Mark::Outline { outline, opening: None });
    }
}
