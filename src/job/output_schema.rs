//! JSON Schemas of what is written for other programs.

use schemars::generate::SchemaSettings;
use serde_json::Value;

/// Returns the JSON Schema of a type as it is written: what is always there is required, what may be left out is not.
pub(crate) fn output_schema_of<T: schemars::JsonSchema>() -> Value {
    SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<T>().to_value()
}
