//! Why a text is not a length, where in it, and what to write instead.

use std::fmt;
use std::ops::Range;

/// Why a text is not a length.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LengthError {
    /// The bytes of the text that are at fault.
    pub range: Range<usize>,
    /// What is wrong, in words.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

impl LengthError {
    pub(super) fn new(range: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { range, message: message.into(), help: help.into() }
    }
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for LengthError {}
