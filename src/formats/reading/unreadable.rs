//! Why a file cannot be read, and what is refused in any of them.

use std::fmt;

/// Why a file cannot be measured.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unreadable {
    /// Number of the line, counted from one; `None` for the file as a whole.
    pub line: Option<usize>,
    /// What is wrong.
    pub message: String,
    /// What to do about it; may be empty.
    pub help: String,
}

/// Coordinates beyond this many units of a file are not a drawing of a mat.
pub(in crate::formats) const LARGEST: f64 = 1e9;

impl Unreadable {
    pub(in crate::formats) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: None, message: message.into(), help: help.into() }
    }

    pub(in crate::formats) fn at(line: usize, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: Some(line), ..Self::new(message, help) }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        f.write_str(&self.message)?;
        if self.help.is_empty() { Ok(()) } else { write!(f, "; {}", self.help) }
    }
}

impl std::error::Error for Unreadable {}

/// Reads a number of a file; none that is not finite or beyond [`LARGEST`].
pub(in crate::formats) fn number(text: &str) -> Option<f64> {
    text.trim().parse().ok().filter(|number: &f64| number.abs() <= LARGEST)
}

/// Shows a piece of a file in a message: short, without control characters.
pub(in crate::formats) fn shown(text: &str) -> String {
    let text = text.trim();
    let mut short: String =
        text.chars().take(30).map(|letter| if letter.is_control() { '\u{FFFD}' } else { letter }).collect();
    if text.chars().count() > 30 {
        short.push('…');
    }
    short
}
