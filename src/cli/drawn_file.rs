//! A file that `draw` writes: a view of a board or of a sheet of boards in a format, or what a machine does with it.

use std::path::PathBuf;

use crate::checked::Checked;
use crate::drawing::Drawing;
use crate::formats::{Exported, Exporter};
use crate::machine::Machine;
use crate::mat::{Layer, Mat};
use crate::program::Program;
use crate::sheets::NestedSheet;
use crate::view::View;

use super::batch::JobOutcome;
use super::machine_profiles::ChosenMachine;

/// A file to be written.
pub(super) struct DrawnFile<'m> {
    pub(super) path: PathBuf,
    pub(super) subject: FileSubject<'m>,
    pub(super) content: FileContent<'m>,
}

/// What is drawn.
#[derive(Clone, Copy)]
pub(super) enum FileSubject<'m> {
    /// A board of a mat.
    Board(&'m Mat, &'m Layer),
    /// A sheet with boards beside each other.
    Sheet(&'m NestedSheet<'m>),
}

/// What is in a file.
#[derive(Clone, Copy)]
pub(super) enum FileContent<'m> {
    /// A view in a format.
    Drawing(&'m View, &'static dyn Exporter),
    /// What a machine does.
    Program(&'m ChosenMachine),
}

impl FileSubject<'_> {
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

    /// Lists the ornaments that a view leaves out of it, with the views that show them; nothing for views with a page, which are read by people.
    pub(super) fn left_out_by(self, view: &View) -> Vec<String> {
        let boards: Vec<(&Mat, &Layer)> = match self {
            Self::Board(mat, layer) => vec![(mat, layer)],
            Self::Sheet(sheet) => sheet.boards.iter().map(|board| (board.mat, board.layer)).collect(),
        };
        let mut all: Vec<String> = Vec::new();
        for what in boards.into_iter().flat_map(|(mat, layer)| view.leaves_out(mat, layer)) {
            if !all.contains(&what) {
                all.push(what);
            }
        }
        all
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

impl DrawnFile<'_> {
    /// Tells whether two files show the same view of the same board or sheet.
    pub(super) fn shares_drawing(&self, other: &Self) -> bool {
        match (self.content, other.content) {
            (FileContent::Drawing(a, _), FileContent::Drawing(b, _)) => {
                self.subject.is(other.subject) && std::ptr::eq(a, b)
            }
            _ => false,
        }
    }

    /// Keeps the bytes of the file and notes what is to be known of it, or why there are none.
    pub(super) fn take(&self, exported: Result<Exported, String>, outcome: &mut JobOutcome) -> Option<Vec<u8>> {
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
