//! The text of a stock file changed as little as can be: numbers in their places, new tables at the end, and every comment kept.

use serde::Serialize;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, RawString, Table, Value, value};

use super::ledger_order::{LedgerOrder, OrderState};
use super::{Stock, WrittenOffcut};
use crate::job::Syntax;

/// New tables as they are written.
#[derive(Serialize)]
struct AddedTables<'s> {
    #[serde(skip_serializing_if = "<[WrittenOffcut]>::is_empty")]
    offcut: &'s [WrittenOffcut],
    #[serde(skip_serializing_if = "<[LedgerOrder]>::is_empty")]
    order: &'s [LedgerOrder],
}

impl Stock {
    /// Writes a stock that the ledger has changed into the text from which the one before was read.
    ///
    /// Comments and the order of lines stay. Lists in brackets that change become tables at the end, such as `[[offcut]]`. Returns
    /// `None` where the text would not say what it should.
    #[must_use]
    pub fn write_into(&self, text: &str, syntax: Syntax) -> Option<String> {
        let written = match syntax {
            Syntax::Toml => self.write_into_toml(text)?,
            Syntax::Json => self.write(Syntax::Json),
        };
        // Whatever was changed, the file says what it should, or it is not written.
        (Self::read(&written, syntax).ok().as_ref() == Some(self)).then_some(written)
    }

    fn write_into_toml(&self, text: &str) -> Option<String> {
        let before = Self::read(text, Syntax::Toml).ok()?;
        let mut document: DocumentMut = text.parse().ok()?;
        let changed = [
            ("sheet", self.sheet != before.sheet),
            ("offcut", self.offcut != before.offcut),
            ("order", self.order != before.order),
        ];
        changed.into_iter().filter(|(_, changed)| *changed).for_each(|(key, _)| as_tables(&mut document, key));
        for (index, (sheet, old)) in self.sheet.iter().zip(&before.sheet).enumerate() {
            if let (Some(on_hand), true) = (sheet.on_hand, sheet.on_hand != old.on_hand) {
                set(table(&mut document, "sheet", index)?, "on_hand", i64::from(on_hand));
            }
        }
        // Offcuts that are used up have left the list; the others keep their order, and new ones follow.
        let mut kept = self.offcut.iter().peekable();
        let mut gone = Vec::new();
        for (index, old) in before.offcut.iter().enumerate() {
            let is_next =
                |offcut: &&WrittenOffcut| WrittenOffcut { quantity: old.quantity, ..(*offcut).clone() } == *old;
            match kept.next_if(is_next) {
                None => gone.push(index),
                Some(offcut) if offcut.quantity != old.quantity => {
                    set(table(&mut document, "offcut", index)?, "quantity", i64::from(offcut.quantity));
                }
                Some(_) => {}
            }
        }
        let offcut: Vec<WrittenOffcut> = kept.cloned().collect();
        gone.iter().rev().try_for_each(|index| remove(&mut document, "offcut", *index))?;
        let known = |order: &LedgerOrder| before.order.iter().any(|other| other.id == order.id);
        for (index, old) in before.order.iter().enumerate().rev() {
            match self.order(&old.id) {
                None => remove(&mut document, "order", index)?,
                Some(order) if order.state != old.state => {
                    let table = table(&mut document, "order", index)?;
                    let state = if order.state == OrderState::Cut { "cut" } else { "reserved" };
                    table.insert("state", value(state));
                    table.insert("cut_on", value(order.cut_on.as_str()));
                }
                Some(_) => {}
            }
        }
        let order: Vec<LedgerOrder> = self.order.iter().filter(|order| !known(order)).cloned().collect();
        let mut text = document.to_string();
        let added = toml::to_string(&AddedTables { offcut: &offcut, order: &order }).ok()?;
        if !added.is_empty() {
            let gap = if text.is_empty() || text.ends_with('\n') { "\n" } else { "\n\n" };
            text = format!("{text}{gap}{added}");
        }
        Some(text)
    }
}

/// Writes a list in brackets, or a single table, as a list of tables; comments within it stay, at the end of the text.
fn as_tables(document: &mut DocumentMut, key: &str) {
    // Keys as people write them: see the other names of the lists of a [`Stock`].
    let plural = format!("{key}s");
    if let Some(item) = document.remove(&plural) {
        document.insert(key, item);
    }
    let Some(item) = document.get(key) else { return };
    let tables: ArrayOfTables = match item {
        Item::Value(Value::Array(list)) => {
            list.iter().filter_map(|value| Some(lines(value.as_inline_table()?))).collect()
        }
        Item::Value(Value::InlineTable(table)) => std::iter::once(lines(table)).collect(),
        Item::Table(table) => std::iter::once(table.clone()).collect(),
        _ => return,
    };
    let mut comments = match item {
        Item::Value(Value::Array(list)) => comments_of(list),
        _ => Vec::new(),
    };
    if let Item::Value(value) = item {
        comments.extend(comments_in(value.decor().suffix()));
    }
    if let Some(key) = document.key(key) {
        comments.extend(comments_in(key.leaf_decor().prefix()));
    }
    document.remove(key);
    document.insert(key, Item::ArrayOfTables(tables));
    keep_comments(document, &comments);
}

/// Writes an inline table in lines.
fn lines(table: &InlineTable) -> Table {
    let mut table = table.clone().into_table();
    table.decor_mut().set_prefix("\n");
    table
}

fn comments_of(list: &Array) -> Vec<String> {
    let decors = list.iter().flat_map(|value| [value.decor().prefix(), value.decor().suffix()]);
    decors.chain([Some(list.trailing())]).flat_map(comments_in).collect()
}

/// Lists the comments in what stands between two values.
fn comments_in(between: Option<&RawString>) -> Vec<String> {
    let lines = between.and_then(RawString::as_str).unwrap_or_default().lines();
    lines.filter_map(|line| Some(line.get(line.find('#')?..)?.trim_end().to_owned())).collect()
}

/// Puts comments at the end of the text.
fn keep_comments(document: &mut DocumentMut, comments: &[String]) {
    if !comments.is_empty() {
        let trailing = document.trailing().as_str().unwrap_or_default().to_owned();
        document.set_trailing(format!("{trailing}{}\n", comments.join("\n")));
    }
}

fn table<'d>(document: &'d mut DocumentMut, key: &str, index: usize) -> Option<&'d mut Table> {
    document.get_mut(key)?.as_array_of_tables_mut()?.get_mut(index)
}

/// Sets a number and leaves what stands round it, such as a comment behind it.
fn set(table: &mut Table, key: &str, number: i64) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            let decor = old.decor().clone();
            *old = number.into();
            *old.decor_mut() = decor;
        }
        None => {
            table.insert(key, value(number));
        }
    }
}

/// Removes a table; the comments before it and in it stay, at the end of the text.
fn remove(document: &mut DocumentMut, key: &str, index: usize) -> Option<()> {
    let tables = document.get_mut(key)?.as_array_of_tables_mut()?;
    let removed = tables.get(index)?.clone();
    tables.remove(index);
    let before = removed.decor().prefix().and_then(|prefix| prefix.as_str()).unwrap_or_default().to_owned();
    let mut alone = DocumentMut::new();
    alone.insert(key, Item::Table(removed));
    let inside = alone.to_string();
    let lines = before.lines().chain(inside.lines()).filter_map(|line| Some(&line[line.find('#')?..]));
    let mut comments: Vec<String> = Vec::new();
    for line in lines {
        if !comments.iter().any(|known| known == line) {
            comments.push(line.to_owned());
        }
    }
    keep_comments(document, &comments);
    Some(())
}
