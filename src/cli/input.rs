//! Jobs: reading them, and telling the user what is wrong with them.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::checked::Checked;
use crate::job::{Document, FoundProblem, Job, Syntax};
use crate::mat::Mat;
use crate::photo;
use crate::problem::Problem;
use crate::summary::MatSummary;

use super::exit::Exit;
use super::paths::{is_stdio, stem};
use super::requests::{Origin, Request};
use super::text_file::{LARGEST_FILE, TextFile, Unreadable};

/// A job that has been read.
#[derive(Debug)]
pub(super) struct Input {
    /// Its name as the user would say it.
    pub(super) name: String,
    /// The job, or what is wrong with the file as a report for the terminal and as data.
    pub(super) job: Result<Job, Unreadable>,
    /// The files that the job names, with what was read of them or why nothing was.
    pub(super) beside: Vec<(String, Result<Vec<u8>, String>)>,
    file: Option<TextFile>,
    /// The file that it is in, beside which the files lie that it names.
    path: PathBuf,
}

impl Input {
    /// Reads the job that a request is for.
    pub(super) fn of(request: &Request) -> Self {
        match &request.origin {
            Origin::File(path) => Self::read(path),
            Origin::Line { file, number, text } => {
                let name = file.display().to_string();
                let text = TextFile::new(Document::new(name, text).with(Syntax::Json, *number));
                Self { name: request.name.clone(), ..Self::from_text(text, file, &request.stem) }
            }
            Origin::Missing(reason) => {
                let name = request.name.clone();
                Self {
                    job: Err(Unreadable::new(&name, reason)),
                    name,
                    beside: Vec::new(),
                    file: None,
                    path: PathBuf::new(),
                }
            }
        }
    }

    /// Reads a job file, or standard input for `-`.
    pub(super) fn read(path: &Path) -> Self {
        match TextFile::read(path) {
            Ok(file) => Self::from_text(file, path, &stem(path)),
            Err(unreadable) => Self {
                name: path.display().to_string(),
                job: Err(unreadable),
                beside: Vec::new(),
                file: None,
                path: PathBuf::new(),
            },
        }
    }

    /// Reads a job from a text in the file at `path`; `unnamed` is its name if it gives none itself.
    pub(super) fn from_text(file: TextFile, path: &Path, unnamed: &str) -> Self {
        let mut beside = Vec::new();
        let job = file.parse().map(|mut job: Job| {
            if job.name.is_empty() {
                job.name = unnamed.to_owned();
            }
            job.load_outlines(&mut |file| {
                let read = read_beside(path, file, LARGEST_FILE);
                beside.push((file.to_owned(), read.clone()));
                read
            });
            job
        });
        Self { name: file.name.clone(), job, beside, file: Some(file), path: path.to_owned() }
    }

    /// Returns the text of the job, empty if it could not be read.
    pub(super) fn text(&self) -> &str {
        self.file.as_ref().map_or("", |file| &file.text)
    }

    /// Reads the picture files that the job names; only pictures and checks of the mat need them.
    pub(super) fn with_pictures(mut self) -> Self {
        if let Ok(job) = &mut self.job {
            job.load_pictures(&mut |file| {
                let read = read_beside(&self.path, file, photo::LARGEST_FILE as u64);
                self.beside.push((file.to_owned(), read.clone()));
                read
            });
        }
        self
    }

    /// Works the job out and reports its problems; `None` if it is wrong.
    pub(super) fn resolve_and_report(&self) -> Option<Checked<Mat>> {
        let job = match &self.job {
            Ok(job) => job,
            Err(unreadable) => {
                anstream::eprintln!("{}", unreadable.report);
                return None;
            }
        };
        let resolved = job.resolve();
        anstream::eprint!("{}", self.report(&resolved.problems));
        resolved.sound().is_some().then_some(resolved)
    }

    /// Returns problems as data, with their places in the text.
    pub(super) fn found(&self, problems: &[Problem]) -> Vec<FoundProblem> {
        match &self.file {
            Some(file) => file.found_all(problems),
            None => problems.iter().map(FoundProblem::new).collect(),
        }
    }

    /// Returns what became of the job as data.
    pub(super) fn summary(&self, name: &str, resolved: &Checked<Mat>) -> MatSummary {
        match &self.file {
            Some(file) => MatSummary::of_text(name, resolved, file),
            None => MatSummary::new(name, resolved),
        }
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

/// Reads a font file that the command line names.
pub(super) fn read_font(path: &Path) -> Result<Arc<[u8]>, (String, Exit)> {
    let unreadable = |error| (format!("cannot read the font {}: {error}", path.display()), Exit::JobWrong);
    std::fs::read(path).map(Into::into).map_err(unreadable)
}
