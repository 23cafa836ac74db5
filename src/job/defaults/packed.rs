//! What must be written into a job so that it needs no file of defaults.

use serde_json::Value;

use crate::job::long_forms;
use crate::job::node::{NodeValue, SourceNode};
use crate::problem::{KeyPath, KeyStep};

/// Lists the values to be set in a job, so that it says by itself what it says with the defaults.
pub(in crate::job) fn to_be_set(own: &SourceNode<'_>, whole: &SourceNode<'_>) -> Vec<(KeyPath, Value)> {
    let mut found = Vec::new();
    compare(own, whole, &KeyPath::root(), &mut found);
    found
}

fn compare(own: &SourceNode<'_>, whole: &SourceNode<'_>, path: &KeyPath, found: &mut Vec<(KeyPath, Value)>) {
    match (&own.content, &whole.content) {
        (NodeValue::Table(_), NodeValue::Table(entries)) => {
            for entry in entries {
                let below = path.key(entry.key.to_string());
                match own.get(&entry.key) {
                    Some(own) => compare(own, &entry.value, &below, found),
                    None => found.push((below, entry.value.data())),
                }
            }
        }
        (NodeValue::List(own), NodeValue::List(items)) if own.len() == items.len() => {
            let pairs = own.iter().zip(items).enumerate();
            pairs.for_each(|(index, (own, item))| compare(own, item, &path.index(index), found));
        }
        (_, NodeValue::Table(entries)) if is_short_form(own, whole, path) => {
            let others = entries.iter().filter(|entry| entry.value.data() != own.data());
            found.extend(others.map(|entry| (path.key(entry.key.to_string()), entry.value.data())));
        }
        _ => {
            let value = whole.data();
            if own.data() != value {
                found.push((path.clone(), value));
            }
        }
    }
}

/// Tells whether a value is a short form of which a table has the long one.
fn is_short_form(own: &SourceNode<'_>, whole: &SourceNode<'_>, path: &KeyPath) -> bool {
    let Some((_, KeyStep::Key(key))) = path.split_last() else { return false };
    let long = long_forms::of_key(key).and_then(|long| whole.get(long));
    long.is_some_and(|long| long.data() == own.data())
}
