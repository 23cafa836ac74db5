//! `backline help job`: every key of a kind of file with what it means and an example, made from its schema.

use serde_json::{Map, Value};

use super::file_kind::FileKind;

/// Words after the name of a key are indented by so much.
const INDENT: &str = "    ";
/// Lines are no longer than this.
const WIDTH: usize = 96;

/// The reference of a kind of file while it is written.
struct KeyReference<'s> {
    schema: &'s Value,
    text: String,
    /// Tables that were described already, and where.
    described: Vec<(&'s str, String)>,
}

/// Returns the reference of a kind of file.
pub(super) fn reference(kind: FileKind) -> String {
    let schema = kind.schema();
    let mut reference = KeyReference { schema: &schema, text: String::new(), described: Vec::new() };
    let about = schema.get("description").and_then(Value::as_str).unwrap_or_default();
    reference.paragraph("", about);
    reference.text.push('\n');
    reference.table(&schema, "");
    reference.text
}

impl<'s> KeyReference<'s> {
    /// Describes the keys of a table, each followed by those of the table that it may be.
    fn table(&mut self, table: &'s Value, path: &str) {
        let Some(keys) = table.get("properties").and_then(Value::as_object) else { return };
        for (key, schema) in keys {
            if !is_other_spelling(schema) {
                self.key(key, schema, path);
            }
        }
    }

    fn key(&mut self, key: &str, schema: &'s Value, path: &str) {
        let name = if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
        let example = schema.get("examples").and_then(|examples| examples.get(0)).map(in_toml);
        let is_list = example.as_ref().is_some_and(|example| example.starts_with("[{"));
        self.text += &match example {
            Some(example) => format!("{name} = {example}\n"),
            None => format!("{name}\n"),
        };
        let about = schema.get("description").and_then(Value::as_str).unwrap_or_default();
        self.paragraph(INDENT, about);
        let choices = self.choices(schema);
        if !choices.is_empty() {
            self.paragraph(INDENT, &format!("One of {}.", choices.join(", ")));
        }
        let mut tables = Vec::new();
        self.find_tables(schema, &mut tables);
        for (name_of_table, table) in tables {
            match self.described.iter().find(|(described, _)| *described == name_of_table) {
                Some((_, place)) if *place != name => {
                    let keys = format!("Its keys are those of `{place}`.");
                    self.paragraph(INDENT, &keys);
                }
                Some(_) => {}
                None => {
                    self.described.push((name_of_table, name.clone()));
                    if is_list {
                        self.paragraph(INDENT, &format!("In TOML each is a table [[{name}]]."));
                    }
                    self.table(table, &name);
                    for (choice, of_choice) in one_key_tables(table) {
                        self.key(choice, of_choice, &name);
                    }
                }
            }
        }
    }

    /// Finds the tables that a value may be, through lists and choices, with their names in the schema.
    fn find_tables(&self, schema: &'s Value, found: &mut Vec<(&'s str, &'s Value)>) {
        if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
            let Some(target) = reference.strip_prefix('#').and_then(|pointer| self.schema.pointer(pointer)) else {
                return;
            };
            let has_keys = target.get("properties").and_then(Value::as_object).is_some_and(|keys| !keys.is_empty());
            if has_keys || one_key_tables(target).next().is_some() {
                let name = reference.rsplit('/').next().unwrap_or_default();
                if found.iter().all(|(other, _)| *other != name) {
                    found.push((name, target));
                }
            } else {
                self.find_tables(target, found);
            }
        }
        for word in ["anyOf", "oneOf", "allOf"] {
            let choices = schema.get(word).and_then(Value::as_array).into_iter().flatten();
            choices.for_each(|choice| self.find_tables(choice, found));
        }
        if let Some(items) = schema.get("items") {
            self.find_tables(items, found);
        }
    }

    /// Returns the words of which a value may be one.
    fn choices(&self, schema: &Value) -> Vec<String> {
        let mut words = Vec::new();
        self.add_choices(schema, &mut words);
        words
    }

    fn add_choices(&self, schema: &Value, words: &mut Vec<String>) {
        if let Some(target) =
            schema.get("$ref").and_then(Value::as_str).and_then(|name| self.schema.pointer(name.get(1..)?))
        {
            self.add_choices(target, words);
        }
        let mut add = |word: &Value| {
            let word = word.to_string();
            if word.starts_with('"') && !words.contains(&word) {
                words.push(word);
            }
        };
        schema.get("const").into_iter().for_each(&mut add);
        schema.get("enum").and_then(Value::as_array).into_iter().flatten().for_each(&mut add);
        for word in ["anyOf", "oneOf"] {
            let choices = schema.get(word).and_then(Value::as_array).into_iter().flatten();
            choices.for_each(|choice| self.add_choices(choice, words));
        }
    }

    /// Adds words, broken into lines.
    fn paragraph(&mut self, indent: &str, words: &str) {
        let mut line = indent.to_owned();
        for word in words.split_whitespace() {
            if line.len() > indent.len() && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.text += &format!("{line}\n");
                line = indent.to_owned();
            }
            if line.len() > indent.len() {
                line.push(' ');
            }
            line += word;
        }
        if line.len() > indent.len() {
            self.text += &format!("{line}\n");
        }
    }
}

/// Returns the keys of the tables with one key among the choices of a table: the shapes that have keys of their own.
fn one_key_tables(schema: &Value) -> impl Iterator<Item = (&str, &Value)> {
    let choices =
        ["anyOf", "oneOf"].into_iter().filter_map(|word| schema.get(word).and_then(Value::as_array)).flatten();
    let keys = choices.filter_map(|choice| choice.get("properties").and_then(Value::as_object));
    keys.filter(|keys| keys.len() == 1).flat_map(Map::iter).map(|(key, schema)| (key.as_str(), schema))
}

fn is_other_spelling(schema: &Value) -> bool {
    schema.get("description").and_then(Value::as_str).is_some_and(|about| about.starts_with("The same as `"))
}

/// Writes a value as TOML writes it within a line.
fn in_toml(value: &Value) -> String {
    match value {
        Value::Array(items) => format!("[{}]", items.iter().map(in_toml).collect::<Vec<_>>().join(", ")),
        Value::Object(table) => {
            let plain = |key: &str| key.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '_');
            let key = |key: &str| if plain(key) { key.to_owned() } else { format!("\"{key}\"") };
            let entries: Vec<String> =
                table.iter().map(|(name, value)| format!("{} = {}", key(name), in_toml(value))).collect();
            format!("{{ {} }}", entries.join(", "))
        }
        other => other.to_string(),
    }
}
