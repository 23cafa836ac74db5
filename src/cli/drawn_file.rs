//! A file that `draw` writes: a view of a board or of a sheet of boards in a format, or what a machine does with it.

use std::path::PathBuf;

use crate::checked::Checked;
use crate::drawing::Drawing;
use crate::formats::{Exported, Exporter};
use crate::machine::{Machine, Program};
use crate::mat::{Layer, Mat};
use crate::sheets::NestedSheet;
use crate::view::View;

use super::batch::Outcome;
use super::machines::Chosen;

/// A file to be written.
pub(super) struct File<'m> {
    pub(super) path: PathBuf,
    pub(super) subject: Subject<'m>,
    pub(super) content: Content<'m>,
}

/// What is drawn.
#[derive(Clone, Copy)]
pub(super) enum Subject<'m> {
    /// A board of a mat.
    Board(&'m Mat, &'m Layer),
    /// A sheet with boards beside each other.
    Sheet(&'m NestedSheet<'m>),
}

/// What is in a file.
#[derive(Clone, Copy)]
pub(super) enum Content<'m> {
    /// A view in a format.
    Drawing(&'m View, &'static dyn Exporter),
    /// What a machine does.
    Program(&'m Chosen),
}

impl Subject<'_> {
    /// Tells whether a view shows anything of it.
    pub(super) fn is_shown_by(self, view: &View) -> bool {
        match self {
            Self::Board(_, layer) => view.applies(layer),
            Self::Sheet(sheet) => sheet.is_shown_by(view),
        }
    }

    /// Draws it.
    pub(super) fn draw(self, view: &View) -> Drawing {
        match self {
            Self::Board(mat, layer) => view.draw(mat, layer),
            Self::Sheet(sheet) => sheet.draw(view),
        }
    }

    /// Plans the work of a machine on it.
    pub(super) fn plan(self, machine: &Machine) -> Checked<Program> {
        match self {
            Self::Board(mat, layer) => machine.plan(mat, layer),
            Self::Sheet(sheet) => machine.plan_sheet(sheet),
        }
    }

    /// Names it in a sentence.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Board(..) => "board",
            Self::Sheet(_) => "sheet",
        }
    }

    fn is(self, other: Self) -> bool {
        match (self, other) {
            (Self::Board(_, a), Self::Board(_, b)) => std::ptr::eq(a, b),
            (Self::Sheet(a), Self::Sheet(b)) => std::ptr::eq(a, b),
            _ => false,
        }
    }
}

impl File<'_> {
    /// Tells whether two files show the same view of the same board or sheet.
    pub(super) fn shares_drawing(&self, other: &Self) -> bool {
        match (self.content, other.content) {
            (Content::Drawing(a, _), Content::Drawing(b, _)) => self.subject.is(other.subject) && std::ptr::eq(a, b),
            _ => false,
        }
    }

    /// Keeps the bytes of the file and notes what is to be known of it, or why there are none.
    pub(super) fn take(&self, exported: Result<Exported, String>, outcome: &mut Outcome) -> Option<Vec<u8>> {
        let name = self.path.display().to_string();
        match exported {
            Ok(exported) => {
                outcome.entry.notes.extend(exported.notes.iter().map(|note| format!("{name}: {note}")));
                outcome.notes.extend(exported.notes.into_iter().map(|note| (name.clone(), note)));
                Some(exported.bytes)
            }
            Err(error) => {
                outcome.fail(&format!("{name}: {error}"));
                None
            }
        }
    }
}
