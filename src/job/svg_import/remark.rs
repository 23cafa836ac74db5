//! What is to be told about an SVG file, and the words for it.

/// Something to tell about a file: why it gives no outline, or what of it was left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::job) struct Remark {
    /// What is the matter, in words.
    pub(in crate::job) message: String,
    /// What to do about it.
    pub(in crate::job) help: String,
}

impl Remark {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }
}

/// Longest name of a path that a message quotes, in letters.
const LONGEST_NAME: usize = 40;

/// Shortens a name from a file to what a message can quote, without control characters.
pub(super) fn shortened(name: &str) -> String {
    let mut shown: String = name.chars().filter(|letter| !letter.is_control()).take(LONGEST_NAME).collect();
    if name.chars().count() > LONGEST_NAME {
        shown.push('…');
    }
    shown
}

pub(super) fn count(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}
