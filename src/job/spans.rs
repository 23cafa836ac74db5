//! Where the values and keys of a job file stand in its text.

use std::ops::Range;

use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, ast, parse_to_ast};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::Syntax;
use crate::problem::Step;

/// A value of a job file and the bytes of the text that it was read from.
///
/// A TOML table stands where its header is, or its key if it has no header; the root of a TOML file stands nowhere.
#[derive(Debug)]
pub(super) struct Spans {
    pub(super) range: Range<usize>,
    content: Content,
}

#[derive(Debug)]
enum Content {
    Table(Vec<Entry>),
    List(Vec<Spans>),
    Text(String),
    Other,
}

/// A key of a table with its value.
#[derive(Debug)]
struct Entry {
    key: String,
    key_range: Range<usize>,
    value: Spans,
}

impl Spans {
    /// Reads the whole text; `None` if it is not valid.
    ///
    /// The readers refuse deep nesting, which also bounds the recursion here.
    pub(super) fn read(text: &str, syntax: Syntax) -> Option<Self> {
        match syntax {
            Syntax::Toml => {
                let root = DeTable::parse(text).ok()?;
                Some(Self { range: root.span(), content: Content::toml_table(root.get_ref()) })
            }
            Syntax::Json => {
                let strict = ParseOptions {
                    allow_comments: false,
                    allow_loose_object_property_names: false,
                    allow_trailing_commas: false,
                    allow_missing_commas: false,
                    allow_single_quoted_strings: false,
                    allow_hexadecimal_numbers: false,
                    allow_unary_plus_numbers: false,
                    allow_bare_decimal_point_numbers: false,
                    allow_non_finite_numbers: false,
                    allow_extended_string_escapes: false,
                };
                parse_to_ast(text, &CollectOptions::default(), &strict).ok()?.value.map(Self::json)
            }
        }
    }

    /// Returns the value at the end of a path, or the last one on the way to it.
    ///
    /// One table may stand for a list of one, as it may in a job file.
    pub(super) fn follow(&self, steps: &[&Step]) -> &Self {
        let mut at = self;
        for step in steps {
            let Some(next) = at.child(step) else { break };
            at = next;
        }
        at
    }

    /// Returns the value at the end of a path; `None` if the text does not have it.
    ///
    /// One table may stand for a list of one, as it may in a job file.
    pub(super) fn find(&self, steps: &[&Step]) -> Option<&Self> {
        steps.iter().try_fold(self, |at, step| at.child(step))
    }

    fn child(&self, step: &Step) -> Option<&Self> {
        match (step, &self.content) {
            (Step::Key(key), Content::Table(entries)) => {
                entries.iter().find(|entry| entry.key == *key).map(|entry| &entry.value)
            }
            // A list of one may go without its number, too.
            (Step::Key(_), Content::List(items)) => items.first().filter(|_| items.len() == 1)?.child(step),
            (Step::Index(index), Content::List(items)) => items.get(*index),
            (Step::Index(0), Content::Table(_)) => Some(self),
            _ => None,
        }
    }

    /// Tells whether the value is a table.
    pub(super) const fn is_table(&self) -> bool {
        matches!(self.content, Content::Table(_))
    }

    /// Returns the text of a value that is a string.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.content {
            Content::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Returns the last place of a key among the bytes of a range.
    pub(super) fn last_key(&self, key: &str, within: &Range<usize>) -> Option<Range<usize>> {
        let inside = |range: &Range<usize>| within.start <= range.start && range.end <= within.end;
        self.values()
            .into_iter()
            .flat_map(|value| match &value.content {
                Content::Table(entries) => entries.as_slice(),
                _ => &[],
            })
            .filter(|entry| entry.key == key && inside(&entry.key_range))
            .map(|entry| entry.key_range.clone())
            .max_by_key(|range| range.start)
    }

    /// Returns the range of the value that ends at an offset, else of the one that starts there.
    pub(super) fn value_next_to(&self, offset: usize) -> Option<Range<usize>> {
        let values = self.values();
        let ending = values.iter().find(|value| value.range.end == offset);
        let value = ending.or_else(|| values.iter().find(|value| value.range.start == offset))?;
        Some(value.range.clone())
    }

    /// Returns this value and all those in it.
    fn values(&self) -> Vec<&Self> {
        let mut values = vec![self];
        let mut next = 0;
        while let Some(value) = values.get(next).copied() {
            match &value.content {
                Content::Table(entries) => values.extend(entries.iter().map(|entry| &entry.value)),
                Content::List(items) => values.extend(items),
                Content::Text(_) | Content::Other => {}
            }
            next += 1;
        }
        values
    }

    fn toml(value: &Spanned<DeValue<'_>>) -> Self {
        let content = match value.get_ref() {
            DeValue::Table(table) => Content::toml_table(table),
            DeValue::Array(items) => Content::List(items.iter().map(Self::toml).collect()),
            DeValue::String(text) => Content::Text(text.clone().into_owned()),
            _ => Content::Other,
        };
        Self { range: value.span(), content }
    }

    fn json(value: ast::Value<'_>) -> Self {
        let range = value.range().start..value.range().end;
        let content = match value {
            ast::Value::Object(object) => Content::Table(object.properties.into_iter().map(Entry::json).collect()),
            ast::Value::Array(array) => Content::List(array.elements.into_iter().map(Self::json).collect()),
            ast::Value::StringLit(text) => Content::Text(text.value.into_owned()),
            _ => Content::Other,
        };
        Self { range, content }
    }
}

impl Content {
    fn toml_table(table: &DeTable<'_>) -> Self {
        let entry = |(key, value): (&Spanned<_>, _)| {
            let name: &std::borrow::Cow<'_, str> = key.get_ref();
            Entry { key: name.clone().into_owned(), key_range: key.span(), value: Spans::toml(value) }
        };
        Self::Table(table.iter().map(entry).collect())
    }
}

impl Entry {
    fn json(property: ast::ObjectProp<'_>) -> Self {
        let range = property.name.range();
        Self { key_range: range.start..range.end, key: property.name.into_string(), value: Spans::json(property.value) }
    }
}
