//! Which keys a job gives.

use serde_json::Value;

use super::dimension::DimensionSource;
use crate::job::Job;
use crate::problem::{KeyPath, Step};

/// The keys that a job gives, with short forms written out.
pub(super) struct GivenKeys(Value);

impl GivenKeys {
    pub(super) fn of(job: &Job) -> Self {
        // A job consists of texts, numbers, lists and tables with texts as keys, all of which can be written; were it not
        // so, nothing would count as given.
        Self(serde_json::to_value(job).unwrap_or_default())
    }

    /// Tells whether the job has a value at a path.
    pub(super) fn has(&self, path: &KeyPath) -> bool {
        let found = path.steps().into_iter().try_fold(&self.0, |at, step| match (step, at) {
            (Step::Key(key), Value::Object(table)) => table.get(key.as_ref()),
            (Step::Index(index), Value::Array(items)) => items.get(*index),
            // One text or number for both sides of a size.
            (Step::Index(0 | 1), Value::String(_) | Value::Number(_)) => Some(at),
            _ => None,
        });
        found.is_some_and(|value| !value.is_null() && *value != Value::Bool(false))
    }

    /// Returns the first of some paths that the job gives as the source of a number, or else what it is without one.
    pub(super) fn source(&self, paths: &[KeyPath], otherwise: DimensionSource) -> DimensionSource {
        paths.iter().find(|path| self.has(path)).map_or(otherwise, |path| DimensionSource::Given(path.clone()))
    }
}
