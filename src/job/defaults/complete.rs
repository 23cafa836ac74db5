//! Defaults as if they were whole: keys that every file must give are not missed where only defaults are given.

use crate::job::node::{KeyValue, NodeValue, SourceNode};
use crate::job::spellings;

use super::table::DefaultsTable;

/// Keys that a table must have, each with a value that stands in for one that a job will give.
const NEEDED: &[(&str, &str, &str)] = &[
    ("frame", "rabbet", "1 in x 1 in"),
    ("standard", "list", "-"),
    ("moulding", "width", "1 in"),
    ("blank", "size", "1 in x 1 in"),
    ("sheet", "size", "1 in x 1 in"),
    ("offcut", "size", "1 in x 1 in"),
];

/// Keys of a shop file beside the tables of defaults whose tables are pieces of jobs.
const LAYOUT: &str = "layout";

/// Returns the tree with every needed key of its defaults.
pub(super) fn completed<'t>(root: &SourceNode<'t>) -> SourceNode<'t> {
    let mut root = root.clone();
    let tables = DefaultsTable::ALL.iter().map(|table| table.key()).chain([LAYOUT]);
    for key in tables {
        if let Some(table) = root.get_mut(key) {
            table.each_item(|_, table| complete(table, ""));
        }
    }
    root
}

fn complete(node: &mut SourceNode<'_>, key: &str) {
    let range = node.range.clone();
    if node.is_table() {
        for (_, needed, value) in NEEDED.iter().filter(|(table, ..)| *table == key) {
            if node.get(needed).is_none() {
                let value = SourceNode::of_text(*value, range.clone());
                node.put(KeyValue { key: (*needed).into(), key_range: range.clone(), value });
            }
        }
    }
    match &mut node.content {
        NodeValue::Table(entries) => {
            entries.iter_mut().for_each(|entry| complete(&mut entry.value, spellings::usual(&entry.key)));
        }
        NodeValue::List(items) => items.iter_mut().for_each(|item| complete(item, key)),
        _ => {}
    }
}
