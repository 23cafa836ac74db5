//! A problem found in a job: how bad it is, where it is, what is wrong and what to do about it.
//!
//! ```
//! use backline::Job;
//! use backline::problem::NumberUnit;
//!
//! let text = "unit = 'in'\nouter = [16, 20]\nborder.left = 3\nborder.right = 4\nopening.size = [8, 10]";
//! let checked = Job::parse(text)?.resolve();
//! let problem = &checked.problems[0];
//! assert!(problem.is_error() && problem.code == "contradiction");
//! assert!(problem.numbers.iter().any(|number| number.unit == NumberUnit::Millimetre));
//! # Ok::<(), backline::Error>(())
//! ```

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;
use std::str::FromStr;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::length::LengthError;

mod codes;
mod number;

pub use codes::{PROBLEM_CODES, ProblemCode};
pub use number::{NumberUnit, ProblemNumber};

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing can be drawn.
    Error,
    /// The drawing can be made, but a framer should look at it first.
    Warning,
}

/// A problem found in a job.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// A fixed name for programs, such as `thin-border`: lower case words joined by hyphens.
    pub code: &'static str,
    /// Where in the job it is.
    pub place: Place,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to do about it.
    pub help: String,
    /// The numbers of the message and the cure.
    pub numbers: Box<[ProblemNumber]>,
    /// The numbers of the openings that the message names, each once.
    pub openings: Box<[usize]>,
}

/// A place in a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The keys that lead to the value.
    pub path: KeyPath,
    /// The bytes of the value that are meant, if it is a string and only a part of it is meant.
    pub within: Option<Box<Range<usize>>>,
}

impl Place {
    /// Makes the place of some bytes of a string.
    #[must_use]
    pub fn within(path: KeyPath, bytes: Range<usize>) -> Self {
        Self { path, within: Some(Box::new(bytes)) }
    }
}

/// The keys and list positions that lead to a value in a job, written like `opening[1].size`; cheap to clone.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct KeyPath(Option<Arc<Link>>);

#[derive(PartialEq, Eq)]
struct Link {
    parent: KeyPath,
    step: KeyStep,
}

/// One step of a [`KeyPath`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeyStep {
    /// The value of a key.
    Key(Cow<'static, str>),
    /// An item of a list, counted from zero.
    Index(usize),
}

impl Problem {
    /// Makes an error.
    #[must_use]
    pub fn error(
        code: &'static str,
        place: impl Into<Place>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let (place, message, help) = (place.into(), message.into(), help.into());
        Self {
            severity: Severity::Error,
            code,
            place,
            message,
            help,
            numbers: Box::default(),
            openings: Box::default(),
        }
    }

    /// Makes a warning.
    #[must_use]
    pub fn warning(
        code: &'static str,
        place: impl Into<Place>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self { severity: Severity::Warning, ..Self::error(code, place, message, help) }
    }

    /// Makes the error `length` of a value that is not a length.
    #[must_use]
    pub fn length(path: &KeyPath, error: LengthError) -> Self {
        Self::error("length", Place::within(path.clone(), error.range), error.message, error.help)
    }

    /// Adds openings that its message names.
    #[must_use]
    pub fn of_openings(self, numbers: impl IntoIterator<Item = usize>) -> Self {
        let mut openings = self.openings.into_vec();
        for number in numbers {
            if !openings.contains(&number) {
                openings.push(number);
            }
        }
        Self { openings: openings.into_boxed_slice(), ..self }
    }

    /// Tells whether it keeps the job from being drawn.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

impl Severity {
    /// Returns its name: `error` or `warning`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

impl KeyPath {
    /// Returns the path of the job as a whole.
    #[must_use]
    pub const fn root() -> Self {
        Self(None)
    }

    /// Returns the path of the value that a key has in the table at this path.
    #[must_use]
    pub fn key(&self, key: impl Into<Cow<'static, str>>) -> Self {
        self.then(KeyStep::Key(key.into()))
    }

    /// Returns the path of an item, counted from zero, of the list at this path.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        self.then(KeyStep::Index(index))
    }

    /// Returns the steps from the job as a whole to the value.
    #[must_use]
    pub fn steps(&self) -> Vec<&KeyStep> {
        let mut steps: Vec<&KeyStep> = self.steps_back().collect();
        steps.reverse();
        steps
    }

    /// Returns the steps from the value back to the job as a whole.
    pub fn steps_back(&self) -> impl Iterator<Item = &KeyStep> {
        std::iter::successors(self.0.as_deref(), |link| link.parent.0.as_deref()).map(|link| &link.step)
    }

    /// Returns the path without its last step, and that step; `None` for the job as a whole.
    #[must_use]
    pub fn split_last(&self) -> Option<(&Self, &KeyStep)> {
        self.0.as_deref().map(|link| (&link.parent, &link.step))
    }

    fn then(&self, step: KeyStep) -> Self {
        Self(Some(Arc::new(Link { parent: self.clone(), step })))
    }
}

/// Why a text is not a [`KeyPath`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct PathError {
    /// The first byte that does not fit.
    pub at: usize,
}

impl fmt::Display for PathError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "byte {} does not fit; write keys and places in lists such as opening[1].size", self.at + 1)
    }
}

impl std::error::Error for PathError {}

/// Reads a path as it is displayed: `opening[1].size`, with keys in quotation marks where they hold `.`, `[` or `]`.
impl FromStr for KeyPath {
    type Err = PathError;

    fn from_str(text: &str) -> Result<Self, PathError> {
        let mut path = Self::root();
        let mut rest = text;
        while !rest.is_empty() {
            let error = PathError { at: text.len() - rest.len() };
            let is_first = path == Self::root();
            if let Some(number) = rest.strip_prefix('[') {
                let (number, after) = number.split_once(']').filter(|_| !is_first).ok_or(error)?;
                path = path.index(number.parse().map_err(|_| error)?);
                rest = after;
                continue;
            }
            let key = if is_first { rest } else { rest.strip_prefix('.').ok_or(error)? };
            let (key, after) = match key.strip_prefix('"') {
                Some(quoted) => quoted.split_once('"').ok_or(error)?,
                None => key.split_at(key.find(['.', '[']).unwrap_or(key.len())),
            };
            if key.is_empty() || key.contains(['"', ']']) {
                return Err(error);
            }
            path = path.key(key.to_owned());
            rest = after;
        }
        Ok(path)
    }
}

impl From<KeyPath> for Place {
    fn from(path: KeyPath) -> Self {
        Self { path, within: None }
    }
}

impl From<&KeyPath> for Place {
    fn from(path: &KeyPath) -> Self {
        path.clone().into()
    }
}

/// As it is displayed, in quotation marks: the links from step to step tell a reader nothing.
impl fmt::Debug for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.to_string())
    }
}

impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, step) in self.steps().into_iter().enumerate() {
            match step {
                KeyStep::Key(key) => {
                    let dot = if position == 0 { "" } else { "." };
                    // Names of a user's own may hold the signs that part the steps.
                    let mark = if key.contains(['.', '[', ']']) { "\"" } else { "" };
                    write!(f, "{dot}{mark}{key}{mark}")?;
                }
                KeyStep::Index(index) => write!(f, "[{index}]")?,
            }
        }
        Ok(())
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Writes one line: `error[thin-border] at border.left: what is wrong; what to do`.
impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}[{}]", self.severity, self.code)?;
        if self.place.path != KeyPath::root() {
            write!(f, " at {}", self.place.path)?;
        }
        write!(f, ": {}", self.message)?;
        if self.help.is_empty() { Ok(()) } else { write!(f, "; {}", self.help) }
    }
}

impl std::error::Error for Problem {}

#[cfg(test)]
mod tests {
    use super::{KeyPath, Problem};

    #[test]
    fn paths_read_like_the_file() {
        let opening = KeyPath::root().key("opening").index(1);
        assert_eq!(opening.key("size").to_string(), "opening[1].size");
        assert_eq!(opening.key(String::from("size")).index(0).to_string(), "opening[1].size[0]");
        assert_eq!(KeyPath::root().to_string(), "");
    }

    #[test]
    fn paths_are_read_back() {
        for text in ["", "border", "opening[1].size[0]", "colours.our cream", "colours.\"no. 7\""] {
            assert_eq!(text.parse::<KeyPath>().unwrap().to_string(), text);
        }
        for (text, at) in [("[0]", 0), ("a..b", 1), ("a[x]", 1), ("a[1", 1), ("a.", 1), ("a[0]b", 4), ("a.\"b", 1)] {
            assert_eq!(text.parse::<KeyPath>().unwrap_err().at, at, "{text}");
        }
    }

    #[test]
    fn a_problem_is_one_line() {
        let path = KeyPath::root().key("border");
        let problem = Problem::warning("thin-border", &path, "the border is 6 mm", "make it 13 mm or more");
        assert_eq!(problem.to_string(), "warning[thin-border] at border: the border is 6 mm; make it 13 mm or more");
        let problem = Problem::error("empty", KeyPath::root(), "the job has no opening", "");
        assert_eq!(problem.to_string(), "error[empty]: the job has no opening");
    }
}
