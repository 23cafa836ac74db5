//! What commands print as JSON.

use serde::Serialize;

use crate::fault::Certain;

/// Returns a value as JSON on lines of its own.
pub(super) fn pretty(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value).certain("JSON of what was asked for") + "\n"
}

/// Returns the values as JSON: the only one of a single file by itself, else an array.
pub(super) fn one_or_all<T: Serialize>(values: &[T], one: bool) -> String {
    match values {
        [value] if one => pretty(value),
        values => pretty(&values),
    }
}
