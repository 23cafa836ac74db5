//! A difference between what a file makes a machine do and what it should do.

use kurbo::Point;
use serde::Serialize;

/// What is wrong with a stroke of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum RunFault {
    /// A stroke is not there.
    Missing,
    /// A part of a stroke is not there.
    Incomplete,
    /// Something is drawn or cut that should not be.
    Surplus,
    /// A stroke is out of place.
    Place,
    /// A stroke stops short or runs too far.
    OverRun,
    /// A stroke is there twice.
    Twice,
    /// A rapid move goes through the board.
    Rapid,
    /// A stroke is too deep or not deep enough.
    Depth,
    /// A speed is wrong.
    Speed,
    /// A force is wrong.
    Force,
    /// A stroke uses the wrong tool, or the file does not ask for the tool.
    Tool,
    /// A line has the wrong colour.
    Color,
    /// A stroke runs the wrong way.
    Direction,
    /// A stroke comes too early or too late.
    Order,
    /// A part of the file was not understood.
    Unread,
}

/// A difference between what a file makes a machine do and what it should do.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RunDifference {
    /// What is wrong.
    pub fault: RunFault,
    /// Number of the line of the file, counted from one; `None` for what the file lacks, and for the file as a whole.
    pub line: Option<usize>,
    /// Where, in the frame of the machine, in millimetres; `None` for what has no place.
    pub at: Option<Point>,
    /// In words, without the line.
    pub message: String,
}

/// What is different between a file and the program of a machine.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct RunCheck {
    /// All differences in the order of the lines.
    pub differences: Vec<RunDifference>,
    /// What the file does not say, so that it was not compared.
    pub not_checked: Vec<String>,
}

/// More differences than this are not listed: the file is another one.
const MOST: usize = 2000;

impl RunCheck {
    /// Tells whether the file does what the program does.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.differences.is_empty()
    }

    pub(super) fn add(&mut self, fault: RunFault, line: Option<usize>, at: Option<Point>, message: impl Into<String>) {
        if self.differences.len() < MOST {
            self.differences.push(RunDifference { fault, line, at, message: message.into() });
        }
    }

    /// Says once what was not compared.
    pub(super) fn leave(&mut self, what: impl Into<String>) {
        let what = what.into();
        if !self.not_checked.contains(&what) {
            self.not_checked.push(what);
        }
    }

    pub(super) fn sort(&mut self) {
        self.differences.sort_by_key(|difference| (difference.line.is_none(), difference.line, difference.fault));
    }
}

impl RunFault {
    /// Returns its name as in data: lower case, with hyphens.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Missing => "missing",
            Self::Incomplete => "incomplete",
            Self::Surplus => "surplus",
            Self::Place => "place",
            Self::OverRun => "over-run",
            Self::Twice => "twice",
            Self::Rapid => "rapid",
            Self::Depth => "depth",
            Self::Speed => "speed",
            Self::Force => "force",
            Self::Tool => "tool",
            Self::Color => "color",
            Self::Direction => "direction",
            Self::Order => "order",
            Self::Unread => "unread",
        }
    }
}

impl std::fmt::Display for RunDifference {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.message),
            None => f.write_str(&self.message),
        }
    }
}
