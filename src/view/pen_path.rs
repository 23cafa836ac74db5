//! The pen path: ruled lines, the edges of bands of wash, and register marks, for a plotter. The sheet is the board,
//! and the title names the inks.

use super::board_view::View;
use super::face_work;
use crate::drawing::Drawing;
use crate::mat::{Layer, Mat, Placement};

impl View {
    /// The pen path, for a board that lies face up.
    pub const PEN: Self = Self {
        name: "pen",
        title: "pen path",
        summary: "for a pen, board face up: ruled lines, edges of bands, register marks; only of boards that have some",
        from_back: false,
        on_page: false,
        edges: false,
        applies: |layer| layer.decoration.has_pen_work(),
        draw,
        lay,
    };
}

/// Draws what a pen draws on the face of a board. The register marks are those of the cut path from the face.
fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut drawing = face_work::board_sheet(view, mat, layer);
    drawing.title += &in_inks(&layer.decoration.inks());
    lay(mat, layer, &Placement::new(mat, layer, false), &mut drawing);
    drawing
}

/// Adds what a pen draws on a board that lies somewhere on a sheet.
fn lay(mat: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    if layer.decoration.has_pen_work() {
        face_work::add_register_marks(mat, layer, placement, drawing);
        face_work::add_pen_work(layer, placement, drawing);
    }
}

/// Returns the end of a title that names the inks.
pub(crate) fn in_inks(inks: &[&str]) -> String {
    if inks.is_empty() { String::new() } else { format!(" - in {}", inks.join(", ")) }
}
