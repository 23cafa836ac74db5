//! How problems are told on standard error: with carets for people, or as data for programs that asked for data.

use std::sync::atomic::{AtomicBool, Ordering};

use serde::Serialize;

use crate::fault::Certain;
use crate::job::FoundProblem;
use crate::problem::{KeyPath, Problem, Severity};

/// Name and version of a line; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-problems/1";

/// The code of what the command itself says: it has no file and no key.
const COMMAND: &str = "command";

/// Set once, before the command runs.
static AS_DATA: AtomicBool = AtomicBool::new(false);

/// The problems of one file, as a line of standard error.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct FileProblems<'a> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    /// What the user calls the file; empty for problems of the command line.
    file: &'a str,
    problems: &'a [FoundProblem],
}

/// Chooses for the whole run.
pub(super) fn tell_as_data(as_data: bool) {
    AS_DATA.store(as_data, Ordering::Relaxed);
}

/// Returns the problems of a file as a line of JSON if that was chosen; nothing but an empty text where there are none.
pub(super) fn as_data(file: &str, problems: impl FnOnce() -> Vec<FoundProblem>) -> Option<String> {
    if !AS_DATA.load(Ordering::Relaxed) {
        return None;
    }
    let problems = problems();
    if problems.is_empty() {
        return Some(String::new());
    }
    Some(line_of(file, &problems) + "\n")
}

/// Returns what is wrong with the arguments as data.
pub(super) fn of_arguments(message: &str, help: &str) -> String {
    line_of("", &[FoundProblem::new(&Problem::error(COMMAND, KeyPath::root(), message, help))])
}

fn line_of(file: &str, problems: &[FoundProblem]) -> String {
    let told = FileProblems { schema: SCHEMA, file, problems };
    serde_json::to_string(&told).certain("line of JSON for these problems")
}

/// Returns words that say an error or a warning of the command itself as a line of JSON if that was chosen.
pub(super) fn words_as_data(words: &str) -> Option<String> {
    let words = anstream::adapter::strip_str(words).to_string();
    let (severity, said) = [Severity::Error, Severity::Warning].into_iter().find_map(|severity| {
        let said = words.strip_prefix(severity.name())?.strip_prefix(": ")?;
        Some((severity, said))
    })?;
    let (message, help) = said.trim_end().split_once("; ").unwrap_or((said.trim_end(), ""));
    as_data("", || {
        let make = if severity == Severity::Error { Problem::error } else { Problem::warning };
        vec![FoundProblem::new(&make(COMMAND, KeyPath::root(), message, help))]
    })
}

/// Returns the JSON Schema of a line.
pub(super) fn told_schema() -> serde_json::Value {
    crate::job::output_schema_of::<FileProblems<'_>>()
}
