//! The unit in which a framer works: that of bare numbers in a job and of the readings given back.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The unit of bare numbers in a job and of the readings given back.
///
/// Feet and metres can be written in a length, but nobody sets a mat cutter in them, so they are no choice here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub enum Unit {
    /// Inches of exactly 25.4 mm, written `in`.
    #[serde(rename = "in")]
    Inch,
    /// Millimetres, written `mm`.
    #[serde(rename = "mm")]
    Millimetre,
    /// Centimetres, written `cm`.
    #[serde(rename = "cm")]
    Centimetre,
}

impl Unit {
    /// Every unit, in the order in which messages list them.
    pub const ALL: [Self; 3] = [Self::Inch, Self::Millimetre, Self::Centimetre];

    /// Returns the unit of a name as in a job file, `in`, `mm` or `cm`; `None` for any other text.
    #[must_use]
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.name() == name)
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
        assert_eq!(Unit::parse("ft"), None);
    }
}
