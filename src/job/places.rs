//! The places of many problems in one text, which is read and divided into lines once for all of them.

use std::ops::Range;

use super::defaults::{TwoTexts, is_of_shop};
use super::node::SourceNode;
use super::reader::locate_in;
use super::{Document, TextSpan};
use crate::problem::Place;

/// Where the values and the lines of a text are.
pub(super) struct Places<'d> {
    document: &'d Document,
    root: Option<(TwoTexts<'d>, SourceNode<'d>)>,
    /// Where each line begins.
    lines: Vec<usize>,
}

impl<'d> Places<'d> {
    pub(super) fn of(document: &'d Document) -> Self {
        let root =
            document.texts().and_then(|texts| Some((texts, document.tree().or_else(|_| document.own_tree()).ok()?)));
        let ends = document.text.match_indices('\n').map(|(at, _)| at + 1);
        Self { document, root, lines: std::iter::once(0).chain(ends).collect() }
    }

    /// Returns the bytes at which a place lies; `None` for the text as a whole.
    pub(super) fn locate(&self, place: &Place) -> Option<Range<usize>> {
        let (texts, root) = self.root.as_ref()?;
        locate_in(texts, root, place)
    }

    /// Returns the file in which a place lies, where that is not the text itself.
    pub(super) fn other_file(&self, range: &Range<usize>) -> Option<String> {
        is_of_shop(range).then(|| self.document.file_at(range.start).0.to_owned())
    }

    /// Returns where some bytes of the text are; those of the defaults, in their own text.
    pub(super) fn span(&self, range: &Range<usize>) -> TextSpan {
        if is_of_shop(range) {
            let (_, text, start, first_line) = self.document.file_at(range.start);
            let before = text.get(..start).unwrap_or_default();
            let (lines, line) =
                before.rsplit_once('\n').map_or((0, before), |(above, line)| (above.matches('\n').count() + 1, line));
            let letters = line.chars().filter(|letter| *letter != '\u{FEFF}').count();
            return TextSpan { start, end: start + range.len(), line: first_line + lines, column: 1 + letters };
        }
        let line = self.lines.partition_point(|start| *start <= range.start);
        let start = line.checked_sub(1).and_then(|line| self.lines.get(line)).copied().unwrap_or_default();
        let before = self.document.text.get(start..range.start).unwrap_or_default();
        // A byte order mark is not a letter of the first line.
        let letters = before.chars().filter(|letter| *letter != '\u{FEFF}');
        TextSpan {
            start: range.start,
            end: range.end,
            line: self.document.first_line + line.saturating_sub(1),
            column: 1 + letters.count(),
        }
    }
}
