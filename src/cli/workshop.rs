//! `backline workshop`: a printed page for the bench of every job, in one document.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};
use kurbo::Size;

use crate::checked::Checked;
use crate::formats::{Exported, Options, pdf_pages, svg_page};
use crate::length::Unit;
use crate::mat::Mat;
use crate::page::MARGIN;
use crate::paper::Paper;
use crate::problem::Problem;
use crate::workshop::{Letterhead, pages};

use super::exit::Exit;
use super::input::{Input, read_font};
use super::output::Target;
use super::requests::Requests;

/// Draw workshop sheets: a page for the bench of every mat
///
/// Each page has the mat drawn to scale with its sizes, the boards and their blanks, a section through bevel and reveal, glass,
/// backing, frame, notes, warnings and boxes to tick. Several jobs make one document with a list in front. The file is called
/// harbour-workshop.pdf after the job harbour.toml, or workshop.pdf where there are several jobs.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline workshop harbour.toml                   harbour-workshop.pdf
  backline workshop *.toml -o out --paper a4       out/workshop.pdf, with a list of all jobs in front
  backline workshop harbour.toml --format svg      an SVG file for each page
  backline workshop orders -o - | lp               a folder of jobs, straight to the printer")]
pub(super) struct WorkshopArgs {
    /// Job files (TOML, JSON, or .jsonl with a job in each line) and folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Read a job from each line, as JSON; files that end with .jsonl are read so in any case
    #[arg(long)]
    lines: bool,
    /// How many of each mat to make, instead of the `quantity` of the job
    #[arg(short, long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    quantity: Option<u32>,
    /// Folder for the file, made if it is not there, or the file, such as bench.pdf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// The form of the document
    #[arg(short, long, value_enum, default_value_t)]
    format: DocumentForm,
    /// Paper, upright: A4, Letter, A3, or a size such as "8.5 x 13 in"; Letter for jobs in inches and A4 for others if left out
    #[arg(short, long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Size>,
    /// TrueType or OpenType font for letters that the PDF's own font lacks
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
    /// Name each file that is written
    #[arg(short, long)]
    verbose: bool,
}

/// The forms of a document.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum DocumentForm {
    /// One PDF file
    #[default]
    Pdf,
    /// An SVG file for each page
    Svg,
}

/// The least paper in millimetres: that of A5, below which a drawing beside its words is too small to read.
const LEAST_PAPER: Size = Size::new(148.0, 210.0);
const A4: Size = Size::new(210.0, 297.0);
const LETTER: Size = Size::new(215.9, 279.4);

fn paper(text: &str) -> Result<Size, String> {
    let (short, long) = match text.parse::<Paper>().map_err(|error| error.to_string())? {
        Paper::Sheet { short, long, .. } => (short, long),
        Paper::Roll { .. } => return Err("a workshop sheet is printed on sheets, not on a roll".to_owned()),
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
            anstream::eprintln!("error: {message}");
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
    for request in requests {
        let Some(mut resolved) = Input::of(&request).with_pictures().resolve_and_report() else {
            exit = Exit::JobWrong;
            continue;
        };
        if let (Some(mat), Some(quantity)) = (&mut resolved.value, args.quantity) {
            mat.quantity = quantity;
        }
        jobs.push((request.stem.clone(), resolved));
    }
    let mats: Vec<(&Mat, &[Problem])> =
        jobs.iter().filter_map(|(_, job)| Some((job.sound()?, job.problems.as_slice()))).collect();
    let Some((first, _)) = mats.first() else {
        return Ok(Exit::JobWrong);
    };
    let usual = if first.ruler.unit() == Unit::Inch { LETTER } else { A4 };
    let letterhead = Letterhead { paper: args.paper.unwrap_or(usual), margin: MARGIN };
    let sheets = pages(&mats, &letterhead);
    let stem = match jobs.as_slice() {
        [(stem, _)] => format!("{stem}-workshop"),
        _ => "workshop".to_owned(),
    };
    let wrong = |error: crate::formats::ExportError| (error.to_string(), Exit::JobWrong);
    let mut files: Vec<(String, Exported)> = Vec::new();
    match args.format {
        DocumentForm::Pdf => {
            let title = if mats.len() == 1 { first.name.as_str() } else { "Workshop sheets" };
            files.push((format!("{stem}.pdf"), pdf_pages(title, &sheets, &options).map_err(wrong)?));
        }
        DocumentForm::Svg => {
            for (index, sheet) in sheets.iter().enumerate() {
                let name = if sheets.len() == 1 { format!("{stem}.svg") } else { format!("{stem}-{}.svg", index + 1) };
                files.push((name, svg_page(sheet).map_err(wrong)?));
            }
        }
    }
    let target = Target { output: &args.output, force: args.force, verbose: args.verbose };
    Ok(exit.max(target.write(&files)?))
}
