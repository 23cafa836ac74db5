//! The command lines of `backline print` and `backline printer` as typed.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::doubt::doubted;
use super::drawn_pages::TileForm;
use super::values::views;
use crate::job::NamePattern;
use crate::length;
use crate::mat::OpeningChoice;
use crate::paper::Paper;
use crate::tiling::Orientation;

/// Lay out a full-size template for an office printer, as pages to be joined
///
/// Writes one PDF file for each board and view, such as harbour-back-A4.pdf. Print it at 100 %, check the bars on each page
/// with a ruler, cut along the blue lines and join the pages. A drawing that fits on one page gets one page; blank pages are
/// left out.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  backline print harbour.toml                              the back template on A4
  backline print harbour.toml --paper letter -o out        on Letter paper, to the folder out
  backline print harbour.toml --only corners               corners and the middles of the sides, to save paper
  backline print harbour.toml --only 3                     the third opening alone
  backline print harbour.toml --overlap 0                  pages joined edge to edge
  backline print harbour.toml --paper 'roll 24 in'         a plotter with a roll
  backline print harbour.toml --printer office.toml        corrected for the printer; see `backline printer --help`

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct PrintArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Paper: a name such as A3 or Letter, a size such as `13 x 19 in`, or a roll such as `roll 24 in`; A4 by default
    #[arg(short, long, value_name = "PAPER")]
    pub(super) paper: Option<Paper>,
    /// Width of the strip along each edge of the paper that the printer cannot print on; 6 mm by default
    #[arg(long, value_name = "LENGTH", value_parser = length_from_zero)]
    pub(super) margin: Option<f64>,
    /// Overlap of neighbouring pages; 0 joins them edge to edge; 10 mm by default
    #[arg(long, value_name = "LENGTH", value_parser = length_from_zero)]
    pub(super) overlap: Option<f64>,
    /// Print only the `corners` (with the curves and the middles of the sides), or one opening, by number or name
    #[arg(long, value_name = "PART", value_parser = only)]
    pub(super) only: Option<OnlyArg>,
    /// Which way the paper is turned
    #[arg(long, value_enum, value_name = "WAY", default_value_t)]
    pub(super) orientation: PaperTurn,
    /// Profile of the printer, which corrects its stretch; see `backline printer`
    #[arg(long, value_name = "FILE")]
    pub(super) printer: Option<PathBuf>,
    /// Views, comma-separated
    #[arg(short = 'w', long, value_name = "VIEW", value_delimiter = ',', default_values = ["back"], value_parser = views())]
    pub(super) view: Vec<String>,
    /// Format of the pages
    #[arg(short, long, value_name = "FORMAT", default_value = "pdf", value_parser = TileForm::parser())]
    pub(super) format: TileForm,
    /// Folder for the files, created if missing, or a single file such as back.pdf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(super) output: PathBuf,
    /// Pattern for the start of file names, such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file without its ending, `{name}` the name of the job, and `{own.KEY}` a value from the
    /// job's table `own`. It is an error if two jobs would write files of the same name.
    #[arg(long, value_name = "PATTERN")]
    pub(super) file_names: Option<NamePattern>,
    /// TrueType or OpenType font for characters that the built-in PDF font lacks
    #[arg(long, value_name = "FILE")]
    pub(super) font: Option<PathBuf>,
    /// Replace existing files
    #[arg(long)]
    pub(super) force: bool,
    /// Print the number of pages and the name of each file written
    #[arg(short, long)]
    pub(super) verbose: bool,
    /// Print where each page lies on the drawing, as data for other programs: one line of JSON per view of a board, in millimetres
    #[arg(long)]
    pub(super) json: bool,
}

/// Which way round the paper is.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum PaperTurn {
    /// Whichever takes fewer pages
    #[default]
    Auto,
    /// Upright
    Portrait,
    /// On its side
    Landscape,
}

impl From<PaperTurn> for Orientation {
    fn from(way: PaperTurn) -> Self {
        match way {
            PaperTurn::Auto => Self::Fewest,
            PaperTurn::Portrait => Self::Portrait,
            PaperTurn::Landscape => Self::Landscape,
        }
    }
}

/// Measure a printer once, so that its prints can be corrected for stretch
#[derive(Debug, Args)]
pub(super) struct PrinterArgs {
    #[command(subcommand)]
    pub(super) command: PrinterCommand,
}

impl PrinterArgs {
    /// Tells whether data is asked for.
    pub(super) const fn asks_for_data(&self) -> bool {
        match &self.command {
            PrinterCommand::Page(args) => args.json,
            PrinterCommand::Save(args) => args.json,
        }
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum PrinterCommand {
    Page(PageArgs),
    Save(SaveArgs),
}

/// Write a test page with a bar in each direction, to be printed at 100 % and measured
///
/// Example: backline printer page --paper letter -o test.pdf
#[derive(Debug, Args)]
pub(super) struct PageArgs {
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// The file; its ending sets the format. `-` is standard output, as PDF
    #[arg(short, long, value_name = "FILE", default_value = "printer-test.pdf")]
    pub(super) output: PathBuf,
    /// Print data for other programs; problems become data on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace an existing file
    #[arg(long)]
    pub(super) force: bool,
}

/// Save the measured lengths of the bars as a profile for `backline print --printer`
///
/// Give the same paper and margin as for the test page. An error above 2 % gives a warning; above 5 % it is refused.
///
/// Example: backline printer save --paper A4 --short '179.5 mm' --long '270.4 mm' -o office.toml
#[derive(Debug, Args)]
pub(super) struct SaveArgs {
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// Measured length of the bar along the short side of the paper, or across the roll
    #[arg(long, value_name = "LENGTH")]
    pub(super) short: String,
    /// Measured length of the bar along the long side of the paper, or along the roll
    #[arg(long, value_name = "LENGTH")]
    pub(super) long: String,
    /// Your name for the printer, which is printed on the pages
    #[arg(long, value_name = "NAME", default_value = "")]
    pub(super) name: String,
    /// File for the profile; `-` is standard output
    #[arg(short, long, value_name = "FILE", default_value = "printer.toml")]
    pub(super) output: PathBuf,
    /// Print data for other programs; problems become data on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace an existing file
    #[arg(long)]
    pub(super) force: bool,
}

/// What a test page is printed on.
#[derive(Debug, Args)]
pub(super) struct SheetArgs {
    /// Paper: a name such as A3 or Letter, a size such as `13 x 19 in`, or a roll such as `roll 24 in`
    #[arg(short, long, value_name = "PAPER", default_value = "A4")]
    pub(super) paper: Paper,
    /// Width of the strip along each edge of the paper that the printer cannot print on
    #[arg(long, value_name = "LENGTH", default_value = "6 mm", value_parser = length_from_zero)]
    pub(super) margin: f64,
}

fn length_from_zero(text: &str) -> Result<f64, String> {
    // Nothing has the same length in every unit.
    if text.trim() == "0" {
        return Ok(0.0);
    }
    length::parse(doubted(text), None).map_err(|error| format!("{}; {}", error.message, error.help))
}

/// What is printed of a drawing, as typed.
#[derive(Debug, Clone)]
pub(super) enum OnlyArg {
    Corners,
    Opening(OpeningChoice),
}

fn only(text: &str) -> Result<OnlyArg, String> {
    match OpeningChoice::parse(text) {
        OpeningChoice::Name(word) if word == "corners" => Ok(OnlyArg::Corners),
        OpeningChoice::Number(0) => Err("openings are counted from 1".to_owned()),
        OpeningChoice::Name(word) if word.is_empty() => {
            Err("write `corners`, or the number or the name of an opening".to_owned())
        }
        choice => Ok(OnlyArg::Opening(choice)),
    }
}
