//! What `draw` is asked for, and how its files come to their places.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::formats::{Exporter, Options, Source, drawing_formats};
use crate::job::FoundProblem;
use crate::mat::Mat;
use crate::problem::Problem;
use crate::view::{VIEWS, View};

use super::args::DrawArgs;
use super::batch::Outcome;
use super::drawn_file::{Content, File, Subject};
use super::exit::Exit;
use super::input::Input;
use super::machines::Chosen;
use super::manifest::{Drawn, Fingerprint, Manifest};
use super::output::{ends_with, is_file, remove_left_over, write_whole};
use super::values::ALL;
use super::verify::verify;

/// What is to be drawn and where it goes.
pub(super) struct Plan<'a> {
    pub(super) args: &'a DrawArgs,
    pub(super) views: Vec<&'static View>,
    pub(super) formats: Vec<&'static dyn Exporter>,
    pub(super) machines: Vec<Chosen>,
    pub(super) options: Options,
    pub(super) manifest: Option<Manifest>,
    /// What all drawings depend on, whatever the job.
    pub(super) common: Fingerprint,
    /// The folders that are there and have been tidied up.
    prepared: Mutex<BTreeSet<PathBuf>>,
    /// The names of files that were made by a pattern, without regard to capitals.
    pub(super) names: Mutex<BTreeSet<String>>,
    /// Where the program runs: asked once, and not again for each file.
    here: PathBuf,
    /// How files are read that are verified.
    read: Read,
}

/// Reads a file.
pub(super) type Read = fn(&Path) -> std::io::Result<Vec<u8>>;

impl<'a> Plan<'a> {
    /// Works out what a command line asks for.
    pub(super) fn new(args: &'a DrawArgs, read: Read) -> Result<Self, (String, Exit)> {
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
            formats: drawing_formats()
                .filter(|format| wanted(&args.format, format.name()))
                // A file that is named says by its ending which of them is meant.
                .filter(|format| !is_file(&args.output) || ends_with(&args.output, format.extension()))
                .collect(),
            machines,
            options: Options {
                tolerance: args.tolerance,
                flattening: args.chords.into(),
                dxf_figures: args.dxf_figures.map(Into::into),
                unit: args.unit,
                font: None,
            },
            manifest: None,
            common: Fingerprint::default(),
            prepared: Mutex::default(),
            names: Mutex::default(),
            here: std::env::current_dir().unwrap_or_default(),
            read,
        };
        if draws && plan.formats.is_empty() {
            let names = args.format.join(", ");
            let message = format!(
                "{} does not end like any of the formats asked for, {names}; change the name or --format",
                args.output.display()
            );
            return Err((message, Exit::Usage));
        }
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
    pub(super) fn prepare(&self, folder: &Path) -> Result<(), String> {
        let mut prepared = self.prepared.lock().unwrap_or_else(PoisonError::into_inner);
        if !prepared.contains(folder) {
            std::fs::create_dir_all(folder)
                .map_err(|error| format!("cannot make the folder {}: {error}", folder.display()))?;
            remove_left_over(folder);
            prepared.insert(folder.to_owned());
        }
        Ok(())
    }

    /// Brings files to their places: all of them, or none if a place is taken by another file.
    ///
    /// What is wrong goes to the outcome, and so does the list of files if there is a manifest. Files that `is_own` tells were
    /// written by this program and touched by nobody since may be replaced.
    pub(super) fn write(
        &self,
        written: &[(&File<'_>, Vec<u8>)],
        is_own: impl Fn(&Path) -> bool,
        what: &str,
        outcome: &mut Outcome,
    ) {
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
                    "{} exists; nothing of this {what} was written. Use --force to replace files",
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
            match write_whole(&self.here.join(path), bytes, replace) {
                Ok(()) => outcome.written += 1,
                Err(error) => outcome.fail(&format!("cannot write {}: {error}", path.display())),
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
    pub(super) fn read_back(&self, written: &[(&File<'_>, Vec<u8>)], outcome: &mut Outcome) {
        for (file, _) in written {
            self.verify_at(file, &file.path, outcome);
        }
    }

    /// Verifies a file as it is in some place.
    pub(super) fn verify_at(&self, file: &File<'_>, place: &Path, outcome: &mut Outcome) {
        match (self.read)(place) {
            Ok(bytes) => verify(file, &bytes, &self.options, outcome),
            Err(error) => outcome.fail(&format!("cannot read {} back: {error}", place.display())),
        }
    }

    /// Returns what tells whether a job has to be drawn again.
    pub(super) fn source(&self, input: &Input) -> String {
        let mut source = self.common.clone();
        source.add(input.text());
        source.add(input.job.as_ref().map_or("", |job| job.name.as_str()));
        for (name, read) in &input.beside {
            source.add(name);
            source.add(read.as_ref().map_or_else(String::as_bytes, Vec::as_slice));
        }
        source.finish()
    }

    /// Works out a job and reports its problems.
    pub(super) fn resolve(&self, input: &Input, outcome: &mut Outcome) -> Option<Mat> {
        let job = match &input.job {
            Ok(job) => job,
            Err(unreadable) => {
                outcome.report = format!("{}\n", unreadable.report);
                outcome.entry.problems = vec![(*unreadable.problem).clone()];
                outcome.exit = Exit::JobWrong;
                return None;
            }
        };
        outcome.entry.own = job.own.clone();
        let mut resolved = job.resolve();
        outcome.report = input.report(&resolved.problems);
        outcome.entry.problems = input.found(&resolved.problems);
        let sound = resolved.sound().is_some();
        if !sound {
            outcome.exit = Exit::JobWrong;
        }
        if let (Some(mat), Some(quantity)) = (&mut resolved.value, self.args.quantity) {
            mat.quantity = quantity;
        }
        outcome.entry.quantity = resolved.value.as_ref().map_or(1, |mat| mat.quantity);
        resolved.value.filter(|_| sound)
    }

    /// Lists what is written of a board or a sheet: view by view, format by format, or machine by machine.
    pub(super) fn files_of<'m>(
        &'m self,
        subject: Subject<'m>,
        path: impl Fn(&str) -> PathBuf + Clone + 'm,
    ) -> impl Iterator<Item = File<'m>> {
        let at = path.clone();
        // A view that shows nothing gets no file.
        let views = self.views.iter().filter(move |view| subject.is_shown_by(view));
        let drawings = views.flat_map(move |view| {
            let at = at.clone();
            self.formats.iter().map(move |format| {
                let path = at(&format!("{}{}", view.name, format.file_end(&self.options)));
                File { path, subject, content: Content::Drawing(view, *format) }
            })
        });
        let programs = self.machines.iter().map(move |chosen| File {
            path: path(&chosen.file_end()),
            subject,
            content: Content::Program(chosen),
        });
        drawings.chain(programs)
    }

    /// Works out the bytes of files; `None` if one of them cannot be written in its format. `report` words problems.
    pub(super) fn export<'f>(
        &self,
        files: &'f [File<'f>],
        report: &dyn Fn(&[Problem]) -> String,
        outcome: &mut Outcome,
    ) -> Option<Vec<(&'f File<'f>, Vec<u8>)>> {
        let mut written = Vec::with_capacity(files.len());
        // The files of one view of one board lie side by side and share its drawing.
        for same in files.chunk_by(File::shares_drawing) {
            let Some(first) = same.first() else { continue };
            match first.content {
                Content::Program(chosen) => {
                    let program = self.program(first, chosen, report, outcome);
                    written.extend(program.map(|bytes| (first, bytes)));
                }
                Content::Drawing(view, _) => {
                    let drawing = first.subject.draw(view);
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
        report: &dyn Fn(&[Problem]) -> String,
        outcome: &mut Outcome,
    ) -> Option<Vec<u8>> {
        let planned = file.subject.plan(&chosen.machine);
        outcome.report += &report(&planned.problems);
        outcome.entry.problems.extend(planned.problems.iter().map(FoundProblem::new));
        let Some(program) = planned.value else {
            outcome.exit = Exit::JobWrong;
            return None;
        };
        if program.passes.is_empty() {
            let note = format!(
                "{} has nothing to do on this {}, so no file was written",
                chosen.machine.name,
                file.subject.name()
            );
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
