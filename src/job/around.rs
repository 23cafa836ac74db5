//! Which openings an ornament runs round, as written in a job file.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::SeqAccessDeserializer;
use serde::de::{self, Deserialize, Deserializer, SeqAccess, Unexpected, Visitor};
use serde::{Serialize, Serializer};

/// Which openings of a board an ornament runs round.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Around {
    /// Every opening of the board.
    #[default]
    All,
    /// The openings with these numbers.
    Numbers(Vec<usize>),
}

/// The word for every opening.
const ALL: &str = "all";

impl<'de> Deserialize<'de> for Around {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AroundVisitor;

        impl<'de> Visitor<'de> for AroundVisitor {
            type Value = Around;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("\"all\", the number of an opening, or a list of numbers")
            }

            fn visit_str<E: de::Error>(self, word: &str) -> Result<Around, E> {
                if word == ALL { Ok(Around::All) } else { Err(E::invalid_value(Unexpected::Str(word), &self)) }
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Around, E> {
                let one = usize::try_from(number).map_err(|_| E::invalid_value(Unexpected::Unsigned(number), &self))?;
                Ok(Around::Numbers(vec![one]))
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Around, E> {
                let one = usize::try_from(number).map_err(|_| E::invalid_value(Unexpected::Signed(number), &self))?;
                Ok(Around::Numbers(vec![one]))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Around, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(list)).map(Around::Numbers)
            }
        }

        deserializer.deserialize_any(AroundVisitor)
    }
}

impl Serialize for Around {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::All => serializer.serialize_str(ALL),
            Self::Numbers(numbers) => numbers.serialize(serializer),
        }
    }
}

impl JsonSchema for Around {
    fn schema_name() -> Cow<'static, str> {
        "Around".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let number = generator.subschema_for::<usize>();
        json_schema!({
            "description": "Which openings: \"all\", a number, or a list of numbers",
            "anyOf": [{ "const": ALL }, number, { "type": "array", "items": number }],
        })
    }
}
