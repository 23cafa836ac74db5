//! The text of a stock file changed as little as can be: numbers in their places, new tables at the end, and every comment kept.

use serde::Serialize;
use toml_edit::{DocumentMut, Item, Table, value};

use super::ledger_order::{LedgerOrder, OrderState};
use super::{Stock, WrittenOffcut};
use crate::job::Syntax;

/// New tables as they are written.
#[derive(Serialize)]
struct Added<'s> {
    #[serde(skip_serializing_if = "<[WrittenOffcut]>::is_empty")]
    offcut: &'s [WrittenOffcut],
    #[serde(skip_serializing_if = "<[LedgerOrder]>::is_empty")]
    order: &'s [LedgerOrder],
}

impl Stock {
    /// Writes a stock that the ledger has changed into the text from which the one before was read.
    ///
    /// Comments and the order of lines stay. Returns `None` where the text is written in a way that cannot be changed so: with inline
    /// lists instead of `[[sheet]]`, `[[offcut]]` and `[[order]]`.
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
        let added = toml::to_string(&Added { offcut: &offcut, order: &order }).ok()?;
        if !added.is_empty() {
            let gap = if text.is_empty() || text.ends_with('\n') { "\n" } else { "\n\n" };
            text = format!("{text}{gap}{added}");
        }
        Some(text)
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
    let mut comments: Vec<&str> = Vec::new();
    for line in lines {
        if !comments.contains(&line) {
            comments.push(line);
        }
    }
    if !comments.is_empty() {
        let trailing = document.trailing().as_str().unwrap_or_default().to_owned();
        document.set_trailing(format!("{trailing}{}\n", comments.join("\n")));
    }
    Some(())
}
