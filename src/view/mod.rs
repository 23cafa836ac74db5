//! Views: what is drawn of each board of a mat, and the one table of them.
//!
//! A new view is one file with a function from a board to a [`Drawing`] and one line in [`VIEWS`].

mod back_template;
mod bench_card;
mod bench_sketch;
mod cut_path;
mod face_outlines;
mod face_work;
mod guides;
mod labels;
mod page;
mod pen_path;
mod sheet_plan;
mod test_piece;

pub use sheet_plan::{sheet_labels, sheet_plan_pages};
pub use test_piece::draw_test_piece;

pub use bench_card::bench_cards;

use crate::drawing::Drawing;
use crate::mat::{Layer, Mat};

/// One way to draw a board.
#[derive(Debug, Clone, Copy)]
pub struct View {
    /// The word by which the view is chosen and which ends its file names.
    pub name: &'static str,
    /// What the drawing calls itself.
    pub title: &'static str,
    /// One line for the help text.
    pub summary: &'static str,
    applies: fn(&Layer) -> bool,
    draw: fn(&View, &Mat, &Layer) -> Drawing,
}

/// Every view, in the order in which help and documents list them.
pub const VIEWS: &[View] = &[
    View {
        name: "back",
        title: "back template",
        summary: "mirrored, to tape to the back of the board: cut lines, guide lines, ticks and sizes",
        applies: always,
        draw: back_template::draw,
    },
    View {
        name: "face",
        title: "face outlines",
        summary: "as hung: face and sight outlines of the openings, and what is drawn or cut on the face",
        applies: always,
        draw: face_outlines::draw,
    },
    View {
        name: "cut",
        title: "cut path from the back",
        summary: "for a cutter, board face down: closed back outlines only, mirrored; grooves are cut from the face",
        applies: always,
        draw: cut_path::draw_from_back,
    },
    View {
        name: "cut-face",
        title: "cut path from the face",
        summary: "for a cutter, board face up: closed face outlines and grooves, not mirrored",
        applies: always,
        draw: cut_path::draw_from_face,
    },
    View {
        name: "pen",
        title: "pen path",
        summary: "for a pen, board face up: ruled lines, edges of bands, register marks; only of boards that have some",
        applies: |layer| layer.decoration.has_pen_work(),
        draw: pen_path::draw,
    },
];

/// Most views show something of every board.
const fn always(_: &Layer) -> bool {
    true
}

impl View {
    /// Returns the view with a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        VIEWS.iter().find(|view| view.name == name)
    }

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

    /// Returns what a drawing of a board is called: job, board and view.
    fn title_of(&self, mat: &Mat, layer: &Layer) -> String {
        if mat.layers.len() > 1 {
            format!("{} - {} board - {}", mat.name, layer.name, self.title)
        } else {
            format!("{} - {}", mat.name, self.title)
        }
    }
}
