//! Exit codes.

use std::process::ExitCode;

/// How the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// All went well; there may have been warnings.
    Good,
    /// A job is wrong, or a file could not be read or written.
    JobWrong,
    /// The command line makes no sense.
    Usage,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Good => 0,
            Exit::JobWrong => 1,
            Exit::Usage => 2,
        })
    }
}
