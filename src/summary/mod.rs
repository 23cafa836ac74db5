//! What became of a job, told to a person and to a program.

mod data;
mod package_data;
mod suggestions;
mod tidy;
mod words;

pub use data::{MatSummary, Outlined, SCHEMA, mat_schema};
pub use package_data::PackageSummary;
pub use suggestions::{Suggestion, suggest};
