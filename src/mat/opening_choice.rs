//! Openings as framers choose them: by number or by name.

use std::fmt;

use super::{Opening, with_name};

/// The opening of a number, or all of one name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpeningChoice {
    /// The one of this number, counted from one.
    Number(usize),
    /// Those of this name; capitals do not count.
    Name(String),
}

/// So many openings are listed where one is not found.
const MOST_LISTED: usize = 12;

impl OpeningChoice {
    /// Reads what a framer writes: figures are a number, anything else is a name.
    #[must_use]
    pub fn parse(text: &str) -> Self {
        let text = text.trim();
        text.parse().map_or_else(|_| Self::Name(text.to_owned()), Self::Number)
    }

    /// Tells whether it means an opening.
    #[must_use]
    pub fn means(&self, opening: &Opening) -> bool {
        match self {
            Self::Number(number) => opening.number == *number,
            Self::Name(name) => !name.is_empty() && opening.name.trim().to_lowercase() == name.to_lowercase(),
        }
    }

    /// Lists openings by number and name, for those who chose one that is not there: `1 (Anna), 2 (Bert)`.
    #[must_use]
    pub fn listed<'o>(openings: impl IntoIterator<Item = &'o Opening>) -> String {
        let mut openings = openings.into_iter();
        let mut named: Vec<String> =
            openings.by_ref().take(MOST_LISTED).map(|opening| with_name(opening.number, &opening.name)).collect();
        let more = openings.count();
        if more > 0 {
            named.push(format!("and {more} more"));
        }
        named.join(", ")
    }
}

/// Writes `opening 2` or `opening "Anna"`.
impl fmt::Display for OpeningChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "opening {number}"),
            Self::Name(name) => write!(f, "opening \"{name}\""),
        }
    }
}
