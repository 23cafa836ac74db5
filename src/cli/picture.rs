//! `backline picture`: every job as it will hang, for the customer or a listing.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use crate::formats::{ExportError, Exported, Options};
use crate::job::NamePattern;
use crate::mat::Mat;
use crate::picture::{Scene, draw};

use super::bounds::within;
use super::drawn_pages::{self, PageForm};
use super::exit::Exit;
use super::file_names::FileNames;
use super::input::Input;
use super::output::{Target, is_single, single_name};
use super::requests::{JobRequest, Requests};
use super::say;

/// Draw pictures for the customer: every mat as it will hang, in its colours and its frame
///
/// Boards have the colours that the job names, bevels light and shade, the frame its moulding; the picture files of the job lie
/// behind the openings at their true size, or a neutral ground where there are none. The file is called harbour-picture.png
/// after the job harbour.toml.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline picture harbour.toml                        harbour-picture.png, 100 pixels per inch
  backline picture harbour.toml --ppi 300 -f png,pdf   finer, and a PDF file at true size
  backline picture *.toml -o shop --longest 800        small ones for a list, at most 800 pixels wide or high
  backline picture harbour.toml -f svg -o - > a.svg    to standard output

In the job: board = { name = \"our cream\", colour = \"#f3e7c9\", core = \"white\" },
frame = { rabbet = [16, 20], moulding = { width = 1.25, colour = \"walnut\" } }, picture = \"harbour.jpg\" in [opening].")]
pub(super) struct PictureArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) and folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Read one JSON job from each line; files that end with .jsonl are always read this way
    #[arg(long)]
    lines: bool,
    /// Folder for the files, created if missing, or a single file, such as harbour.png; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// How the names of files begin: a pattern such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file, `{name}` that of the job, and `{own.KEY}` a value of its table `own`. Two jobs whose
    /// files would have the same names are an error.
    #[arg(long, value_name = "PATTERN")]
    file_names: Option<NamePattern>,
    /// Formats, separated by commas
    #[arg(short, long, value_name = "FORMAT", value_delimiter = ',', default_values = ["png"], value_parser = PageForm::parser())]
    format: Vec<PageForm>,
    /// Density of PNG files, in pixels per inch
    #[arg(long, value_name = "N", default_value_t = 100.0)]
    ppi: f64,
    /// Reduce the picture until its longer side has at most this many pixels at that density
    #[arg(short, long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(8..))]
    longest: Option<u32>,
    /// Tell problems as data for other programs: a line of JSON for each job, on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
    /// Name each file that is written
    #[arg(short, long)]
    verbose: bool,
}

/// Pixels to the inch of photographs in files that are not made of pixels, which are printed.
const PRINTED_PPI: f64 = 300.0;

pub(super) fn run(args: &PictureArgs) -> Exit {
    if !(args.ppi.is_finite() && args.ppi > 0.0) {
        say::error!("{} pixels per inch is not a usable density; give a number such as 100", args.ppi);
        return Exit::Usage;
    }
    let output = Some(args.output.as_path());
    let requests = Requests::new(&args.jobs, args.lines, output);
    if is_single(&args.output) && !(requests.is_one_file() && args.format.len() == 1) {
        let single = single_name(&args.output);
        say::error!("{single} takes a single picture; name one job and one format");
        return Exit::Usage;
    }
    let mut exit = Exit::Good;
    let names = FileNames::new(args.file_names.as_ref());
    for request in requests {
        exit = exit.max(picture_of(args, &names, &request).unwrap_or_else(|(message, exit)| {
            say::error!("{message}");
            exit
        }));
    }
    exit
}

/// Draws one job; an error does not keep the others from being drawn.
fn picture_of(args: &PictureArgs, names: &FileNames, request: &JobRequest) -> Result<Exit, (String, Exit)> {
    let input = Input::of(request).with_pictures();
    let Some(resolved) = input.resolve_and_report() else {
        return Ok(Exit::JobWrong);
    };
    let Some(mat) = resolved.sound() else {
        return Ok(Exit::JobWrong);
    };
    let stem = names.claim(&input, request, &args.output).map_err(|(_, message)| (message, Exit::JobWrong))?;
    let name = stem.file_name().unwrap_or_default().to_string_lossy();
    let mut files = Vec::with_capacity(args.format.len());
    for form in &args.format {
        let stem = format!("{name}-picture");
        let ending = form.0.facts().name;
        let exported = within(|| export(args, mat, &stem, *form).map_err(|error| error.to_string())).flatten();
        files.extend(exported.map_err(|error| (format!("{stem}.{ending}: {error}"), Exit::JobWrong))?);
    }
    let output = if is_single(&args.output) { args.output.clone() } else { args.output.join(&request.folder) };
    Target { output: &output, force: args.force, verbose: args.verbose }.write(&files)
}

fn export(args: &PictureArgs, mat: &Mat, stem: &str, form: PageForm) -> Result<Vec<(String, Exported)>, ExportError> {
    let pixels_per_inch = if form.has_pixels() { args.ppi } else { PRINTED_PPI };
    let longest = args.longest.map(|pixels| f64::from(pixels) / args.ppi * 25.4);
    let picture = draw(mat, &Scene { longest, pixels_per_inch });
    let options = Options { pixels_per_inch, ..Options::default() };
    let title = picture.drawing.title.clone();
    let mut files = drawn_pages::files(stem, &title, &[picture.drawing], form, &options)?;
    if let Some((_, exported)) = files.first_mut() {
        exported.notes.extend(picture.notes);
    }
    Ok(files)
}
