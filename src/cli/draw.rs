//! `backline draw`: every board of every job, in every view and format asked for.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::export::{Exporter, FORMATS, Options, Source};
use crate::mat::Mat;
use crate::summary::ProblemSummary;
use crate::view::{VIEWS, View};

use super::args::{ALL, DrawArgs};
use super::batch::{self, Outcome};
use super::drawn_file::{Content, File};
use super::exit::Exit;
use super::input::{Input, is_stdio};
use super::machines::Chosen;
use super::manifest::{Drawn, Entry, Fingerprint, Manifest};
use super::output::{remove_left_over, to_stdout, write_whole};
use super::requests::{Request, Requests, file_name};
use super::verify::verify;

/// Said of a job none of whose boards has anything that the views show.
const NOTHING_TO_DRAW: &str = "no board has anything that this view shows, so there is nothing to draw";

/// What is to be drawn and where it goes.
struct Plan<'a> {
    args: &'a DrawArgs,
    views: Vec<&'static View>,
    formats: Vec<&'static dyn Exporter>,
    machines: Vec<Chosen>,
    options: Options,
    manifest: Option<Manifest>,
    /// What all drawings depend on, whatever the job.
    common: Fingerprint,
    /// The folders that are there and have been tidied up.
    prepared: Mutex<BTreeSet<PathBuf>>,
    /// How files are read that are verified.
    read: Read,
}

/// Reads a file.
type Read = fn(&Path) -> std::io::Result<Vec<u8>>;

pub(super) fn run(args: &DrawArgs) -> Exit {
    match draw(args, |path| std::fs::read(path)) {
        Ok(exit) => exit,
        // Already reported.
        Err((message, exit)) if message.is_empty() => exit,
        Err((message, exit)) => {
            anstream::eprintln!("error: {message}");
            exit
        }
    }
}

fn draw(args: &DrawArgs, read: Read) -> Result<Exit, (String, Exit)> {
    let requests = Requests::new(&args.jobs, args.lines, Some(&args.output));
    if let Some((first, second)) = requests.same_names() {
        let message = format!(
            "{first} and {second} would be drawn to files of the same name; rename one or draw them to different folders"
        );
        return Err((message, Exit::Usage));
    }
    let mut plan = Plan::new(args, read)?;
    if is_stdio(&args.output) {
        return plan.draw_to_stdout(requests);
    }
    plan.prepare(&args.output).map_err(|message| (message, Exit::JobWrong))?;
    if let Some(path) = &args.manifest {
        plan.manifest = Some(Manifest::open(path).map_err(|message| (message, Exit::JobWrong))?);
    }
    let (reports, lines) =
        batch::work(requests, args.jobs_at_once, plan.manifest.as_ref(), |request| plan.draw_job(request));
    let exit = reports.finish(args.verbose);
    if let Some(manifest) = plan.manifest {
        manifest.finish(lines).map_err(|message| (message, Exit::JobWrong))?;
    }
    Ok(exit)
}

impl<'a> Plan<'a> {
    fn new(args: &'a DrawArgs, read: Read) -> Result<Self, (String, Exit)> {
        let font = match &args.font {
            Some(path) => {
                let unreadable = |error| (format!("cannot read the font {}: {error}", path.display()), Exit::JobWrong);
                Some(std::fs::read(path).map_err(unreadable)?.into())
            }
            None => None,
        };
        let machines =
            Chosen::all(&args.machine, args.machine_folder.as_deref()).map_err(|exit| (String::new(), exit))?;
        // The file of a machine stands in for the drawings.
        let draws = args.machine.is_empty();
        let wanted = |words: &[String], name: &str| draws && words.iter().any(|word| word == name || word == ALL);
        let mut plan = Self {
            args,
            views: VIEWS.iter().filter(|view| wanted(&args.view, view.name)).collect(),
            formats: FORMATS.iter().copied().filter(|format| wanted(&args.format, format.name())).collect(),
            machines,
            options: Options { tolerance: args.tolerance, unit: args.unit, font: None },
            manifest: None,
            common: Fingerprint::default(),
            prepared: Mutex::default(),
            read,
        };
        plan.common.add(env!("CARGO_PKG_VERSION"));
        plan.common.add(format!("{:?} {:?}", plan.options, args.quantity));
        plan.common.add(plan.views.iter().map(|view| view.name).collect::<Vec<_>>().join(","));
        plan.common.add(plan.formats.iter().map(|format| format.name()).collect::<Vec<_>>().join(","));
        plan.common
            .add(plan.machines.iter().map(|chosen| format!("{:?}", chosen.machine)).collect::<Vec<_>>().join(","));
        if args.verify {
            // What was drawn without is read back now.
            plan.common.add("verified");
        }
        plan.common.add(font.as_deref().unwrap_or_default());
        plan.options.font = font;
        Ok(plan)
    }

    /// Makes a folder if it is not there, and clears away what a run that was killed left half done in it.
    fn prepare(&self, folder: &Path) -> Result<(), String> {
        let mut prepared = self.prepared.lock().unwrap_or_else(PoisonError::into_inner);
        if !prepared.contains(folder) {
            std::fs::create_dir_all(folder)
                .map_err(|error| format!("cannot make the folder {}: {error}", folder.display()))?;
            remove_left_over(folder);
            prepared.insert(folder.to_owned());
        }
        Ok(())
    }

    fn draw_job(&self, request: &Request) -> Outcome {
        let input = Input::of(request);
        let stem = self.args.output.join(&request.folder).join(&request.stem);
        let mut outcome = Outcome::new(Entry::new(&input.name, &stem));
        if let Some(manifest) = &self.manifest {
            let source = self.source(&input);
            let earlier = manifest.earlier(&outcome.entry.output);
            if let Some(done) = earlier.filter(|entry| entry.job == input.name && entry.is_done(&source)) {
                return Outcome { was_done: true, ..Outcome::new(done.clone()) };
            }
            outcome.entry.source = source;
        }
        let Some(mat) = self.resolve(&input, &mut outcome) else {
            return outcome;
        };
        let files: Vec<File<'_>> = self.files(&mat, &stem).collect();
        if files.is_empty() {
            outcome.report += &format!("note: {}: {NOTHING_TO_DRAW}\n", input.name);
            outcome.entry.notes.push(NOTHING_TO_DRAW.to_owned());
        }
        if let Some(written) = self.export(&files, &mat, &input, &mut outcome) {
            self.write(&written, &mut outcome);
            if self.args.verify && outcome.exit == Exit::Good {
                self.read_back(&written, &mat, &mut outcome);
            }
        }
        outcome.entry.drawn = outcome.exit == Exit::Good;
        outcome
    }

    /// Brings the files of a job to their places: all of them, or none if a place is taken by another file.
    fn write(&self, written: &[(&File<'_>, Vec<u8>)], outcome: &mut Outcome) {
        let earlier = self.manifest.as_ref().and_then(|manifest| manifest.earlier(&outcome.entry.output));
        // What this program wrote for this job and nobody has touched since may be replaced.
        let is_own = |path: &Path| {
            let mut own = earlier.iter().flat_map(|entry| &entry.files);
            own.any(|drawn| Path::new(&drawn.path) == path && drawn.is_unaltered())
        };
        let mut to_write = Vec::with_capacity(written.len());
        for (file, bytes) in written {
            let path = &file.path;
            let is_there = path.exists();
            if is_there && std::fs::read(path).is_ok_and(|found| found == *bytes) {
                continue;
            }
            let replace = self.args.force || (is_there && is_own(path));
            if is_there && !replace {
                outcome.fail(&format!(
                    "{} exists; nothing of this job was written. Use --force to replace files",
                    path.display()
                ));
                return;
            }
            to_write.push((path, bytes, replace));
        }
        if let Some(folder) = written.first().and_then(|(file, _)| file.path.parent())
            && let Err(message) = self.prepare(folder)
        {
            outcome.fail(&message);
            return;
        }
        for (path, bytes, replace) in to_write {
            if let Err(error) = write_whole(path, bytes, replace) {
                outcome.fail(&format!("cannot write {}: {error}", path.display()));
            }
        }
        for (file, bytes) in written {
            if self.args.verbose && outcome.exit == Exit::Good {
                outcome.report += &format!("{}\n", file.path.display());
            }
            if self.manifest.is_some() {
                outcome.entry.files.push(Drawn::new(&file.path, bytes));
            }
        }
    }

    /// Verifies files as they are in their places.
    fn read_back(&self, written: &[(&File<'_>, Vec<u8>)], mat: &Mat, outcome: &mut Outcome) {
        for (file, _) in written {
            match (self.read)(&file.path) {
                Ok(bytes) => verify(file, &bytes, mat, &self.options, outcome),
                Err(error) => outcome.fail(&format!("cannot read {} back: {error}", file.path.display())),
            }
        }
    }

    /// Returns what tells whether a job has to be drawn again.
    fn source(&self, input: &Input) -> String {
        let mut source = self.common.clone();
        source.add(input.text());
        source.add(input.job.as_ref().map_or("", |job| job.name.as_str()));
        for (name, read) in &input.beside {
            source.add(name);
            source.add(read.as_ref().map_or_else(String::as_bytes, Vec::as_slice));
        }
        source.finish()
    }

    /// Writes the one drawing that the command line asks for.
    fn draw_to_stdout(&self, mut requests: Requests) -> Result<Exit, (String, Exit)> {
        if self.args.manifest.is_some() {
            return Err(("a manifest lists files, and standard output is none".to_owned(), Exit::Usage));
        }
        let (Some(request), None) = (requests.next(), requests.next()) else {
            return Err(("standard output takes the drawing of a single job".to_owned(), Exit::Usage));
        };
        let input = Input::of(&request);
        let mut outcome = Outcome::new(Entry::new(&input.name, Path::new(&request.stem)));
        let mut exit = Exit::Good;
        if let Some(mat) = self.resolve(&input, &mut outcome) {
            let files: Vec<File<'_>> = self.files(&mat, Path::new(&request.stem)).collect();
            if files.is_empty() {
                return Err((format!("{}: {NOTHING_TO_DRAW}", input.name), Exit::JobWrong));
            }
            if files.len() != 1 {
                let count = files.len();
                let message = format!(
                    "standard output takes one drawing, but these are {count}; choose one --view and one --format, or one --machine"
                );
                return Err((message, Exit::Usage));
            }
            let written = self.export(&files, &mat, &input, &mut outcome).unwrap_or_default();
            if self.args.verify {
                written.iter().for_each(|(file, bytes)| verify(file, bytes, &mat, &self.options, &mut outcome));
            }
            // What is wrong is not passed on.
            let good = written.iter().filter(|_| outcome.exit == Exit::Good);
            exit = good.map(|(_, bytes)| to_stdout(bytes)).max().unwrap_or(Exit::Good);
        }
        for (file, note) in &outcome.notes {
            let _ = writeln!(outcome.report, "note: {file}: {note}");
        }
        anstream::eprint!("{}", outcome.report);
        Ok(outcome.exit.max(exit))
    }

    /// Works out a job and reports its problems.
    fn resolve(&self, input: &Input, outcome: &mut Outcome) -> Option<Mat> {
        let job = match &input.job {
            Ok(job) => job,
            Err(unreadable) => {
                outcome.report = format!("{}\n", unreadable.report);
                outcome.entry.problems = vec![ProblemSummary::new(&unreadable.problem)];
                outcome.exit = Exit::JobWrong;
                return None;
            }
        };
        let mut resolved = job.resolve();
        outcome.report = input.report(&resolved.problems);
        outcome.entry.problems = resolved.problems.iter().map(ProblemSummary::new).collect();
        let sound = resolved.sound().is_some();
        if !sound {
            outcome.exit = Exit::JobWrong;
        }
        if let (Some(mat), Some(quantity)) = (&mut resolved.mat, self.args.quantity) {
            mat.quantity = quantity;
        }
        outcome.entry.quantity = resolved.mat.as_ref().map_or(1, |mat| mat.quantity);
        resolved.mat.filter(|_| sound)
    }

    /// Lists the files of a job: board by board, view by view, format by format.
    fn files<'m>(&'m self, mat: &'m Mat, stem: &'m Path) -> impl Iterator<Item = File<'m>> {
        let several = mat.layers.len() > 1;
        mat.layers.iter().enumerate().flat_map(move |(index, layer)| {
            let board = if several { format!("-{}-{}", index + 1, file_name(&layer.name)) } else { String::new() };
            let path = move |end: &str| {
                let mut path = stem.as_os_str().to_owned();
                path.push(format!("{board}-{end}"));
                PathBuf::from(path)
            };
            let at = path.clone();
            // A view that shows nothing of a board gets no file.
            let drawings = self.views.iter().filter(|view| view.applies(layer)).flat_map(move |view| {
                let at = at.clone();
                self.formats.iter().map(move |format| {
                    let path = at(&format!("{}.{}", view.name, format.extension()));
                    File { path, layer, content: Content::Drawing(view, *format) }
                })
            });
            let programs = self.machines.iter().map(move |chosen| File {
                path: path(&chosen.file_end()),
                layer,
                content: Content::Program(chosen),
            });
            drawings.chain(programs)
        })
    }

    /// Works out the bytes of all files of a job; `None` if one of them cannot be written in its format.
    fn export<'f>(
        &self,
        files: &'f [File<'f>],
        mat: &Mat,
        input: &Input,
        outcome: &mut Outcome,
    ) -> Option<Vec<(&'f File<'f>, Vec<u8>)>> {
        let mut written = Vec::with_capacity(files.len());
        // The files of one view of one board lie side by side and share its drawing.
        for same in files.chunk_by(File::shares_drawing) {
            let Some(first) = same.first() else { continue };
            match first.content {
                Content::Program(chosen) => {
                    let program = self.program(first, chosen, mat, input, outcome);
                    written.extend(program.map(|bytes| (first, bytes)));
                }
                Content::Drawing(view, _) => {
                    let drawing = view.draw(mat, first.layer);
                    let source = Source::new(&drawing, &self.options);
                    for file in same {
                        let Content::Drawing(_, format) = file.content else { continue };
                        let exported = format.export(&source).map_err(|error| error.to_string());
                        written.extend(file.take(exported, outcome).map(|bytes| (file, bytes)));
                    }
                }
            }
        }
        (outcome.exit == Exit::Good).then_some(written)
    }

    /// Works out the file of a machine; `None` if it has nothing to do with the board, or cannot do it.
    fn program(
        &self,
        file: &File<'_>,
        chosen: &Chosen,
        mat: &Mat,
        input: &Input,
        outcome: &mut Outcome,
    ) -> Option<Vec<u8>> {
        let planned = chosen.machine.plan(mat, file.layer);
        outcome.report += &input.report(&planned.problems);
        outcome.entry.problems.extend(planned.problems.iter().map(ProblemSummary::new));
        let Some(program) = planned.program else {
            outcome.exit = Exit::JobWrong;
            return None;
        };
        if program.passes.is_empty() {
            let note = format!("{} has no work on this board, so there is no file", chosen.machine.name);
            outcome.entry.notes.push(note.clone());
            outcome.notes.push((file.path.display().to_string(), note));
            return None;
        }
        if self.args.verbose {
            let travel = program.travel;
            outcome.report += &format!(
                "{}: {} strokes; {:.0} mm of travel between them, at least {:.0} mm in any order\n",
                file.path.display(),
                program.passes.iter().map(|pass| pass.strokes.len()).sum::<usize>(),
                travel.length,
                travel.lower_bound
            );
        }
        file.take(chosen.write(&program), outcome)
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
            assert!(notes[0].contains("read back, it is 3.0000 mm off at x "), "{notes:?}");
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
