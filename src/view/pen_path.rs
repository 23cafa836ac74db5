//! The pen path: ruled lines, the edges of bands of wash, and register marks, for a plotter. The sheet is the board,
//! and the title names the inks.

use super::View;
use super::face_work::{self, OnBoard};
use crate::drawing::Drawing;
use crate::mat::{Layer, Mat};

/// Draws what a pen draws on the face of a board. The register marks are those of the cut path from the face.
pub(super) fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    let inks = layer.decoration.inks();
    if !inks.is_empty() {
        drawing.title += &format!(" - in {}", inks.join(", "));
    }
    if layer.decoration.has_pen_work() {
        face_work::add_register_marks(mat.extent(layer).size(), &mut drawing);
        face_work::add_pen_work(layer, OnBoard::new(mat, layer), &mut drawing);
    }
    drawing
}
