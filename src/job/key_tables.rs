//! Which keys the tables of a kind of file have, from its schema: where a key belongs that stands in the wrong table.

use std::collections::{BTreeSet, VecDeque};

use serde_json::Value;

/// The tables of a kind of file, those nearest to the root first.
pub(super) struct KeyTables {
    tables: Vec<Table>,
}

struct Table {
    /// The keys that lead to it, without positions in lists.
    path: Vec<String>,
    keys: BTreeSet<String>,
}

/// A part of the schema on the way to its tables.
struct Part<'s> {
    schema: &'s Value,
    path: Vec<String>,
    /// The definitions that it lies in: none is entered twice, since a title is an opening that may have a title.
    inside: Vec<&'s str>,
}

impl KeyTables {
    /// Reads the JSON Schema of a kind of file.
    pub(super) fn of(schema: &Value) -> Self {
        let mut tables: Vec<Table> = Vec::new();
        let mut parts = VecDeque::from([Part { schema, path: Vec::new(), inside: Vec::new() }]);
        while let Some(part) = parts.pop_front() {
            parts.extend(part.alternatives(schema));
            let Some(properties) = part.schema.get("properties").and_then(Value::as_object) else { continue };
            match tables.iter_mut().find(|table| table.path == part.path) {
                Some(table) => table.keys.extend(properties.keys().cloned()),
                None => {
                    tables.push(Table { path: part.path.clone(), keys: properties.keys().cloned().collect() });
                }
            }
            parts.extend(properties.iter().map(|(key, schema)| Part {
                schema,
                path: part.path.iter().chain([key]).cloned().collect(),
                inside: part.inside.clone(),
            }));
        }
        tables.sort_by_key(|table| table.path.len());
        Self { tables }
    }

    /// Tells whether the table at a path has a key.
    pub(super) fn has(&self, path: &[&str], key: &str) -> bool {
        self.tables.iter().any(|table| table.path == path && table.keys.contains(key))
    }

    /// Returns the paths of all tables that have a key, those nearest to the root first.
    pub(super) fn with_key(&self, key: &str) -> Vec<&[String]> {
        self.tables.iter().filter(|table| table.keys.contains(key)).map(|table| table.path.as_slice()).collect()
    }
}

impl<'s> Part<'s> {
    /// Returns what the part refers to, chooses from, or lists; all of it stands at the same path.
    fn alternatives(&self, root: &'s Value) -> Vec<Self> {
        let here = |schema: &'s Value| Part { schema, path: self.path.clone(), inside: self.inside.clone() };
        let choices = ["anyOf", "oneOf", "allOf", "prefixItems"].into_iter();
        let lists = choices.filter_map(|word| self.schema.get(word).and_then(Value::as_array));
        let mut found: Vec<Self> = lists.flatten().map(here).collect();
        found.extend(self.schema.get("items").map(here));
        if let Some(name) = self.schema.get("$ref").and_then(Value::as_str)
            && !self.inside.contains(&name)
            && let Some(schema) = name.strip_prefix('#').and_then(|pointer| root.pointer(pointer))
        {
            let inside = self.inside.iter().copied().chain([name]).collect();
            found.push(Part { schema, path: self.path.clone(), inside });
        }
        found
    }
}
