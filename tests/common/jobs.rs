//! Jobs written in a test, worked out through the public door.
#![allow(dead_code, reason = "each test program uses a part of it")]

use backline::checked::Checked;
use backline::job::{Syntax, WrittenJob};
use backline::mat::Mat;

/// Millimetres in an inch.
pub(crate) const INCH: f64 = 25.4;

/// Reads and resolves a job; it may have problems.
pub(crate) fn resolve(job: &str) -> Checked<Mat> {
    WrittenJob::read(job, Syntax::guess(job)).unwrap_or_else(|error| panic!("{error}\n{job}")).resolve()
}

/// Resolves a job that must have no error.
pub(crate) fn mat(job: &str) -> Mat {
    let resolved = resolve(job);
    assert!(resolved.sound().is_some(), "{:#?}\n{job}", resolved.problems);
    resolved.value.unwrap()
}

/// Returns the codes of all problems of a job.
pub(crate) fn codes(job: &str) -> Vec<&'static str> {
    resolve(job).problems.iter().map(|problem| problem.code).collect()
}

/// Checks a number against an expected one.
#[track_caller]
pub(crate) fn assert_near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} is not {expected}");
}
