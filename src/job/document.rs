//! A text that a framer wrote, with its name and its place in a file.

use serde::de::DeserializeOwned;

use super::{Described, ReadError, Syntax, read, read_described};

/// A text in TOML or JSON with the name by which a framer knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Document {
    /// Its name in reports, for example that of its file.
    pub name: String,
    /// The text.
    pub text: String,
    /// Its syntax.
    pub syntax: Syntax,
    /// Number of its first line in the file that it comes from, counted from one.
    pub first_line: usize,
}

impl Document {
    /// Takes a text whose syntax is guessed, as the first lines of a file of some name.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        Self { name: name.into(), syntax: Syntax::guess(&text), text, first_line: 1 }
    }

    /// Returns the text as one that is in a syntax, and starts at a line of its file.
    #[must_use]
    pub fn with(self, syntax: Syntax, first_line: usize) -> Self {
        Self { syntax, first_line, ..self }
    }

    /// Reads a value from the text.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read`] does.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, ReadError> {
        read(&self.text, self.syntax)
    }

    /// Reads a value from the text; a key in the wrong table is shown the table that it belongs to.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read_described`] does.
    pub fn read_described<T: DeserializeOwned + Described>(&self) -> Result<T, ReadError> {
        read_described(&self.text, self.syntax)
    }
}
