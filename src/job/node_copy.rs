//! Trees that are put together: copies with texts of their own, keys taken out and put in, and the data of a tree.

use std::borrow::Cow;
use std::ops::Range;

use serde_json::Value;

use super::node::{KeyValue, NodeValue, SourceNode};
use super::spellings;

impl<'t> SourceNode<'t> {
    /// Makes a text that stands at some bytes.
    pub(super) fn of_text(text: impl Into<Cow<'t, str>>, range: Range<usize>) -> Self {
        Self { range, content: NodeValue::Text(text.into()) }
    }

    /// Makes a table of one key that stands at the same bytes as its value.
    pub(super) fn table_of(key: &'static str, value: Self) -> Self {
        let range = value.range.clone();
        let entry = KeyValue { key: key.into(), key_range: range.clone(), value };
        Self { range, content: NodeValue::Table(vec![entry]) }
    }

    /// Returns the same tree, with texts of its own, and every place moved on by so many bytes.
    pub(super) fn moved(self, by: usize) -> SourceNode<'static> {
        let moved = |range: Range<usize>| range.start + by..range.end + by;
        let content = match self.content {
            NodeValue::Table(entries) => NodeValue::Table(
                entries
                    .into_iter()
                    .map(|entry| KeyValue {
                        key: entry.key.into_owned().into(),
                        key_range: moved(entry.key_range),
                        value: entry.value.moved(by),
                    })
                    .collect(),
            ),
            NodeValue::List(items) => NodeValue::List(items.into_iter().map(|item| item.moved(by)).collect()),
            NodeValue::Text(text) => NodeValue::Text(text.into_owned().into()),
            NodeValue::Integer(number) => NodeValue::Integer(number),
            NodeValue::Float(number) => NodeValue::Float(number),
            NodeValue::Boolean(value) => NodeValue::Boolean(value),
            NodeValue::Null => NodeValue::Null,
            NodeValue::Time(time) => NodeValue::Time(time),
        };
        SourceNode { range: moved(self.range), content }
    }

    /// Returns the keys of a table; none for anything else.
    pub(super) fn entries(&self) -> &[KeyValue<'t>] {
        match &self.content {
            NodeValue::Table(entries) => entries,
            _ => &[],
        }
    }

    /// Returns the items of a list, or one value as a list of one.
    pub(super) fn items(&self) -> &[Self] {
        match &self.content {
            NodeValue::List(items) => items,
            _ => std::slice::from_ref(self),
        }
    }

    /// Changes every item of a list, or the one value.
    pub(super) fn each_item(&mut self, mut change: impl FnMut(usize, &mut Self)) {
        match &mut self.content {
            NodeValue::List(items) => items.iter_mut().enumerate().for_each(|(index, item)| change(index, item)),
            _ => change(0, self),
        }
    }

    /// Returns the value of a key of a table, in any spelling.
    pub(super) fn get(&self, key: &str) -> Option<&Self> {
        let usual = spellings::usual(key);
        self.entries().iter().find(|entry| spellings::usual(&entry.key) == usual).map(|entry| &entry.value)
    }

    /// Returns the value of a key of a table, in any spelling, to be changed.
    pub(super) fn get_mut(&mut self, key: &str) -> Option<&mut Self> {
        let NodeValue::Table(entries) = &mut self.content else { return None };
        let usual = spellings::usual(key);
        entries.iter_mut().find(|entry| spellings::usual(&entry.key) == usual).map(|entry| &mut entry.value)
    }

    /// Takes a key out of a table, in any spelling.
    pub(super) fn take(&mut self, key: &str) -> Option<KeyValue<'t>> {
        let NodeValue::Table(entries) = &mut self.content else { return None };
        let usual = spellings::usual(key);
        let at = entries.iter().position(|entry| spellings::usual(&entry.key) == usual)?;
        Some(entries.remove(at))
    }

    /// Puts a key into a table, in the place of one of the same name.
    pub(super) fn put(&mut self, entry: KeyValue<'t>) {
        drop(self.take(&entry.key));
        if let NodeValue::Table(entries) = &mut self.content {
            entries.push(entry);
        }
    }

    /// Tells whether the value is one text, number or word.
    pub(super) const fn is_single(&self) -> bool {
        !matches!(self.content, NodeValue::Table(_) | NodeValue::List(_))
    }

    /// Returns what the tree says, without places.
    pub(super) fn data(&self) -> Value {
        match &self.content {
            NodeValue::Table(entries) => {
                Value::Object(entries.iter().map(|entry| (entry.key.to_string(), entry.value.data())).collect())
            }
            NodeValue::List(items) => Value::Array(items.iter().map(Self::data).collect()),
            NodeValue::Text(text) => Value::String(text.to_string()),
            NodeValue::Integer(number) => match i64::try_from(*number) {
                Ok(number) => number.into(),
                Err(_) => (*number as f64).into(),
            },
            NodeValue::Float(number) => (*number).into(),
            NodeValue::Boolean(value) => (*value).into(),
            NodeValue::Null => Value::Null,
            NodeValue::Time(time) => Value::String(time.clone()),
        }
    }
}
