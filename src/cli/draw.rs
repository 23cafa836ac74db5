//! `backline draw`: every board of every job, in every view and format asked for.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

use crate::export::{Exporter, FORMATS, Options, Source};
use crate::job::Job;
use crate::mat::{Layer, Mat};
use crate::view::{VIEWS, View};

use super::args::{ALL, DrawArgs};
use super::exit::Exit;
use super::input::{Input, is_stdio, same_stem, stem};
use super::output::{to_stdout, write_whole};

/// Said of a job none of whose boards has anything that the views show.
const NOTHING_TO_DRAW: &str = "no board has anything that this view shows, so there is nothing to draw";

/// What is to be drawn and where it goes.
struct Plan<'a> {
    args: &'a DrawArgs,
    views: Vec<&'static View>,
    formats: Vec<&'static dyn Exporter>,
    options: Options,
}

/// What became of one job.
struct Outcome {
    /// What the user must read, with colours.
    report: String,
    exit: Exit,
}

pub(super) fn run(args: &DrawArgs) -> Exit {
    match Plan::new(args) {
        Ok(plan) if is_stdio(&args.output) => plan.draw_to_stdout(),
        Ok(plan) => plan.draw_all(),
        Err((message, exit)) => {
            anstream::eprintln!("error: {message}");
            exit
        }
    }
}

impl<'a> Plan<'a> {
    fn new(args: &'a DrawArgs) -> Result<Self, (String, Exit)> {
        if let Some((first, second)) = same_stem(&args.jobs) {
            let message = format!(
                "{} and {} would be drawn to files of the same name; rename one or draw them to different folders",
                first.display(),
                second.display()
            );
            return Err((message, Exit::Usage));
        }
        let font = match &args.font {
            Some(path) => {
                let unreadable = |error| (format!("cannot read the font {}: {error}", path.display()), Exit::JobWrong);
                Some(std::fs::read(path).map_err(unreadable)?.into())
            }
            None => None,
        };
        let wanted = |words: &[String], name: &str| words.iter().any(|word| word == name || word == ALL);
        Ok(Self {
            args,
            views: VIEWS.iter().filter(|view| wanted(&args.view, view.name)).collect(),
            formats: FORMATS.iter().copied().filter(|format| wanted(&args.format, format.name())).collect(),
            options: Options { tolerance: args.tolerance, unit: args.unit, font },
        })
    }

    /// Draws all jobs, several at a time, and reports on them in the order of the command line.
    fn draw_all(&self) -> Exit {
        if let Err(error) = std::fs::create_dir_all(&self.args.output) {
            anstream::eprintln!("error: cannot make the folder {}: {error}", self.args.output.display());
            return Exit::JobWrong;
        }
        let jobs = &self.args.jobs;
        let cores =
            self.args.jobs_at_once.or_else(|| thread::available_parallelism().ok()).map_or(1, std::num::NonZero::get);
        if cores.min(jobs.len()) == 1 {
            return report_in_order(jobs.iter().map(|path| self.draw_job(path)).enumerate());
        }
        let next = AtomicUsize::new(0);
        let (sender, receiver) = mpsc::channel();
        thread::scope(|scope| {
            for _ in 0..cores.min(jobs.len()) {
                let (sender, next) = (sender.clone(), &next);
                scope.spawn(move || {
                    let take = || next.fetch_add(1, Ordering::Relaxed);
                    let remaining = std::iter::repeat_with(take).map_while(|index| Some((index, jobs.get(index)?)));
                    for (index, path) in remaining {
                        if sender.send((index, self.draw_job(path))).is_err() {
                            break;
                        }
                    }
                });
            }
            drop(sender);
            report_in_order(receiver)
        })
    }

    fn draw_job(&self, path: &Path) -> Outcome {
        let input = Input::read(path);
        let mut outcome = Outcome { report: String::new(), exit: Exit::Good };
        let Some(mat) = resolve(&input, &mut outcome) else {
            return outcome;
        };
        let stem = stem(path);
        let files: Vec<File<'_>> = self.files(&mat, &stem).collect();
        if files.is_empty() {
            outcome.report += &format!("note: {}: {NOTHING_TO_DRAW}\n", path.display());
        }
        if let Some(taken) = files.iter().find(|file| !self.args.force && file.path.exists()) {
            outcome.fail(&format!(
                "{} exists; nothing of this job was written. Use --force to replace files",
                taken.path.display()
            ));
            return outcome;
        }
        let written = self.export(&files, &mat, &mut outcome);
        for (file, bytes) in written.unwrap_or_default() {
            match write_whole(&file.path, &bytes, self.args.force) {
                Ok(()) if self.args.verbose => outcome.report += &format!("{}\n", file.path.display()),
                Ok(()) => {}
                Err(error) => outcome.fail(&format!("cannot write {}: {error}", file.path.display())),
            }
        }
        outcome
    }

    /// Writes the one drawing that the command line asks for.
    fn draw_to_stdout(&self) -> Exit {
        let [path] = self.args.jobs.as_slice() else {
            anstream::eprintln!("error: standard output takes the drawing of a single job");
            return Exit::Usage;
        };
        let input = Input::read(path);
        let mut outcome = Outcome { report: String::new(), exit: Exit::Good };
        let mut exit = Exit::Good;
        if let Some(mat) = resolve(&input, &mut outcome) {
            let stem = stem(path);
            let files: Vec<File<'_>> = self.files(&mat, &stem).collect();
            if files.is_empty() {
                anstream::eprintln!("error: {}: {NOTHING_TO_DRAW}", path.display());
                return Exit::JobWrong;
            }
            if files.len() != 1 {
                let count = files.len();
                anstream::eprintln!(
                    "error: standard output takes one drawing, but these are {count}; choose one --view and one --format"
                );
                return Exit::Usage;
            }
            let written = self.export(&files, &mat, &mut outcome).unwrap_or_default();
            exit = written.iter().map(|(_, bytes)| to_stdout(bytes)).max().unwrap_or(Exit::Good);
        }
        anstream::eprint!("{}", outcome.report);
        outcome.exit.max(exit)
    }

    /// Lists the files of a job: board by board, view by view, format by format.
    fn files<'m>(&'m self, mat: &'m Mat, stem: &'m str) -> impl Iterator<Item = File<'m>> {
        let several = mat.layers.len() > 1;
        mat.layers.iter().enumerate().flat_map(move |(index, layer)| {
            // A view that shows nothing of a board gets no file.
            self.views.iter().filter(|view| view.applies(layer)).flat_map(move |view| {
                let board = if several { format!("-{}-{}", index + 1, file_name(&layer.name)) } else { String::new() };
                self.formats.iter().map(move |format| {
                    let name = format!("{stem}{board}-{}.{}", view.name, format.extension());
                    File { path: self.args.output.join(name), layer, view, format: *format }
                })
            })
        })
    }

    /// Works out the bytes of all files of a job; `None` if one of them cannot be written in its format.
    fn export<'f>(
        &self,
        files: &'f [File<'f>],
        mat: &Mat,
        outcome: &mut Outcome,
    ) -> Option<Vec<(&'f File<'f>, Vec<u8>)>> {
        let mut written = Vec::with_capacity(files.len());
        // The files of one view of one board lie side by side and share its drawing.
        for same in files.chunk_by(|a, b| std::ptr::eq(a.layer, b.layer) && std::ptr::eq(a.view, b.view)) {
            let Some(File { view, layer, .. }) = same.first() else {
                continue;
            };
            let drawing = view.draw(mat, layer);
            let source = Source::new(&drawing, &self.options);
            for file in same {
                let name = file.path.display();
                match file.format.export(&source) {
                    Ok(exported) => {
                        outcome.report.extend(exported.notes.iter().map(|note| format!("note: {name}: {note}\n")));
                        written.push((file, exported.bytes));
                    }
                    Err(error) => outcome.fail(&format!("{name}: {error}")),
                }
            }
        }
        (outcome.exit == Exit::Good).then_some(written)
    }
}

/// A file to be written.
struct File<'m> {
    path: PathBuf,
    layer: &'m Layer,
    view: &'m View,
    format: &'static dyn Exporter,
}

impl Outcome {
    fn fail(&mut self, message: &str) {
        self.report += &format!("error: {message}\n");
        self.exit = Exit::JobWrong;
    }
}

/// Works out the job of a file and reports its problems.
fn resolve(input: &Input, outcome: &mut Outcome) -> Option<Mat> {
    let job: &Job = match &input.job {
        Ok(job) => job,
        Err(unreadable) => {
            outcome.report = format!("{}\n", unreadable.report);
            outcome.exit = Exit::JobWrong;
            return None;
        }
    };
    let resolved = job.resolve();
    outcome.report = input.report(&resolved.problems);
    let sound = resolved.sound().is_some();
    if !sound {
        outcome.exit = Exit::JobWrong;
    }
    resolved.mat.filter(|_| sound)
}

/// Prints outcomes in the order of the command line as soon as they are there.
fn report_in_order(outcomes: impl IntoIterator<Item = (usize, Outcome)>) -> Exit {
    let mut waiting = std::collections::BTreeMap::new();
    let mut next = 0;
    let mut exit = Exit::Good;
    for (index, outcome) in outcomes {
        waiting.insert(index, outcome);
        while let Some(outcome) = waiting.remove(&next) {
            anstream::eprint!("{}", outcome.report);
            exit = exit.max(outcome.exit);
            next += 1;
        }
    }
    exit
}

/// Makes a part of a file name from a name: letters and figures stay, everything else becomes a hyphen.
fn file_name(name: &str) -> String {
    name.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
}
