//! The places of many problems in one text, which is read and divided into lines once for all of them.

use std::ops::Range;

use super::node::SourceNode;
use super::reader::{body, locate_in, readable};
use super::{Document, TextSpan};
use crate::problem::Place;

/// Where the values and the lines of a text are.
pub(super) struct Places<'d> {
    document: &'d Document,
    root: Option<SourceNode<'d>>,
    /// Where each line begins.
    lines: Vec<usize>,
}

impl<'d> Places<'d> {
    pub(super) fn of(document: &'d Document) -> Self {
        let text = document.text.as_str();
        let root = readable(text).and_then(|text| SourceNode::read(body(text).0, document.syntax).ok());
        let ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { document, root, lines: std::iter::once(0).chain(ends).collect() }
    }

    /// Returns the bytes at which a place lies; `None` for the text as a whole.
    pub(super) fn locate(&self, place: &Place) -> Option<Range<usize>> {
        locate_in(&self.document.text, self.root.as_ref()?, place)
    }

    /// Returns where some bytes of the text are.
    pub(super) fn span(&self, range: &Range<usize>) -> TextSpan {
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
