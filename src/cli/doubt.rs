//! Warnings of lengths that can be read but may be slips of the pen: on the command line, and in files other than jobs.

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::job::{Described, doubtful_lengths};
use crate::length;

use super::say;
use super::text_file::{TextFile, UnreadableText};

/// Hands the text of a length on, and warns where it may be a slip of the pen.
pub(super) fn doubted(text: &str) -> &str {
    if let Some(doubt) = length::doubt(text) {
        say::warning!("{}; {}", doubt.message, doubt.help);
    }
    text
}

impl TextFile {
    /// Reads a value from the text, and warns of every length in it that may be a slip of the pen.
    ///
    /// # Errors
    ///
    /// Returns the reason if the text is not such a value.
    pub(super) fn parse_and_doubt<T>(&self) -> Result<T, UnreadableText>
    where
        T: DeserializeOwned + Described + Serialize,
    {
        let value: T = self.parse()?;
        say::report(&self.report(&doubtful_lengths(&value)));
        Ok(value)
    }
}
