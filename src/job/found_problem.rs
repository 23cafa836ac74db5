//! A problem as data: what a program needs to show it at its place, in words of its own if it likes.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::TextSpan;
use crate::problem::{Problem, ProblemNumber, Severity};

/// A problem as data, with its place in the text that has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FoundProblem {
    /// Whether it keeps the job from being drawn.
    pub severity: Severity,
    /// A fixed name for programs, such as `thin-border`.
    pub code: Cow<'static, str>,
    /// The keys that lead to the value, such as `opening[1].size`; empty for the text as a whole. In JSON `where`.
    #[serde(rename = "where")]
    pub key: String,
    /// Where in the text it is; `None` for the text as a whole, or where the text is not known. In JSON `at`.
    #[serde(rename = "at", default, skip_serializing_if = "Option::is_none")]
    pub place: Option<TextSpan>,
    /// The file in which `at` is, where that is not the text of the job itself but the shop file that it takes defaults from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to do about it; may be empty. In JSON `help`.
    #[serde(rename = "help")]
    pub cure: String,
    /// The numbers of the message and the cure with their units, for programs that word problems themselves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<ProblemNumber>,
    /// The numbers of the openings that the message names.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub openings: Vec<usize>,
}

impl FoundProblem {
    /// Makes it of a problem of a text that is not at hand.
    #[must_use]
    pub fn new(problem: &Problem) -> Self {
        Self {
            severity: problem.severity,
            code: problem.code.into(),
            key: problem.place.path.to_string(),
            place: None,
            file: None,
            message: problem.message.clone(),
            cure: problem.help.clone(),
            numbers: problem.numbers.to_vec(),
            openings: problem.openings.to_vec(),
        }
    }

    /// Tells whether it keeps the job from being drawn.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
