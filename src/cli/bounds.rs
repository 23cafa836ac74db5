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

/// How much work may be done for a job.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum WorkBounds {
    /// For jobs from strangers: some seconds for each
    Strict,
    /// For your own jobs
    #[default]
    Usual,
    /// As long as it takes
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
    /// Makes these the bounds of the whole run.
    pub(super) fn keep(self) {
        // The command line is read once.
        let _ = LIMITS.set(self.into());
    }
}

/// Returns the limits of the run.
pub(super) fn limits() -> &'static WorkLimits {
    LIMITS.get_or_init(WorkLimits::usual)
}

/// Works a job out within the limits of the run; the problem `too-much` says so if that is not enough.
pub(super) fn resolved(job: &WrittenJob) -> Checked<Mat> {
    limits().watch(|| job.resolve()).unwrap_or_else(|error| {
        let help = "make the job simpler, or allow more with --limits if you trust it";
        Checked::wrong(vec![Problem::error("too-much", KeyPath::root(), error.to_string(), help)])
    })
}
