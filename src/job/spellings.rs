//! Keys and words that may be spelt in two ways: British and American, singular and plural.

#[cfg(feature = "schema")]
use serde_json::{Map, Value, json};

/// Every key that may be spelt in two ways: as documents spell it, and the other way.
const KEYS: [(&str, &str); 23] = [
    ("centre_x", "center_x"),
    ("centre_y", "center_y"),
    ("colour", "color"),
    ("colours", "colors"),
    ("optical_centre", "optical_center"),
    ("centre_piece", "center_piece"),
    ("moulding", "molding"),
    ("opening", "openings"),
    ("layer", "layers"),
    ("groove", "grooves"),
    ("size_list", "size_lists"),
    ("border", "borders"),
    ("blank", "blanks"),
    ("sheet", "sheets"),
    ("shelf", "shelves"),
    ("offcut", "offcuts"),
    ("notes", "note"),
    ("limits", "limit"),
    ("piece", "pieces"),
    ("rows", "row"),
    ("columns", "column"),
    ("lines", "line"),
    ("bands", "band"),
];

/// Every word of a choice that may be spelt in two ways.
#[cfg(any(test, feature = "schema"))]
const WORDS: [(&str, &str); 1] = [("centre", "center")];

/// Returns the spelling of a key that documents use.
pub(super) fn usual(key: &str) -> &str {
    KEYS.iter().find(|(_, other)| *other == key).map_or(key, |(usual, _)| usual)
}

/// Returns the other spelling of a key, if it has one.
pub(super) fn other(key: &str) -> Option<&'static str> {
    KEYS.iter().find(|(usual, _)| *usual == key).map(|(_, other)| *other)
}

/// Returns the JSON Schema of a type, in which every key and word has all its spellings.
#[cfg(feature = "schema")]
pub(crate) fn schema_of<T: schemars::JsonSchema>() -> Value {
    let mut schema = schemars::schema_for!(T).to_value();
    spell(&mut schema);
    schema
}

/// Adds the other spellings to a schema and to all those in it.
#[cfg(feature = "schema")]
fn spell(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            object.values_mut().for_each(spell);
            spell_keys(object);
            spell_words(object);
        }
        Value::Array(items) => items.iter_mut().for_each(spell),
        _ => {}
    }
}

/// Lets a table have the other spelling of its keys, but not both.
#[cfg(feature = "schema")]
fn spell_keys(schema: &mut Map<String, Value>) {
    let Some(Value::Object(properties)) = schema.get_mut("properties") else { return };
    let mut never_both = Vec::new();
    for (usual, other) in KEYS {
        let Some(mut property) = properties.get(usual).cloned() else { continue };
        if let Value::Object(property) = &mut property {
            property.insert("description".to_owned(), json!(format!("The same as `{usual}`.")));
        }
        properties.insert(other.to_owned(), property);
        never_both.push(json!({ "not": { "required": [usual, other] } }));
    }
    if never_both.is_empty() {
        return;
    }
    if let Value::Array(all) = schema.entry("allOf").or_insert_with(|| json!([])) {
        all.extend(never_both);
    }
}

/// Lets a choice have the other spelling of its words.
#[cfg(feature = "schema")]
fn spell_words(schema: &mut Map<String, Value>) {
    for (usual, other) in WORDS {
        if let Some(Value::Array(words)) = schema.get_mut("enum")
            && words.iter().any(|word| word == usual)
        {
            words.push(json!(other));
        }
        if schema.get("const").is_some_and(|word| word == usual) {
            schema.remove("const");
            schema.insert("enum".to_owned(), json!([usual, other]));
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic")]

    use std::collections::BTreeSet;
    use std::path::Path;

    use super::{KEYS, WORDS};

    /// Returns the text of every file of the crate.
    fn sources(folder: &Path, found: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(std::fs::read_to_string(path).unwrap());
            }
        }
    }

    #[test]
    fn every_key_that_is_read_has_the_other_spelling_of_the_table() {
        let mut files = Vec::new();
        sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut files);
        let mut used = BTreeSet::new();
        for file in files {
            // The schema adds the spelling to every table that is read, so that each such table must know it.
            for structure in file.split("#[derive(").skip(1).filter(|part| {
                let (derived, rest) = part.split_once(")]").unwrap_or_default();
                derived.contains("Deserialize") && rest.contains("pub struct")
            }) {
                let body = structure.split("\n}").next().unwrap_or_default();
                for (usual, other) in KEYS {
                    if let Some((before, _)) = body.split_once(&format!("    pub {usual}: ")) {
                        let attribute = format!("alias = \"{other}\"");
                        assert!(
                            before.lines().rev().take(4).any(|line| line.contains(&attribute)),
                            "{usual} in {body}"
                        );
                    }
                }
            }
            used.extend(
                file.replace("visible_alias", "")
                    .split("alias = \"")
                    .skip(1)
                    .filter_map(|rest| rest.split_once('"'))
                    .map(|(word, _)| word.to_owned()),
            );
        }
        let known: BTreeSet<String> = KEYS.iter().chain(&WORDS).map(|(_, other)| (*other).to_owned()).collect();
        used.retain(|word| !word.contains(['{', '\\']));
        assert_eq!(used, known);
    }
}
