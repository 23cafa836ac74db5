//! `backline watch`: draws jobs again as soon as they, their outlines and pictures or the shop file are saved.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use notify::{EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use super::args::{DrawArgs, WatchArgs};
use super::draw_plan::DrawPlan;
use super::exit::Exit;
use super::input::{Input, source_of};
use super::output::is_single;
use super::own_files::OwnFiles;
use super::requests::{JobRequest, JobSource, Requests};
use super::say;
use super::shop;

/// A save is over when nothing has happened for so long.
const QUIET: Duration = Duration::from_millis(15);
/// A save that goes on longer is looked at all the same.
const LONGEST_SAVE: Duration = Duration::from_millis(60);
/// A file that cannot be read may be half saved: it is looked at again after so long before anything is said.
const HALF_SAVED: Duration = Duration::from_millis(60);

/// A job with the files that its drawings depend on.
struct WatchedJob {
    request: JobRequest,
    files: BTreeSet<PathBuf>,
    /// What was drawn last, or could not be.
    source: String,
}

/// What is watched, and what was drawn.
struct DrawWatch<'a> {
    args: &'a DrawArgs,
    jobs: BTreeMap<String, WatchedJob>,
    own: OwnFiles,
    watcher: RecommendedWatcher,
    folders: BTreeSet<PathBuf>,
}

pub(super) fn run(args: &WatchArgs) -> Exit {
    match watch(&args.draw) {
        Ok(exit) => exit,
        Err((message, exit)) => {
            say::error!("{message}");
            exit
        }
    }
}

fn watch(args: &DrawArgs) -> Result<Exit, (String, Exit)> {
    if args.nest.nest || args.manifest.is_some() || is_single(&args.output) {
        let message = "watch draws into a folder, without --nest and --manifest; give -o a folder";
        return Err((message.to_owned(), Exit::Usage));
    }
    let (sender, changes) = mpsc::channel();
    let unusable = |error: notify::Error| (format!("cannot watch files here: {error}"), Exit::JobWrong);
    let watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        // The receiver lives as long as the run.
        let _ = sender.send(event);
    });
    let watcher = watcher.map_err(unusable)?;
    let mut watch =
        DrawWatch { args, jobs: BTreeMap::new(), own: OwnFiles::default(), watcher, folders: BTreeSet::new() };
    for path in args.jobs.iter().filter(|path| path.is_dir()) {
        watch.watcher.watch(path, RecursiveMode::Recursive).map_err(unusable)?;
    }
    watch.find_jobs()?;
    let all: Vec<String> = watch.jobs.keys().cloned().collect();
    watch.draw(&all)?;
    say::aside(format_args!("watching {} jobs; Ctrl-C ends it", watch.jobs.len()));
    loop {
        let Some(changed) = next_save(&changes) else { return Ok(Exit::Good) };
        watch.heed(&changed)?;
    }
}

/// Waits for a save and returns the files that it touched; `None` if nothing can come any more.
fn next_save(changes: &Receiver<notify::Result<notify::Event>>) -> Option<BTreeSet<PathBuf>> {
    let mut touched = BTreeSet::new();
    while touched.is_empty() {
        touched.extend(touched_by(changes.recv().ok()?));
    }
    let begun = Instant::now();
    while begun.elapsed() < LONGEST_SAVE {
        match changes.recv_timeout(QUIET) {
            Ok(event) => touched.extend(touched_by(event)),
            Err(_) => break,
        }
    }
    Some(touched)
}

/// Returns the files that an event says are other than before.
fn touched_by(event: notify::Result<notify::Event>) -> Vec<PathBuf> {
    match event {
        Ok(event) if !matches!(event.kind, EventKind::Access(_)) => {
            event.paths.iter().map(|path| absolute(path)).collect()
        }
        _ => Vec::new(),
    }
}

/// Returns a path by which a file is known from event to event, whether or not it is there.
fn absolute(path: &Path) -> PathBuf {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match (folder.canonicalize(), path.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => path.to_owned(),
    }
}

impl DrawWatch<'_> {
    /// Finds the jobs of the command line that are not known yet.
    fn find_jobs(&mut self) -> Result<Vec<String>, (String, Exit)> {
        let mut new = Vec::new();
        for request in Requests::new(&self.args.jobs, self.args.lines, Some(&self.args.output)) {
            match &request.origin {
                JobSource::File(path) if path.as_os_str() != "-" => {
                    let name = request.name.clone();
                    if !self.jobs.contains_key(&name) {
                        let job = WatchedJob { request, files: BTreeSet::new(), source: String::new() };
                        self.jobs.insert(name.clone(), job);
                        new.push(name);
                    }
                }
                JobSource::Missing(_) if self.args.jobs.iter().any(|path| path.is_dir()) => {}
                _ => {
                    let message = format!("{} cannot be watched; name files or folders of jobs", request.name);
                    return Err((message, Exit::Usage));
                }
            }
        }
        Ok(new)
    }

    /// Draws what a save has changed.
    fn heed(&mut self, changed: &BTreeSet<PathBuf>) -> Result<(), (String, Exit)> {
        shop::forget();
        let mut due: Vec<String> = Vec::new();
        if changed.iter().any(|path| path.extension().is_some_and(|ending| ending == "toml" || ending == "json")) {
            due = self.find_jobs()?;
        }
        let touched = self.jobs.iter().filter(|(_, job)| job.files.iter().any(|file| changed.contains(file)));
        due.extend(touched.map(|(name, _)| name.clone()));
        due.sort();
        due.dedup();
        self.draw(&due)
    }

    /// Draws jobs that are not what they were.
    fn draw(&mut self, names: &[String]) -> Result<(), (String, Exit)> {
        if names.is_empty() {
            return Ok(());
        }
        let begun = Instant::now();
        // Machines and fonts may have changed, too.
        let mut plan = DrawPlan::new(self.args, |path| std::fs::read(path))?;
        plan.own = Some(self.own.clone());
        let mut folders = BTreeSet::new();
        for name in names {
            let Some(job) = self.jobs.get_mut(name) else { continue };
            let mut input = Input::of(&job.request);
            if input.job.is_err() {
                std::thread::sleep(HALF_SAVED);
                shop::forget();
                input = Input::of(&job.request);
            }
            job.files = files_of(&input, &job.request);
            folders.extend(job.files.iter().filter_map(|file| file.parent().map(Path::to_owned)));
            let source = plan.source(&input) + input.job.as_ref().err().map_or("", |error| error.report.as_str());
            if source == job.source {
                continue;
            }
            job.source = source;
            let outcome = plan.draw_job(&job.request);
            for (file, note) in &outcome.notes {
                say::note!("{file}: {note}");
            }
            say::report(&outcome.report);
            let ms = begun.elapsed().as_millis();
            match outcome.exit {
                Exit::Good => {
                    say::aside(format_args!("{name}: drawn in {ms} ms, {} files changed", outcome.written.len()))
                }
                _ => say::aside(format_args!("{name}: not drawn; its drawings stay as they were")),
            }
        }
        for folder in folders {
            if !self.folders.contains(&folder) && self.watcher.watch(&folder, RecursiveMode::NonRecursive).is_ok() {
                self.folders.insert(folder);
            }
        }
        Ok(())
    }
}

/// Lists what the drawings of a job depend on, with the places where a shop file would count.
fn files_of(input: &Input, request: &JobRequest) -> BTreeSet<PathBuf> {
    let mut files = BTreeSet::new();
    if let JobSource::File(path) = &request.origin {
        files.insert(absolute(path));
        let folder = path.parent().unwrap_or(Path::new(""));
        files.extend(input.beside.iter().map(|(name, _)| absolute(&folder.join(name))));
        files.extend(shop::places(source_of(path)).iter().map(|path| absolute(path)));
    }
    files
}
