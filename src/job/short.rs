//! Keys that take a short form or a table: `border = 3` for `border = { all = 3 }`.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Unexpected, Visitor};

use super::Measure;

/// A table of keys that has a short form.
pub(crate) trait Short: Sized {
    /// The short form.
    type Form;

    /// What a reader may write, for the error that something else was written.
    const EXPECTED: &'static str;

    /// Whether the short form may be a list.
    const TAKES_LIST: bool = false;

    /// Makes the table that the short form stands for.
    fn from_short(short: Self::Form) -> Self;
}

/// What the schema says of a key with a short form.
#[cfg(feature = "schema")]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
#[expect(dead_code, reason = "only its schema is used")]
pub(crate) enum ShortOr<S, T> {
    Short(S),
    Table(T),
}

/// What the schema says of a key that takes one table or a list of them.
#[cfg(feature = "schema")]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
#[expect(dead_code, reason = "only its schema is used")]
pub(crate) enum OneOrMany<T> {
    One(T),
    Many(Vec<T>),
}

/// Reads an optional key that has a short form.
pub(crate) fn optional<'de, D, T>(deserializer: D) -> Result<Option<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Short + Deserialize<'de>,
    T::Form: Deserialize<'de>,
{
    deserializer.deserialize_any(ShortVisitor(PhantomData)).map(Some)
}

/// Reads a value that has a short form.
pub(super) fn one<'de, D, T>(deserializer: D) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    T: Short + Deserialize<'de>,
    T::Form: Deserialize<'de>,
{
    deserializer.deserialize_any(ShortVisitor(PhantomData))
}

struct ShortVisitor<T>(PhantomData<T>);

impl<'de, T> Visitor<'de> for ShortVisitor<T>
where
    T: Short + Deserialize<'de>,
    T::Form: Deserialize<'de>,
{
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(T::EXPECTED)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<T, E> {
        T::Form::deserialize(de::value::StrDeserializer::new(text)).map(T::from_short)
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<T, E> {
        let form = T::Form::deserialize(de::value::I64Deserializer::<de::value::Error>::new(number));
        form.map(T::from_short).map_err(|_| E::invalid_type(Unexpected::Signed(number), &self))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<T, E> {
        let form = T::Form::deserialize(de::value::U64Deserializer::<de::value::Error>::new(number));
        form.map(T::from_short).map_err(|_| E::invalid_type(Unexpected::Unsigned(number), &self))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<T, E> {
        let form = T::Form::deserialize(de::value::F64Deserializer::<de::value::Error>::new(number));
        form.map(T::from_short).map_err(|_| E::invalid_type(Unexpected::Float(number), &self))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<T, A::Error> {
        if !T::TAKES_LIST {
            return Err(de::Error::invalid_type(Unexpected::Seq, &self));
        }
        T::Form::deserialize(SeqAccessDeserializer::new(list)).map(T::from_short)
    }

    fn visit_map<A: MapAccess<'de>>(self, table: A) -> Result<T, A::Error> {
        T::deserialize(MapAccessDeserializer::new(table))
    }
}

/// Reads a key that takes one table or a list of them.
pub(crate) fn one_or_many<'de, D, T>(deserializer: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    struct ListVisitor<T>(PhantomData<T>);

    impl<'de, T: Deserialize<'de>> Visitor<'de> for ListVisitor<T> {
        type Value = Vec<T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a table, or a list of tables")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Vec<T>, A::Error> {
            Vec::deserialize(SeqAccessDeserializer::new(list))
        }

        fn visit_map<A: MapAccess<'de>>(self, table: A) -> Result<Vec<T>, A::Error> {
            T::deserialize(MapAccessDeserializer::new(table)).map(|one| vec![one])
        }
    }

    deserializer.deserialize_any(ListVisitor(PhantomData))
}

/// Reads a list whose items have a short form.
pub(super) fn list<'de, D, T>(deserializer: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Short + Deserialize<'de>,
    T::Form: Deserialize<'de>,
{
    struct ListItem<T>(T);

    impl<'de, T> Deserialize<'de> for ListItem<T>
    where
        T: Short + Deserialize<'de>,
        T::Form: Deserialize<'de>,
    {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            deserializer.deserialize_any(ShortVisitor(PhantomData)).map(Self)
        }
    }

    let items = Vec::<ListItem<T>>::deserialize(deserializer)?;
    Ok(items.into_iter().map(|ListItem(item)| item).collect())
}

/// Reads a key that takes one length or a list of them.
pub(crate) fn lengths<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Measure>, D::Error> {
    struct LengthsVisitor;

    impl<'de> Visitor<'de> for LengthsVisitor {
        type Value = Vec<Measure>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a length, or a list of lengths")
        }

        fn visit_str<E: de::Error>(self, text: &str) -> Result<Vec<Measure>, E> {
            Ok(vec![text.into()])
        }

        fn visit_i64<E: de::Error>(self, number: i64) -> Result<Vec<Measure>, E> {
            self.visit_f64(number as f64)
        }

        fn visit_u64<E: de::Error>(self, number: u64) -> Result<Vec<Measure>, E> {
            self.visit_f64(number as f64)
        }

        fn visit_f64<E: de::Error>(self, number: f64) -> Result<Vec<Measure>, E> {
            Ok(vec![number.into()])
        }

        fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Vec<Measure>, A::Error> {
            Vec::deserialize(SeqAccessDeserializer::new(list))
        }
    }

    deserializer.deserialize_any(LengthsVisitor)
}

/// Reads a key that takes one text or a list of them.
pub(super) fn texts<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<String>, D::Error> {
    struct TextsVisitor;

    impl<'de> Visitor<'de> for TextsVisitor {
        type Value = Vec<String>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a text, or a list of texts")
        }

        fn visit_str<E: de::Error>(self, text: &str) -> Result<Vec<String>, E> {
            Ok(vec![text.to_owned()])
        }

        fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Vec<String>, A::Error> {
            Vec::deserialize(SeqAccessDeserializer::new(list))
        }
    }

    deserializer.deserialize_any(TextsVisitor)
}
