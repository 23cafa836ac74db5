//! The keys for which short forms stand: `border = 3` is `border = { all = 3 }`.

use serde_json::Value;

use crate::problem::KeyStep;

/// Keys whose value may be a short form, each with the key of its table that the short form gives.
const LONG_FORMS: &[(&str, &str)] = &[
    ("frame", "rabbet"),
    ("moulding", "width"),
    ("standard", "list"),
    ("border", "all"),
    ("board", "name"),
    ("bevel", "direction"),
    ("overlap", "all"),
    ("margin", "all"),
    ("picture", "file"),
];

/// Returns the key that a short form at a path gives; `None` if nothing there has a short form.
pub(super) fn of(steps: &[&KeyStep], short: &Value) -> Option<&'static str> {
    let Some(KeyStep::Key(key)) = steps.last() else { return None };
    if key == "board" && short.is_number() {
        return Some("thickness");
    }
    LONG_FORMS.iter().find(|(short, _)| short == key).map(|(_, long)| *long)
}

/// Returns the key that a short form of a key gives, whatever its value; `None` if the key has no short form.
pub(super) fn of_key(key: &str) -> Option<&'static str> {
    LONG_FORMS.iter().find(|(short, _)| *short == key).map(|(_, long)| *long)
}
