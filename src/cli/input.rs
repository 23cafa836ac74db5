//! Job files: reading them, and telling the user what is wrong with them.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::job::{Job, Syntax};
use crate::problem::{KeyPath, Problem};

use super::report::JobFile;

/// A job file that has been read.
#[derive(Debug)]
pub(super) struct Input {
    /// Its name as the user gave it.
    pub(super) name: String,
    /// Its text, empty if it could not be read.
    pub(super) text: String,
    /// The job, or what is wrong with the file as a report for the terminal and as data.
    pub(super) job: Result<Job, Unreadable>,
    syntax: Syntax,
}

/// Why there is no job.
#[derive(Debug)]
pub(super) struct Unreadable {
    /// For the terminal, with colours.
    pub(super) report: String,
    /// For programs.
    pub(super) problem: Problem,
}

/// So many problems of one kind are shown in full.
const MOST_SHOWN: usize = 10;

/// Files larger than this many bytes are not jobs; reading stops there.
const LARGEST_FILE: u64 = 8 << 20;

impl Input {
    /// Reads a job file, or standard input for `-`.
    pub(super) fn read(path: &Path) -> Self {
        let name = path.display().to_string();
        let text = if is_stdio(path) {
            read_to_string(std::io::stdin())
        } else {
            std::fs::File::open(path).and_then(read_to_string)
        };
        let text = match text {
            Ok(text) => text,
            Err(error) => return Self::unreadable(name, &error),
        };
        let syntax =
            if path.extension().is_some_and(|ending| ending == "json") { Syntax::Json } else { Syntax::guess(&text) };
        let job = Job::read(&text, syntax).map_err(|error| Unreadable {
            report: JobFile { name: &name, text: &text, syntax }.report_unreadable(&error, true),
            problem: Problem::error(
                "unreadable",
                KeyPath::root(),
                format!("{} at {}", error.message, line_of(&text, error.range.start)),
                error.help,
            ),
        });
        let job = job.map(|mut job| {
            if job.name.is_empty() {
                job.name = stem(path);
            }
            job.load_outlines(&mut |file| read_beside(path, file).map_err(|error| error.to_string()));
            job
        });
        Self { name, text, job, syntax }
    }

    fn unreadable(name: String, error: &std::io::Error) -> Self {
        let problem =
            Problem::error("unreadable", KeyPath::root(), format!("cannot read the file: {error}"), String::new());
        let report = format!("error: {name}: {}", problem.message);
        Self { name, text: String::new(), job: Err(Unreadable { report, problem }), syntax: Syntax::Toml }
    }

    /// Returns the reports of problems, one after the other; many of the same kind are counted rather than shown.
    pub(super) fn report(&self, problems: &[Problem]) -> String {
        let file = JobFile { name: &self.name, text: &self.text, syntax: self.syntax };
        let mut shown: BTreeMap<&str, usize> = BTreeMap::new();
        let mut report = String::new();
        for problem in problems {
            let count = shown.entry(problem.code).or_default();
            *count += 1;
            if *count <= MOST_SHOWN {
                report += &(file.report(problem, true) + "\n");
            }
        }
        for (code, count) in shown.into_iter().filter(|(_, count)| *count > MOST_SHOWN) {
            report += &format!("{}: {} more problems of the kind [{code}]\n", self.name, count - MOST_SHOWN);
        }
        report
    }
}

fn read_to_string(source: impl Read) -> std::io::Result<String> {
    let mut text = String::new();
    source.take(LARGEST_FILE).read_to_string(&mut text)?;
    Ok(text)
}

/// Reads a file that a job names, from the folder of the job file unless its path is absolute.
fn read_beside(job: &Path, file: &str) -> std::io::Result<Vec<u8>> {
    let folder = job.parent().filter(|_| !is_stdio(job)).unwrap_or(Path::new(""));
    let mut bytes = Vec::new();
    // One byte too many tells the library that the file is too large.
    std::fs::File::open(folder.join(file))?.take(LARGEST_FILE + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn line_of(text: &str, position: usize) -> String {
    format!("line {}", text.get(..position).unwrap_or_default().matches('\n').count() + 1)
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
