//! Examples of keys in a schema, which editors show beside them.

use serde_json::{Value, json};

use crate::fault::Certain;

/// The name by which the examples call the schema as a whole.
const WHOLE: &str = "Job";

/// Adds examples to the keys of a schema; they are TOML with a table for each table of the schema, by its name there.
pub(super) fn with_examples(mut schema: Value, examples: &str) -> Value {
    let tables: serde_json::Map<String, Value> = toml::from_str(examples).certain("list of examples in TOML");
    for (name, keys) in tables {
        let place = if name == WHOLE { "/properties".to_owned() } else { format!("/$defs/{name}/properties") };
        let Some(properties) = schema.pointer_mut(&place) else { continue };
        for (key, example) in keys.as_object().into_iter().flatten() {
            if let Some(Value::Object(property)) = properties.get_mut(key) {
                property.insert("examples".to_owned(), json!([example]));
            }
        }
    }
    schema
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic")]

    use serde_json::Value;

    /// Calls a function with the place of every table of the schema that has keys of its own.
    fn each_key(schema: &Value, mut see: impl FnMut(&str, &str, &Value)) {
        let whole = std::iter::once(("", schema));
        let tables = schema["$defs"].as_object().unwrap().iter().map(|(name, table)| (name.as_str(), table));
        for (name, table) in whole.chain(tables) {
            for (key, property) in table["properties"].as_object().into_iter().flatten() {
                let other = property["description"].as_str().is_some_and(|about| about.starts_with("The same as"));
                if !other {
                    see(name, key, property);
                }
            }
        }
    }

    #[test]
    fn every_key_of_a_job_has_an_example_that_its_schema_allows() {
        let schema = crate::job::schema();
        let (mut keys, mut complaints) = (0, Vec::new());
        each_key(&schema, |table, key, property| {
            let example = &property["examples"][0];
            assert!(!example.is_null(), "no example of {table}.{key} in job/examples.toml");
            let mut alone = property.clone();
            alone["$defs"] = schema["$defs"].clone();
            let valid = jsonschema::draft202012::is_valid(&alone, example);
            if !valid {
                complaints.push(format!("{table}.{key} = {example} is not what the schema allows"));
            }
            keys += 1;
        });
        assert!(complaints.is_empty(), "{complaints:#?}");
        assert!(keys > 120, "{keys}");
        // What is not a key has no example.
        let tables: Value = toml::from_str(crate::job::written::EXAMPLES).unwrap();
        let examples: usize = tables.as_object().unwrap().values().map(|keys| keys.as_object().unwrap().len()).sum();
        assert_eq!(examples, keys);
    }
}
