//! Values of our types from the tree of a file: every fault keeps its place, and what was needed is known, not read from words.

use std::ops::Range;

use serde::de::value::{MapAccessDeserializer, StrDeserializer};
use serde::de::{self, DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, SeqAccess, Unexpected, Visitor};
use serde::forward_to_deserialize_any;

use super::fault::{Fault, FaultKind};
use super::node::{KeyValue, NodeValue, SourceNode};
use super::spellings;

impl SourceNode<'_> {
    /// Returns the value as a reader that needs something else may name it.
    fn found(&self) -> Unexpected<'_> {
        match &self.content {
            NodeValue::Table(_) => Unexpected::Map,
            NodeValue::List(_) => Unexpected::Seq,
            NodeValue::Text(text) => Unexpected::Str(text),
            NodeValue::Integer(number) => match (i64::try_from(*number), u64::try_from(*number)) {
                (Ok(number), _) => Unexpected::Signed(number),
                (_, Ok(number)) => Unexpected::Unsigned(number),
                _ => Unexpected::Float(*number as f64),
            },
            NodeValue::Float(number) => Unexpected::Float(*number),
            NodeValue::Boolean(value) => Unexpected::Bool(*value),
            NodeValue::Null => Unexpected::Unit,
            NodeValue::Time(time) => Unexpected::Other(time),
        }
    }

    fn wrong_kind(&self, needed: &str) -> Fault {
        Fault::wrong_kind(needed, self.found()).at(&self.range)
    }

    /// Gives a fault the place of this value, unless it has a closer one.
    fn place<T>(&self, result: Result<T, Fault>) -> Result<T, Fault> {
        result.map_err(|mut fault| {
            if let (FaultKind::WrongLength { found: found @ None, .. }, NodeValue::List(items)) =
                (&mut fault.kind, &self.content)
            {
                *found = Some(items.len());
            }
            let range = self.key_at_fault(&fault.kind).unwrap_or(&self.range);
            fault.at(range)
        })
    }

    /// Returns the place of a key of this table that is unknown: a table that is read in two steps loses it.
    fn key_at_fault(&self, kind: &FaultKind) -> Option<&Range<usize>> {
        let (FaultKind::UnknownKey { key, .. }, NodeValue::Table(entries)) = (kind, &self.content) else { return None };
        entries.iter().find(|entry| entry.key == *key).map(|entry| &entry.key_range)
    }

    fn visit_number<'de, V: Visitor<'de>>(&self, number: i128, visitor: V) -> Result<V::Value, Fault> {
        if let Ok(number) = u64::try_from(number) {
            visitor.visit_u64(number)
        } else if let Ok(number) = i64::try_from(number) {
            visitor.visit_i64(number)
        } else {
            visitor.visit_f64(number as f64)
        }
    }
}

/// Reads a whole number of one type, refusing what the type cannot hold.
macro_rules! whole_numbers {
    ($($method:ident $visit:ident $type:ty),+ $(,)?) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            let NodeValue::Integer(number) = self.content else {
                return Err(self.wrong_kind("a whole number"));
            };
            match <$type>::try_from(number) {
                Ok(number) => self.place(visitor.$visit(number)),
                Err(_) if number < 0 => Err(self.wrong_kind("a whole number, zero or more,")),
                Err(_) => Err(self.wrong_kind(&format!("a whole number up to {}", <$type>::MAX))),
            }
        })+
    };
}

impl<'de> Deserializer<'de> for &'de SourceNode<'_> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.place(match &self.content {
            NodeValue::Table(entries) => visitor.visit_map(Entries::new(entries)),
            NodeValue::List(items) => visitor.visit_seq(Items(items.iter())),
            NodeValue::Text(text) => visitor.visit_borrowed_str(text),
            NodeValue::Integer(number) => self.visit_number(*number, visitor),
            NodeValue::Float(number) => visitor.visit_f64(*number),
            NodeValue::Boolean(value) => visitor.visit_bool(*value),
            NodeValue::Null => visitor.visit_unit(),
            NodeValue::Time(_) => Err(de::Error::invalid_type(self.found(), &visitor)),
        })
    }

    whole_numbers! {
        deserialize_i8 visit_i8 i8, deserialize_i16 visit_i16 i16, deserialize_i32 visit_i32 i32,
        deserialize_i64 visit_i64 i64, deserialize_i128 visit_i128 i128, deserialize_u8 visit_u8 u8,
        deserialize_u16 visit_u16 u16, deserialize_u32 visit_u32 u32, deserialize_u64 visit_u64 u64,
        deserialize_u128 visit_u128 u128,
    }

    fn deserialize_f32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_f64(visitor)
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::Integer(_) | NodeValue::Float(_) => self.deserialize_any(visitor),
            _ => Err(self.wrong_kind("a number")),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::Boolean(_) => self.deserialize_any(visitor),
            _ => Err(self.wrong_kind("`true` or `false`, without quotation marks,")),
        }
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::Text(_) => self.deserialize_any(visitor),
            _ => Err(self.wrong_kind("a text in quotation marks")),
        }
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_char<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_identifier<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.place(match self.content {
            NodeValue::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        })
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, Fault> {
        self.place(visitor.visit_newtype_struct(self))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::List(_) => self.deserialize_any(visitor),
            _ => Err(self.wrong_kind("a list")),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, Fault> {
        match &self.content {
            NodeValue::List(items) if items.len() == length => self.deserialize_any(visitor),
            NodeValue::List(items) => {
                let (needed, found) = (format!("a list of {length}"), Some(items.len()));
                Err(Fault::from(FaultKind::WrongLength { needed, found }).at(&self.range))
            }
            _ => Err(self.wrong_kind(&format!("a list of {length}"))),
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_tuple(length, visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::Table(_) => self.deserialize_any(visitor),
            _ => Err(self.wrong_kind("a table")),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        keys: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match self.content {
            NodeValue::Table(_) => self.deserialize_any(visitor),
            _ => {
                // A key is named in one spelling.
                let is_usual = |key: &&&str| spellings::usual(key) == **key || !keys.contains(&spellings::usual(key));
                let usual: Vec<&str> = keys.iter().filter(is_usual).copied().take(2).collect();
                Err(self.wrong_kind(&match usual.as_slice() {
                    [] => "a table".to_owned(),
                    [only] => format!("a table with the key `{only}`"),
                    [first, second, ..] => format!("a table with keys such as `{first}` and `{second}`"),
                }))
            }
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        choices: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.content {
            NodeValue::Text(word) => self.place(visitor.visit_enum(StrDeserializer::<Fault>::new(word))),
            NodeValue::Table(entries) if entries.len() == 1 => {
                self.place(visitor.visit_enum(MapAccessDeserializer::new(Entries::new(entries))))
            }
            _ => Err(self.wrong_kind(&format!("one of \"{}\"", choices.join("\", \"")))),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! { bytes byte_buf unit unit_struct }
}

/// The items of a list.
struct Items<'de>(std::slice::Iter<'de, SourceNode<'de>>);

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Fault;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, Fault> {
        self.0.next().map(|item| item.place(seed.deserialize(item))).transpose()
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.0.len())
    }
}

/// The keys of a table with their values.
struct Entries<'de> {
    rest: std::slice::Iter<'de, KeyValue<'de>>,
    current: Option<&'de KeyValue<'de>>,
}

impl<'de> Entries<'de> {
    fn new(entries: &'de [KeyValue<'de>]) -> Self {
        Self { rest: entries.iter(), current: None }
    }
}

impl<'de> MapAccess<'de> for Entries<'de> {
    type Error = Fault;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, Fault> {
        self.current = self.rest.next();
        let Some(entry) = self.current else { return Ok(None) };
        let key: StrDeserializer<'_, Fault> = entry.key.as_ref().into_deserializer();
        seed.deserialize(key).map(Some).map_err(|fault| fault.at(&entry.key_range))
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        match self.current.take() {
            Some(entry) => entry.value.place(seed.deserialize(&entry.value)),
            None => Err(de::Error::custom("a value is read before its key")),
        }
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}
