//! A text that a framer wrote, with its name and its place in a file.

use serde::de::DeserializeOwned;

use super::defaults::{Defaults, DefaultsTable, SHOP_FILE, TwoTexts, merged};
use super::key_tables::{Described, KeyTables};
use super::node::SourceNode;
use super::reader::{self, ReadError, body, readable};
use super::syntax::Syntax;
use super::syntax_fault::SyntaxFault;

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
    /// Where what it leaves out is taken from, if it is.
    defaults: Option<(Defaults, DefaultsTable)>,
}

impl Document {
    /// Takes a text whose syntax is guessed, as the first lines of a file of some name.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        Self { name: name.into(), syntax: Syntax::guess(&text), text, first_line: 1, defaults: None }
    }

    /// Returns the text as one that is in a syntax, and starts at a line of its file.
    #[must_use]
    pub fn with(self, syntax: Syntax, first_line: usize) -> Self {
        Self { syntax, first_line, ..self }
    }

    /// Returns the text as one that takes what it leaves out from a table of a shop's defaults.
    #[must_use]
    pub fn over(self, defaults: Defaults, table: DefaultsTable) -> Self {
        Self { defaults: Some((defaults, table)), ..self }
    }

    /// Returns the defaults from which it takes what it leaves out, if it does.
    #[must_use]
    pub fn defaults(&self) -> Option<&Defaults> {
        self.defaults.as_ref().map(|(defaults, _)| defaults)
    }

    /// Reads a value from the text.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read`](super::read) does. A place in the defaults is that of [`Document::found_unreadable`].
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, ReadError> {
        self.read_with(|| None)
    }

    /// Reads a value from the text; a key in the wrong table is shown the table that it belongs to.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read_described`](super::read_described) does. A place in the defaults is that of
    /// [`Document::found_unreadable`].
    pub fn read_described<T: DeserializeOwned + Described>(&self) -> Result<T, ReadError> {
        self.read_with(|| Some(reader::tables_of::<T>()))
    }

    fn read_with<T: DeserializeOwned>(&self, tables: impl FnOnce() -> Option<KeyTables>) -> Result<T, ReadError> {
        let Some(texts) = self.texts() else { return Err(reader::too_long(&self.text)) };
        let root = self.tree().map_err(|fault| reader::error_of(fault, &texts))?;
        reader::decode(&root, &texts, self.syntax, tables)
    }

    /// Returns the texts in which its places lie; `None` if it is too long.
    pub(super) fn texts(&self) -> Option<TwoTexts<'_>> {
        let (own, mark) = body(readable(&self.text)?);
        Some(TwoTexts { own, mark, shop: self.defaults().map(Defaults::text) })
    }

    /// Returns what it says by itself.
    pub(super) fn own_tree(&self) -> Result<SourceNode<'_>, SyntaxFault> {
        SourceNode::read(body(&self.text).0, self.syntax)
    }

    /// Returns what it says, over its defaults.
    pub(super) fn tree(&self) -> Result<SourceNode<'_>, SyntaxFault> {
        let own = self.own_tree()?;
        match &self.defaults {
            Some((defaults, table)) => merged(own, defaults, *table),
            None => Ok(own),
        }
    }

    /// Returns the name and the text of the file in which a byte of a place lies, that byte in it, and the number of its first
    /// line.
    pub(super) fn file_at(&self, byte: usize) -> (&str, &str, usize, usize) {
        match self.defaults() {
            Some(defaults) if byte >= SHOP_FILE => (defaults.name(), defaults.text(), byte - SHOP_FILE, 1),
            _ => (&self.name, &self.text, byte, self.first_line),
        }
    }
}
