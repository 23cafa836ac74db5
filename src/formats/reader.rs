//! The contract between the text of a file and what is read from it.

use super::exporter::FileUnit;
use super::facts::Facts;
use super::reading::{ReadDrawing, Unreadable};

/// A reader of one format. Files are not trusted: time and memory grow with their size only.
pub trait Reader: Sync {
    /// Returns what the format is.
    fn facts(&self) -> &'static Facts;

    /// Returns the usual endings of its files, lower case, without a dot.
    fn endings(&self) -> &'static [&'static str];

    /// Tells whether a text looks like a file of the format.
    fn recognises(&self, text: &str) -> bool;

    /// Tells whether that look is so common that all other readers are asked first.
    fn is_easily_pleased(&self) -> bool {
        false
    }

    /// Reads a text; `unit` overrules what the file says of its unit.
    ///
    /// # Errors
    ///
    /// Returns the reason and its place if the text is no such file.
    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable>;
}
