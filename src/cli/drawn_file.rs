//! A file that `draw` writes: a view of a board in a format, or what a machine does with it.

use std::path::PathBuf;

use crate::export::{Exported, Exporter};
use crate::mat::Layer;
use crate::view::View;

use super::batch::Outcome;
use super::machines::Chosen;

/// A file to be written.
pub(super) struct File<'m> {
    pub(super) path: PathBuf,
    pub(super) layer: &'m Layer,
    pub(super) content: Content<'m>,
}

/// What is in a file.
#[derive(Clone, Copy)]
pub(super) enum Content<'m> {
    /// A view of a board in a format.
    Drawing(&'m View, &'static dyn Exporter),
    /// What a machine does with a board.
    Program(&'m Chosen),
}

impl File<'_> {
    /// Tells whether two files show the same view of the same board.
    pub(super) fn shares_drawing(&self, other: &Self) -> bool {
        match (self.content, other.content) {
            (Content::Drawing(a, _), Content::Drawing(b, _)) => {
                std::ptr::eq(self.layer, other.layer) && std::ptr::eq(a, b)
            }
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
