//! Which openings an ornament runs round, as written in a job file.

use std::fmt;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::SeqAccessDeserializer;
use serde::de::{self, Deserialize, Deserializer, SeqAccess, Unexpected, Visitor};
use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};

use crate::mat::OpeningChoice;

/// Which openings of a board an ornament runs round.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Around {
    /// Every opening of the board.
    #[default]
    All,
    /// The openings of these numbers and names.
    Some(Vec<OpeningChoice>),
}

/// The word for every opening.
const ALL: &str = "all";

impl<'de> Deserialize<'de> for Around {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AroundVisitor;

        impl<'de> Visitor<'de> for AroundVisitor {
            type Value = Around;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("\"all\", the number or the name of an opening, or a list of these")
            }

            fn visit_str<E: de::Error>(self, word: &str) -> Result<Around, E> {
                if word == ALL { Ok(Around::All) } else { OpeningChoiceValue::of_name(word).map(one) }
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Around, E> {
                OpeningChoiceValue::of_number(number).map(one)
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Around, E> {
                Err(E::invalid_value(Unexpected::Signed(number), &self))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Around, A::Error> {
                let choices = Vec::<OpeningChoiceValue>::deserialize(SeqAccessDeserializer::new(list))?;
                Ok(Around::Some(choices.into_iter().map(|OpeningChoiceValue(choice)| choice).collect()))
            }
        }

        deserializer.deserialize_any(AroundVisitor)
    }
}

fn one(OpeningChoiceValue(choice): OpeningChoiceValue) -> Around {
    Around::Some(vec![choice])
}

/// The number or the name of an opening as the value of a key.
struct OpeningChoiceValue(OpeningChoice);

impl OpeningChoiceValue {
    fn of_number<E: de::Error>(number: u64) -> Result<Self, E> {
        let refused = |_| E::invalid_value(Unexpected::Unsigned(number), &EXPECTED);
        usize::try_from(number).map(|number| Self(OpeningChoice::Number(number))).map_err(refused)
    }

    fn of_name<E: de::Error>(name: &str) -> Result<Self, E> {
        if name.trim().is_empty() {
            return Err(E::invalid_value(Unexpected::Str(name), &EXPECTED));
        }
        Ok(Self(OpeningChoice::parse(name)))
    }
}

const EXPECTED: &str = "the number or the name of an opening";

impl<'de> Deserialize<'de> for OpeningChoiceValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ChoiceVisitor;

        impl Visitor<'_> for ChoiceVisitor {
            type Value = OpeningChoiceValue;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(EXPECTED)
            }

            fn visit_str<E: de::Error>(self, name: &str) -> Result<OpeningChoiceValue, E> {
                OpeningChoiceValue::of_name(name)
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<OpeningChoiceValue, E> {
                OpeningChoiceValue::of_number(number)
            }
        }

        deserializer.deserialize_any(ChoiceVisitor)
    }
}

impl Serialize for Around {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self::Some(choices) = self else { return serializer.serialize_str(ALL) };
        let mut list = serializer.serialize_seq(Some(choices.len()))?;
        for choice in choices {
            match choice {
                OpeningChoice::Number(number) => list.serialize_element(number)?,
                OpeningChoice::Name(name) => list.serialize_element(name)?,
            }
        }
        list.end()
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for Around {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Around".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let number = generator.subschema_for::<usize>();
        let name = generator.subschema_for::<String>();
        json_schema!({
            "description": "Which openings: \"all\", a number or a name, or a list of numbers and names",
            "anyOf": [number, name, { "type": "array", "items": { "anyOf": [number, name] } }],
        })
    }
}
