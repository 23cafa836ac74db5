//! What can go wrong between the text of a job and its drawings.

use std::fmt;

use serde::Serialize;

use crate::export::ExportError;
use crate::job::{Document, EditError, TextSpan};
use crate::problem::{Problem, Severity};

/// Why there is no mat or no drawing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Error {
    /// The job cannot be read, or has errors. Displayed it is a report of every problem with line and caret.
    Job {
        /// The text of the job.
        document: Box<Document>,
        /// Everything that is wrong or doubtful, errors and warnings, with its place in the text.
        problems: Vec<FoundProblem>,
    },
    /// A key of the job cannot be changed so.
    Edit(EditError),
    /// A format cannot hold a drawing.
    Export(ExportError),
}

/// A problem of a job as data, with its place in the text.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FoundProblem {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// A fixed name for programs, such as `thin-border`.
    pub code: &'static str,
    /// The keys that lead to the value, such as `opening[1].size`; empty for the job as a whole.
    pub key: String,
    /// Where in the text it is; `None` for the job as a whole.
    pub place: Option<TextSpan>,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to do about it.
    pub cure: String,
    #[serde(skip)]
    problem: Problem,
}

impl FoundProblem {
    pub(super) fn new(problem: &Problem, place: Option<TextSpan>) -> Self {
        Self {
            severity: problem.severity.name(),
            code: problem.code,
            key: problem.place.path.to_string(),
            place,
            message: problem.message.clone(),
            cure: problem.help.clone(),
            problem: problem.clone(),
        }
    }

    /// Tells whether it keeps the job from being drawn.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.problem.severity == Severity::Error
    }
}

impl Error {
    /// Returns the problems of the job; none for errors of another kind.
    #[must_use]
    pub fn problems(&self) -> &[FoundProblem] {
        match self {
            Self::Job { problems, .. } => problems,
            Self::Edit(_) | Self::Export(_) => &[],
        }
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Job { document, problems } => {
                for (position, found) in problems.iter().enumerate() {
                    let end = if position == 0 { "" } else { "\n" };
                    let range = found.place.as_ref().map(|place| place.start..place.end);
                    write!(f, "{end}{}", document.report_at(&found.problem, range, false))?;
                }
                Ok(())
            }
            Self::Edit(error) => error.fmt(f),
            Self::Export(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Error {}

impl From<EditError> for Error {
    fn from(error: EditError) -> Self {
        Self::Edit(error)
    }
}

impl From<ExportError> for Error {
    fn from(error: ExportError) -> Self {
        Self::Export(error)
    }
}
