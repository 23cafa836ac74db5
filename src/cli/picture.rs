//! `backline picture`: every job as it will hang, for the customer or a listing.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use crate::formats::{ExportError, Exported, Options, Source, format, png};
use crate::mat::Mat;
use crate::picture::{Scene, draw};

use super::exit::Exit;
use super::input::Input;
use super::output::{Target, is_single, single_name};
use super::requests::{Request, Requests};

/// Draw pictures for the customer: every mat as it will hang, in its colours and its frame
///
/// Boards have the colours that the job names, bevels light and shade, the frame its moulding; the picture files of the job lie
/// behind the openings at their true size, or a neutral ground where there are none. The file is called harbour-picture.png
/// after the job harbour.toml.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline picture harbour.toml                        harbour-picture.png, 100 pixels to the inch
  backline picture harbour.toml --ppi 300 -f png,pdf   finer, and a PDF file at true size
  backline picture *.toml -o shop --longest 800        small ones for a list, at most 800 pixels wide or high
  backline picture harbour.toml -f svg -o - > a.svg    to standard output

In the job: board = { name = \"our cream\", colour = \"#f3e7c9\", core = \"white\" },
frame = { rabbet = [16, 20], moulding = { width = 1.25, colour = \"walnut\" } }, picture = \"harbour.jpg\" in [opening].")]
pub(super) struct PictureArgs {
    /// Job files (TOML, JSON, or .jsonl with a job in each line) and folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Read a job from each line, as JSON; files that end with .jsonl are read so in any case
    #[arg(long)]
    lines: bool,
    /// Folder for the files, made if it is not there, or a single file, such as harbour.png; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// Formats, separated by commas
    #[arg(short, long, value_enum, value_name = "FORMAT", value_delimiter = ',', default_values_t = [PictureForm::Png])]
    format: Vec<PictureForm>,
    /// Pixels to the inch of PNG files
    #[arg(long, value_name = "N", default_value_t = 100.0)]
    ppi: f64,
    /// Reduce the picture until it is at most so many pixels wide and high at that density
    #[arg(short, long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(8..))]
    longest: Option<u32>,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
    /// Name each file that is written
    #[arg(short, long)]
    verbose: bool,
}

/// The forms of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PictureForm {
    /// Pixels
    Png,
    /// Lines and regions, in millimetres
    Svg,
    /// A page of the size of the picture
    Pdf,
}

impl PictureForm {
    const fn extension(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Svg => "svg",
            Self::Pdf => "pdf",
        }
    }
}

/// Pixels to the inch of photographs in SVG and PDF files, which are printed.
const PRINTED_PPI: f64 = 300.0;

pub(super) fn run(args: &PictureArgs) -> Exit {
    if !(args.ppi.is_finite() && args.ppi > 0.0) {
        anstream::eprintln!("error: {} pixels to the inch are not a density; give a number such as 100", args.ppi);
        return Exit::Usage;
    }
    let output = Some(args.output.as_path());
    let requests = Requests::new(&args.jobs, args.lines, output);
    if is_single(&args.output) && !(requests.is_one_file() && args.format.len() == 1) {
        let single = single_name(&args.output);
        anstream::eprintln!("error: {single} takes a single picture; name one job and one format");
        return Exit::Usage;
    }
    let mut exit = Exit::Good;
    for request in requests {
        exit = exit.max(picture_of(args, &request).unwrap_or_else(|(message, exit)| {
            anstream::eprintln!("error: {message}");
            exit
        }));
    }
    exit
}

/// Draws one job; an error does not keep the others from being drawn.
fn picture_of(args: &PictureArgs, request: &Request) -> Result<Exit, (String, Exit)> {
    let Some(resolved) = Input::of(request).with_pictures().resolve_and_report() else {
        return Ok(Exit::JobWrong);
    };
    let Some(mat) = resolved.sound() else {
        return Ok(Exit::JobWrong);
    };
    let mut files = Vec::with_capacity(args.format.len());
    for form in &args.format {
        let name = format!("{}-picture.{}", request.stem, form.extension());
        let exported = export(args, mat, *form).map_err(|error| (format!("{name}: {error}"), Exit::JobWrong))?;
        files.push((name, exported));
    }
    let output = if is_single(&args.output) { args.output.clone() } else { args.output.join(&request.folder) };
    Target { output: &output, force: args.force, verbose: args.verbose }.write(&files)
}

fn export(args: &PictureArgs, mat: &Mat, form: PictureForm) -> Result<Exported, ExportError> {
    let pixels_per_inch = if form == PictureForm::Png { args.ppi } else { PRINTED_PPI };
    let longest = args.longest.map(|pixels| f64::from(pixels) / args.ppi * 25.4);
    let picture = draw(mat, &Scene { longest, pixels_per_inch });
    let options = Options::default();
    let mut exported = match format(form.extension()) {
        Some(format) => format.export(&Source::new(&picture.drawing, &options))?,
        None => png(&picture.drawing, args.ppi)?,
    };
    exported.notes.extend(picture.notes);
    Ok(exported)
}
