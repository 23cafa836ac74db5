//! Where some bytes of a text are.

use serde::{Deserialize, Serialize};

/// A part of a text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TextSpan {
    /// First of its bytes, counted from zero.
    pub start: usize,
    /// The byte after its last; the same as `start` where something is missing.
    pub end: usize,
    /// Line on which it starts, counted from one.
    pub line: usize,
    /// Letter of the line at which it starts, counted from one.
    pub column: usize,
}
