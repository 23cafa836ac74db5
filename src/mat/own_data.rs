//! Data of the user's own that a job carries along: an order number, a customer, a due day.

use std::collections::BTreeMap;
use std::fmt;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// The table `own` of a job: whatever its writer wants to find again in what is made of it. Backline reads nothing in it.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct OwnData(BTreeMap<String, Value>);

impl OwnData {
    /// Returns the value of a key, or of a path of keys parted by dots.
    #[must_use]
    pub fn get(&self, path: &str) -> Option<&Value> {
        let mut keys = path.split('.');
        let first = self.0.get(keys.next()?)?;
        keys.try_fold(first, |value, key| value.get(key))
    }

    /// Returns all keys with their values, in the order of the alphabet.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.0.iter().map(|(key, value)| (key.as_str(), value))
    }

    /// Tells whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<K: Into<String>, V: Into<Value>> FromIterator<(K, V)> for OwnData {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(values: I) -> Self {
        Self(values.into_iter().map(|(key, value)| (key.into(), value.into())).collect())
    }
}

/// Makes it of keys and values: `OwnData::from([("order", "A-1204")])`.
impl<K: Into<String>, V: Into<Value>, const N: usize> From<[(K, V); N]> for OwnData {
    fn from(values: [(K, V); N]) -> Self {
        values.into_iter().collect()
    }
}

impl<'de> Deserialize<'de> for OwnData {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OwnDataVisitor;

        impl<'de> Visitor<'de> for OwnDataVisitor {
            type Value = OwnData;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a table")
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<OwnData, M::Error> {
                let mut all = BTreeMap::new();
                while let Some(key) = map.next_key()? {
                    all.insert(key, map.next_value_seed(OwnValue)?);
                }
                Ok(OwnData(all))
            }
        }

        deserializer.deserialize_map(OwnDataVisitor)
    }
}

/// Reads a value that JSON can hold: a number that is not finite is refused, where [`Value`] would make nothing of it.
struct OwnValue;

impl<'de> DeserializeSeed<'de> for OwnValue {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for OwnValue {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("text (dates need quotation marks too), a number, true or false, a list or a table")
    }

    fn visit_bool<E: de::Error>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Value, E> {
        Ok(number.into())
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Value, E> {
        Ok(number.into())
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Value, E> {
        let number = serde_json::Number::from_f64(number);
        number.map(Value::Number).ok_or_else(|| E::custom("a number that is not finite cannot be passed on"))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Value, E> {
        Ok(text.into())
    }

    fn visit_unit<E: de::Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<S: SeqAccess<'de>>(self, mut list: S) -> Result<Value, S::Error> {
        let mut all = Vec::new();
        while let Some(value) = list.next_element_seed(Self)? {
            all.push(value);
        }
        Ok(Value::Array(all))
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Value, M::Error> {
        let mut all = serde_json::Map::new();
        while let Some(key) = map.next_key()? {
            all.insert(key, map.next_value_seed(Self)?);
        }
        Ok(Value::Object(all))
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for OwnData {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "OwnData".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "object", "additionalProperties": true })
    }
}
