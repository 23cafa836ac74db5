//! A line of text on a drawing.

use kurbo::Point;

use crate::dimensions::DimensionKind;

/// A line of upright text.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Text {
    /// The words; any Unicode, no line breaks.
    pub content: String,
    /// Where the baseline starts, has its middle or ends, as `anchor` says, in millimetres on the sheet.
    pub at: Point,
    /// Height of capital letters and figures in millimetres.
    pub cap_height: f64,
    /// Which part of the baseline lies at `at`.
    pub anchor: Anchor,
    /// The sizes that it tells.
    pub dimensions: Vec<DimensionKind>,
}

impl Text {
    /// Makes a line of text that tells no size.
    #[must_use]
    pub fn new(content: impl Into<String>, at: Point, cap_height: f64, anchor: Anchor) -> Self {
        Self { content: content.into(), at, cap_height, anchor, dimensions: Vec::new() }
    }

    /// Returns the text with the sizes that it tells.
    #[must_use]
    pub fn telling(self, dimensions: Vec<DimensionKind>) -> Self {
        Self { dimensions, ..self }
    }
}

/// Which part of a line of text lies at its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// The text has its middle there.
    Middle,
    /// The text ends there.
    End,
}

impl Anchor {
    /// Returns its name as written in files: `start`, `middle` or `end`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }

    /// Returns the share of the text's width that lies left of its position: 0, ½ or 1.
    #[must_use]
    pub const fn share(self) -> f64 {
        match self {
            Self::Start => 0.0,
            Self::Middle => 0.5,
            Self::End => 1.0,
        }
    }
}
