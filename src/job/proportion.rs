//! The proportion of a width to a height, as written in a job file: `"4:5"`, `[4, 5]` or 0.8.

use std::fmt;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, SeqAccess, Unexpected, Visitor};
use serde::{Serialize, Serializer};

/// A width to a height; both are finite and above zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proportion {
    width: f64,
    height: f64,
}

impl Proportion {
    /// Makes a proportion; `None` unless both numbers are finite and above zero, and neither is 1000 times the other.
    #[must_use]
    pub fn new(width: f64, height: f64) -> Option<Self> {
        let sound = (1e-6..=1e6).contains(&width) && (1e-6..=1e6).contains(&height);
        let slender = width.max(height) > 1000.0 * width.min(height);
        (sound && !slender).then_some(Self { width, height })
    }

    /// Returns the number that stands for the width.
    #[must_use]
    pub const fn width(self) -> f64 {
        self.width
    }

    /// Returns the number that stands for the height.
    #[must_use]
    pub const fn height(self) -> f64 {
        self.height
    }

    /// Returns the proportion of the same figure turned by a quarter.
    #[must_use]
    pub const fn turned(self) -> Self {
        Self { width: self.height, height: self.width }
    }

    fn parse(text: &str) -> Option<Self> {
        let (width, height) = text.split_once([':', '/']).or_else(|| text.split_once(" to "))?;
        Self::new(width.trim().parse().ok()?, height.trim().parse().ok()?)
    }
}

/// Writes it like `4 : 5`.
impl fmt::Display for Proportion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} : {}", self.width, self.height)
    }
}

impl Serialize for Proportion {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        [self.width, self.height].serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Proportion {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ProportionVisitor;

        impl<'de> Visitor<'de> for ProportionVisitor {
            type Value = Proportion;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a ratio of width to height such as \"4:5\" or [4, 5], both above zero,")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Proportion, E> {
                Proportion::parse(text).ok_or_else(|| E::invalid_value(Unexpected::Str(text), &self))
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Proportion, E> {
                self.visit_f64(number as f64)
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Proportion, E> {
                self.visit_f64(number as f64)
            }

            fn visit_f64<E: de::Error>(self, number: f64) -> Result<Proportion, E> {
                Proportion::new(number, 1.0).ok_or_else(|| E::invalid_value(Unexpected::Float(number), &self))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut sides: A) -> Result<Proportion, A::Error> {
                let mut side = |at| sides.next_element()?.ok_or_else(|| de::Error::invalid_length(at, &self));
                let (width, height) = (side(0)?, side(1)?);
                if sides.next_element::<de::IgnoredAny>()?.is_some() {
                    return Err(de::Error::invalid_length(3, &self));
                }
                Proportion::new(width, height).ok_or_else(|| de::Error::invalid_value(Unexpected::Seq, &self))
            }
        }

        deserializer.deserialize_any(ProportionVisitor)
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for Proportion {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Proportion".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let number = json_schema!({ "type": "number", "exclusiveMinimum": 0 });
        json_schema!({
            "description": "A ratio of width to height: \"4:5\", [4, 5], or 0.8",
            "anyOf": [
                { "type": "string" },
                { "type": "array", "items": number, "minItems": 2, "maxItems": 2 },
                number,
            ],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Proportion;

    #[test]
    fn ratios_are_read_as_framers_write_them() {
        for text in ["4:5", "4 : 5", "4/5", "4 to 5", "4.0:5"] {
            assert_eq!(Proportion::parse(text), Proportion::new(4.0, 5.0), "{text}");
        }
        for text in ["", "4", "4:", ":5", "0:5", "-4:5", "4:5:6", "4 x 5", "inf:5", "1:2000"] {
            assert_eq!(Proportion::parse(text), None, "{text}");
        }
    }
}
