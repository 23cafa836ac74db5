//! Many jobs at once: all cores, reports in the order of the command line, a bar on a terminal, the list of what is done.

use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::num::NonZero;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError, mpsc};
use std::thread;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::exit::Exit;
use super::file_names::FileNames;
use super::input::Input;
use super::interrupt;
use super::manifest::{Manifest, ManifestEntry, ManifestLines};
use super::requests::{JobRequest, Requests};
use super::say;
use crate::program::WorkAccount;

/// What became of one job.
pub(super) struct JobOutcome {
    /// What the user must read, with colours.
    pub(super) report: String,
    /// What is to be known about single files: name of the file and a sentence.
    pub(super) notes: Vec<(String, String)>,
    pub(super) exit: Exit,
    /// For the list of what is done.
    pub(super) entry: ManifestEntry,
    /// Whether an earlier run had done all the work.
    pub(super) was_done: bool,
    /// The files that were written.
    pub(super) written: Vec<PathBuf>,
    /// What single files make of the job, and what they leave out.
    pub(super) accounts: Vec<(PathBuf, WorkAccount)>,
}

impl JobOutcome {
    /// Starts with nothing to report.
    pub(super) fn new(entry: ManifestEntry) -> Self {
        Self {
            report: String::new(),
            notes: Vec::new(),
            exit: Exit::Good,
            entry,
            was_done: false,
            written: Vec::new(),
            accounts: Vec::new(),
        }
    }

    /// Takes the names of the files of a job and starts with nothing to report; fails with what is to be said if they are taken.
    pub(super) fn begin(
        names: &FileNames,
        input: &Input,
        request: &JobRequest,
        output: &Path,
    ) -> Result<(PathBuf, Self), Box<Self>> {
        let with = |stem: &Path| Self::new(ManifestEntry::new(&input.name, stem));
        match names.claim(input, request, output) {
            Ok(stem) => {
                let outcome = with(&stem);
                Ok((stem, outcome))
            }
            Err((stem, message)) => {
                let mut outcome = with(&stem);
                outcome.fail(&message);
                Err(Box::new(outcome))
            }
        }
    }

    /// Adds an error; one of a line in a stream names the line.
    pub(super) fn fail(&mut self, message: &str) {
        let job = &self.entry.job;
        let is_line = job.rsplit_once(':').is_some_and(|(_, number)| number.parse::<u64>().is_ok());
        let named =
            if is_line && !message.contains(job.as_str()) { format!("{job}: {message}") } else { message.to_owned() };
        let message = named.as_str();
        self.report += &format!("error: {message}\n");
        self.entry.notes.push(message.to_owned());
        self.exit = Exit::JobWrong;
    }
}

/// So many files are named one by one.
const MOST_NAMED: usize = 8;

/// Works on all jobs, several at a time, and reports on them in the order of the command line.
///
/// When it is interrupted, the jobs at hand are finished, and no other is begun.
pub(super) fn work(
    requests: Requests,
    at_once: Option<NonZero<usize>>,
    manifest: Option<&Manifest>,
    draw: impl Fn(&JobRequest) -> JobOutcome + Sync,
) -> (Reports, ManifestLines) {
    let count = requests.known_count();
    let mut reports = Reports::new(count);
    let mut lines = ManifestLines::default();
    let mut take = |index: usize, outcome: JobOutcome| {
        let mut outcome = outcome;
        if let Some(manifest) = manifest
            && let Err(message) = manifest.add(index, &outcome.entry, &mut lines)
        {
            outcome.fail(&message);
        }
        reports.take(index, outcome);
    };
    let cores = at_once.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZero::get);
    let cores = count.map_or(cores, |count| cores.min(count));
    if cores <= 1 {
        let mut requests = requests.enumerate();
        while !interrupt::is_asked()
            && let Some((index, request)) = requests.next()
        {
            take(index, draw(&request));
        }
        return (reports, lines);
    }
    let requests = Mutex::new(requests.enumerate());
    let (sender, receiver) = mpsc::channel();
    thread::scope(|scope| {
        for _ in 0..cores {
            let (sender, requests, draw) = (sender.clone(), &requests, &draw);
            scope.spawn(move || {
                let next = || requests.lock().unwrap_or_else(PoisonError::into_inner).next();
                while !interrupt::is_asked()
                    && let Some((index, request)) = next()
                {
                    if sender.send((index, draw(&request))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(sender);
        receiver.into_iter().for_each(|(index, outcome)| take(index, outcome));
    });
    (reports, lines)
}

/// Works on all items, several at a time, and returns what became of each in their order.
pub(super) fn each<'i, T: Sync, R: Send>(
    items: &'i [T],
    at_once: Option<NonZero<usize>>,
    work: impl Fn(&'i T) -> R + Sync,
) -> Vec<R> {
    let cores = at_once.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZero::get).min(items.len());
    if cores <= 1 {
        return items.iter().map(work).collect();
    }
    let next = Mutex::new(items.iter().enumerate());
    let done = Mutex::new(BTreeMap::new());
    thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                let take = || next.lock().unwrap_or_else(PoisonError::into_inner).next();
                while let Some((index, item)) = take() {
                    let result = work(item);
                    done.lock().unwrap_or_else(PoisonError::into_inner).insert(index, result);
                }
            });
        }
    });
    done.into_inner().unwrap_or_else(PoisonError::into_inner).into_values().collect()
}

/// Reports of jobs, put in order and printed as soon as they can be.
pub(super) struct Reports {
    waiting: BTreeMap<usize, JobOutcome>,
    next: usize,
    exit: Exit,
    notes: Notes,
    bar: ProgressBar,
    failed: usize,
    done_before: usize,
    /// How many files the jobs have written, and the first of them.
    written: (usize, Vec<PathBuf>),
}

impl Reports {
    /// Starts with nothing reported; a bar shows how many of the jobs are done.
    pub(super) fn new(count: Option<usize>) -> Self {
        Self {
            waiting: BTreeMap::new(),
            next: 0,
            exit: Exit::Good,
            notes: Notes::default(),
            bar: bar(count),
            failed: 0,
            done_before: 0,
            written: (0, Vec::new()),
        }
    }

    /// Takes what became of a job, and prints all that comes next.
    pub(super) fn take(&mut self, index: usize, outcome: JobOutcome) {
        self.bar.inc(1);
        self.waiting.insert(index, outcome);
        while let Some(outcome) = self.waiting.remove(&self.next) {
            self.next += 1;
            self.exit = self.exit.max(outcome.exit);
            self.failed += usize::from(outcome.exit != Exit::Good);
            self.done_before += usize::from(outcome.was_done);
            self.written.0 += outcome.written.len();
            let room = MOST_NAMED - self.written.1.len().min(MOST_NAMED);
            self.written.1.extend(outcome.written.into_iter().take(room));
            let notes = if say::is_quiet() { String::new() } else { self.notes.first_ones(&outcome.notes) };
            let text = notes + &outcome.report;
            if !text.is_empty() {
                self.bar.suspend(|| say::report(&text));
            }
        }
    }

    /// Tells a person at a terminal which files were written into a folder, and what to do with a template; scripts are not told.
    pub(super) fn say_written(&self, folder: &Path) {
        let (count, named) = &self.written;
        if *count == 0 || say::is_quiet() || !std::io::stderr().is_terminal() {
            return;
        }
        let mut words = if *count == named.len() {
            named.iter().map(|path| format!("wrote {}\n", path.display())).collect()
        } else {
            format!("wrote {count} files to {}\n", folder.display())
        };
        let template = named.iter().find(|path| path.to_string_lossy().ends_with("-back.pdf"));
        if let (1, Some(template)) = (self.next, template) {
            words += &format!(
                "next: print {} at 100 % and tape it to the back of the board; `backline print` spreads it over office paper\n",
                template.display()
            );
        }
        self.bar.suspend(|| say::line(words.trim_end()));
    }

    /// Prints what is to be said of all jobs together.
    pub(super) fn finish(self, verbose: bool) -> Exit {
        self.bar.finish_and_clear();
        say::report(&self.notes.counts());
        let jobs = self.next;
        if self.failed > 0 && jobs > 1 {
            say::line(format_args!("{} of {jobs} jobs could not be drawn", self.failed));
        }
        if verbose && self.done_before > 0 {
            say::aside(format_args!("{} of {jobs} jobs had already been drawn", self.done_before));
        }
        self.exit
    }
}

/// A bar that shows itself on a terminal only, and only where there are several jobs.
fn bar(count: Option<usize>) -> ProgressBar {
    let hidden = count == Some(1) || say::is_quiet();
    let target = if hidden { ProgressDrawTarget::hidden() } else { ProgressDrawTarget::stderr_with_hz(10) };
    let bar = ProgressBar::with_draw_target(count.map(|count| count as u64), target);
    let template =
        if count.is_some() { "{wide_bar} {pos} of {len} jobs, {eta} left" } else { "{spinner} {pos} jobs, {elapsed}" };
    ProgressStyle::with_template(template).map_or(bar.clone(), |style| bar.with_style(style))
}

/// Notes of which the first of a kind is shown and the others are counted.
#[derive(Default)]
struct Notes(BTreeMap<String, NoteKind>);

/// Notes that say the same, but for the numbers in them.
struct NoteKind {
    first: String,
    more: usize,
}

impl Notes {
    /// Returns those that say something new, a line each, and counts the others.
    fn first_ones(&mut self, notes: &[(String, String)]) -> String {
        let mut text = String::new();
        for (file, note) in notes {
            let words = note.replace(|letter: char| letter.is_ascii_digit() || letter == '.' || letter == ',', "");
            match self.0.get_mut(&words) {
                Some(kind) => kind.more += 1,
                None => {
                    text += &format!("note: {file}: {note}\n");
                    self.0.insert(words, NoteKind { first: file.clone(), more: 0 });
                }
            }
        }
        text
    }

    fn counts(&self) -> String {
        let repeated = self.0.values().filter(|kind| kind.more > 0);
        repeated
            .map(|NoteKind { first, more }| {
                let files = if *more == 1 { "file" } else { "files" };
                format!("note: {more} more {files} with the note of {first}\n")
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Notes;

    #[test]
    fn notes_that_differ_in_numbers_only_are_shown_once() {
        let mut notes = Notes::default();
        let note = |file: &str, text: &str| (file.to_owned(), text.to_owned());
        let first = [note("a.plt", "12 positions are beyond 32,767"), note("b.plt", "3 positions are beyond 32,767")];
        assert_eq!(notes.first_ones(&first), "note: a.plt: 12 positions are beyond 32,767\n");
        assert_eq!(notes.first_ones(&[note("c.svg", "no letter")]), "note: c.svg: no letter\n");
        assert_eq!(notes.counts(), "note: 1 more file with the note of a.plt\n");
    }
}
