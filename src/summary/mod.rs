//! The result of a job, in words for people and as data for programs.
//!
//! ```
//! use backline::Job;
//! use backline::summary::MatSummary;
//!
//! let job = Job::parse("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")?;
//! assert!(job.mat()?.describe().contains("7 3/4 in × 9 3/4 in"));
//! let data = serde_json::to_value(MatSummary::new("harbour", &job.resolve()))?;
//! assert_eq!((&data["unit"], &data["units"]["length"]), (&"in".into(), &"mm".into()));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod data;
mod package_data;
mod suggestions;
mod tidy;
mod words;

#[cfg(feature = "schema")]
pub use data::mat_schema;
pub use data::{MAT_SCHEMA, MatSummary, OutlineSummary};
pub use package_data::PackageSummary;
pub use suggestions::{Suggestion, suggest};
