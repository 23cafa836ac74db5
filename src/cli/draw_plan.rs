//! What `draw` is asked for, and how its files come to their places.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::formats::{Exporter, Options, Source, drawing_formats};
use crate::job::FoundProblem;
use crate::mat::Mat;
use crate::problem::Problem;
use crate::program::WorkAccount;
use crate::view::{VIEWS, View};

use super::args::DrawArgs;
use super::batch::JobOutcome;
use super::bounds::{resolved, within};
use super::drawn_file::{DrawnFile, FileContent, FileSubject};
use super::exit::Exit;
use super::file_names::FileNames;
use super::input::{Input, read_font};
use super::machine_profiles::ChosenMachine;
use super::manifest::{Fingerprint, Manifest, ManifestShop, WrittenFile};
use super::output::{Due, ends_with, is_file, remove_left_over, write_together};
use super::own_files::OwnFiles;
use super::values::ALL;
use super::verify::verify;

/// What is to be drawn and where it goes.
pub(super) struct DrawPlan<'a> {
    pub(super) args: &'a DrawArgs,
    pub(super) views: Vec<&'static View>,
    pub(super) formats: Vec<&'static dyn Exporter>,
    pub(super) machines: Vec<ChosenMachine>,
    pub(super) options: Options,
    pub(super) manifest: Option<Manifest>,
    /// What all drawings depend on, whatever the job.
    pub(super) common: Fingerprint,
    /// The folders that are there and have been tidied up.
    prepared: Mutex<BTreeSet<PathBuf>>,
    /// What the names of files begin with.
    pub(super) names: FileNames,
    /// Where the program runs: asked once, and not again for each file.
    here: PathBuf,
    /// How files are read that are verified.
    read: Read,
    /// The files that this run may replace, because it has written them; `None` unless it draws the same ones again.
    pub(super) own: Option<OwnFiles>,
}

/// Said where `--strict` refuses a file.
pub(super) const STRICT: &str = "this is less than the job asks for, which --strict refuses; nothing was written";

/// Reads a file.
pub(super) type Read = fn(&Path) -> std::io::Result<Vec<u8>>;

impl<'a> DrawPlan<'a> {
    /// Works out what a command line asks for.
    pub(super) fn new(args: &'a DrawArgs, read: Read) -> Result<Self, (String, Exit)> {
        let font = match &args.font {
            Some(path) => Some(read_font(path)?),
            None => None,
        };
        let machines =
            ChosenMachine::all(&args.machine, args.machine_folder.as_deref()).map_err(|exit| (String::new(), exit))?;
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
                ..Options::default()
            },
            manifest: None,
            common: Fingerprint::default(),
            prepared: Mutex::default(),
            names: FileNames::new(args.file_names.as_ref()),
            here: std::env::current_dir().unwrap_or_default(),
            read,
            own: None,
        };
        if draws && plan.formats.is_empty() {
            let names = args.format.join(", ");
            let message = format!(
                "the ending of {} is not that of a format asked for, {names}; change the name or --format",
                args.output.display()
            );
            return Err((message, Exit::Usage));
        }
        plan.common.add(env!("CARGO_PKG_VERSION"));
        plan.common.add_value(&(&plan.options, args.quantity));
        plan.common.add(plan.views.iter().map(|view| view.name).collect::<Vec<_>>().join(","));
        plan.common.add(plan.formats.iter().map(|format| format.name()).collect::<Vec<_>>().join(","));
        for ChosenMachine { machine, profile, .. } in &plan.machines {
            plan.common.add(&machine.name);
            plan.common.add(profile);
        }
        if args.verify {
            // What was drawn without is read back now.
            plan.common.add("verified");
        }
        if args.strict {
            plan.common.add("strict");
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
        written: &[(&DrawnFile<'_>, Vec<u8>)],
        is_own: impl Fn(&Path) -> bool,
        what: &str,
        outcome: &mut JobOutcome,
    ) {
        let mut to_write = Vec::with_capacity(written.len());
        for (file, bytes) in written {
            let path = &file.path;
            let is_there = path.exists();
            if is_there && path.is_file() && std::fs::read(path).is_ok_and(|found| found == *bytes) {
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
        let places: Vec<PathBuf> = to_write.iter().map(|(path, ..)| self.here.join(path)).collect();
        let due: Vec<Due<'_>> = places
            .iter()
            .zip(&to_write)
            .map(|(path, (_, bytes, replace))| Due { path, bytes, replace: *replace })
            .collect();
        match write_together(&due) {
            Ok(()) => {
                if let Some(own) = &self.own {
                    to_write.iter().for_each(|(path, bytes, _)| own.note(path, bytes));
                }
                outcome.written.extend(to_write.iter().map(|(path, ..)| (*path).clone()));
            }
            Err((path, error)) => {
                let shown = path.strip_prefix(&self.here).unwrap_or(path).display();
                outcome.fail(&format!("cannot write {shown}: {error}; nothing of this {what} was written"));
                return;
            }
        }
        for (file, bytes) in written {
            if self.args.verbose && outcome.exit == Exit::Good {
                outcome.report += &format!("{}\n", file.path.display());
            }
            if self.manifest.is_some() {
                let account = outcome.accounts.iter().find(|(path, _)| *path == file.path);
                let account = account.map(|(_, account)| account.clone());
                outcome.entry.files.push(WrittenFile::new(&file.path, bytes, account));
            }
        }
    }

    /// Verifies files as they are in their places.
    pub(super) fn read_back(&self, written: &[(&DrawnFile<'_>, Vec<u8>)], outcome: &mut JobOutcome) {
        for (file, _) in written {
            self.verify_at(file, &file.path, outcome);
        }
    }

    /// Verifies a file as it is in some place.
    pub(super) fn verify_at(&self, file: &DrawnFile<'_>, place: &Path, outcome: &mut JobOutcome) {
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
        if let Some(shop) = &input.shop {
            source.add(&shop.sha256);
        }
        for (name, read) in &input.beside {
            source.add(name);
            source.add(read.as_ref().map_or_else(String::as_bytes, Vec::as_slice));
        }
        source.finish()
    }

    /// Works out a job and reports its problems.
    pub(super) fn resolve(&self, input: &Input, outcome: &mut JobOutcome) -> Option<Mat> {
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
        outcome.entry.job_schema.clone_from(&job.schema);
        let shop = input.shop.as_ref();
        outcome.entry.shop =
            shop.map(|shop| ManifestShop { file: shop.name().to_owned(), sha256: shop.sha256.clone() });
        let mut resolved = resolved(job);
        outcome.report = input.report(&resolved.problems);
        outcome.entry.problems = input.found(&resolved.problems);
        let sound = resolved.sound().is_some();
        if !sound {
            outcome.exit = Exit::JobWrong;
        }
        if let Some(quantity) = self.args.quantity {
            resolved = resolved.map(|mat| mat.with_quantity(quantity));
        }
        outcome.entry.quantity = resolved.value.as_ref().map_or(1, |mat| mat.quantity);
        resolved.value.filter(|_| sound)
    }

    /// Lists what is written of a board or a sheet: view by view, format by format, or machine by machine.
    pub(super) fn files_of<'m>(
        &'m self,
        subject: FileSubject<'m>,
        path: impl Fn(&str) -> PathBuf + Clone + 'm,
    ) -> impl Iterator<Item = DrawnFile<'m>> {
        let at = path.clone();
        // A view that shows nothing gets no file.
        let views = self.views.iter().filter(move |view| subject.is_shown_by(view));
        let drawings = views.flat_map(move |view| {
            let at = at.clone();
            self.formats.iter().map(move |format| {
                let path = at(&format!("{}{}", view.name, format.file_end(&self.options)));
                DrawnFile { path, subject, content: FileContent::Drawing(view, *format) }
            })
        });
        let programs = self.machines.iter().map(move |chosen| DrawnFile {
            path: path(&chosen.file_end()),
            subject,
            content: FileContent::Program(chosen),
        });
        drawings.chain(programs)
    }

    /// Works out the bytes of files within the limits of the run; `None` if one of them cannot be written in its format. `report`
    /// words problems.
    pub(super) fn export<'f>(
        &self,
        files: &'f [DrawnFile<'f>],
        report: &dyn Fn(&[Problem]) -> String,
        outcome: &mut JobOutcome,
    ) -> Option<Vec<(&'f DrawnFile<'f>, Vec<u8>)>> {
        within(|| self.export_all(files, report, outcome)).unwrap_or_else(|message| {
            outcome.fail(&message);
            None
        })
    }

    fn export_all<'f>(
        &self,
        files: &'f [DrawnFile<'f>],
        report: &dyn Fn(&[Problem]) -> String,
        outcome: &mut JobOutcome,
    ) -> Option<Vec<(&'f DrawnFile<'f>, Vec<u8>)>> {
        let mut written = Vec::with_capacity(files.len());
        // The files of one view of one board lie side by side and share its drawing.
        for same in files.chunk_by(DrawnFile::shares_drawing) {
            let Some(first) = same.first() else { continue };
            match first.content {
                FileContent::Program(chosen) => {
                    let program = self.program(first, chosen, report, outcome);
                    written.extend(program.map(|bytes| (first, bytes)));
                }
                FileContent::Drawing(view, _) => {
                    let drawing = first.subject.draw(view);
                    self.account_of_view(same, view, outcome);
                    let source = Source::new(&drawing, &self.options);
                    for file in same {
                        let FileContent::Drawing(_, format) = file.content else { continue };
                        let exported = format.export(&source).map_err(|error| error.to_string());
                        written.extend(file.take(exported, outcome).map(|bytes| (file, bytes)));
                    }
                }
            }
        }
        (outcome.exit == Exit::Good).then_some(written)
    }

    /// Says what ornaments a view without a page leaves out; such a drawing is taken for everything that is to be done.
    fn account_of_view(&self, files: &[DrawnFile<'_>], view: &View, outcome: &mut JobOutcome) {
        let left_out = files.first().map(|file| file.subject.left_out_by(view)).unwrap_or_default();
        if left_out.is_empty() {
            return;
        }
        for file in files {
            let name = file.path.display().to_string();
            let mut account = WorkAccount::default();
            account.leaves_out.clone_from(&left_out);
            outcome.accounts.push((file.path.clone(), account));
            for what in &left_out {
                if self.args.strict {
                    outcome.fail(&format!("{name}: the view {} leaves out {what}; {STRICT}", view.name));
                } else {
                    outcome.notes.push((name.clone(), format!("the view {} leaves out {what}", view.name)));
                    outcome.entry.notes.push(format!("{name}: the view {} leaves out {what}", view.name));
                }
            }
        }
    }

    /// Works out the file of a machine; `None` if it has nothing to do with the board, or cannot do it.
    fn program(
        &self,
        file: &DrawnFile<'_>,
        chosen: &ChosenMachine,
        report: &dyn Fn(&[Problem]) -> String,
        outcome: &mut JobOutcome,
    ) -> Option<Vec<u8>> {
        let planned = file.subject.plan(&chosen.machine);
        outcome.report += &report(&planned.problems);
        outcome.entry.problems.extend(planned.problems.iter().map(FoundProblem::new));
        let Some(program) = planned.value else {
            outcome.exit = Exit::JobWrong;
            return None;
        };
        let account = &program.account;
        if self.args.strict && !(account.leaves_out.is_empty() && planned.problems.is_empty()) {
            outcome.fail(&format!("{}: {STRICT}", file.path.display()));
            return None;
        }
        outcome.accounts.push((file.path.clone(), account.clone()));
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
