//! What a job has taken from the defaults of its shop.

use serde::Serialize;

use super::is_of_shop;
use crate::job::node::{NodeValue, SourceNode};
use crate::problem::KeyPath;

/// A value that a job has taken from a file of defaults.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct UsedDefault {
    /// The keys that lead to it in the job.
    #[serde(serialize_with = "as_text")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub key: KeyPath,
    /// The value, with the unit of the shop file.
    pub value: serde_json::Value,
    /// The line of the shop file that says so, counted from one.
    pub line: usize,
}

fn as_text<S: serde::Serializer>(path: &KeyPath, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(path)
}

/// Lists the values of a merged tree that come from the shop file; `line` tells the line of a byte of it.
pub(in crate::job) fn used(root: &SourceNode<'_>, line: &impl Fn(usize) -> usize) -> Vec<UsedDefault> {
    let mut found = Vec::new();
    list(root, &KeyPath::root(), line, &mut found);
    found
}

fn list(node: &SourceNode<'_>, path: &KeyPath, line: &impl Fn(usize) -> usize, found: &mut Vec<UsedDefault>) {
    match &node.content {
        NodeValue::Table(entries) => {
            entries.iter().for_each(|entry| list(&entry.value, &path.key(entry.key.to_string()), line, found));
        }
        NodeValue::List(items) if !is_of_shop(&node.range) || items.iter().any(SourceNode::is_table) => {
            items.iter().enumerate().for_each(|(index, item)| list(item, &path.index(index), line, found));
        }
        _ if is_of_shop(&node.range) => {
            found.push(UsedDefault { key: path.clone(), value: node.data(), line: line(node.range.start) });
        }
        _ => {}
    }
}
