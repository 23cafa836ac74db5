//! How much work a run does for each job, as `--limits` says.

use std::sync::OnceLock;

use clap::ValueEnum;

use crate::checked::Checked;
use crate::job::WrittenJob;
use crate::limits::WorkLimits;
use crate::mat::Mat;
use crate::problem::{KeyPath, Problem};

/// Set once, before the command runs.
static LIMITS: OnceLock<WorkLimits> = OnceLock::new();
/// Seconds of processor for the search for a plan, where they are bounded.
static SEARCH_SECONDS: OnceLock<f64> = OnceLock::new();
/// What a stranger's order is worth: a good plan of some hundred blanks takes less.
const STRICT_SEARCH_SECONDS: f64 = 2.0;

/// How much work may be done for a job.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum WorkBounds {
    /// For jobs from strangers: a few seconds each
    Strict,
    /// For your own jobs
    #[default]
    Usual,
    /// No limit: as long as it takes
    None,
}

impl From<WorkBounds> for WorkLimits {
    fn from(bounds: WorkBounds) -> Self {
        match bounds {
            WorkBounds::Strict => Self::strict(),
            WorkBounds::Usual => Self::usual(),
            WorkBounds::None => Self::none(),
        }
    }
}

impl WorkBounds {
    /// Tells whether jobs are taken for those of strangers.
    pub(super) const fn is_strict(self) -> bool {
        matches!(self, Self::Strict)
    }

    /// Makes these the bounds of the whole run.
    pub(super) fn keep(self) {
        // The command line is read once.
        let _ = LIMITS.set(self.into());
        if matches!(self, Self::Strict) {
            let _ = SEARCH_SECONDS.set(STRICT_SEARCH_SECONDS);
        }
    }
}

/// Returns how many seconds of processor a search for a plan of sheets may take at most.
pub(super) fn search_seconds() -> Option<f64> {
    SEARCH_SECONDS.get().copied()
}

/// Returns the limits of the run.
pub(super) fn limits() -> &'static WorkLimits {
    LIMITS.get_or_init(WorkLimits::usual)
}

/// What to do where there is too much work.
const HELP: &str = "simplify the job, or allow more work with --limits if you trust it";

/// Makes files within the limits of the run.
///
/// # Errors
///
/// Returns what there was too much of, and what to do.
pub(super) fn within<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    limits().watch(work).map_err(|error| format!("{error}; {HELP}"))
}

/// Works a job out within the limits of the run; the problem `too-much` says so if that is not enough.
pub(super) fn resolved(job: &WrittenJob) -> Checked<Mat> {
    limits().watch(|| job.resolve()).unwrap_or_else(|error| {
        Checked::wrong(vec![Problem::error("too-much", KeyPath::root(), error.to_string(), HELP)])
    })
}
