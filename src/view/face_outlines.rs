//! The board as hung: the outlines of its openings at the face and at the sight edge.

use super::board_view::{View, always};
use super::face_work;
use super::labels::{LabelledBoard, OpeningLabels};
use super::left_out;
use super::page::BoardDrawing;
use crate::drawing::{Drawing, Mark, Role};
use crate::mat::{Edge, Layer, Mat, Placement};

impl View {
    /// The face outlines, as the mat hangs.
    pub const FACE: Self = Self {
        name: "face",
        title: "face outlines",
        summary: "as hung: face and sight outlines of the openings, and what is drawn or cut on the face",
        from_back: false,
        on_page: true,
        edges: true,
        applies: always,
        draw,
        lay,
    };
}

/// Draws face and sight outlines of a board, seen from the front.
fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut notes = vec![
        "SEEN FROM THE FRONT, not mirrored. Each opening shows its sight size, and the borders between it and the edges."
            .to_owned(),
    ];
    notes.extend(left_out::note(layer));
    if !layer.decoration.is_empty() {
        notes.push(format!("On the face: {}.", layer.decoration.describe(mat.ruler, &layer.openings).join("; ")));
    }
    let mut page = BoardDrawing::new(view.title, mat, layer, false, &notes);
    lay(mat, layer, &page.placement, &mut page.drawing);
    page.drawing
}

/// Adds what is seen of a board that lies somewhere on a sheet, but for its edge.
fn lay(mat: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    face_work::add_pen_work(layer, placement, drawing);
    face_work::add_grooves(layer, placement, drawing);
    let board = LabelledBoard::new(mat, layer, placement, Edge::Sight);
    for opening in &layer.openings {
        let number = Some(opening.number);
        let sight = placement.outline(&opening.sight);
        drawing.add(Role::Face, Mark::Outline { outline: placement.outline(&opening.face), opening: number });
        drawing.add(Role::Sight, Mark::Outline { outline: sight.clone(), opening: number });
        let boxes = left_out::boxes(opening, placement);
        OpeningLabels::new(&board, opening, sight.bounds()).write(&sight, &boxes, drawing);
        left_out::mark(&boxes, drawing);
    }
}
