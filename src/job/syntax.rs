//! The two syntaxes of job files.

/// Some editors put it at the start of a file.
pub(super) const BYTE_ORDER_MARK: char = '\u{FEFF}';

/// The syntax of a job file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Syntax {
    /// TOML.
    Toml,
    /// JSON, without comments.
    Json,
}

impl Syntax {
    /// Guesses the syntax of a text: JSON if it starts with `{`, white space aside.
    #[must_use]
    pub fn guess(text: &str) -> Self {
        let start = |c: char| c.is_whitespace() || c == BYTE_ORDER_MARK;
        if text.trim_start_matches(start).starts_with('{') { Self::Json } else { Self::Toml }
    }
}
