//! Paths as command lines give them.

use std::path::Path;

/// What stands for standard input or output in place of a path.
pub(super) const STDIO: &str = "-";

/// Tells whether a path stands for standard input or output.
pub(super) fn is_stdio(path: &Path) -> bool {
    path == Path::new(STDIO)
}

/// Returns the name of a job file without folder and ending, from which names of drawings are made.
pub(super) fn stem(path: &Path) -> String {
    if is_stdio(path) {
        return "job".to_owned();
    }
    path.file_stem().map_or_else(|| "job".to_owned(), |stem| stem.to_string_lossy().into_owned())
}
