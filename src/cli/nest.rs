//! `backline draw --nest`: the mats of all jobs beside each other on sheets, a file for each sheet.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::checked::Checked;
use crate::fault::Certain;
use crate::job::FoundProblem;
use crate::length::{Ruler, Unit};
use crate::mat::Mat;
use crate::problem::Problem;
use crate::sheets::{Nest, NestRequest, NestedSheet, PreparedNest};

use super::batch::{JobOutcome, Reports};
use super::draw_plan::{DrawPlan, STRICT};
use super::exit::Exit;
use super::input::Input;
use super::interrupt;
use super::manifest::{Manifest, ManifestEntry, ManifestLines};
use super::nest_files::{self, SheetFiles};
use super::nest_stock::{NestStock, ResolvedStock, reached};
use super::output::{is_single, single_name};
use super::requests::{Requests, file_name};
use super::say;
use super::search_watch::SearchWatch;
use super::sheets_input::report_stock;

/// What the files are named after if several jobs have no name in common.
const ORDER: &str = "order";

type Failure = (String, Exit);

/// Lays the mats of all jobs on sheets and writes a file for each sheet.
pub(super) fn draw(plan: &mut DrawPlan<'_>, requests: Requests) -> Result<Exit, Failure> {
    let args = plan.args;
    if is_single(&args.output) {
        if args.manifest.is_some() {
            let single = single_name(&args.output);
            return Err((format!("a manifest lists the files in a folder, and {single} is not a folder"), Exit::Usage));
        }
    } else {
        plan.prepare(&args.output).map_err(failed)?;
        if let Some(path) = &args.manifest {
            plan.manifest = Some(Manifest::open(path).map_err(failed)?);
        }
    }
    let stock = NestStock::read(args, &plan.machines)?;
    let mut order = NestOrder::read(plan, &stock, requests)?;
    if !order.is_done() {
        let mats = order.resolve();
        order.draw(&stock, mats)?;
    }
    let (exit, lines) = order.report()?;
    if let Some(manifest) = plan.manifest.take() {
        manifest.finish(lines).map_err(failed)?;
    }
    Ok(exit)
}

fn failed(message: String) -> Failure {
    (message, Exit::JobWrong)
}

/// A job of an order.
struct OrderJob {
    input: Input,
    outcome: JobOutcome,
}

/// All jobs of a command line.
struct NestOrder<'p, 'a> {
    plan: &'p DrawPlan<'a>,
    jobs: Vec<OrderJob>,
    /// Its name in titles.
    name: String,
    /// Folder and start of the names of its files.
    stem: PathBuf,
}

impl<'p, 'a> NestOrder<'p, 'a> {
    /// Reads the jobs.
    fn read(plan: &'p DrawPlan<'a>, stock: &NestStock, requests: Requests) -> Result<Self, Failure> {
        let args = plan.args;
        let requests: Vec<_> = requests.collect();
        let inputs: Vec<Input> = requests.iter().map(Input::of).collect();
        let only = match (requests.as_slice(), inputs.as_slice()) {
            ([request], [input]) => Some((input.job.as_ref().map_or(ORDER, |job| job.name.as_str()), &request.stem)),
            _ => None,
        };
        // A name of a file that began with a hyphen would be taken for an option.
        let stem_of = |name: &str| file_name(name).trim_matches('-').to_owned();
        let given = args.nest.name.as_deref().map(|name| (name, stem_of(name))).filter(|(_, stem)| !stem.is_empty());
        let (name, stem) = match (given, only) {
            (Some((name, stem)), _) => (name.to_owned(), stem),
            (None, Some((name, stem))) => (name.to_owned(), stem.clone()),
            (None, None) => (ORDER.to_owned(), ORDER.to_owned()),
        };
        // Sheets belong to all jobs: their files are named after what these have in common.
        let common = plan.names.common(inputs.iter().zip(&requests)).map_err(|message| (message, Exit::Usage))?;
        let stem = args.output.join(common.unwrap_or(stem));
        let mut source = plan.common.clone();
        source.add_value(&args.nest.as_data());
        source.add(stock.file.as_ref().map_or("", |file| &file.text));
        inputs.iter().for_each(|input| source.add(plan.source(input)));
        let source = source.finish();
        let job = |(request, input): (&super::requests::JobRequest, Input)| {
            let of_job = request.folder.join(&request.stem);
            let key = PathBuf::from(format!("{}: {}", stem.display(), of_job.display()));
            let mut outcome = JobOutcome::new(ManifestEntry::new(&input.name, &key));
            outcome.entry.source.clone_from(&source);
            OrderJob { input, outcome }
        };
        let jobs = requests.iter().zip(inputs).map(job).collect();
        Ok(Self { plan, jobs, name, stem })
    }

    /// Tells whether an earlier run had done all the work, and takes over what its list says.
    fn is_done(&mut self) -> bool {
        let Some(manifest) = &self.plan.manifest else { return false };
        let earlier = |job: &OrderJob| {
            let entry = manifest.earlier(&job.outcome.entry.output)?;
            (entry.job == job.input.name && entry.is_done(&job.outcome.entry.source)).then(|| entry.clone())
        };
        let Some(done) = self.jobs.iter().map(earlier).collect::<Option<Vec<ManifestEntry>>>() else { return false };
        for (job, entry) in self.jobs.iter_mut().zip(done) {
            job.outcome = JobOutcome { was_done: true, ..JobOutcome::new(entry) };
        }
        true
    }

    /// Works the jobs out, and checks their boards for every machine; what is wrong with one goes to its outcome.
    fn resolve(&mut self) -> Vec<Option<Mat>> {
        let plan = self.plan;
        let resolved = self.jobs.iter_mut().map(|OrderJob { input, outcome }| {
            let mat = plan.resolve(input, outcome)?;
            for (layer, chosen) in mat.layers.iter().flat_map(|layer| plan.machines.iter().map(move |one| (layer, one)))
            {
                let problems = chosen.machine.check(&mat, layer);
                outcome.report += &input.report(&problems);
                outcome.entry.problems.extend(input.found(&problems));
                if problems.iter().any(Problem::is_error) {
                    outcome.exit = Exit::JobWrong;
                } else if plan.args.strict && !problems.is_empty() {
                    outcome.fail(&format!("{}: {STRICT}", input.name));
                }
            }
            (outcome.exit == Exit::Good).then_some(mat)
        });
        resolved.collect()
    }

    /// Plans the sheets and brings their files to their places. Jobs without a place fail, and the others go on.
    fn draw(&mut self, stock: &NestStock, mats: Vec<Option<Mat>>) -> Result<(), Failure> {
        let search = &self.plan.args.nest.search;
        let ruler = mats.iter().flatten().next().map_or(Ruler::usual(Unit::Millimetre), |mat| mat.ruler);
        let shelf = stock.resolve(self.plan.args, ruler)?;
        let (places, mats) = self.fitting(stock, &shelf, mats)?;
        if mats.is_empty() {
            return Ok(());
        }
        let (prepared, problems) = self.prepare(stock, &shelf, &mats)?;
        report_stock(stock.file.as_ref(), &problems);
        let mut watch = SearchWatch::new(&prepared.sheets, search.seconds(), false);
        let nest = prepared.plan(&search.effort(), &mut |board, progress| watch.ask(board, progress));
        watch.finish();
        if interrupt::is_asked() {
            say::note!("the search was stopped; this is the best plan found so far");
        }
        self.report_left_over(&nest, &places, &mats);
        self.write(&nest, &places, stock)
    }

    /// Keeps the mats that have room on a sheet, each with the place of its job; the jobs of the others fail.
    fn fitting(
        &mut self,
        stock: &NestStock,
        shelf: &ResolvedStock,
        mats: Vec<Option<Mat>>,
    ) -> Result<(Vec<usize>, Vec<Mat>), Failure> {
        let sound = mats.into_iter().enumerate().filter_map(|(place, mat)| Some((place, mat?)));
        let (places, mats): (Vec<usize>, Vec<Mat>) = sound.unzip();
        let misfits = self.prepare(stock, shelf, &mats)?.0.misfits();
        let wrong: BTreeSet<usize> =
            misfits.iter().map(|(place, _)| *places.get(*place).certain("place of this mat")).collect();
        for (place, problem) in &misfits {
            let job = places.get(*place).and_then(|job| self.jobs.get_mut(*job)).certain("job of this mat");
            job.outcome.report += &job.input.report(std::slice::from_ref(problem));
            job.outcome.entry.problems.push(FoundProblem::new(problem));
            job.outcome.exit = Exit::JobWrong;
        }
        Ok(places.into_iter().zip(mats).filter(|(place, _)| !wrong.contains(place)).unzip())
    }

    /// Brings mats and stock to one grid; a problem of the stock that is an error is reported.
    fn prepare<'m>(
        &self,
        stock: &NestStock,
        shelf: &ResolvedStock,
        mats: &'m [Mat],
    ) -> Result<(PreparedNest<'m>, Vec<Problem>), Failure> {
        let request = NestRequest {
            name: self.name.clone(),
            mats,
            ruler: shelf.ruler,
            shelf: shelf.shelf.clone(),
            trim: shelf.trim,
            turnable: !self.plan.args.nest.rules.no_turn,
        };
        let Checked { value, problems } = request.prepare(&|sheet| reached(&self.plan.machines, sheet));
        match value {
            Some(prepared) => Ok((prepared, problems)),
            None => Err((String::new(), report_stock(stock.file.as_ref(), &problems).max(Exit::JobWrong))),
        }
    }

    /// Tells of each job what found no place.
    fn report_left_over(&mut self, nest: &Nest<'_>, places: &[usize], mats: &[Mat]) {
        for left in &nest.left_over {
            let (Some(job), Some(mat)) =
                (places.get(left.mat).and_then(|job| self.jobs.get_mut(*job)), mats.get(left.mat))
            else {
                continue;
            };
            let layer = mat.layers.get(left.layer).filter(|_| mat.layers.len() > 1);
            let what = layer.map_or_else(|| "mats".to_owned(), |layer| format!("{} boards", layer.name));
            let (why, cure) = (left.reason.why(), left.reason.cure());
            let (name, quantity) = (&job.input.name, left.quantity);
            job.outcome.fail(&format!("{name}: {quantity} of its {what} could not be placed: they are {why}; {cure}"));
        }
    }

    /// Writes the files of all sheets, or none.
    fn write(&mut self, nest: &Nest<'_>, places: &[usize], stock: &NestStock) -> Result<(), Failure> {
        let plan = self.plan;
        let files = nest_files::files(plan, &self.stem, &nest.sheets);
        let mut exported = nest_files::export(plan, &files);
        let mut order = JobOutcome::new(ManifestEntry::new("", Path::new("")));
        order.report += &sheet_problems(nest, &exported);
        for (sheet, exported) in nest.sheets.iter().zip(&mut exported) {
            order.report += &std::mem::take(&mut exported.outcome.report);
            order.notes.append(&mut exported.outcome.notes);
            order.accounts.append(&mut exported.outcome.accounts);
            order.exit = order.exit.max(exported.outcome.exit);
            for job in self.on_sheet(sheet, places) {
                let entry = &mut job.outcome.entry;
                entry.problems.extend(exported.problems.iter().map(FoundProblem::new));
                entry.notes.extend(exported.outcome.entry.notes.iter().cloned());
            }
        }
        let counts: Vec<usize> = exported.iter().map(|exported| exported.written.len()).collect();
        let written: Vec<_> = exported.into_iter().flat_map(|exported| exported.written).collect();
        if order.exit == Exit::Good && written.is_empty() {
            order.report += "note: no board here has anything to draw, so no file was written\n";
        }
        if is_single(&plan.args.output) {
            self.pass_on(&written, &mut order)?;
        } else if order.exit == Exit::Good {
            let own: Vec<&ManifestEntry> =
                self.jobs.iter().filter_map(|job| plan.manifest.as_ref()?.earlier(&job.outcome.entry.output)).collect();
            plan.write(&written, |path| own.iter().any(|entry| entry.has_unaltered(path)), "order", &mut order);
            if plan.args.verify && order.exit == Exit::Good {
                plan.read_back(&written, &mut order);
            }
        }
        let mut drawn = order.entry.files.iter();
        for (sheet, count) in nest.sheets.iter().zip(counts) {
            let of_sheet: Vec<_> = drawn.by_ref().take(count).cloned().collect();
            for job in self.on_sheet(sheet, places) {
                job.outcome.entry.files.extend(of_sheet.iter().cloned());
            }
        }
        for place in places {
            if let Some(job) = self.jobs.get_mut(*place) {
                job.outcome.exit = job.outcome.exit.max(order.exit);
                job.outcome.entry.notes.extend(order.entry.notes.iter().cloned());
                job.outcome.entry.drawn = job.outcome.exit == Exit::Good;
            }
        }
        if order.exit == Exit::Good {
            order.report += &summary(plan, nest, stock);
        }
        if let Some(last) = self.jobs.last_mut() {
            last.outcome.report += &order.report;
            last.outcome.notes.extend(order.notes);
        }
        Ok(())
    }

    /// Returns the jobs that have a board on a sheet, each once.
    fn on_sheet(&mut self, sheet: &NestedSheet<'_>, places: &[usize]) -> impl Iterator<Item = &mut OrderJob> {
        let on: BTreeSet<usize> =
            sheet.boards.iter().map(|board| *places.get(board.place).certain("place of this mat")).collect();
        self.jobs.iter_mut().enumerate().filter(move |(job, _)| on.contains(job)).map(|(_, job)| job)
    }

    /// Writes the only file to standard output, or under the name that was given.
    fn pass_on(
        &self,
        written: &[(&super::drawn_file::DrawnFile<'_>, Vec<u8>)],
        order: &mut JobOutcome,
    ) -> Result<(), Failure> {
        let [(file, bytes)] = written else {
            if order.exit != Exit::Good {
                return Ok(());
            }
            let message = format!(
                "{} is one file, but there are {} to write; choose one --view and one --format, or one --machine, and no more mats than one \
                 sheet holds",
                single_name(&self.plan.args.output),
                written.len()
            );
            return Err((message, Exit::Usage));
        };
        self.plan.deliver(file, bytes, order)
    }

    /// Prints what is to be said of every job, in their order, and returns the lines for the list of what is done.
    fn report(self) -> Result<(Exit, ManifestLines), Failure> {
        let mut lines = ManifestLines::default();
        let mut reports = Reports::new(Some(1));
        for (index, mut job) in self.jobs.into_iter().enumerate() {
            if let Some(manifest) = &self.plan.manifest
                && let Err(message) = manifest.add(index, &job.outcome.entry, &mut lines)
            {
                job.outcome.fail(&message);
            }
            reports.take(index, job.outcome);
        }
        Ok((reports.finish(self.plan.args.verbose), lines))
    }
}

/// Words the problems of sheets; what is the same on several sheets is said once.
fn sheet_problems(nest: &Nest<'_>, exported: &[SheetFiles<'_>]) -> String {
    let mut said: Vec<(&Problem, &NestedSheet<'_>, usize)> = Vec::new();
    for (sheet, exported) in nest.sheets.iter().zip(exported) {
        for problem in &exported.problems {
            match said.iter_mut().find(|(other, _, _)| *other == problem) {
                Some((_, _, more)) => *more += 1,
                None => said.push((problem, sheet, 0)),
            }
        }
    }
    said.into_iter()
        .map(|(problem, sheet, more)| {
            let others = if more > 0 { format!(" and {more} more") } else { String::new() };
            format!("{}{others}: {problem}\n", sheet.number_words())
        })
        .collect()
}

/// Says which sheets to pull and what is on each.
fn summary(plan: &DrawPlan<'_>, nest: &Nest<'_>, stock: &NestStock) -> String {
    let ruler = nest.plan.prepared.ruler;
    let show = |size: kurbo::Size| ruler.show_size(size.width, size.height);
    let mut text: String = stock.note.iter().map(|note| format!("note: {note}\n")).collect();
    let mut sizes: Vec<kurbo::Size> = Vec::new();
    for sheet in &nest.sheets {
        if !sizes.contains(&sheet.size) {
            sizes.push(sheet.size);
        }
    }
    for size in sizes {
        let reached = reached(&plan.machines, size).unwrap_or(kurbo::Rect::ZERO);
        if reached.area() < size.area() - 1.0 {
            text += &format!(
                "note: of a sheet of {} the machine can reach only {}; the rest stays empty\n",
                show(size),
                show(reached.size())
            );
        }
    }
    for sheet in &nest.sheets {
        let (numbers, board, size) = (sheet.number_words(), sheet.board.describe(), show(sheet.size));
        let free = 100.0 * sheet.free_share();
        text += &format!("{numbers}: {board}, {size}: {} ({free:.0} % free)\n", sheet.content_words());
    }
    text
}
