//! A problem found in a job: how bad it is, where it is, what is wrong and what to do about it.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use crate::length::LengthError;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Nothing can be drawn.
    Error,
    /// The drawing can be made, but a framer should look at it first.
    Warning,
}

/// A problem found in a job.
#[derive(Debug, Clone, PartialEq, Eq)]
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
}

/// A place in a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The keys that lead to the value.
    pub path: KeyPath,
    /// The bytes of the value that are meant, if it is a string and only a part of it is meant.
    pub within: Option<Range<usize>>,
}

/// The keys and list positions that lead to a value in a job, written like `opening[1].size`; cheap to clone.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct KeyPath(Option<Arc<Link>>);

#[derive(Debug, PartialEq, Eq)]
struct Link {
    parent: KeyPath,
    step: Step,
}

/// One step of a [`KeyPath`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
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
        Self { severity: Severity::Error, code, place: place.into(), message: message.into(), help: help.into() }
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
        Self::error("length", Place { path: path.clone(), within: Some(error.range) }, error.message, error.help)
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
        self.then(Step::Key(key.into()))
    }

    /// Returns the path of an item, counted from zero, of the list at this path.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        self.then(Step::Index(index))
    }

    /// Returns the steps from the job as a whole to the value.
    #[must_use]
    pub fn steps(&self) -> Vec<&Step> {
        let mut steps: Vec<&Step> =
            std::iter::successors(self.0.as_deref(), |link| link.parent.0.as_deref()).map(|link| &link.step).collect();
        steps.reverse();
        steps
    }

    fn then(&self, step: Step) -> Self {
        Self(Some(Arc::new(Link { parent: self.clone(), step })))
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

impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, step) in self.steps().into_iter().enumerate() {
            match step {
                Step::Key(key) if position == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Index(index) => write!(f, "[{index}]")?,
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
    fn a_problem_is_one_line() {
        let path = KeyPath::root().key("border");
        let problem = Problem::warning("thin-border", &path, "the border is 6 mm", "make it 13 mm or more");
        assert_eq!(problem.to_string(), "warning[thin-border] at border: the border is 6 mm; make it 13 mm or more");
        let problem = Problem::error("empty", KeyPath::root(), "the job has no opening", "");
        assert_eq!(problem.to_string(), "error[empty]: the job has no opening");
    }
}
