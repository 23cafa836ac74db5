//! The bytes of two texts in one row: those of a job or an order, and far behind them those of the shop file.

use std::ops::Range;

/// The bytes of a shop file are counted from here on, in the places of a tree that is merged from two files. No text is as long.
pub(in crate::job) const SHOP_FILE: usize = 1 << 28;

/// Tells whether bytes are those of the shop file.
pub(in crate::job) const fn is_of_shop(range: &Range<usize>) -> bool {
    range.start >= SHOP_FILE
}

/// The texts in which the places of a tree lie.
#[derive(Debug, Clone, Copy)]
pub(in crate::job) struct TwoTexts<'t> {
    /// The text of the job, without its byte order mark.
    pub(in crate::job) own: &'t str,
    /// How many bytes the mark has.
    pub(in crate::job) mark: usize,
    /// The text of the shop file with its mark.
    pub(in crate::job) shop: Option<&'t str>,
}

impl<'t> TwoTexts<'t> {
    /// Returns the text at a place of the tree.
    pub(in crate::job) fn part(&self, range: &Range<usize>) -> Option<&'t str> {
        if is_of_shop(range) {
            self.shop?.get(range.start - SHOP_FILE..range.end - SHOP_FILE)
        } else {
            self.own.get(range.clone())
        }
    }

    /// Shortens a range of several lines to the first of them, without space at its end.
    pub(in crate::job) fn first_line(&self, range: Range<usize>) -> Range<usize> {
        match self.part(&range).and_then(|part| part.split_once('\n')) {
            Some((line, _)) => range.start..range.start + line.trim_end().len(),
            None => range,
        }
    }

    /// Returns a place of the tree as one of the whole text with its byte order mark.
    pub(in crate::job) const fn placed(&self, range: Range<usize>) -> Range<usize> {
        if is_of_shop(&range) { range } else { range.start + self.mark..range.end + self.mark }
    }
}
