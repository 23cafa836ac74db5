//! What can go wrong between the text of a job and its drawings.

use std::fmt;

use crate::formats::ExportError;
use crate::job::{Document, EditError, FoundProblem, NamePatternError};
use crate::limits::TooMuchWork;
use crate::paper::PaperError;
use crate::tiling::TilingError;

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
    /// The job takes more work than its limits allow.
    TooMuchWork(TooMuchWork),
    /// A format cannot hold a drawing.
    Export(ExportError),
    /// Files cannot be named as asked.
    FileName(NamePatternError),
    /// A text names no paper.
    Paper(PaperError),
    /// A drawing cannot be divided into pages as asked.
    Tiling(TilingError),
}

impl Error {
    /// Returns the problems of the job; none for errors of another kind.
    #[must_use]
    pub fn problems(&self) -> &[FoundProblem] {
        match self {
            Self::Job { problems, .. } => problems,
            _ => &[],
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
            Self::TooMuchWork(error) => error.fmt(f),
            Self::Export(error) => error.fmt(f),
            Self::FileName(error) => error.fmt(f),
            Self::Paper(error) => error.fmt(f),
            Self::Tiling(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Error {}

impl From<EditError> for Error {
    fn from(error: EditError) -> Self {
        Self::Edit(error)
    }
}

impl From<TooMuchWork> for Error {
    fn from(error: TooMuchWork) -> Self {
        Self::TooMuchWork(error)
    }
}

impl From<ExportError> for Error {
    fn from(error: ExportError) -> Self {
        Self::Export(error)
    }
}

impl From<NamePatternError> for Error {
    fn from(error: NamePatternError) -> Self {
        Self::FileName(error)
    }
}

impl From<PaperError> for Error {
    fn from(error: PaperError) -> Self {
        Self::Paper(error)
    }
}

impl From<TilingError> for Error {
    fn from(error: TilingError) -> Self {
        Self::Tiling(error)
    }
}
