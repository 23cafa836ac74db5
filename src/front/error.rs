//! What can go wrong between the text of a job and its drawings.

use std::fmt;

use crate::formats::ExportError;
use crate::job::{Document, EditError, FoundProblem};

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
                    write!(f, "{end}{}", document.report_found(found, false))?;
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
