//! The file of a shop's own habits, from which jobs and orders take what they leave out.

mod complete;
mod merge;
mod named;
mod packed;
mod rivals;
mod settled;
mod table;
mod two_texts;
mod used;
mod with_units;

use std::sync::Arc;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::key_tables::Described;
use super::node::SourceNode;
use super::reader::{self, ReadError, body, readable};
use super::syntax::Syntax;
use crate::length::Unit;

pub(super) use merge::merged;
pub(super) use packed::to_be_set;
pub use table::DefaultsTable;
pub(super) use two_texts::{SHOP_FILE, TwoTexts, is_of_shop};
pub use used::UsedDefault;
pub(super) use used::used;

/// A file of defaults, understood: whatever a job or an order leaves out may be taken from it.
///
/// Every length in it has a unit, so that a job in millimetres takes three inches from it where it says three inches.
#[derive(Debug, Clone)]
pub struct Defaults(Arc<DefaultsFile>);

#[derive(Debug)]
struct DefaultsFile {
    name: String,
    text: String,
    /// What it says; its places are counted from [`SHOP_FILE`].
    root: SourceNode<'static>,
}

/// Two are the same if they have the same text under the same name.
impl PartialEq for Defaults {
    fn eq(&self, other: &Self) -> bool {
        (&self.0.name, &self.0.text) == (&other.0.name, &other.0.text)
    }
}

impl Eq for Defaults {}

impl Defaults {
    /// Reads a file of defaults of some type; `unit` returns the unit of its bare lengths.
    ///
    /// In the tables of defaults, keys that every job or order must give may be missing.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text as [`read_described`](super::read_described) does, or if a length has
    /// neither a unit nor a file with one.
    pub fn read<T: DeserializeOwned + Serialize + Described>(
        name: impl Into<String>,
        text: impl Into<String>,
        syntax: Syntax,
        unit: impl FnOnce(&T) -> Option<Unit>,
    ) -> Result<(T, Self), ReadError> {
        let (name, text) = (name.into(), text.into());
        let readable = readable(&text).ok_or_else(|| reader::too_long(&text))?;
        let (own, mark) = body(readable);
        let texts = TwoTexts { own, mark, shop: None };
        let root = SourceNode::read(own, syntax).map_err(|fault| reader::error_of(fault, &texts))?;
        let value: T = reader::decode(&complete::completed(&root), &texts, syntax, || Some(reader::tables_of::<T>()))?;
        let mut root = root.moved(0);
        with_units::give_units(&mut root, &value, unit(&value)).map_err(|fault| reader::error_of(fault, &texts))?;
        let root = root.moved(SHOP_FILE + mark);
        Ok((value, Self(Arc::new(DefaultsFile { name, text, root }))))
    }

    /// Returns the name of the file in reports.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// Returns its text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0.text
    }

    fn root(&self) -> &SourceNode<'static> {
        &self.0.root
    }
}
