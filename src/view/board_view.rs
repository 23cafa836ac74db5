//! One way to draw a board.

use crate::drawing::Drawing;
use crate::mat::{Layer, Mat, Placement};

/// One way to draw a board.
#[derive(Debug, Clone, Copy)]
pub struct View {
    /// The word by which the view is chosen and which ends its file names.
    pub name: &'static str,
    /// What the drawing calls itself.
    pub title: &'static str,
    /// One line for the help text.
    pub summary: &'static str,
    /// Whether boards are seen from the back, and so are their own mirror images.
    pub from_back: bool,
    /// Whether the board lies on a page with words round it; else the sheet of the drawing is the board.
    pub(crate) on_page: bool,
    /// Whether the outer edges of boards are drawn.
    pub(crate) edges: bool,
    pub(super) applies: fn(&Layer) -> bool,
    pub(super) draw: fn(&View, &Mat, &Layer) -> Drawing,
    /// Adds what the view shows of a board that lies somewhere on a sheet, but for its edge.
    pub(crate) lay: fn(&Mat, &Layer, &Placement, &mut Drawing),
}

/// Most views show something of every board.
pub(super) const fn always(_: &Layer) -> bool {
    true
}

impl View {
    /// Tells whether the view shows anything of a board; one that does not gets no file.
    #[must_use]
    pub fn applies(&self, layer: &Layer) -> bool {
        (self.applies)(layer)
    }

    /// Draws one board of a mat at full scale.
    #[must_use]
    pub fn draw(&self, mat: &Mat, layer: &Layer) -> Drawing {
        (self.draw)(self, mat, layer)
    }
}

/// Returns what a drawing of a board is called: job, board and view.
pub(super) fn title_of(view: &str, mat: &Mat, layer: &Layer) -> String {
    if mat.layers.len() > 1 {
        format!("{} - {} board - {view}", mat.name, layer.name)
    } else {
        format!("{} - {view}", mat.name)
    }
}
