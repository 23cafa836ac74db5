//! Why a key cannot be changed.

use std::fmt;

use crate::job::ReadError;
#[cfg(feature = "edit")]
use crate::problem::KeyPath;

/// Why a key cannot be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum EditError {
    /// The text is not a job, or would not be one after the edit; the range counts the bytes of that text.
    Unreadable(ReadError),
    /// The path does not lead to a place where a value can stand; the sentence says which step fails.
    NoPlace(String),
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(error) => error.fmt(f),
            Self::NoPlace(message) => f.write_str(message),
        }
    }
}

impl std::error::Error for EditError {}

/// Makes the error that a path leads through a value that has no such part.
#[cfg(feature = "edit")]
pub(super) fn no_place(path: &KeyPath, reason: &str) -> EditError {
    EditError::NoPlace(format!("there is no place for {path}: {reason}"))
}
