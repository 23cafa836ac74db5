//! `backline print`: views on the paper of an office printer, in pages to be joined.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use crate::fault::Certain;
use crate::formats::Options;
use crate::length;
use crate::mat::{Mat, Opening, OpeningChoice};
use crate::tiling::{PrintedPart, Tiled, Tiling};
use crate::view::{VIEWS, View};

use super::batch::{self, JobOutcome};
use super::bounds::{resolved, within};
use super::drawn_pages::numbered;
use super::exit::Exit;
use super::file_names::FileNames;
use super::input::{Input, read_font};
use super::manifest::ManifestEntry;
use super::output::{Single, is_single, single_name, to_stdout, write_all};
use super::paths::is_stdio;
use super::print_args::{OnlyArg, PrintArgs};
use super::print_data::PrintData;
use super::printer;
use super::requests::{JobRequest, Requests, file_name};
use super::say;
use super::values::ALL;

/// What is to be printed and how.
struct PrintPlan<'a> {
    args: &'a PrintArgs,
    views: Vec<&'static View>,
    tiling: Tiling,
    options: Options,
    names: FileNames,
    /// What `--json` prints, by the name of the file.
    lines: Mutex<BTreeMap<String, String>>,
}

/// A file to be written.
struct PrintedFile {
    path: PathBuf,
    bytes: Vec<u8>,
}

pub(super) fn run(args: &PrintArgs) -> Exit {
    match print(args) {
        Ok(exit) => exit,
        Err((message, exit)) => {
            say::line(&message);
            exit
        }
    }
}

fn print(args: &PrintArgs) -> Result<Exit, (String, Exit)> {
    let usage = |message: String| (format!("error: {message}"), Exit::Usage);
    let failed = |message: String| (format!("error: {message}"), Exit::JobWrong);
    let requests = Requests::new(&args.jobs, false, Some(&args.output));
    if let Some((first, second)) = requests.same_names() {
        return Err(usage(format!("{first} and {second} would be drawn to files of the same name; rename one")));
    }
    let plan = PrintPlan::new(args)?;
    if is_single(&args.output) {
        if args.json && is_stdio(&args.output) {
            return Err(usage("standard output takes either the pages or --json".to_owned()));
        }
        return plan.print_one(requests).map_err(|(message, exit)| (format!("error: {message}"), exit));
    }
    std::fs::create_dir_all(&args.output)
        .map_err(|error| failed(format!("cannot make the folder {}: {error}", args.output.display())))?;
    let (reports, _) = batch::work(requests, None, None, |request| plan.print_job(request));
    if !args.verbose {
        reports.say_written(&args.output);
    }
    let exit = reports.finish(args.verbose);
    let lines = plan.lines.into_inner().unwrap_or_else(PoisonError::into_inner);
    Ok(exit.max(to_stdout(lines.into_values().collect::<String>().as_bytes())))
}

impl<'a> PrintPlan<'a> {
    fn new(args: &'a PrintArgs) -> Result<Self, (String, Exit)> {
        let wrong = |message: String| (message, Exit::JobWrong);
        let mut tiling = Tiling { orientation: args.orientation.into(), ..Tiling::default() };
        if let Some(path) = &args.printer {
            let (printer, warnings) = printer::read(path).map_err(wrong)?;
            say::report(&warnings);
            tiling.paper = printer.paper.unwrap_or(tiling.paper);
            tiling.margin = printer.margin.unwrap_or(tiling.margin);
            tiling.printer = printer.name;
            tiling.stretch = printer.stretch;
        }
        tiling.paper = args.paper.clone().unwrap_or(tiling.paper);
        tiling.margin = args.margin.unwrap_or(tiling.margin);
        tiling.overlap = args.overlap.unwrap_or(tiling.overlap);
        let font = match &args.font {
            Some(path) => Some(read_font(path).map_err(|(message, _)| wrong(format!("error: {message}")))?),
            None => None,
        };
        let wanted = |view: &&View| args.view.iter().any(|word| word == view.name || word == ALL);
        let options = Options { font, ..Options::default() };
        let names = FileNames::new(args.file_names.as_ref());
        Ok(Self { args, views: VIEWS.iter().filter(wanted).collect(), tiling, options, names, lines: Mutex::default() })
    }

    fn print_job(&self, request: &JobRequest) -> JobOutcome {
        let input = Input::of(request);
        let (stem, mut outcome) = match JobOutcome::begin(&self.names, &input, request, &self.args.output) {
            Ok(begun) => begun,
            Err(failed) => return *failed,
        };
        let Some(mat) = resolve(&input, &mut outcome) else {
            return outcome;
        };
        let files = self.files_within(&mat, &stem.to_string_lossy(), &mut outcome);
        if outcome.exit != Exit::Good {
            return outcome;
        }
        let named = files.iter().map(|file| (file.path.as_path(), file.bytes.as_slice()));
        if let Err(message) = write_all(named, self.args.force) {
            outcome.fail(&message);
            return outcome;
        }
        outcome.written.extend(files.iter().map(|file| file.path.clone()));
        if self.args.verbose {
            files.iter().for_each(|file| outcome.report += &format!("{}\n", file.path.display()));
        }
        outcome
    }

    /// Writes the one file that the command line asks for, to standard output or to a file that it names.
    fn print_one(self, mut requests: Requests) -> Result<Exit, (String, Exit)> {
        let single = single_name(&self.args.output);
        let (Some(request), None) = (requests.next(), requests.next()) else {
            return Err((format!("{single} can hold the pages of only one job"), Exit::Usage));
        };
        let input = Input::of(&request);
        let mut outcome = JobOutcome::new(ManifestEntry::new(&input.name, request.stem.as_ref()));
        let mut exit = Exit::Good;
        if let Some(mat) = resolve(&input, &mut outcome) {
            let files = self.files_within(&mat, &request.stem, &mut outcome);
            match files.as_slice() {
                _ if outcome.exit != Exit::Good => {}
                [file] => {
                    let PrintArgs { output, force, verbose, .. } = self.args;
                    exit = Single { output, force: *force, verbose: *verbose }.write(&file.path, &file.bytes)?;
                }
                files => {
                    let count = files.len();
                    let message = format!(
                        "{single} is one file, but there are {count} to write; choose one --view of a mat with one board, and a format that holds all pages in one file"
                    );
                    return Err((message, Exit::Usage));
                }
            }
        }
        for (file, note) in &outcome.notes {
            outcome.report += &format!("note: {file}: {note}\n");
        }
        say::report(&outcome.report);
        let lines = self.lines.into_inner().unwrap_or_else(PoisonError::into_inner);
        exit = exit.max(to_stdout(lines.into_values().collect::<String>().as_bytes()));
        Ok(outcome.exit.max(exit))
    }

    /// Finds what is to be printed of a mat.
    fn only(&self, mat: &Mat) -> Result<PrintedPart, String> {
        let choice = match &self.args.only {
            None => return Ok(PrintedPart::All),
            Some(OnlyArg::Corners) => return Ok(PrintedPart::Corners),
            Some(OnlyArg::Opening(choice)) => choice,
        };
        let all: BTreeMap<usize, &Opening> =
            mat.layers.iter().flat_map(|layer| &layer.openings).map(|opening| (opening.number, opening)).collect();
        let meant: Vec<&Opening> = all.values().copied().filter(|opening| choice.means(opening)).collect();
        match meant.as_slice() {
            [opening] => Ok(PrintedPart::Opening { number: opening.number, name: opening.name.clone() }),
            [] => {
                let listed = OpeningChoice::listed(all.values().copied());
                Err(format!(
                    "there is no {choice}; the openings of this mat are {listed}, and `corners` prints all corners"
                ))
            }
            several => {
                let listed = OpeningChoice::listed(several.iter().copied());
                Err(format!("{} openings have that name: {listed}; give the number of one of them", several.len()))
            }
        }
    }

    /// Lays out every view of every board.
    fn files_within(&self, mat: &Mat, stem: &str, outcome: &mut JobOutcome) -> Vec<PrintedFile> {
        within(|| self.files(mat, stem, outcome)).unwrap_or_else(|message| {
            outcome.fail(&message);
            Vec::new()
        })
    }

    fn files(&self, mat: &Mat, stem: &str, outcome: &mut JobOutcome) -> Vec<PrintedFile> {
        let only = match self.only(mat) {
            Ok(only) => only,
            Err(message) => {
                outcome.fail(&format!("{stem}: {message}"));
                return Vec::new();
            }
        };
        let tiling = Tiling { ruler: mat.ruler, only, ..self.tiling.clone() };
        let several = mat.layers.len() > 1;
        let mut files = Vec::new();
        let mut shown = false;
        for (index, layer) in mat.layers.iter().enumerate() {
            for view in self.views.iter().filter(|view| view.applies(layer)) {
                shown = true;
                let board = if several { format!("-{}-{}", index + 1, file_name(&layer.name)) } else { String::new() };
                let stem = format!("{stem}{board}-{}-{}", view.name, file_name(&tiling.paper.to_string()));
                match tiling.lay_out(&view.draw(mat, layer)) {
                    Ok(tiled) => self.add_files(&tiled, &stem, &mut files, outcome),
                    Err(error) => outcome.fail(&format!("{stem}: {error}")),
                }
            }
        }
        if !shown {
            outcome.fail("this view shows nothing for any board, so there is nothing to print");
        }
        files
    }

    fn add_files(&self, tiled: &Tiled, stem: &str, files: &mut Vec<PrintedFile>, outcome: &mut JobOutcome) {
        let format = self.args.format.0;
        let written = match format.write_tiles(tiled, &self.options) {
            Ok(written) => written,
            Err(error) => return outcome.fail(&format!("{stem}: {error}")),
        };
        if self.args.verbose {
            outcome.report += &format!("{stem}: {}\n", describe(tiled));
        }
        if self.args.json {
            let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
            let line = serde_json::to_string(&PrintData::new(stem, tiled)).certain("JSON of these pages");
            lines.insert(stem.to_owned(), line + "\n");
        }
        for (name, file) in numbered(stem, format.facts().name, written) {
            outcome.notes.extend(file.notes.into_iter().map(|note| (name.clone(), note)));
            files.push(PrintedFile { path: name.into(), bytes: file.bytes });
        }
    }
}

/// Says how many pages there are.
fn describe(tiled: &Tiled) -> String {
    let [width, height] = [tiled.page.width, tiled.page.height].map(length::exact_mm);
    let (pages, tiles) = (tiled.pages.len(), tiled.rows * tiled.columns);
    let blank = if pages < tiles { format!(", {} blank ones left out", tiles - pages) } else { String::new() };
    if tiles == 1 {
        return format!("one page of {width} × {height}");
    }
    format!("{pages} pages of {width} × {height}; {} down, {} across{blank}", tiled.rows, tiled.columns)
}

/// Works out a job and reports its problems.
fn resolve(input: &Input, outcome: &mut JobOutcome) -> Option<Mat> {
    let job = match &input.job {
        Ok(job) => job,
        Err(unreadable) => {
            outcome.report = format!("{}\n", unreadable.report);
            outcome.exit = Exit::JobWrong;
            return None;
        }
    };
    let resolved = resolved(job);
    outcome.report = input.report(&resolved.problems);
    let sound = resolved.sound().is_some();
    if !sound {
        outcome.exit = Exit::JobWrong;
    }
    resolved.value.filter(|_| sound)
}
