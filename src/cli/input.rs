//! Jobs: reading them, and telling the user what is wrong with them.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::checked::Checked;
use crate::job::{DefaultsTable, Document, FoundProblem, Syntax, UsedDefault, WrittenJob};
use crate::mat::Mat;
use crate::photo;
use crate::problem::Problem;
use crate::summary::MatSummary;

use super::bounds::{limits, resolved};
use super::exit::Exit;
use super::files::{self, JobOrigin};
use super::paths::{is_stdio, stem};
use super::requests::{JobRequest, JobSource};
use super::say;
use super::shop::{self, FoundShop};
use super::text_file::{LARGEST_FILE, TextFile, UnreadableText};

/// A job that has been read.
#[derive(Debug)]
pub(super) struct Input {
    /// Its name as the user would say it.
    pub(super) name: String,
    /// The job, or what is wrong with the file as a report for the terminal and as data.
    pub(super) job: Result<WrittenJob, UnreadableText>,
    /// The files that the job names, with what was read of them or why nothing was.
    pub(super) beside: Vec<(String, Result<Vec<u8>, String>)>,
    file: Option<TextFile>,
    /// The shop file from which it takes what it leaves out.
    pub(super) shop: Option<Arc<FoundShop>>,
    /// The file that it is in, beside which the files lie that it names.
    path: PathBuf,
    /// Whether it came in a line, or through standard input.
    is_stream: bool,
}

impl Input {
    /// Reads the job that a request is for.
    pub(super) fn of(request: &JobRequest) -> Self {
        match &request.origin {
            JobSource::File(path) => Self::read(path),
            JobSource::Line { file, number, text } => {
                let name = file.display().to_string();
                let text = TextFile::new(Document::new(name, text).with(Syntax::Json, *number));
                Self { name: request.name.clone(), ..Self::from_text(text, JobOrigin::Stream(file), &request.stem) }
            }
            JobSource::Missing(reason) => {
                let name = request.name.clone();
                Self {
                    job: Err(UnreadableText::new(&name, reason)),
                    name,
                    beside: Vec::new(),
                    file: None,
                    shop: None,
                    path: PathBuf::new(),
                    is_stream: true,
                }
            }
        }
    }

    /// Reads a job file, or standard input for `-`.
    pub(super) fn read(path: &Path) -> Self {
        match TextFile::read(path) {
            Ok(file) => Self::from_text(file, source_of(path), &stem(path)),
            Err(unreadable) => Self {
                name: path.display().to_string(),
                job: Err(unreadable),
                beside: Vec::new(),
                file: None,
                shop: None,
                path: PathBuf::new(),
                is_stream: true,
            },
        }
    }

    /// Reads a job from a text; `unnamed` is its name if it gives none itself.
    pub(super) fn from_text(file: TextFile, source: JobOrigin<'_>, unnamed: &str) -> Self {
        let (path, is_stream) = match source {
            JobOrigin::File(path) => (path, false),
            JobOrigin::Stream(path) => (path, true),
        };
        let mut beside = Vec::new();
        let (shop, no_shop) = match shop::for_job(Some(source)) {
            Ok(shop) => (shop, None),
            Err(report) => (None, Some(UnreadableText::of_shop(&file.name, report))),
        };
        let file = file.over(shop.as_ref().map(|shop| shop.defaults()), DefaultsTable::Job);
        let fits = limits().check_text(&file.text).map_err(|error| UnreadableText::new(&file.name, &error.to_string()));
        let fits = fits.and_then(|()| no_shop.map_or(Ok(()), Err));
        let job = fits.and_then(|()| file.parse()).map(|mut job: WrittenJob| {
            if job.name.is_empty() {
                job.name = unnamed.to_owned();
            }
            job.load_outlines(&mut |file| {
                let read = read_within(source, file, LARGEST_FILE);
                beside.push((file.to_owned(), read.clone()));
                read
            });
            job
        });
        Self { name: file.name.clone(), job, beside, file: Some(file), shop, path: path.to_owned(), is_stream }
    }

    /// Lists what the job takes from the shop file.
    pub(super) fn used_defaults(&self) -> Vec<UsedDefault> {
        self.file.as_ref().map(|file| file.used_defaults()).unwrap_or_default()
    }

    /// Returns the file of the job as it was read; `None` if it could not be read.
    pub(super) const fn file(&self) -> Option<&TextFile> {
        self.file.as_ref()
    }

    /// Returns the text of the job, empty if it could not be read.
    pub(super) fn text(&self) -> &str {
        self.file.as_ref().map_or("", |file| &file.text)
    }

    /// Reads the picture files that the job names; only pictures and checks of the mat need them.
    pub(super) fn with_pictures(mut self) -> Self {
        let source = if self.is_stream { JobOrigin::Stream(&self.path) } else { JobOrigin::File(&self.path) };
        if let Ok(job) = &mut self.job {
            let mut read = |file: &str| {
                let read = read_within(source, file, photo::LARGEST_FILE as u64);
                self.beside.push((file.to_owned(), read.clone()));
                read
            };
            // A picture that is too large says so itself.
            let _ = limits().watch(|| job.load_pictures(&mut read));
        }
        self
    }

    /// Works the job out and reports its problems; `None` if it is wrong.
    pub(super) fn resolve_and_report(&self) -> Option<Checked<Mat>> {
        let job = match &self.job {
            Ok(job) => job,
            Err(unreadable) => {
                say::line(&unreadable.report);
                return None;
            }
        };
        let resolved = resolved(job);
        say::report(&self.report(&resolved.problems));
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

/// Reads a file that a job names; `largest` of its kind in bytes, of which one too many tells the library so.
fn read_within(source: JobOrigin<'_>, file: &str, largest: u64) -> Result<Vec<u8>, String> {
    let most = limits().file as u64;
    let bytes = files::read_named(source, file, largest.min(most))?;
    if bytes.len() as u64 > most {
        return Err(format!("it has more than the allowed {most} bytes"));
    }
    Ok(bytes)
}

/// Returns where a job comes from that is a whole file, or standard input.
pub(super) fn source_of(path: &Path) -> JobOrigin<'_> {
    if is_stdio(path) { JobOrigin::Stream(path) } else { JobOrigin::File(path) }
}

/// Larger fonts are refused; those with every sign of China and Japan have about a third of it.
const LARGEST_FONT: u64 = 64 << 20;

/// Reads a font file that the command line names.
pub(super) fn read_font(path: &Path) -> Result<Arc<[u8]>, (String, Exit)> {
    let unreadable = |error| (format!("cannot read the font {}: {error}", path.display()), Exit::JobWrong);
    files::read_regular(path, LARGEST_FONT).map(Into::into).map_err(unreadable)
}
