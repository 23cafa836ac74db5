//! The unit in which a framer works: that of bare numbers in a job and of the readings given back.

use std::fmt;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer};
use serde::{Serialize, Serializer};

/// The unit of bare numbers in a job and of the readings given back.
///
/// Feet and metres can be written in a length, but nobody sets a mat cutter in them, so they are not a choice here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Inches of exactly 25.4 mm, written `in`.
    Inch,
    /// Millimetres, written `mm`.
    Millimetre,
    /// Centimetres, written `cm`.
    Centimetre,
}

impl Unit {
    /// Every unit, in the order in which messages list them.
    pub const ALL: [Self; 3] = [Self::Inch, Self::Millimetre, Self::Centimetre];

    /// Returns the unit of a name or a spelling of it, such as `in`, `Inches`, `mm`, `millimeter` or `cms`; `None` for any
    /// other text.
    #[must_use]
    pub fn parse(name: &str) -> Option<Self> {
        let name = name.trim();
        let name = name.strip_suffix('.').unwrap_or(name);
        Self::ALL.into_iter().find(|unit| unit.spellings().iter().any(|known| known.eq_ignore_ascii_case(name)))
    }

    /// Returns every way in which its name may be written; capitals do not count.
    #[must_use]
    pub const fn spellings(self) -> &'static [&'static str] {
        match self {
            Self::Inch => &["in", "ins", "inch", "inches", "\""],
            Self::Millimetre => &["mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"],
            Self::Centimetre => &["cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"],
        }
    }

    /// Tells whether it is not the inch.
    #[must_use]
    pub fn is_metric(self) -> bool {
        self != Self::Inch
    }

    /// Returns its name: `in`, `mm` or `cm`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
        }
    }

    /// Returns how many millimetres one of it is.
    #[must_use]
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Inch => 25.4,
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
        }
    }
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

impl<'de> Deserialize<'de> for Unit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let name = String::deserialize(deserializer)?;
        Self::parse(&name).ok_or_else(|| de::Error::unknown_variant(&name, &["in", "mm", "cm"]))
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for Unit {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Unit".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        // A pattern has no flag that makes capitals not count.
        let any_case = |name: &&str| -> String {
            name.chars().map(|letter| format!("[{}{letter}]", letter.to_ascii_uppercase())).collect()
        };
        let spellings: Vec<String> = Self::ALL.iter().flat_map(|unit| unit.spellings()).map(any_case).collect();
        json_schema!({
            "description": "The unit of bare numbers and of readings: `in`, `mm` or `cm`, or these words in full",
            "type": "string",
            "pattern": format!("^\\s*({})\\.?\\s*$", spellings.join("|")),
        })
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::Unit;

    #[test]
    fn a_unit_is_read_by_the_name_it_writes() {
        for unit in Unit::ALL {
            assert_eq!(Unit::parse(&unit.to_string()), Some(unit));
        }
        assert_eq!(Unit::parse("Inches"), Some(Unit::Inch));
        assert_eq!(Unit::parse("millimeter"), Some(Unit::Millimetre));
        assert_eq!(Unit::parse(" CM. "), Some(Unit::Centimetre));
        assert_eq!(Unit::parse("ft"), None);
        assert_eq!(Unit::parse("m"), None);
    }
}
