//! The shapes that an opening may have, and the one table of them.
//!
//! A new shape is one file with a [`Shape`] and one line in the table below; job file, schema, suggestions for
//! misspelt names and error messages follow from the table.

mod arch;
mod circle;
mod contract;
mod corner;
mod ellipse;
mod heart;
mod path;
mod polygon;
mod rectangle;
mod regular_polygon;
mod star;
mod straight_oval;
mod svg_outline;

use std::fmt;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserializer, MapAccess, VariantAccess, Visitor};
use serde::{Deserialize, Serialize, Serializer};

/// Declares the table of shapes: the word in the job file, and the module and the type that reads its keys.
macro_rules! shapes {
    ($($(#[$doc:meta])* $word:literal => $module:ident::$name:ident),+ $(,)?) => {
        $(pub use $module::$name;)+

        /// A shape as written in a job file: a word, or a table with the word and the shape's own keys.
        #[derive(Debug, Clone, PartialEq)]
        pub enum ShapeChoice {
            $($(#[$doc])* $name($name)),+
        }

        /// The words that choose a shape.
        pub const SHAPES: &[&str] = &[$($word),+];

        impl ShapeChoice {
            /// Returns the word that chooses the shape.
            #[must_use]
            pub fn word(&self) -> &'static str {
                match self { $(Self::$name(_) => $word),+ }
            }

            /// Returns the shape.
            #[must_use]
            pub fn shape(&self) -> &dyn Shape {
                match self { $(Self::$name(shape) => shape),+ }
            }

            fn read<'de, D: Deserializer<'de>>(word: &str, keys: D) -> Result<Self, D::Error> {
                match synonym(word) {
                    $($word => $name::deserialize(keys).map(Self::$name),)+
                    _ => Err(de::Error::unknown_variant(word, SHAPES)),
                }
            }

            #[cfg(feature = "schema")]
            fn keys_schema(generator: &mut SchemaGenerator) -> Vec<Schema> {
                vec![$(json_schema!({
                    "type": "object",
                    "properties": { ($word): generator.subschema_for::<$name>() },
                    "required": [$word],
                    "additionalProperties": false,
                })),+]
            }
        }

        impl Serialize for ShapeChoice {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                match self {
                    $(Self::$name(shape) => serializer.collect_map([($word, shape)])),+
                }
            }
        }
    };
}

/// Returns the table's word for another word of the trade.
fn synonym(word: &str) -> &str {
    if word == "oval" { "ellipse" } else { word }
}

shapes! {
    /// A rectangle.
    "rectangle" => rectangle::Rectangle,
    /// An ellipse.
    "ellipse" => ellipse::Ellipse,
    /// A circle.
    "circle" => circle::Circle,
    /// A polygon of equal sides and angles.
    "regular_polygon" => regular_polygon::RegularPolygon,
    /// A rectangle with an arch on one side.
    "arch" => arch::Arch,
    /// A rectangle with semicircular ends.
    "straight_oval" => straight_oval::StraightOval,
    /// A star of equal points.
    "star" => star::Star,
    /// A heart.
    "heart" => heart::Heart,
    /// A polygon given by its corners.
    "polygon" => polygon::Polygon,
    /// An outline of lines and arcs given by points.
    "path" => path::PathShape,
    /// A closed path of an SVG file, or all of them.
    "svg" => svg_outline::SvgOutline,
}

pub use arch::{ArchCurve, ArchSide};
pub use contract::Shape;
pub use corner::{Corner, Corners, Steps};
pub use path::PathPoint;

impl Default for ShapeChoice {
    fn default() -> Self {
        Self::Rectangle(Rectangle::default())
    }
}

impl<'de> Deserialize<'de> for ShapeChoice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WordOrTable)
    }
}

struct WordOrTable;

impl<'de> Visitor<'de> for WordOrTable {
    type Value = ShapeChoice;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a shape, one of {}", SHAPES.join(", "))
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<ShapeChoice, E> {
        let no_keys = std::iter::empty::<(&str, &str)>();
        ShapeChoice::read(word, de::value::MapDeserializer::new(no_keys))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<ShapeChoice, A::Error> {
        // The one key of the table is read like the name of a variant, so that errors keep their place.
        struct ShapeKeys(String);
        impl<'de> de::DeserializeSeed<'de> for ShapeKeys {
            type Value = ShapeChoice;
            fn deserialize<D: Deserializer<'de>>(self, keys: D) -> Result<ShapeChoice, D::Error> {
                ShapeChoice::read(&self.0, keys)
            }
        }
        let access = de::value::MapAccessDeserializer::new(map);
        let (word, keys) = de::EnumAccess::variant::<String>(access)?;
        if !SHAPES.contains(&synonym(&word)) {
            return Err(de::Error::unknown_variant(&word, SHAPES));
        }
        keys.newtype_variant_seed(ShapeKeys(word))
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for ShapeChoice {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Shape".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let words = [SHAPES, &["oval"]].concat();
        let mut choices = vec![json_schema!({ "type": "string", "enum": words })];
        choices.extend(Self::keys_schema(generator));
        json_schema!({ "description": "Shape of an opening: a word, or a table with the word and the shape's own keys", "anyOf": choices })
    }
}
