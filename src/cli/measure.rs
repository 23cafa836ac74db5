//! `backline measure`: what is drawn in files, and how far that is from what a job asks.

use std::io::Read;
use std::path::Path;

use crate::mat::{Layer, Mat};
use crate::measure::{self, Comparison, Found, Reading, Wanted};
use crate::view::{VIEWS, View};

use super::args::MeasureArgs;
use super::exit::Exit;
use super::input::{Input, is_stdio};
use super::output::to_stdout;

/// Larger files than this many bytes are not read.
const LARGEST_FILE: u64 = 256 << 20;

/// A drawing that a file may be.
struct Candidate {
    view: &'static str,
    /// Name of the board, if there are several.
    board: String,
    wanted: Wanted,
}

pub(super) fn run(args: &MeasureArgs) -> Exit {
    let candidates = match args.against.as_deref().map(|job| candidates(job, args)).transpose() {
        Ok(candidates) => candidates,
        Err((message, exit)) => {
            anstream::eprintln!("{}", message.trim_end());
            return exit;
        }
    };
    let mut exit = Exit::Good;
    let mut all = Vec::with_capacity(args.files.len());
    for path in &args.files {
        let name = path.display().to_string();
        match read(path, args) {
            Ok(reading) => {
                let mut found = Found::new(&name, &reading);
                if let (Some(candidates), Some(job)) = (&candidates, &args.against) {
                    let (candidate, comparison) = best(candidates, &reading, args.within);
                    if !comparison.as_ref().is_some_and(|comparison| comparison.agrees(args.within)) {
                        exit = Exit::JobWrong;
                    }
                    let (view, board) = candidate.map_or(("", ""), |candidate| (candidate.view, &candidate.board));
                    found = found.with([&job.display().to_string(), view, board], comparison.as_ref(), args.within);
                }
                all.push(found);
            }
            Err(reason) => {
                anstream::eprintln!("error: {name}: {reason}");
                exit = Exit::JobWrong;
            }
        }
    }
    let printed = if args.json { json(&all, args.files.len() == 1) } else { all.iter().map(Found::describe).collect() };
    exit.max(to_stdout(printed.as_bytes()))
}

fn read(path: &Path, args: &MeasureArgs) -> Result<Reading, String> {
    let source: std::io::Result<Box<dyn Read>> = if is_stdio(path) {
        Ok(Box::new(std::io::stdin()))
    } else {
        std::fs::File::open(path).map(|file| Box::new(file) as Box<dyn Read>)
    };
    let mut bytes = Vec::new();
    // One byte too many tells the library that the file is too large.
    source
        .and_then(|source| source.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        .map_err(|error| format!("cannot read the file: {error}"))?;
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    measure::read(&bytes, &ending, args.unit).map_err(|error| error.to_string())
}

/// Works out the job and draws every board and view that a file may be.
fn candidates(job: &Path, args: &MeasureArgs) -> Result<Vec<Candidate>, (String, Exit)> {
    let input = Input::read(job);
    let resolved = match &input.job {
        Ok(job) => job.resolve(),
        Err(unreadable) => return Err((unreadable.report.clone(), Exit::JobWrong)),
    };
    let Some(mat) = resolved.sound() else {
        return Err((input.report(&resolved.problems), Exit::JobWrong));
    };
    let mut candidates = Vec::new();
    for (index, layer) in mat.layers.iter().enumerate() {
        if args.board.is_some_and(|board| board.get() != index + 1) {
            continue;
        }
        // Files for machines first: most files are.
        let order = |view: &&View| (!view.name.starts_with("cut"), view.name == "face");
        let mut views: Vec<&View> = VIEWS.iter().filter(|view| view.applies(layer)).collect();
        views.sort_by_key(order);
        let wanted = |view: &View| {
            args.view.is_empty() || args.view.iter().any(|name| name == view.name || name == super::args::ALL)
        };
        candidates.extend(views.into_iter().filter(|view| wanted(view)).map(|view| candidate(mat, layer, view)));
    }
    if candidates.is_empty() {
        let message = format!("error: {} has no such board, or it shows nothing in that view", job.display());
        return Err((message, Exit::Usage));
    }
    Ok(candidates)
}

fn candidate(mat: &Mat, layer: &Layer, view: &View) -> Candidate {
    let board = if mat.layers.len() > 1 { layer.name.clone() } else { String::new() };
    Candidate { view: view.name, board, wanted: Wanted::new(&view.draw(mat, layer)) }
}

/// Returns the drawing that a file comes nearest to.
fn best<'c>(
    candidates: &'c [Candidate],
    reading: &Reading,
    within: f64,
) -> (Option<&'c Candidate>, Option<Comparison>) {
    let mut best: (Option<&Candidate>, Option<Comparison>) = (candidates.first(), None);
    for candidate in candidates {
        let Some(comparison) = candidate.wanted.compare_fitted(reading) else {
            continue;
        };
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

/// One object for a file, an array for several.
fn json(all: &[Found], one: bool) -> String {
    let text = match all {
        [found] if one => serde_json::to_string_pretty(found),
        all => serde_json::to_string_pretty(all),
    };
    text.map(|text| text + "\n").unwrap_or_default()
}
