//! What a framer can let go where a new number contradicts others.

use serde::Serialize;

use super::Job;
use crate::dimensions::{Dimension, DimensionSource};
use crate::problem::KeyPath;

/// A number of a job that can be let go so that the others no longer contradict each other.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Release {
    /// The key whose number is let go: it is taken out, or says that bars fill what is left.
    #[serde(serialize_with = "as_text")]
    pub key: KeyPath,
    /// The sizes of the mat that then follow.
    pub dimensions: Vec<Dimension>,
    /// The job without that number.
    #[serde(skip)]
    pub job: Job,
}

fn as_text<S: serde::Serializer>(path: &KeyPath, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(path)
}

/// Keys that may be let go where numbers contradict each other, beside those that give a dimension.
const OTHERS: &[&str] =
    &["standard", "border.bottom_extra", "border.bottom_ratio", "border.optical_centre", "border.top_as_sides"];

impl Job {
    /// Lists the keys of which any one can be let go so that a job whose numbers contradict each other can be cut.
    ///
    /// `given` has the paths of the numbers in the order in which they were given, the last one last; those come last in the
    /// list, and the very last, which the framer has just typed, is not in it. What the job gives and `given` does not have
    /// counts as given earlier. The list is empty if the job has no such contradiction, or none that one key alone resolves.
    #[must_use]
    pub fn releases(&self, given: &[&str]) -> Vec<Release> {
        if self.mat().is_ok() {
            return Vec::new();
        }
        let mut candidates = self.candidates();
        candidates.retain(|path| !given.last().is_some_and(|last| is_within(last, path)));
        // What was given last is let go last.
        candidates.sort_by_key(|path| given.iter().rposition(|given| is_within(given, path)).map_or(0, |at| at + 1));
        candidates.into_iter().filter_map(|key| self.without(key)).collect()
    }

    /// Lists the keys that give numbers which can contradict each other.
    fn candidates(&self) -> Vec<KeyPath> {
        let mut paths: Vec<KeyPath> = Vec::new();
        let mut add = |path: &str| {
            if let Ok(path) = path.parse::<KeyPath>()
                && self.has(&path.to_string())
                && !paths.contains(&path)
            {
                paths.push(path);
            }
        };
        for key in [
            "outer",
            "frame",
            "border.all",
            "border.sides",
            "border.left",
            "border.right",
            "border.top",
            "border.bottom",
        ] {
            add(key);
        }
        for index in 0..self.written().opening.len() {
            for key in ["size", "art", "overlap", "margin", "at.left", "at.right", "at.top", "at.bottom"] {
                add(&format!("opening[{index}].{key}"));
            }
        }
        GAPS.iter().for_each(|key| add(key));
        OTHERS.iter().for_each(|key| add(key));
        paths
    }

    fn without(&self, key: KeyPath) -> Option<Release> {
        let path = key.to_string();
        let mut job = self.clone();
        job.remove(&path).ok().filter(|was_there| *was_there)?;
        if job.mat().is_err() && GAPS.contains(&path.as_str()) {
            // Bars of no given width are as wide as usual; what is let go may have any width.
            job = self.clone();
            job.set(&path, FILL).ok()?;
        }
        job.mat().ok()?;
        let dimensions = job.dimensions();
        Some(Release { key, dimensions, job })
    }
}

/// Keys that give the width of bars.
const GAPS: [&str; 3] = ["arrangement.gap", "arrangement.column_gap", "arrangement.row_gap"];
/// What such a key says of bars that fill what borders and openings leave.
const FILL: &str = "fill";

/// Tells whether a path as text is a key, or leads into its value: `outer[0]` is within `outer`.
fn is_within(path: &str, key: &KeyPath) -> bool {
    // Where there is one opening it may go without its number.
    let short = key.to_string().replace("opening[0]", "opening");
    [key.to_string(), short].iter().any(|key| starts_with_key(path, key))
}

fn starts_with_key(path: &str, key: &str) -> bool {
    path.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

impl Release {
    /// Returns the dimensions that the key gave and that follow from others without it.
    pub fn follows(&self) -> impl Iterator<Item = &Dimension> {
        self.dimensions.iter().filter(|dimension| dimension.source == DimensionSource::WorkedOut)
    }
}
