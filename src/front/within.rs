//! Jobs from strangers: read and worked out within limits.

use super::{Error, Job};
use crate::checked::Checked;
use crate::limits::{TooMuchWork, WorkLimits};
use crate::mat::Mat;

impl Job {
    /// Reads a job from text like [`Job::parse`], if the text is not too long.
    ///
    /// # Errors
    ///
    /// Returns [`Error::TooMuchWork`] for a text that is too long, else what [`Job::parse`] returns.
    pub fn parse_within(text: &str, limits: &WorkLimits) -> Result<Self, Error> {
        limits.check_text(text)?;
        limits.watch(|| Self::parse(text))?
    }

    /// Works the job out like [`Job::resolve`] within limits.
    ///
    /// # Errors
    ///
    /// Returns what there was too much of.
    pub fn resolve_within(&self, limits: &WorkLimits) -> Result<Checked<Mat>, TooMuchWork> {
        limits.watch(|| self.resolve())
    }

    /// Works the job out like [`Job::mat`] within limits.
    ///
    /// # Errors
    ///
    /// Returns [`Error::TooMuchWork`] if it takes too much, else what [`Job::mat`] returns.
    pub fn mat_within(&self, limits: &WorkLimits) -> Result<Mat, Error> {
        limits.watch(|| self.mat())?
    }
}
