//! Which keys a job gives, and what they say.

use serde_json::Value;

use crate::fault::Certain;
use crate::job::{Measure, Scope, SizeMeasure, WrittenJob};
use crate::length::Ruler;
use crate::problem::{KeyPath, KeyStep};
use crate::tolerance::SAME_STOP_MM;

/// The keys that a job gives, with short forms written out.
pub(super) struct GivenKeys {
    keys: Value,
    scope: Scope,
}

impl GivenKeys {
    pub(super) fn of(job: &WrittenJob, ruler: Ruler) -> Self {
        // A job consists of texts, numbers, lists and tables with texts as keys, all of which can be written.
        Self { keys: serde_json::to_value(job).certain("JSON of this job"), scope: Scope::root(job.unit, ruler) }
    }

    fn find<'v>(&'v self, steps: &[&KeyStep]) -> Option<&'v Value> {
        steps.iter().try_fold(&self.keys, |at, step| match (step, at) {
            (KeyStep::Key(key), Value::Object(table)) => table.get(key.as_ref()),
            (KeyStep::Index(index), Value::Array(items)) => items.get(*index),
            // One text or number for both sides of a size.
            (KeyStep::Index(0 | 1), Value::String(_) | Value::Number(_)) => Some(at),
            _ => None,
        })
    }

    /// Tells whether the job has a value at a path.
    pub(super) fn has(&self, path: &KeyPath) -> bool {
        self.find(&path.steps()).is_some_and(|value| !value.is_null() && *value != Value::Bool(false))
    }

    /// Tells whether the job has a length at a path that is so many millimetres.
    pub(super) fn is(&self, path: &KeyPath, mm: f64) -> bool {
        self.mm(path).is_some_and(|given| (given - mm).abs() < SAME_STOP_MM)
    }

    fn mm(&self, path: &KeyPath) -> Option<f64> {
        let steps = path.steps();
        if let (KeyStep::Index(side), above) = steps.split_last()? {
            let size: SizeMeasure = serde_json::from_value(self.find(above)?.clone()).ok()?;
            let size = self.scope.size(&size).ok()?;
            return Some(if *side == 0 { size.width } else { size.height });
        }
        let measure: Measure = serde_json::from_value(self.find(&steps)?.clone()).ok()?;
        let mm = self.scope.signed_mm(&measure).ok()?;
        // Half of what is given for both sides together.
        let total = matches!(steps.last(), Some(KeyStep::Key(key)) if key.ends_with("_total"));
        Some(if total { 0.5 * mm } else { mm })
    }
}
