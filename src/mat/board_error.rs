//! Why words for a board are not understood, where in them, and what to write instead.

use std::fmt;
use std::ops::Range;

/// Why words for a board are not understood.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct BoardError {
    /// The bytes of the text that are at fault.
    pub range: Range<usize>,
    /// What is wrong, in words.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// How to say the thickness of a board.
const SAY: &str = "give plies, or a length with its unit: 4-ply, 1.4 mm, 1400 micron, 1/16 in";

impl BoardError {
    /// Makes the error of a thickness that no board has.
    pub(super) fn thickness(range: Range<usize>, message: String) -> Self {
        Self { range, message, help: SAY.to_owned() }
    }

    /// Makes the error of words that do not say how thick the board is; they may be part of a name.
    pub(super) fn unknown(range: Range<usize>, message: String) -> Self {
        let name = "a name with a figure or such a word in it stands beside the thickness: \
                    { name = \"white 2297\", thickness = \"4-ply\" }";
        Self { range, message, help: format!("{SAY}; {name}") }
    }
}

impl fmt::Display for BoardError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for BoardError {}
