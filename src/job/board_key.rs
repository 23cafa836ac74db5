//! The value of a key for a board, in every kind of file: the board in short, or a table.

use std::ops::Deref;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Measure;
#[cfg(feature = "schema")]
use super::short::ShortOr;
use super::short::{self, Short};

/// A board: its name, in which plies, thickness, colour and core may stand in any place, and what else is known of it.
///
/// In short it is the name alone, such as `8-ply rag`, `white 1400 micron` or `cream, black core`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBoard {
    /// What the framer calls it, for example `8-ply rag` or `warm white`. In a job its thickness is that of 4-ply if nothing gives
    /// it. A name with another figure in it, such as `white 2297`, needs its `thickness` or `plies` beside it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its plies, for example 4; a measured `thickness` is better.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plies: Option<u32>,
    /// Its measured thickness; or plies, such as `4-ply`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// Colour of its face: a word for a colour, a CSS colour such as `#7a1f2b`, or a name of the job's `colours`; that of
    /// its name if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
    /// Colour of its core, which a bevel shows; white if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub core: String,
}

impl Short for WrittenBoard {
    type Form = Measure;
    const EXPECTED: &'static str = "a name such as \"8-ply rag\", a colour, a thickness, or a table with `name`, `plies`, `thickness`, `colour` and `core`";

    fn from_short(short: Measure) -> Self {
        match short {
            // Figures without a word are a length in the unit of the file.
            Measure::Text(name) if name.contains(char::is_alphabetic) || !name.contains(char::is_numeric) => {
                Self { name, ..Self::default() }
            }
            short => Self { thickness: Some(short), ..Self::default() },
        }
    }
}

/// A board as the value of a key: its name or its thickness alone, or a table.
///
/// A board of which only the name is known is written as that.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoardKey(pub WrittenBoard);

impl Deref for BoardKey {
    type Target = WrittenBoard;

    fn deref(&self) -> &WrittenBoard {
        &self.0
    }
}

impl From<WrittenBoard> for BoardKey {
    fn from(board: WrittenBoard) -> Self {
        Self(board)
    }
}

impl<'de> Deserialize<'de> for BoardKey {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        short::one(deserializer).map(Self)
    }
}

impl Serialize for BoardKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self(board) = self;
        // The name `2297` alone would be read as a thickness.
        if WrittenBoard::from_short(Measure::from(board.name.as_str())) == *board {
            board.name.serialize(serializer)
        } else {
            board.serialize(serializer)
        }
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for BoardKey {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "BoardKey".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        generator.subschema_for::<ShortOr<Measure, WrittenBoard>>()
    }
}

#[cfg(test)]
mod tests {
    use super::BoardKey;
    use crate::job::WrittenBoard;

    #[test]
    fn what_is_written_is_read_as_the_same_board() {
        let named = |name: &str| WrittenBoard { name: name.to_owned(), ..WrittenBoard::default() };
        let white = WrittenBoard { plies: Some(8), ..named("white") };
        for (board, expected) in [
            (named("8-ply rag"), "\"8-ply rag\""),
            (named("2297"), "{\"name\":\"2297\"}"),
            (white, "{\"name\":\"white\",\"plies\":8}"),
            (WrittenBoard { thickness: Some(1.4.into()), ..WrittenBoard::default() }, "{\"thickness\":1.4}"),
        ] {
            let key = BoardKey(board);
            let text = serde_json::to_string(&key).unwrap();
            assert_eq!(text, expected);
            assert_eq!(serde_json::from_str::<BoardKey>(&text).unwrap(), key);
        }
    }
}
