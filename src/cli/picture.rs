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

/// Draw pictures for the customer: each mat as it will hang, in its colours and frame
///
/// Boards and moulding have the colours that the job names, and bevels have light and shade. Behind the openings lie the job's
/// picture files at their true size, or a neutral ground if there are none. The file for the job harbour.toml is
/// harbour-picture.png.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline picture harbour.toml                        harbour-picture.png, 100 pixels per inch
  backline picture harbour.toml --ppi 300 -f png,pdf   finer, and a PDF file at true size
  backline picture *.toml -o shop --longest 800        small ones for a web page, at most 800 pixels wide or high
  backline picture harbour.toml -f svg -o - > a.svg    to standard output

Keys in the job: board = { name = \"our cream\", colour = \"#f3e7c9\", core = \"white\" },
frame = { rabbet = [16, 20], moulding = { width = 1.25, colour = \"walnut\" } }, picture = \"harbour.jpg\" in [opening].")]
pub(super) struct PictureArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Read one JSON job per line; .jsonl files are always read this way
    #[arg(long)]
    lines: bool,
    /// Folder for the files, created if missing, or a single file such as harbour.png; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// Pattern for the start of file names, such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file without its ending, `{name}` the name of the job, and `{own.KEY}` a value from the
    /// job's table `own`. It is an error if two jobs would write files of the same name.
    #[arg(long, value_name = "PATTERN")]
    file_names: Option<NamePattern>,
    /// Formats, comma-separated
    #[arg(short, long, value_name = "FORMAT", value_delimiter = ',', default_values = ["png"], value_parser = PageForm::parser())]
    format: Vec<PageForm>,
    /// Resolution of PNG files, in pixels per inch
    #[arg(long, value_name = "N", default_value_t = 100.0)]
    ppi: f64,
    /// Reduce the picture until its longer side has at most this many pixels at that resolution
    #[arg(short, long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(8..))]
    longest: Option<u32>,
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

/// Pixels per inch of photographs in files that are printed, which are not made of pixels.
const PRINTED_PPI: f64 = 300.0;

pub(super) fn run(args: &PictureArgs) -> Exit {
    if !(args.ppi.is_finite() && args.ppi > 0.0) {
        say::error!("{} pixels per inch is not a usable resolution; give a number such as 100", args.ppi);
        return Exit::Usage;
    }
    let output = Some(args.output.as_path());
    let requests = Requests::new(&args.jobs, args.lines, output);
    if is_single(&args.output) && !(requests.is_one_file() && args.format.len() == 1) {
        let single = single_name(&args.output);
        say::error!("{single} can hold only one picture; name one job and one format");
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
