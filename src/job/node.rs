//! A file as a tree of values, each with the bytes that it was read from.

use std::borrow::Cow;
use std::ops::Range;

use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, ast, parse_to_ast};
use serde::de::IgnoredAny;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::Syntax;
use super::spellings;
use super::syntax_fault::SyntaxFault;
use crate::problem::KeyStep;

/// A value of a file and the bytes of the text that it was read from.
///
/// A TOML table stands where its header is, or its key if it has no header; the root of a TOML file stands nowhere.
#[derive(Debug, Clone)]
pub(super) struct SourceNode<'t> {
    pub(super) range: Range<usize>,
    pub(super) content: NodeValue<'t>,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(super) enum NodeValue<'t> {
    /// Keys with values, in the order of the file.
    Table(Vec<KeyValue<'t>>),
    List(Vec<SourceNode<'t>>),
    Text(Cow<'t, str>),
    Integer(i128),
    Float(f64),
    Boolean(bool),
    Null,
    /// A date or a time, which no file of ours has, as it is written.
    Time(String),
}

/// A key of a table with its value.
#[derive(Debug, Clone)]
pub(super) struct KeyValue<'t> {
    pub(super) key: Cow<'t, str>,
    pub(super) key_range: Range<usize>,
    pub(super) value: SourceNode<'t>,
}

/// Lists and tables in each other to this depth are read; it bounds every recursion over a tree.
const DEEPEST: usize = 100;

impl<'t> SourceNode<'t> {
    /// Reads the whole text.
    ///
    /// # Errors
    ///
    /// Returns what is wrong with its syntax.
    pub(super) fn read(text: &'t str, syntax: Syntax) -> Result<Self, SyntaxFault> {
        match syntax {
            Syntax::Toml => {
                let root = DeTable::parse(text).map_err(|error| SyntaxFault::toml(text, &error))?;
                Ok(Self { range: 0..0, content: NodeValue::toml_table(root.into_inner())? })
            }
            Syntax::Json => Self::read_json(text),
        }
    }

    fn read_json(text: &'t str) -> Result<Self, SyntaxFault> {
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
        let parsed = parse_to_ast(text, &CollectOptions::default(), &strict);
        let value = parsed.map_err(|error| SyntaxFault::json(text, &error))?.value;
        let value = value.ok_or_else(|| SyntaxFault::empty(text.len()))?;
        let node = Self::json(value, 0)?;
        // The parser with places lets a few things pass that the standard forbids, such as line breaks in texts.
        match serde_json::from_str::<IgnoredAny>(text) {
            Ok(IgnoredAny) => Ok(node),
            Err(error) => Err(SyntaxFault::strict_json(text, &error)),
        }
    }

    /// Returns the value at the end of a path, or the last one on the way to it.
    ///
    /// One table may stand for a list of one, as it may in a job file.
    pub(super) fn follow(&self, steps: &[&KeyStep]) -> &Self {
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
    pub(super) fn find(&self, steps: &[&KeyStep]) -> Option<&Self> {
        steps.iter().try_fold(self, |at, step| at.child(step))
    }

    fn child(&self, step: &KeyStep) -> Option<&Self> {
        match (step, &self.content) {
            (KeyStep::Key(key), NodeValue::Table(entries)) => entries
                .iter()
                .find(|entry| spellings::usual(&entry.key) == spellings::usual(key))
                .map(|entry| &entry.value),
            // A list of one may go without its number, too.
            (KeyStep::Key(_), NodeValue::List(items)) => items.first().filter(|_| items.len() == 1)?.child(step),
            (KeyStep::Index(index), NodeValue::List(items)) => items.get(*index),
            (KeyStep::Index(0), NodeValue::Table(_)) => Some(self),
            _ => None,
        }
    }

    /// Tells whether the value is a table.
    pub(super) const fn is_table(&self) -> bool {
        matches!(self.content, NodeValue::Table(_))
    }

    /// Returns the text of a value that is a string.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.content {
            NodeValue::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Returns the keys that lead to the table with the key at these bytes, without positions in lists, and the key's value;
    /// `None` if there is no such key.
    pub(super) fn place_of_key(&self, key_range: &Range<usize>) -> Option<(Vec<&str>, &Self)> {
        match &self.content {
            NodeValue::Table(entries) => entries.iter().find_map(|entry| {
                if entry.key_range == *key_range {
                    return Some((Vec::new(), &entry.value));
                }
                let (mut path, value) = entry.value.place_of_key(key_range)?;
                path.insert(0, &entry.key);
                Some((path, value))
            }),
            NodeValue::List(items) => items.iter().find_map(|item| item.place_of_key(key_range)),
            _ => None,
        }
    }

    fn toml(value: Spanned<DeValue<'t>>) -> Result<Self, SyntaxFault> {
        let range = value.span();
        let too_large = || SyntaxFault::too_large(range.clone());
        let content = match value.into_inner() {
            DeValue::Table(table) => NodeValue::toml_table(table)?,
            DeValue::Array(items) => NodeValue::List(items.into_iter().map(Self::toml).collect::<Result<_, _>>()?),
            DeValue::String(text) => NodeValue::Text(text),
            DeValue::Integer(number) => {
                NodeValue::Integer(i128::from_str_radix(number.as_str(), number.radix()).map_err(|_| too_large())?)
            }
            DeValue::Float(number) => NodeValue::Float(number.as_str().parse().map_err(|_| too_large())?),
            DeValue::Boolean(value) => NodeValue::Boolean(value),
            DeValue::Datetime(time) => NodeValue::Time(time.to_string()),
        };
        Ok(Self { range, content })
    }

    fn json(value: ast::Value<'t>, depth: usize) -> Result<Self, SyntaxFault> {
        let range = value.range().start..value.range().end;
        if depth > DEEPEST {
            return Err(SyntaxFault::too_deep(range));
        }
        let content = match value {
            ast::Value::Object(object) => NodeValue::json_table(object, depth)?,
            ast::Value::Array(array) => {
                let items = array.elements.into_iter().map(|item| Self::json(item, depth + 1));
                NodeValue::List(items.collect::<Result<_, _>>()?)
            }
            ast::Value::StringLit(text) => NodeValue::Text(text.value),
            ast::Value::NumberLit(number) => NodeValue::json_number(number.value, &range)?,
            ast::Value::BooleanLit(boolean) => NodeValue::Boolean(boolean.value),
            ast::Value::NullKeyword(_) => NodeValue::Null,
        };
        Ok(Self { range, content })
    }
}

impl<'t> NodeValue<'t> {
    fn toml_table(table: DeTable<'t>) -> Result<Self, SyntaxFault> {
        let entry = |(key, value): (Spanned<_>, _)| {
            Ok(KeyValue { key_range: key.span(), key: key.into_inner(), value: SourceNode::toml(value)? })
        };
        let mut entries = table.into_iter().map(entry).collect::<Result<Vec<_>, _>>()?;
        entries.sort_by_key(|entry| entry.key_range.start);
        Ok(Self::Table(entries))
    }

    fn json_table(object: ast::Object<'t>, depth: usize) -> Result<Self, SyntaxFault> {
        let mut entries: Vec<KeyValue<'t>> = Vec::with_capacity(object.properties.len());
        let mut seen = std::collections::BTreeSet::new();
        for property in object.properties {
            let range = property.name.range();
            let key_range = range.start..range.end;
            let key = property.name.into_string();
            if !seen.insert(key.clone()) {
                return Err(SyntaxFault::repeated_key(&key, key_range));
            }
            entries.push(KeyValue { key: key.into(), key_range, value: SourceNode::json(property.value, depth + 1)? });
        }
        Ok(Self::Table(entries))
    }

    fn json_number(written: &str, range: &Range<usize>) -> Result<Self, SyntaxFault> {
        if let Ok(number) = written.parse() {
            return Ok(Self::Integer(number));
        }
        match written.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Self::Float(number)),
            _ => Err(SyntaxFault::too_large(range.clone())),
        }
    }
}
