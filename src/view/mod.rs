//! Views: what is drawn of each board of a mat, and the one table of them.
//!
//! A new view is one file with a function from a board to a [`Drawing`], one constant of [`View`] and its name in [`VIEWS`].

mod back_template;
mod cut_path;
mod face_outlines;
mod face_work;
mod guides;
mod labels;
mod page;
mod pen_path;

pub(crate) use guides::lines as guide_lines;
pub(crate) use page::{Caption, Page, mark_front_corner};
pub(crate) use pen_path::in_inks;

use crate::drawing::Drawing;
use crate::mat::{Layer, Lie, Mat};

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
    applies: fn(&Layer) -> bool,
    draw: fn(&View, &Mat, &Layer) -> Drawing,
    /// Adds what the view shows of a board that lies somewhere on a sheet, but for its edge.
    pub(crate) lay: fn(&Mat, &Layer, &Lie, &mut Drawing),
}

/// Every view, in the order in which help and documents list them.
pub const VIEWS: &[View] = &[View::BACK, View::FACE, View::CUT, View::CUT_FACE, View::PEN];

/// Most views show something of every board.
const fn always(_: &Layer) -> bool {
    true
}

impl View {
    /// The back template: mirrored, to tape to the back of the board.
    pub const BACK: Self = Self {
        name: "back",
        title: "back template",
        summary: "mirrored, to tape to the back of the board: cut lines, guide lines, ticks and sizes",
        from_back: true,
        on_page: true,
        edges: true,
        applies: always,
        draw: back_template::draw,
        lay: back_template::lay,
    };

    /// The face outlines, as the mat hangs.
    pub const FACE: Self = Self {
        name: "face",
        title: "face outlines",
        summary: "as hung: face and sight outlines of the openings, and what is drawn or cut on the face",
        from_back: false,
        on_page: true,
        edges: true,
        applies: always,
        draw: face_outlines::draw,
        lay: face_outlines::lay,
    };

    /// The cut path for a board that lies face down.
    pub const CUT: Self = Self {
        name: "cut",
        title: "cut path from the back",
        summary: "for a cutter, board face down: closed back outlines only, mirrored; grooves are cut from the face",
        from_back: true,
        on_page: false,
        edges: true,
        applies: always,
        draw: cut_path::draw_from_back,
        lay: cut_path::lay_from_back,
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
        draw: cut_path::draw_from_face,
        lay: cut_path::lay_from_face,
    };

    /// The pen path, for a board that lies face up.
    pub const PEN: Self = Self {
        name: "pen",
        title: "pen path",
        summary: "for a pen, board face up: ruled lines, edges of bands, register marks; only of boards that have some",
        from_back: false,
        on_page: false,
        edges: false,
        applies: |layer| layer.decoration.has_pen_work(),
        draw: pen_path::draw,
        lay: pen_path::lay,
    };

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
}

/// Returns what a drawing of a board is called: job, board and view.
fn title_of(view: &str, mat: &Mat, layer: &Layer) -> String {
    if mat.layers.len() > 1 {
        format!("{} - {} board - {view}", mat.name, layer.name)
    } else {
        format!("{} - {view}", mat.name)
    }
}
