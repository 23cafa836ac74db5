//! What became of a job, told to a person and to a program.

mod data;
mod suggestions;
mod words;

pub use data::{MatSummary, Outlined, ProblemSummary, SCHEMA};
pub use suggestions::{Suggestion, suggest};
