//! What is to be told about an SVG file.

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
