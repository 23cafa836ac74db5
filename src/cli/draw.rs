//! `backline draw`: every board of every job, in every view and format asked for.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use crate::mat::Mat;

use super::args::DrawArgs;
use super::batch::{self, JobOutcome};
use super::draw_plan::{DrawPlan, Read};
use super::drawn_file::{DrawnFile, FileSubject};
use super::exit::Exit;
use super::input::Input;
use super::interrupt;
use super::manifest::{Manifest, ManifestEntry};
use super::nest;
use super::output::{Single, is_single, single_name};
use super::paths::is_stdio;
use super::requests::{JobRequest, Requests};
use super::say;
use super::verify::verify;

/// Said of a job none of whose boards has anything that the views show.
const NOTHING_TO_DRAW: &str = "this view shows nothing for any board, so there is nothing to draw";

pub(super) fn run(args: &DrawArgs) -> Exit {
    match draw(args, |path| std::fs::read(path)) {
        Ok(exit) => exit,
        // Already reported.
        Err((message, exit)) if message.is_empty() => exit,
        Err((message, exit)) => {
            say::error!("{message}");
            exit
        }
    }
}

fn draw(args: &DrawArgs, read: Read) -> Result<Exit, (String, Exit)> {
    let requests = Requests::new(&args.jobs, args.lines, Some(&args.output));
    let requests = if args.file_names.is_some() { requests.named_by_pattern() } else { requests };
    let same = || requests.same_names().map(|(first, second)| (first.to_owned(), second.to_owned()));
    if let Some((first, second)) = same().or_else(|| same_boards(&requests)) {
        let message = format!(
            "{first} and {second} would be drawn to files of the same name; rename one or draw them to different folders"
        );
        return Err((message, Exit::Usage));
    }
    if let Some(idle) = args.nest.idle() {
        return Err((
            format!("{idle} is only for mats side by side on sheets; add --nest, or leave it out"),
            Exit::Usage,
        ));
    }
    let mut plan = DrawPlan::new(args, read)?;
    if args.nest.nest {
        return nest::draw(&mut plan, requests);
    }
    if is_single(&args.output) {
        return plan.draw_one(requests);
    }
    plan.prepare(&args.output).map_err(|message| (message, Exit::JobWrong))?;
    if let Some(path) = &args.manifest {
        plan.manifest = Some(Manifest::open(path).map_err(|message| (message, Exit::JobWrong))?);
    }
    interrupt::heed();
    let (reports, lines) =
        batch::work(requests, args.jobs_at_once, plan.manifest.as_ref(), |request| plan.draw_job(request));
    if !args.verbose {
        reports.say_written(&args.output);
    }
    let exit = reports.finish(args.verbose);
    if let Some(manifest) = plan.manifest {
        manifest.finish(lines).map_err(|message| (message, Exit::JobWrong))?;
    }
    if interrupt::is_asked() {
        let on = if args.manifest.is_some() {
            "run the same command again to resume"
        } else {
            "the files written so far are complete; with --manifest the same command would resume from here"
        };
        return Err((format!("interrupted before all jobs were drawn; {on}"), Exit::JobWrong));
    }
    Ok(exit)
}

/// Returns two files of the command line of which one has a board whose drawings would have the names of the other: the board
/// `1-top` of `a`, and `a-1-top`.
fn same_boards(requests: &Requests) -> Option<(String, String)> {
    requests.alike().into_iter().find_map(|(longer, shorter)| {
        let input = Input::of(shorter);
        let resolved = input.job.as_ref().ok()?.resolve();
        let mat = resolved.value.as_ref()?;
        let stem = |part: String| format!("{}{part}", shorter.stem);
        let is_taken = mat.boards().any(|board| stem(board.file_part()).eq_ignore_ascii_case(&longer.stem));
        is_taken.then(|| (shorter.name.clone(), longer.name.clone()))
    })
}

impl DrawPlan<'_> {
    pub(super) fn draw_job(&self, request: &JobRequest) -> JobOutcome {
        let input = Input::of(request);
        let (stem, mut outcome) = match JobOutcome::begin(&self.names, &input, request, &self.args.output) {
            Ok(begun) => begun,
            Err(failed) => return *failed,
        };
        if let Some(manifest) = &self.manifest {
            let source = self.source(&input);
            let earlier = manifest.earlier(&outcome.entry.output);
            if let Some(done) = earlier.filter(|entry| entry.job == input.name && entry.is_done(&source)) {
                return JobOutcome { was_done: true, ..JobOutcome::new(done.clone()) };
            }
            outcome.entry.source = source;
        }
        let Some(mat) = self.resolve(&input, &mut outcome) else {
            return outcome;
        };
        if let Err(message) = self.names.claim_boards(&stem, mat.boards().map(|board| board.file_part())) {
            outcome.fail(&format!("{}: {message}", input.name));
            return outcome;
        }
        let files: Vec<DrawnFile<'_>> = self.files(&mat, &stem).collect();
        if files.is_empty() {
            outcome.report += &format!("note: {}: {NOTHING_TO_DRAW}\n", input.name);
            outcome.entry.notes.push(NOTHING_TO_DRAW.to_owned());
        }
        if let Some(written) = self.export(&files, &|problems| input.report(problems), &mut outcome) {
            let earlier = self.manifest.as_ref().and_then(|manifest| manifest.earlier(&outcome.entry.output));
            let is_own = |path: &Path| {
                earlier.is_some_and(|entry| entry.has_unaltered(path))
                    || self.own.as_ref().is_some_and(|own| own.has_unaltered(path))
            };
            self.write(&written, is_own, "job", &mut outcome);
            if self.args.verify && outcome.exit == Exit::Good {
                self.read_back(&written, &mut outcome);
            }
        }
        outcome.entry.drawn = outcome.exit == Exit::Good;
        outcome
    }

    /// Writes the one drawing that the command line asks for, to standard output or to a file that it names.
    fn draw_one(&self, mut requests: Requests) -> Result<Exit, (String, Exit)> {
        let single = single_name(&self.args.output);
        if self.args.manifest.is_some() {
            return Err((format!("a manifest lists the files in a folder, and {single} is not a folder"), Exit::Usage));
        }
        let (Some(request), None) = (requests.next(), requests.next()) else {
            return Err((format!("{single} can hold the drawing of only one job"), Exit::Usage));
        };
        let input = Input::of(&request);
        let mut outcome = JobOutcome::new(ManifestEntry::new(&input.name, Path::new(&request.stem)));
        if let Some(mat) = self.resolve(&input, &mut outcome) {
            let files: Vec<DrawnFile<'_>> = self.files(&mat, Path::new(&request.stem)).collect();
            if files.is_empty() {
                return Err((format!("{}: {NOTHING_TO_DRAW}", input.name), Exit::JobWrong));
            }
            if files.len() != 1 {
                let count = files.len();
                let message = format!(
                    "{single} is one file, but there are {count} drawings; choose one --view and one --format, or one --machine"
                );
                return Err((message, Exit::Usage));
            }
            let written = self.export(&files, &|problems| input.report(problems), &mut outcome).unwrap_or_default();
            for (file, bytes) in &written {
                self.deliver(file, bytes, &mut outcome)?;
            }
        }
        for (file, note) in &outcome.notes {
            let _ = writeln!(outcome.report, "note: {file}: {note}");
        }
        say::report(&outcome.report);
        Ok(outcome.exit)
    }

    /// Writes the only file to standard output, or under the name that was given, unless something was wrong.
    pub(super) fn deliver(
        &self,
        file: &DrawnFile<'_>,
        bytes: &[u8],
        outcome: &mut JobOutcome,
    ) -> Result<(), (String, Exit)> {
        let DrawArgs { output, force, verbose, .. } = self.args;
        // What is passed on cannot be read back.
        if self.args.verify && is_stdio(output) {
            verify(file, bytes, &self.options, outcome);
        }
        if outcome.exit != Exit::Good {
            return Ok(());
        }
        outcome.exit = Single { output, force: *force, verbose: *verbose }.write(&file.path, bytes)?;
        if self.args.verify && !is_stdio(output) {
            self.verify_at(file, output, outcome);
        }
        Ok(())
    }

    /// Lists the files of a job: board by board, view by view, format by format.
    fn files<'m>(&'m self, mat: &'m Mat, stem: &'m Path) -> impl Iterator<Item = DrawnFile<'m>> {
        mat.boards().flat_map(move |board| {
            let part = board.file_part();
            let path = move |end: &str| {
                let mut path = stem.as_os_str().to_owned();
                path.push(format!("{part}-{end}"));
                PathBuf::from(path)
            };
            self.files_of(FileSubject::Board(mat, board.layer()), path)
        })
    }
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use clap::Parser;
    use serde_json::Value;

    use super::{Exit, Read, draw};
    use crate::cli::args::{Args, Command};

    const JOB: &str = "unit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\n";

    /// Draws a job with `--verify` while its files are read in some way; returns the exit and what the manifest says.
    fn verified(words: &[&str], read: Read) -> (Exit, Vec<String>, Value) {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name).display().to_string();
        fs::write(at("harbour.toml"), JOB).unwrap();
        let (job, list) = (at("harbour.toml"), at("list.jsonl"));
        let always = ["backline", "draw", &job, "--verify", "--manifest", &list, "-o", &at("out")].map(str::to_owned);
        let words = always.into_iter().chain(words.iter().map(|word| (*word).to_owned()));
        let Command::Draw(args) = Args::try_parse_from(words).unwrap().command else {
            panic!("these are the words of `draw`")
        };
        let exit = draw(&args, read).unwrap_or_else(|(message, _)| panic!("{message}"));
        let entry: Value = serde_json::from_str(fs::read_to_string(&list).unwrap().trim()).unwrap();
        let notes = entry["notes"].as_array().into_iter().flatten();
        (exit, notes.map(|note| note.as_str().unwrap_or_default().to_owned()).collect(), entry["drawn"].clone())
    }

    fn sound(path: &Path) -> std::io::Result<Vec<u8>> {
        fs::read(path)
    }

    /// As if another program had moved a coordinate by some millimetres after the file was written.
    fn altered(path: &Path) -> std::io::Result<Vec<u8>> {
        if path.extension().is_some_and(|ending| ending == "pdf") {
            return fs::read(path);
        }
        let mut text = fs::read_to_string(path)?;
        let (number, other) = match path.extension().and_then(|ending| ending.to_str()) {
            // The right edge of the board, 406.4 mm: in SVG that of the path, not of the page.
            Some("svg") => ("L406.4 ", "L409.4 "),
            Some("plt") => ("16256,", "16376,"),
            // Lines of DXF end as the format asks, with two letters.
            _ => ("\r\n406.4\r\n", "\r\n409.4\r\n"),
        };
        assert!(text.contains(number), "{text}");
        text = text.replace(number, other);
        Ok(text.into_bytes())
    }

    /// As if the disk had been full.
    fn cut_off(path: &Path) -> std::io::Result<Vec<u8>> {
        let mut bytes = fs::read(path)?;
        bytes.truncate(bytes.len() * 2 / 3);
        Ok(bytes)
    }

    fn gone(_: &Path) -> std::io::Result<Vec<u8>> {
        Err(std::io::ErrorKind::NotFound.into())
    }

    const WAYS: [&[&str]; 4] = [
        &["--view", "cut", "--format", "svg"],
        &["--view", "cut", "--format", "dxf"],
        &["--view", "cut", "--format", "hpgl"],
        &["--machine", "vector-cutter"],
    ];

    #[test]
    fn a_file_that_is_not_what_was_drawn_fails() {
        for words in WAYS {
            assert_eq!(verified(words, sound), (Exit::Good, Vec::new(), true.into()), "{words:?}");
            let (exit, notes, drawn) = verified(words, altered);
            assert_eq!((exit, &drawn, notes.len()), (Exit::JobWrong, &false.into(), 1), "{words:?}: {notes:?}");
            let [drawing, program] = ["it is 3.0000 mm off at x ", "the edge is up to 3 mm out of place; "];
            let found = if words[0] == "--machine" { program } else { drawing };
            assert!(notes[0].contains("when read back, ") && notes[0].contains(found), "{notes:?}");
            assert!(notes[0].ends_with("do not use this file, and draw it again"), "{notes:?}");
            let (exit, notes, drawn) = verified(words, cut_off);
            assert_eq!((exit, drawn, notes.len()), (Exit::JobWrong, false.into(), 1), "{words:?}: {notes:?}");
            let (exit, notes, drawn) = verified(words, gone);
            assert_eq!((exit, drawn), (Exit::JobWrong, false.into()), "{words:?}");
            assert!(notes[0].starts_with("cannot read ") && notes[0].contains(" back: "), "{notes:?}");
        }
    }

    #[test]
    fn every_file_that_is_wrong_is_named() {
        let (exit, notes, _) = verified(&["--view", "cut", "--format", "svg,pdf,dxf,hpgl"], altered);
        let named =
            |ending: &str| notes.iter().filter(|note| note.contains(&format!("harbour-cut.{ending}: "))).count();
        assert_eq!(exit, Exit::JobWrong);
        // PDF is not read back, which is said.
        assert_eq!(["svg", "pdf", "dxf", "plt"].map(named), [1, 1, 1, 1], "{notes:?}");
    }
}
