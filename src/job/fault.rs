//! Why a value of a file cannot be read, as data: what was needed, what was found, and where.

use std::fmt;
use std::ops::Range;

use serde::de::{self, Expected, Unexpected};

/// Why a value cannot be read.
#[derive(Debug)]
pub(super) struct Fault {
    /// The bytes of the key or of the value at fault, as soon as they are known.
    pub(super) range: Option<Range<usize>>,
    pub(super) kind: FaultKind,
}

/// What is wrong with a value.
#[derive(Debug)]
pub(super) enum FaultKind {
    /// A key that the table does not have, with those that it has.
    UnknownKey { key: String, known: &'static [&'static str] },
    /// A word that is not one of the choices.
    UnknownChoice { word: String, choices: &'static [&'static str] },
    /// A key that is needed.
    MissingKey(&'static str),
    /// A key that stands twice, or in two spellings.
    RepeatedKey(&'static str),
    /// A value of the wrong kind.
    WrongKind { needed: String, found: String },
    /// A list of the wrong length; what was found is known from its value.
    WrongLength { needed: String, found: Option<usize> },
    /// Anything else, in words of our own types.
    Other(String),
}

impl Fault {
    /// Makes the fault of a value of the wrong kind.
    pub(super) fn wrong_kind(needed: impl Into<String>, found: Unexpected<'_>) -> Self {
        FaultKind::WrongKind { needed: needed.into(), found: in_words(found) }.into()
    }

    /// Returns the fault with a place, unless it has a closer one.
    pub(super) fn at(mut self, range: &Range<usize>) -> Self {
        self.range.get_or_insert_with(|| range.clone());
        self
    }
}

impl From<FaultKind> for Fault {
    fn from(kind: FaultKind) -> Self {
        Self { range: None, kind }
    }
}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        FaultKind::Other(message.to_string()).into()
    }

    fn invalid_type(found: Unexpected<'_>, needed: &dyn Expected) -> Self {
        Self::wrong_kind(needed.to_string(), found)
    }

    fn invalid_value(found: Unexpected<'_>, needed: &dyn Expected) -> Self {
        Self::wrong_kind(needed.to_string(), found)
    }

    fn invalid_length(_: usize, needed: &dyn Expected) -> Self {
        FaultKind::WrongLength { needed: needed.to_string(), found: None }.into()
    }

    fn unknown_variant(word: &str, choices: &'static [&'static str]) -> Self {
        FaultKind::UnknownChoice { word: word.to_owned(), choices }.into()
    }

    fn unknown_field(key: &str, known: &'static [&'static str]) -> Self {
        FaultKind::UnknownKey { key: key.to_owned(), known }.into()
    }

    fn missing_field(key: &'static str) -> Self {
        FaultKind::MissingKey(key).into()
    }

    fn duplicate_field(key: &'static str) -> Self {
        FaultKind::RepeatedKey(key).into()
    }
}

/// Words what was found.
fn in_words(found: Unexpected<'_>) -> String {
    match found {
        Unexpected::Bool(value) => format!("`{value}`"),
        Unexpected::Unsigned(number) => format!("the number {number}"),
        Unexpected::Signed(number) => format!("the number {number}"),
        Unexpected::Float(number) => format!("the number {number:?}"),
        Unexpected::Str(text) => format!("the text \"{text}\""),
        Unexpected::Unit | Unexpected::Option => "nothing".to_owned(),
        Unexpected::Seq => "a list".to_owned(),
        Unexpected::Map => "a table".to_owned(),
        Unexpected::Other(what) => what.to_owned(),
        other => other.to_string(),
    }
}
