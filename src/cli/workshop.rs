//! `backline workshop`: a printed page for the bench of every job, in one document.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use kurbo::Size;

use crate::checked::Checked;
use crate::formats::Options;
use crate::job::NamePattern;
use crate::length::Unit;
use crate::mat::Mat;
use crate::page::MARGIN;
use crate::paper::Paper;
use crate::problem::Problem;
use crate::workshop::{Letterhead, pages};

use super::bounds::within;
use super::drawn_pages::{PageForm, files};
use super::exit::Exit;
use super::file_names::FileNames;
use super::input::{Input, read_font};
use super::output::Target;
use super::requests::Requests;
use super::say;

/// Draw workshop sheets: one page for the bench per mat
///
/// Each page shows the mat drawn to scale with its sizes, the boards and their blanks, a section through bevel and reveal, the
/// glass, backing and frame, notes, warnings and boxes to tick. Several jobs make one document that begins with a list of them.
/// The file for the job harbour.toml is harbour-workshop.pdf; for several jobs it is workshop.pdf.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline workshop harbour.toml                   harbour-workshop.pdf
  backline workshop *.toml -o out --paper a4       out/workshop.pdf, which begins with a list of all jobs
  backline workshop harbour.toml --format svg      an SVG file for each page
  backline workshop orders -o - | lp               a folder of jobs, straight to the printer")]
pub(super) struct WorkshopArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Read one JSON job per line; .jsonl files are always read this way
    #[arg(long)]
    lines: bool,
    /// How many of each mat to make; overrides the job's `quantity`
    #[arg(short, long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    quantity: Option<u32>,
    /// Folder for the file, created if missing, or the file itself, such as bench.pdf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// Pattern for the start of file names, such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file without its ending, `{name}` the name of the job, and `{own.KEY}` a value from the
    /// job's table `own`. A document for several jobs cannot be named in this way.
    #[arg(long, value_name = "PATTERN")]
    file_names: Option<NamePattern>,
    /// Format of the document
    #[arg(short, long, value_name = "FORMAT", default_value = "pdf", value_parser = PageForm::parser())]
    format: PageForm,
    /// Paper, upright: A4, Letter, A3, or a size such as "8.5 x 13 in"; by default Letter for jobs in inches, otherwise A4
    #[arg(short, long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Size>,
    /// TrueType or OpenType font for characters that the built-in PDF font lacks
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// Report problems as data for other programs: one line of JSON per job, on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace existing files
    #[arg(long)]
    force: bool,
    /// Print the name of each file written
    #[arg(short, long)]
    verbose: bool,
}

/// The least paper in millimetres: that of A5, below which a drawing beside its words is too small to read.
const LEAST_PAPER: Size = Size::new(148.0, 210.0);
const A4: Size = Size::new(210.0, 297.0);
const LETTER: Size = Size::new(215.9, 279.4);

fn paper(text: &str) -> Result<Size, String> {
    let (short, long) = match text.parse::<Paper>().map_err(|error| error.to_string())? {
        Paper::Sheet { short, long, .. } => (short, long),
        Paper::Roll { .. } => return Err("a workshop sheet is printed on sheets of paper, not on a roll".to_owned()),
    };
    if short < LEAST_PAPER.width || long < LEAST_PAPER.height {
        return Err("the paper is too small for a workshop sheet; use A5 (148 × 210 mm) or larger".to_owned());
    }
    Ok(Size::new(short, long))
}

pub(super) fn run(args: &WorkshopArgs) -> Exit {
    match document(args) {
        Ok(exit) => exit,
        Err((message, exit)) => {
            say::error!("{message}");
            exit
        }
    }
}

fn document(args: &WorkshopArgs) -> Result<Exit, (String, Exit)> {
    let font = args.font.as_deref().map(read_font).transpose()?;
    let options = Options { font, ..Options::default() };
    let requests = Requests::new(&args.jobs, args.lines, None);
    let mut exit = Exit::Good;
    let mut jobs: Vec<(String, Checked<Mat>)> = Vec::new();
    let mut named = Vec::new();
    let names = FileNames::new(args.file_names.as_ref());
    for request in requests {
        let input = Input::of(&request).with_pictures();
        let Some(mut resolved) = input.resolve_and_report() else {
            exit = Exit::JobWrong;
            continue;
        };
        if let Some(quantity) = args.quantity {
            resolved = resolved.map(|mat| mat.with_quantity(quantity));
        }
        let name =
            names.name(&input, &request).map_err(|error| (format!("{}: {error}", input.name), Exit::JobWrong))?;
        jobs.push((name, resolved));
        named.push((input, request));
    }
    let mats: Vec<(&Mat, &[Problem])> =
        jobs.iter().filter_map(|(_, job)| Some((job.sound()?, job.problems.as_slice()))).collect();
    let Some((first, _)) = mats.first() else {
        return Ok(Exit::JobWrong);
    };
    let usual = if first.ruler.unit() == Unit::Inch { LETTER } else { A4 };
    let letterhead = Letterhead { paper: args.paper.unwrap_or(usual), margin: MARGIN };
    let named = named.iter().map(|(input, request)| (input, request));
    let common = names.common(named).map_err(|message| (message, Exit::Usage))?;
    let stem = match (jobs.as_slice(), common) {
        (_, Some(stem)) => format!("{stem}-workshop"),
        ([(stem, _)], None) => format!("{stem}-workshop"),
        _ => "workshop".to_owned(),
    };
    let title = if mats.len() == 1 { first.name.as_str() } else { "Workshop sheets" };
    let make = || files(&stem, title, &pages(&mats, &letterhead), args.format, &options);
    let files = within(make).and_then(|files| files.map_err(|error| error.to_string()));
    let files = files.map_err(|message| (message, Exit::JobWrong))?;
    let target = Target { output: &args.output, force: args.force, verbose: args.verbose };
    Ok(exit.max(target.write(&files)?))
}
