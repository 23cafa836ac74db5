//! Which keys the tables of a kind of file have: where a key belongs that stands in the wrong table.

use std::collections::BTreeSet;

/// A kind of file that says where a key belongs that stands in the wrong table.
pub trait Described {
    /// Its tables and their keys.
    ///
    /// A line for each table, those nearest to the root first: the keys that lead to it, joined by dots and without positions in
    /// lists, a colon, and its own keys with a space before each. The line of the file as a whole starts with the colon.
    const TABLES: &'static str;
}

/// The tables of a kind of file, those nearest to the root first.
#[derive(Debug, PartialEq)]
pub(super) struct KeyTables {
    tables: Vec<KeyTable>,
}

#[derive(Debug, PartialEq)]
struct KeyTable {
    /// The keys that lead to it, without positions in lists.
    path: Vec<String>,
    keys: BTreeSet<String>,
}

impl KeyTables {
    /// Returns those of a kind of file.
    pub(super) fn of<T: Described>() -> Self {
        let table = |line: &str| {
            let (path, keys) = line.split_once(':')?;
            let path = path.split('.').filter(|key| !key.is_empty()).map(str::to_owned).collect();
            Some(KeyTable { path, keys: keys.split_whitespace().map(str::to_owned).collect() })
        };
        Self { tables: T::TABLES.lines().filter_map(table).collect() }
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

/// The tables as the schema has them, for the test that holds every list to its schema.
#[cfg(all(test, feature = "schema"))]
pub(crate) mod from_schema {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic")]

    use std::collections::VecDeque;
    use std::path::Path;

    use serde_json::Value;

    use super::{Described, KeyTable, KeyTables};

    /// Holds the list of a kind of file, which lies at a path below `src`, to its schema. `BACKLINE_BLESS=1` writes it anew.
    pub(crate) fn hold_tables<T: Described + schemars::JsonSchema>(file: &str) {
        let tables = of_schema(schemars::schema_for!(T).as_value());
        let line = |table: &KeyTable| {
            let keys: String = table.keys.iter().map(|key| format!(" {key}")).collect();
            format!("{}:{keys}\n", table.path.join("."))
        };
        let expected: String = tables.tables.iter().map(line).collect();
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(file);
        if std::env::var_os("BACKLINE_BLESS").is_some_and(|value| value == "1") && T::TABLES != expected {
            std::fs::write(&path, &expected).unwrap();
            panic!("{file} was written anew");
        }
        assert!(T::TABLES == expected, "{file} is not what the schema says; run the test with BACKLINE_BLESS=1");
        assert_eq!(KeyTables::of::<T>(), tables);
    }

    /// A part of the schema on the way to its tables.
    struct SchemaPart<'s> {
        schema: &'s Value,
        path: Vec<String>,
        /// The definitions that it lies in: none is entered twice, since a title is an opening that may have a title.
        inside: Vec<&'s str>,
    }

    fn of_schema(schema: &Value) -> KeyTables {
        let mut tables: Vec<KeyTable> = Vec::new();
        let mut parts = VecDeque::from([SchemaPart { schema, path: Vec::new(), inside: Vec::new() }]);
        while let Some(part) = parts.pop_front() {
            parts.extend(part.alternatives(schema));
            let Some(properties) = part.schema.get("properties").and_then(Value::as_object) else { continue };
            match tables.iter_mut().find(|table| table.path == part.path) {
                Some(table) => table.keys.extend(properties.keys().cloned()),
                None => {
                    tables.push(KeyTable { path: part.path.clone(), keys: properties.keys().cloned().collect() });
                }
            }
            parts.extend(properties.iter().map(|(key, schema)| SchemaPart {
                schema,
                path: part.path.iter().chain([key]).cloned().collect(),
                inside: part.inside.clone(),
            }));
        }
        tables.sort_by_key(|table| table.path.len());
        KeyTables { tables }
    }

    impl<'s> SchemaPart<'s> {
        /// Returns what the part refers to, chooses from, or lists; all of it stands at the same path.
        fn alternatives(&self, root: &'s Value) -> Vec<Self> {
            let here = |schema: &'s Value| SchemaPart { schema, path: self.path.clone(), inside: self.inside.clone() };
            let choices = ["anyOf", "oneOf", "allOf", "prefixItems"].into_iter();
            let lists = choices.filter_map(|word| self.schema.get(word).and_then(Value::as_array));
            let mut found: Vec<Self> = lists.flatten().map(here).collect();
            found.extend(self.schema.get("items").map(here));
            if let Some(name) = self.schema.get("$ref").and_then(Value::as_str)
                && !self.inside.contains(&name)
                && let Some(schema) = name.strip_prefix('#').and_then(|pointer| root.pointer(pointer))
            {
                let inside = self.inside.iter().copied().chain([name]).collect();
                found.push(SchemaPart { schema, path: self.path.clone(), inside });
            }
            found
        }
    }
}
