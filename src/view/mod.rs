//! Views: what is drawn of each board of a mat, and the one table of them.
//!
//! A new view is one file with a constant of [`View`] and the functions that it names, and the constant in [`VIEWS`].

mod back_template;
mod board_view;
mod cut_path;
mod face_outlines;
mod face_work;
mod guides;
mod labels;
mod left_out;
mod page;
mod pen_path;

pub(crate) use guides::lines as guide_lines;
pub(crate) use page::{Caption, Page, mark_front_corner};
pub(crate) use pen_path::in_inks;

pub use board_view::View;

/// Every view, in the order in which help and documents list them.
pub const VIEWS: &[View] = &[View::BACK, View::FACE, View::CUT, View::CUT_FACE, View::PEN];

impl View {
    /// Returns the view with a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        VIEWS.iter().find(|view| view.name == name)
    }
}
