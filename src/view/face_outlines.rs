//! The board as hung: the outlines of its openings at the face and at the sight edge.

use super::View;
use super::face_work::{self, OnBoard};
use super::labels::Labels;
use super::page::Page;
use crate::drawing::{Drawing, Mark, Role};
use crate::mat::{Borders, Layer, Mat};

/// Draws face and sight outlines of a board, seen from the front.
pub(super) fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut notes = vec![
        "SEEN FROM THE FRONT, not mirrored. In each opening: the size of its sight opening, and the borders between it and the edges."
            .to_owned(),
    ];
    if !layer.decoration.is_empty() {
        notes.push(format!("On the face: {}.", layer.decoration.describe(mat.ruler).join("; ")));
    }
    let mut page = Page::new(view, mat, layer, false, &notes);
    let to_sheet = OnBoard::at(mat, layer, page.board().origin());
    face_work::add_pen_work(layer, to_sheet, &mut page.drawing);
    face_work::add_grooves(layer, to_sheet, &mut page.drawing);
    for opening in &layer.openings {
        let number = Some(opening.number);
        let sight = page.outline(&opening.sight);
        let face = page.outline(&opening.face);
        page.add(Role::Face, Mark::Outline { outline: face, opening: number });
        page.add(Role::Sight, Mark::Outline { outline: sight.clone(), opening: number });
        let Borders { left, right, top, bottom } = opening.borders(mat.extent(layer));
        let labels = Labels::new(mat, layer, opening, [left, right, top, bottom]);
        labels.write(&sight, &mut page);
    }
    page.drawing
}
