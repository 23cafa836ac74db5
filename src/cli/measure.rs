//! `backline measure`: what is drawn in files, and how far that is from what a job asks.

use std::io::Read;
use std::path::Path;

use crate::checked::Problems;
use crate::formats;
use crate::formats::reading::ReadDrawing;
use crate::mat::{Layer, Mat};
use crate::measure::{Comparison, ExpectedContent, ExpectedFile, Found, Wanted};
use crate::view::{VIEWS, View};

use super::bounds::{limits, resolved, within};
use super::drawn_pages;
use super::exit::Exit;
use super::input::Input;
use super::json;
use super::machine_profiles::ChosenMachine;
use super::measure_args::MeasureArgs;
use super::output::to_stdout;
use super::paths::is_stdio;
use super::say;

/// Said of files that are not what the job asks.
const MAY_BE_FOR_A_MACHINE: &str = "a file for a machine has lead-ins, and the side, the tools and the place \
    that its profile says; if this is one, name the machine with --machine";

/// A drawing or a program that a file may be.
struct ExpectedOutput {
    /// Name of the view or of the machine.
    name: String,
    is_machine: bool,
    /// Name of the board, if there are several.
    board: String,
    wanted: Wanted,
}

/// Files for cutters that also draw hold the views of this name together.
const PEN_AND_CUT: [&str; 2] = ["pen", "cut-face"];

pub(super) fn run(args: &MeasureArgs) -> Exit {
    let candidates = args.against.as_deref().map(|job| {
        within(|| candidates(job, args)).unwrap_or_else(|message| Err((format!("error: {message}"), Exit::JobWrong)))
    });
    let candidates = match candidates.transpose() {
        Ok(candidates) => candidates,
        // Nothing is left to say if the machine was at fault.
        Err((message, exit)) if message.is_empty() => return exit,
        Err((message, exit)) => {
            say::line(message.trim_end());
            return exit;
        }
    };
    if args.picture.is_some() && args.files.len() > 1 {
        say::error!("--picture shows one file; give one");
        return Exit::Usage;
    }
    let mut exit = Exit::Good;
    let mut all = Vec::with_capacity(args.files.len());
    let mut wrong: Vec<String> = Vec::new();
    for path in &args.files {
        let name = path.display().to_string();
        let compared = |reading: ReadDrawing| {
            let best = candidates.as_ref().map(|candidates| best(candidates, &reading, args.within));
            (Found::new(&name, &reading), best, reading)
        };
        match within(|| read(path, args).map(compared)).flatten() {
            Ok((mut found, best, reading)) => {
                let mut is_whole = reading.is_whole();
                if let (Some((candidate, comparison)), Some(job)) = (best, &args.against) {
                    if !comparison.as_ref().is_some_and(|comparison| comparison.agrees(args.within)) {
                        exit = Exit::JobWrong;
                        wrong.push(name.clone());
                    }
                    // What lines of a profile's own do is not known, and compared with the profile.
                    is_whole |= comparison.as_ref().is_some_and(|comparison| comparison.run.is_some());
                    if let Some(path) = &args.picture {
                        exit = exit.max(picture(path, candidate, comparison.as_ref(), &reading, args));
                    }
                    let job = job.display().to_string();
                    let (what, board) = candidate.map_or((ExpectedContent::View(""), ""), ExpectedOutput::describe);
                    found = found.with(ExpectedFile { job: &job, what, board }, comparison.as_ref(), args.within);
                }
                if !is_whole {
                    exit = Exit::JobWrong;
                }
                all.push(found);
            }
            Err(reason) => {
                say::error!("{name}: {reason}");
                exit = Exit::JobWrong;
            }
        }
    }
    if !wrong.is_empty() && args.machine.is_none() {
        say::note!("{}: {MAY_BE_FOR_A_MACHINE}", wrong.join(", "));
    }
    let printed = if args.json {
        json::one_or_all(&all, args.files.len() == 1)
    } else {
        all.iter().map(Found::describe).collect()
    };
    exit.max(to_stdout(printed.as_bytes()))
}

/// Draws a file over what it comes nearest to.
fn picture(
    path: &Path,
    candidate: Option<&ExpectedOutput>,
    comparison: Option<&Comparison>,
    reading: &ReadDrawing,
    args: &MeasureArgs,
) -> Exit {
    let (Some(candidate), Some(comparison)) = (candidate, comparison) else {
        say::error!("the file lies in no way on what the job asks for, so that there is no picture of both");
        return Exit::JobWrong;
    };
    let verdict = if comparison.agrees(args.within) { "agrees" } else { "DOES NOT AGREE" };
    let largest = comparison.largest();
    let off = if largest.is_finite() { format!("{largest:.3} mm") } else { "nothing to compare".to_owned() };
    let words = format!("{}: {verdict}, largest deviation {off}", candidate.name);
    drawn_pages::write(path, &[candidate.wanted.picture(reading, comparison, args.within, &[words])], args.force)
}

fn read(path: &Path, args: &MeasureArgs) -> Result<ReadDrawing, String> {
    let source: std::io::Result<Box<dyn Read>> = if is_stdio(path) {
        Ok(Box::new(std::io::stdin()))
    } else {
        std::fs::File::open(path).map(|file| Box::new(file) as Box<dyn Read>)
    };
    let mut bytes = Vec::new();
    let largest = u64::try_from(limits().file).unwrap_or(u64::MAX);
    source
        .and_then(|source| source.take(largest.saturating_add(1)).read_to_end(&mut bytes))
        .map_err(|error| format!("cannot read the file: {error}"))?;
    if bytes.len() as u64 > largest {
        let most = largest >> 20;
        return Err(format!(
            "the file is larger than the allowed {most} MiB; allow more with --limits if you trust it"
        ));
    }
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    formats::read(&bytes, &ending, args.unit).map_err(|error| error.to_string())
}

/// Works out the job and draws every board and view that a file may be.
fn candidates(job: &Path, args: &MeasureArgs) -> Result<Vec<ExpectedOutput>, (String, Exit)> {
    let input = Input::read(job);
    let resolved = match &input.job {
        Ok(job) => resolved(job),
        Err(unreadable) => return Err((unreadable.report.clone(), Exit::JobWrong)),
    };
    let Some(mat) = resolved.sound() else {
        return Err((input.report(&resolved.problems), Exit::JobWrong));
    };
    let boards = || {
        let is_asked = |index: usize| args.board.is_none_or(|board| board.get() == index + 1);
        mat.layers.iter().enumerate().filter(move |(index, _)| is_asked(*index)).map(|(_, layer)| layer)
    };
    let candidates: Vec<ExpectedOutput> = match &args.machine {
        None => boards().flat_map(|layer| drawings(mat, layer, args)).collect(),
        Some(name) => {
            let machine = ChosenMachine::all(std::slice::from_ref(name), args.machine_folder.as_deref())
                .map_err(|exit| (String::new(), exit))?;
            let programs = boards().flat_map(|layer| machine.iter().map(move |chosen| program(mat, layer, chosen)));
            let programs: Result<Vec<_>, Problems> = programs.collect();
            let report = |problems: Problems| (input.report(&problems.0), Exit::JobWrong);
            programs.map_err(report)?.into_iter().flatten().collect()
        }
    };
    if candidates.is_empty() {
        let job = job.display();
        let message = match &args.machine {
            None => format!("error: {job} has no such board, or it shows nothing in that view"),
            Some(machine) => format!("error: {job} has no such board, or {machine} has nothing to do on it"),
        };
        return Err((message, Exit::Usage));
    }
    Ok(candidates)
}

impl ExpectedOutput {
    fn new(mat: &Mat, layer: &Layer, name: &str, wanted: Wanted) -> Self {
        let board = if mat.layers.len() > 1 { layer.name.clone() } else { String::new() };
        Self { name: name.to_owned(), is_machine: false, board, wanted: wanted.named(mat) }
    }

    fn describe(&self) -> (ExpectedContent<'_>, &str) {
        let what =
            if self.is_machine { ExpectedContent::Machine(&self.name) } else { ExpectedContent::View(&self.name) };
        (what, &self.board)
    }
}

/// Lists the views of a board that a file may be.
fn drawings(mat: &Mat, layer: &Layer, args: &MeasureArgs) -> Vec<ExpectedOutput> {
    // Files for machines first: most files are.
    let order = |view: &&View| (!view.name.starts_with("cut"), view.name == "face");
    let mut views: Vec<&View> = VIEWS.iter().filter(|view| view.applies(layer)).collect();
    views.sort_by_key(order);
    let is_asked = |view: &View| {
        args.view.is_empty() || args.view.iter().any(|name| name == view.name || name == super::values::ALL)
    };
    let mut candidates: Vec<ExpectedOutput> = views
        .iter()
        .filter(|view| is_asked(view))
        .map(|view| ExpectedOutput::new(mat, layer, view.name, Wanted::new(&view.draw(mat, layer))))
        .collect();
    let together: Vec<&&View> =
        views.iter().filter(|view| PEN_AND_CUT.contains(&view.name) && is_asked(view)).collect();
    if together.len() == PEN_AND_CUT.len() {
        let drawings: Vec<_> = together.iter().map(|view| view.draw(mat, layer)).collect();
        candidates.push(ExpectedOutput::new(mat, layer, &PEN_AND_CUT.join(" and "), Wanted::of_drawings(&drawings)));
    }
    candidates
}

/// Plans what a machine does with a board; `None` if it is nothing.
fn program(mat: &Mat, layer: &Layer, chosen: &ChosenMachine) -> Result<Option<ExpectedOutput>, Problems> {
    let program = chosen.machine.plan(mat, layer).into_result()?;
    let wanted = (!program.passes.is_empty()).then(|| Wanted::of_program(&program));
    let candidate =
        |wanted| ExpectedOutput { is_machine: true, ..ExpectedOutput::new(mat, layer, &chosen.machine.name, wanted) };
    Ok(wanted.map(candidate))
}

/// Returns the drawing that a file comes nearest to.
fn best<'c>(
    candidates: &'c [ExpectedOutput],
    reading: &ReadDrawing,
    within: f64,
) -> (Option<&'c ExpectedOutput>, Option<Comparison>) {
    let mut best: (Option<&ExpectedOutput>, Option<Comparison>) = (candidates.first(), None);
    for candidate in candidates {
        let Some(mut comparison) = candidate.wanted.compare_fitted(reading) else {
            continue;
        };
        comparison.run = candidate.wanted.compare_run(reading, &comparison, within);
        if comparison.agrees(within) {
            return (Some(candidate), Some(comparison));
        }
        // A drawing of true size that is not mirrored is likelier meant than one that is.
        let rank = |comparison: &Comparison| comparison.largest() + if comparison.fit.mirrored { within } else { 0.0 };
        if best.1.as_ref().is_none_or(|best| rank(&comparison) < rank(best)) {
            best = (Some(candidate), Some(comparison));
        }
    }
    best
}
