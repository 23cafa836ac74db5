//! Views: what is drawn of each board of a mat, and the one table of them.
//!
//! A new view is one file with a constant of [`View`] and the functions that it names, and the constant in [`VIEWS`].
//!
//! ```
//! use backline::view::{VIEWS, View};
//!
//! let mat = backline::Job::parse("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")?.mat()?;
//! let board = mat.boards().next().ok_or("a mat has a board")?;
//! let shown: Vec<&str> = VIEWS.iter().filter(|view| board.is_shown_by(**view)).map(|view| view.name).collect();
//! // A pen draws nothing on a board without ruled lines.
//! assert_eq!(shown, ["back", "face", "cut", "cut-face"]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

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

use crate::drawing::Role;
use crate::mat::{Layer, Mat};

pub(crate) use guides::lines as guide_lines;
pub(crate) use page::{BoardDrawing, Caption, mark_front_corner};
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

    /// Lists the views without a page, for machines, that show marks of a role on a board, by their names.
    #[must_use]
    pub fn showing(role: Role, mat: &Mat, layer: &Layer) -> Vec<&'static str> {
        let shows = |view: &&Self| !view.on_page && view.applies(layer) && view.draws(role, mat, layer);
        VIEWS.iter().filter(shows).map(|view| view.name).collect()
    }

    /// Lists in words the ornaments of a board that the view leaves out, with the views that show them.
    ///
    /// Of views with a page, which people read, it lists none.
    #[must_use]
    pub fn leaves_out(&self, mat: &Mat, layer: &Layer) -> Vec<String> {
        let decoration = &layer.decoration;
        let all = [
            (Role::Groove, decoration.grooves.len(), ["V-groove", "V-grooves"]),
            (Role::Ruling, decoration.lines.len(), ["ruled line", "ruled lines"]),
            (Role::Wash, decoration.washes.len(), ["band of wash", "bands of wash"]),
        ];
        let mine =
            all.into_iter().filter(|(role, count, _)| !self.on_page && *count > 0 && !self.draws(*role, mat, layer));
        mine.map(|(role, count, [one, several])| {
            let views = Self::showing(role, mat, layer).join(", ");
            format!("{count} {}; see the view {views}", if count == 1 { one } else { several })
        })
        .collect()
    }

    fn draws(&self, role: Role, mat: &Mat, layer: &Layer) -> bool {
        self.draw(mat, layer).layers.iter().any(|drawn| drawn.role == role)
    }
}
