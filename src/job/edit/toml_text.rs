//! Keys set and taken out in the text of a TOML job.

use std::ops::Range;

use serde_json::Value as Json;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::edit_error::{EditError, no_place};
use super::sides::both_sides;
use crate::job::Syntax;
use crate::job::long_forms;
use crate::job::node::SourceNode;
use crate::problem::{KeyPath, KeyStep};

/// Sets a value that the text does not have yet, or that is a table.
pub(super) fn set(text: &str, path: &KeyPath, value: &Json) -> Result<String, EditError> {
    let mut document = parse(text, path)?;
    ValueToSet { path, value, steps: path.steps() }.in_table(document.as_table_mut(), 0)?;
    Ok(document.to_string())
}

/// Takes a value out that the text has at some bytes.
pub(super) fn remove(text: &str, path: &KeyPath, found: Range<usize>) -> Result<String, EditError> {
    if let Some(lines) = own_lines(text, path, found) {
        let mut shorter = text.to_owned();
        shorter.replace_range(lines.clone(), "");
        // An opening of which nothing is said is still an opening.
        let stays = path.split_last().filter(|(parent, _)| is_item(parent) && !has(&shorter, parent));
        let table = text.get(lines.clone()).and_then(|line| line.split_once('=')?.0.rsplit_once('.'));
        if let (Some(_), Some((table, _))) = (stays, table) {
            let mut text = text.to_owned();
            text.replace_range(lines, &format!("{table} = {{}}\n"));
            return Ok(text);
        }
        return Ok(shorter);
    }
    let mut document = parse(text, path)?;
    let steps = path.steps();
    let taken = take_from_item(document.as_item_mut(), &steps);
    if taken { Ok(document.to_string()) } else { Err(no_place(path, "there is nothing there that can be removed")) }
}

/// Tells whether a table is an item of a list, by which something is made even if the table is empty.
fn is_item(path: &KeyPath) -> bool {
    let list = match path.split_last() {
        Some((list, KeyStep::Index(_))) => list.split_last(),
        other => other,
    };
    matches!(list, Some((_, KeyStep::Key(key))) if ["opening", "layer", "groove", "ruled"].contains(&key.as_ref()))
}

fn has(text: &str, path: &KeyPath) -> bool {
    SourceNode::read(text, Syntax::Toml).is_ok_and(|root| root.find(&path.steps()).is_some())
}

/// Writes a value as it stands behind a key.
pub(super) fn inline(value: &Json) -> Result<String, EditError> {
    Ok(to_toml(value).ok_or_else(no_null)?.to_string().trim().to_owned())
}

fn parse(text: &str, path: &KeyPath) -> Result<DocumentMut, EditError> {
    text.parse().map_err(|error: toml_edit::TomlError| no_place(path, error.message()))
}

fn no_null() -> EditError {
    EditError::NoPlace("TOML has no empty value; remove the key instead".to_owned())
}

/// Returns the lines of a key and its value if nothing else is on them.
fn own_lines(text: &str, path: &KeyPath, value: Range<usize>) -> Option<Range<usize>> {
    let (_, KeyStep::Key(_)) = path.split_last()? else { return None };
    let start = text.get(..value.start)?.rfind('\n').map_or(0, |at| at + 1);
    let end = text.get(value.end..)?.find('\n').map_or(text.len(), |at| value.end + at + 1);
    let (before, after) = (text.get(start..value.start)?, text.get(value.end..end)?.trim());
    let is_plain = before.trim_end().ends_with('=') && !before.contains(['{', '[', ',']);
    (is_plain && (after.is_empty() || after.starts_with('#'))).then_some(start..end)
}

/// A value on its way to its place.
struct ValueToSet<'a> {
    path: &'a KeyPath,
    value: &'a Json,
    steps: Vec<&'a KeyStep>,
}

impl ValueToSet<'_> {
    fn refuse<T>(&self, reason: &str) -> Result<T, EditError> {
        Err(no_place(self.path, reason))
    }

    /// Sets the value in a table, which the first `at` steps lead to.
    fn in_table(&self, table: &mut dyn TableLike, at: usize) -> Result<(), EditError> {
        let Some(KeyStep::Key(key)) = self.steps.get(at) else {
            return self.refuse("the value there is a table, not a list");
        };
        let is_last = at + 1 == self.steps.len();
        match table.get_mut(key) {
            Some(item) if !is_last => self.in_item(item, at + 1),
            _ if is_last => {
                table.insert(key, Item::Value(to_toml(self.value).ok_or_else(no_null)?));
                Ok(())
            }
            _ => {
                let mut new = self.empty(at + 1);
                self.in_item(&mut new, at + 1)?;
                table.insert(key, new);
                Ok(())
            }
        }
    }

    /// Makes room for the step at a position: a table whose keys are written with dots, or a list.
    fn empty(&self, at: usize) -> Item {
        match (self.steps.get(at), self.steps.get(at + 1)) {
            (Some(KeyStep::Index(_)), Some(_)) => Item::ArrayOfTables(ArrayOfTables::new()),
            (Some(KeyStep::Index(_)), None) if self.value.is_object() => Item::ArrayOfTables(ArrayOfTables::new()),
            (Some(KeyStep::Index(_)), None) => Item::Value(Value::Array(Array::new())),
            _ => {
                let mut table = Table::new();
                table.set_dotted(true);
                table.set_implicit(true);
                Item::Table(table)
            }
        }
    }

    fn in_item(&self, item: &mut Item, at: usize) -> Result<(), EditError> {
        match (self.steps.get(at), &mut *item) {
            (Some(KeyStep::Key(_)), Item::ArrayOfTables(list)) => match list.len() {
                1 => list.get_mut(0).map_or(Ok(()), |table| self.in_table(table, at)),
                many => self.refuse(&format!("there are {many} tables, and the path does not say which one")),
            },
            (Some(KeyStep::Index(index)), Item::ArrayOfTables(list)) => self.in_list_of_tables(list, *index, at),
            (Some(KeyStep::Index(0)), Item::Table(table)) => self.in_table_itself(table, at + 1),
            (Some(KeyStep::Index(1)), Item::Table(table)) => {
                let mut first = std::mem::take(table);
                first.set_dotted(false);
                first.set_implicit(false);
                let mut list = ArrayOfTables::new();
                list.push(first);
                self.in_list_of_tables(&mut list, 1, at)?;
                *item = Item::ArrayOfTables(list);
                Ok(())
            }
            (Some(KeyStep::Key(_)), Item::Table(table)) => self.in_table(table, at),
            (_, Item::Value(value)) => self.in_value(value, at),
            _ => self.refuse("the value there cannot contain another value"),
        }
    }

    fn in_list_of_tables(&self, list: &mut ArrayOfTables, index: usize, at: usize) -> Result<(), EditError> {
        let length = list.len();
        match list.get_mut(index) {
            Some(table) => self.in_table_itself(table, at + 1),
            None if index == length => {
                let mut table = Table::new();
                self.in_table_itself(&mut table, at + 1)?;
                list.push(table);
                Ok(())
            }
            None => self.refuse(&format!("the list there has {length} items")),
        }
    }

    /// Sets a key below a table, or the whole of it where no step is left.
    fn in_table_itself(&self, table: &mut Table, at: usize) -> Result<(), EditError> {
        if at < self.steps.len() {
            return self.in_table(table, at);
        }
        let Json::Object(keys) = self.value else { return self.refuse("there is a table there") };
        table.clear();
        for (key, value) in keys {
            table.insert(key, Item::Value(to_toml(value).ok_or_else(no_null)?));
        }
        Ok(())
    }

    fn in_value(&self, value: &mut Value, at: usize) -> Result<(), EditError> {
        match (self.steps.get(at), &mut *value) {
            (None, value) => {
                let decor = value.decor().clone();
                *value = to_toml(self.value).ok_or_else(no_null)?;
                *value.decor_mut() = decor;
                Ok(())
            }
            (Some(KeyStep::Key(_)), Value::InlineTable(table)) => {
                let (length, last) = (table.len(), table.iter().last().map(|(key, _)| key.to_owned()));
                self.in_table(table, at)?;
                if let Some(old) = last.filter(|_| table.len() > length).and_then(|key| table.get_mut(&key)) {
                    // Whichever is the last one now has the space before the brace.
                    let end = old.decor().suffix().cloned();
                    old.decor_mut().set_suffix("");
                    if let (Some(end), Some((_, new))) = (end, table.iter_mut().last()) {
                        new.decor_mut().set_suffix(end);
                    }
                }
                Ok(())
            }
            (Some(KeyStep::Key(_)), Value::Array(list)) if list.len() == 1 => {
                list.get_mut(0).map_or(Ok(()), |item| self.in_value(item, at))
            }
            (Some(KeyStep::Key(_)), short) => {
                let before = self.steps.get(..at).unwrap_or_default();
                let Some(long) = from_toml(short).and_then(|short| long_forms::of(before, &short)) else {
                    return self.refuse("the value there is not a table");
                };
                let mut table = InlineTable::new();
                let mut inner = short.clone();
                inner.decor_mut().clear();
                table.insert(long, inner);
                self.in_table(&mut table, at)?;
                let decor = value.decor().clone();
                *value = Value::InlineTable(table);
                *value.decor_mut() = decor;
                Ok(())
            }
            (Some(KeyStep::Index(index)), Value::Array(list)) => {
                let length = list.len();
                if *index == length {
                    let is_last = at + 1 == self.steps.len();
                    list.push(if is_last { Value::from(false) } else { InlineTable::new().into() });
                }
                match list.get_mut(*index) {
                    Some(item) => self.in_value(item, at + 1),
                    None => self.refuse(&format!("the list there has {length} items")),
                }
            }
            (Some(KeyStep::Index(0)), Value::InlineTable(_)) => self.in_value(value, at + 1),
            (Some(KeyStep::Index(_)), whole) => {
                let items: Vec<Value> = match from_toml(whole) {
                    Some(Json::Object(_)) => vec![whole.clone()],
                    Some(size) => both_sides(&size).into_iter().flatten().filter_map(|side| to_toml(&side)).collect(),
                    None => Vec::new(),
                };
                if items.is_empty() {
                    return self.refuse("the value there is not a list");
                }
                let decor = whole.decor().clone();
                let mut list = Value::Array(Array::from_iter(items));
                *list.decor_mut() = decor;
                self.in_value(&mut list, at)?;
                *value = list;
                Ok(())
            }
        }
    }
}

/// Takes out what the steps lead to; tells whether there was something.
fn take_from_item(item: &mut Item, steps: &[&KeyStep]) -> bool {
    let Some((step, rest)) = steps.split_first() else { return false };
    match (step, item) {
        (KeyStep::Key(_), Item::ArrayOfTables(list)) if list.len() == 1 => {
            list.get_mut(0).is_some_and(|table| take_from_table(table, step, rest))
        }
        (KeyStep::Index(index), Item::ArrayOfTables(list)) => match (rest.split_first(), list.get_mut(*index)) {
            (_, None) => false,
            (None, Some(_)) => {
                list.remove(*index);
                true
            }
            (Some((next, rest)), Some(table)) => take_from_table(table, next, rest),
        },
        (KeyStep::Index(0), item @ Item::Table(_)) => take_from_item(item, rest),
        (_, Item::Table(table)) => take_from_table(table, step, rest),
        (_, Item::Value(value)) => take_from_value(value, steps),
        _ => false,
    }
}

fn take_from_table(table: &mut dyn TableLike, step: &KeyStep, rest: &[&KeyStep]) -> bool {
    let KeyStep::Key(key) = step else { return false };
    // A short form goes as a whole, and so does a list of one table.
    let is_end = rest.is_empty()
        || (rest.len() == 1
            && table
                .get(key)
                .is_some_and(|item| !item.is_table_like() && item.as_array().is_none() && !item.is_array_of_tables()))
        || (matches!(rest, [KeyStep::Index(0)]) && table.get(key).is_some_and(Item::is_table_like));
    if is_end {
        return table.remove(key).is_some();
    }
    table.get_mut(key).is_some_and(|item| take_from_item(item, rest))
}

fn take_from_value(value: &mut Value, steps: &[&KeyStep]) -> bool {
    let Some((step, rest)) = steps.split_first() else { return false };
    match (step, value) {
        (KeyStep::Key(_), Value::InlineTable(table)) => {
            let end = table.iter().last().and_then(|(_, last)| last.decor().suffix().cloned());
            let taken = take_from_table(table, step, rest);
            // Whichever is the last one now has the space before the brace.
            if let (Some(end), Some((_, last))) = (end, table.iter_mut().last()) {
                last.decor_mut().set_suffix(end);
            }
            taken
        }
        (KeyStep::Key(_), Value::Array(list)) if list.len() == 1 => {
            list.get_mut(0).is_some_and(|item| take_from_value(item, steps))
        }
        (KeyStep::Index(index), Value::Array(list)) if *index < list.len() => {
            if rest.is_empty() {
                list.remove(*index);
                return true;
            }
            list.get_mut(*index).is_some_and(|item| take_from_value(item, rest))
        }
        (KeyStep::Index(0), value @ Value::InlineTable(_)) => take_from_value(value, rest),
        _ => false,
    }
}

/// Returns a value in TOML; `None` if it holds an empty value, which TOML does not have.
fn to_toml(value: &Json) -> Option<Value> {
    Some(match value {
        Json::Null => return None,
        Json::Bool(flag) => Value::from(*flag),
        Json::Number(number) => match number.as_i64() {
            Some(whole) => Value::from(whole),
            None => Value::from(number.as_f64()?),
        },
        Json::String(text) => Value::from(text.as_str()),
        Json::Array(items) => {
            Value::Array(items.iter().map(to_toml).collect::<Option<Vec<_>>>()?.into_iter().collect())
        }
        Json::Object(keys) => {
            let mut table = InlineTable::new();
            for (key, value) in keys {
                table.insert(key, to_toml(value)?);
            }
            Value::InlineTable(table)
        }
    })
}

/// Returns a text, number, flag or list of TOML as JSON; `None` for dates, which jobs do not have.
fn from_toml(value: &Value) -> Option<Json> {
    Some(match value {
        Value::String(text) => text.value().as_str().into(),
        Value::Integer(number) => (*number.value()).into(),
        Value::Float(number) => (*number.value()).into(),
        Value::Boolean(flag) => (*flag.value()).into(),
        Value::Array(items) => items.iter().map(from_toml).collect::<Option<Vec<_>>>()?.into(),
        Value::InlineTable(table) => {
            let keys = table.iter().map(|(key, value)| Some((key.to_owned(), from_toml(value)?)));
            Json::Object(keys.collect::<Option<_>>()?)
        }
        Value::Datetime(_) => return None,
    })
}
