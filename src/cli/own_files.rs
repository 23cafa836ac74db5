//! The files that a run has written itself, and may replace.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use super::manifest::sha256;

/// Files that a run has written, by their places, with the SHA-256 of what was written.
#[derive(Debug, Clone, Default)]
pub(super) struct OwnFiles(Arc<Mutex<BTreeMap<PathBuf, String>>>);

impl OwnFiles {
    /// Remembers what was written to a place.
    pub(super) fn note(&self, path: &Path, bytes: &[u8]) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned(), sha256(bytes));
    }

    /// Tells whether a file is what this run has written.
    pub(super) fn has_unaltered(&self, path: &Path) -> bool {
        let own = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        own.get(path).is_some_and(|hash| std::fs::read(path).is_ok_and(|bytes| sha256(&bytes) == *hash))
    }
}
