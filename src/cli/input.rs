//! Job files: reading them, and telling the user what is wrong with them.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::job::Job;
use crate::photo;
use crate::problem::Problem;

use super::text_file::{LARGEST_FILE, TextFile, Unreadable};

/// A job file that has been read.
#[derive(Debug)]
pub(super) struct Input {
    /// Its name as the user gave it.
    pub(super) name: String,
    /// The job, or what is wrong with the file as a report for the terminal and as data.
    pub(super) job: Result<Job, Unreadable>,
    file: Option<TextFile>,
}

impl Input {
    /// Reads a job file, or standard input for `-`.
    pub(super) fn read(path: &Path) -> Self {
        let name = path.display().to_string();
        let file = match TextFile::read(path) {
            Ok(file) => file,
            Err(unreadable) => return Self { name, job: Err(unreadable), file: None },
        };
        let job = file.parse().map(|mut job: Job| {
            if job.name.is_empty() {
                job.name = stem(path);
            }
            job.load_outlines(&mut |file| read_beside(path, file, LARGEST_FILE));
            job
        });
        Self { name, job, file: Some(file) }
    }

    /// Reads the picture files that the job names; only pictures and checks of the mat need them.
    pub(super) fn with_pictures(mut self, path: &Path) -> Self {
        if let Ok(job) = &mut self.job {
            job.load_pictures(&mut |file| read_beside(path, file, photo::LARGEST_FILE as u64));
        }
        self
    }

    /// Returns the reports of problems, one after the other; many of the same kind are counted rather than shown.
    pub(super) fn report(&self, problems: &[Problem]) -> String {
        self.file.as_ref().map(|file| file.report(problems)).unwrap_or_default()
    }
}

/// Reads a file that a job names, from the folder of the job file unless its path is absolute.
fn read_beside(job: &Path, file: &str, largest: u64) -> Result<Vec<u8>, String> {
    let folder = job.parent().filter(|_| !is_stdio(job)).unwrap_or(Path::new(""));
    let mut bytes = Vec::new();
    // One byte too many tells the library that the file is too large.
    std::fs::File::open(folder.join(file))
        .and_then(|opened| opened.take(largest + 1).read_to_end(&mut bytes))
        .map_err(|error| error.to_string())?;
    Ok(bytes)
}

/// Tells whether a path stands for standard input or output.
pub(super) fn is_stdio(path: &Path) -> bool {
    path == Path::new("-")
}

/// Returns the name of a job file without folder and ending, from which names of drawings are made.
pub(super) fn stem(path: &Path) -> String {
    if is_stdio(path) {
        return "job".to_owned();
    }
    path.file_stem().map_or_else(|| "job".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Returns the first two paths whose drawings would have the same names.
pub(super) fn same_stem(paths: &[PathBuf]) -> Option<(&Path, &Path)> {
    let mut stems: Vec<(String, &Path)> = paths.iter().map(|path| (stem(path), path.as_path())).collect();
    stems.sort();
    stems.windows(2).find_map(|pair| match pair {
        [(a, first), (b, second)] if a == b => Some((*first, *second)),
        _ => None,
    })
}
