//! What the names of the files of a job begin with: the name of its file, or what a pattern makes of its own data.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::job::NamePattern;

use super::input::Input;
use super::requests::JobRequest;

/// The names that the jobs of a run have taken.
#[derive(Debug, Default)]
pub(super) struct FileNames {
    pattern: Option<NamePattern>,
    /// Without regard to capitals, as some file systems have none.
    taken: Mutex<BTreeSet<String>>,
    /// With the part of the board, where it could be part of the name of another job.
    boards: Mutex<BTreeSet<String>>,
}

impl FileNames {
    pub(super) fn new(pattern: Option<&NamePattern>) -> Self {
        Self { pattern: pattern.cloned(), ..Self::default() }
    }

    /// Tells whether a pattern makes the names.
    pub(super) const fn has_pattern(&self) -> bool {
        self.pattern.is_some()
    }

    /// Returns what the names of the files of a job begin with.
    ///
    /// Fails with the reason if the job lacks what its files are named after.
    pub(super) fn name(&self, input: &Input, request: &JobRequest) -> Result<String, String> {
        match (&self.pattern, &input.job) {
            (Some(pattern), Ok(job)) => pattern.stem(job, &request.stem).map_err(|error| error.to_string()),
            _ => Ok(request.stem.clone()),
        }
    }

    /// Returns what the names of files begin with that several jobs have in common: what the pattern makes of each of them; `None`
    /// without a pattern.
    ///
    /// Fails with the reason if a job lacks what its files are named after, or if the jobs would be named in different ways.
    pub(super) fn common<'j>(
        &self,
        jobs: impl IntoIterator<Item = (&'j Input, &'j JobRequest)>,
    ) -> Result<Option<String>, String> {
        if !self.has_pattern() {
            return Ok(None);
        }
        let mut common: Option<String> = None;
        for (input, request) in jobs.into_iter().filter(|(input, _)| input.job.is_ok()) {
            let name = self.name(input, request).map_err(|error| format!("{}: {error}", input.name))?;
            if let Some(common) = common.as_ref().filter(|common| **common != name) {
                return Err(format!(
                    "the jobs share their files, but --file-names gives them different names, {common} and {name}; use what all of them have, such as {{own.order}}"
                ));
            }
            common = Some(name);
        }
        Ok(common)
    }

    /// Returns folder and start of the names of the files of a job, and takes them for it.
    ///
    /// Fails with the usual start and the reason if the job lacks what its files are named after, or if another job of this run has
    /// files of the same names.
    pub(super) fn claim(
        &self,
        input: &Input,
        request: &JobRequest,
        output: &Path,
    ) -> Result<PathBuf, (PathBuf, String)> {
        let folder = output.join(&request.folder);
        let fail = |message: String| (folder.join(&request.stem), format!("{}: {message}", input.name));
        let stem = folder.join(self.name(input, request).map_err(fail)?);
        // Without a pattern the requests differ already.
        if self.has_pattern() {
            let key = stem.to_string_lossy().to_lowercase();
            if !self.taken.lock().unwrap_or_else(PoisonError::into_inner).insert(key) {
                let message = "another job has files of the same names; use {stem} in --file-names too";
                return Err(fail(message.to_owned()));
            }
        }
        Ok(stem)
    }

    /// Takes the names of the files of every board of a job; fails with a board whose names another job of this run has: the board
    /// `1-top` of the job `a` has those of the job `a-1-top`.
    pub(super) fn claim_boards(&self, stem: &Path, parts: impl Iterator<Item = String>) -> Result<(), String> {
        for part in parts {
            let start = format!("{}{part}", stem.display());
            // No other job can have a name without the number of a board.
            if !start.split('-').skip(1).any(|word| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit()))
            {
                continue;
            }
            if !self.boards.lock().unwrap_or_else(PoisonError::into_inner).insert(start.to_lowercase()) {
                return Err(format!(
                    "another job of this run has files that begin with {start}; give one of them another name"
                ));
            }
        }
        Ok(())
    }
}
