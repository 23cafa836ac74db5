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

/// Lay out a template on the paper of an office printer, in pages to be joined
///
/// Writes one PDF file for each board and view, for example harbour-back-A4.pdf. Print it at 100 %, check the bars on
/// each page with a ruler, cut along the blue lines and join the pages. A drawing that fits on one page is one page; blank
/// pages are left out.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  backline print harbour.toml                              the back template on A4
  backline print harbour.toml --paper letter -o out        on Letter paper, to the folder out
  backline print harbour.toml --only corners               corners and the middles of sides: saves paper
  backline print harbour.toml --only 3                     the third opening alone
  backline print harbour.toml --overlap 0                  pages joined edge to edge
  backline print harbour.toml --paper 'roll 24 in'         a plotter with a roll
  backline print harbour.toml --printer office.toml        corrected; see `backline printer --help`

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct PrintArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) and folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Paper: a name such as A3 or Letter, a size such as `13 x 19 in`, or a roll such as `roll 24 in`; A4 if left out
    #[arg(short, long, value_name = "PAPER")]
    pub(super) paper: Option<Paper>,
    /// Width of the strip at each edge of the paper that the printer cannot reach; 6 mm if left out
    #[arg(long, value_name = "LENGTH", value_parser = length_from_zero)]
    pub(super) margin: Option<f64>,
    /// Overlap of neighbouring pages; 0 joins them edge to edge; 10 mm if left out
    #[arg(long, value_name = "LENGTH", value_parser = length_from_zero)]
    pub(super) overlap: Option<f64>,
    /// Print only the `corners` (with curves and the middles of sides), or only one opening, by number or name
    #[arg(long, value_name = "PART", value_parser = only)]
    pub(super) only: Option<OnlyArg>,
    /// Which way the paper is turned
    #[arg(long, value_enum, value_name = "WAY", default_value_t)]
    pub(super) orientation: PaperTurn,
    /// Profile of the printer, which corrects its stretch; see `backline printer`
    #[arg(long, value_name = "FILE")]
    pub(super) printer: Option<PathBuf>,
    /// Views, separated by commas
    #[arg(short = 'w', long, value_name = "VIEW", value_delimiter = ',', default_values = ["back"], value_parser = views())]
    pub(super) view: Vec<String>,
    /// Format of the pages
    #[arg(short, long, value_name = "FORMAT", default_value = "pdf", value_parser = TileForm::parser())]
    pub(super) format: TileForm,
    /// Folder for the files, created if missing, or a single file, such as back.pdf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(super) output: PathBuf,
    /// How the names of files begin: a pattern such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file, `{name}` that of the job, and `{own.KEY}` a value of its table `own`. Two jobs whose
    /// files would have the same names are an error.
    #[arg(long, value_name = "PATTERN")]
    pub(super) file_names: Option<NamePattern>,
    /// TrueType or OpenType font for characters that the PDF's own font lacks
    #[arg(long, value_name = "FILE")]
    pub(super) font: Option<PathBuf>,
    /// Replace files that exist
    #[arg(long)]
    pub(super) force: bool,
    /// Say how many pages there are, and name each file that is written
    #[arg(short, long)]
    pub(super) verbose: bool,
    /// Print where each tile lies, as data for other programs: a line of JSON for each view of a board, in millimetres
    #[arg(long)]
    pub(super) json: bool,
}

/// A way to turn the paper.
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

/// Measure a printer once, so that its prints can be corrected
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

/// Write a page with a bar in both directions, to be printed at 100 % and measured
///
/// Example: backline printer page --paper letter -o test.pdf
#[derive(Debug, Args)]
pub(super) struct PageArgs {
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// The file, whose ending chooses the format; `-` is standard output, as PDF
    #[arg(short, long, value_name = "FILE", default_value = "printer-test.pdf")]
    pub(super) output: PathBuf,
    /// Data for other programs; problems too are told as data, on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace the file if it exists
    #[arg(long)]
    pub(super) force: bool,
}

/// Save what the bars of the test page measure in a profile for `backline print --printer`
///
/// Paper and margin must be those of the test page. More than 2 % off is a warning, more than 5 % is refused.
///
/// Example: backline printer save --paper A4 --short '179.5 mm' --long '270.4 mm' -o office.toml
#[derive(Debug, Args)]
pub(super) struct SaveArgs {
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// What the bar along the short side of the paper measures, or the one across the roll
    #[arg(long, value_name = "LENGTH")]
    pub(super) short: String,
    /// What the bar along the long side of the paper measures, or the one along the roll
    #[arg(long, value_name = "LENGTH")]
    pub(super) long: String,
    /// Your name for the printer; it is printed on the pages
    #[arg(long, value_name = "NAME", default_value = "")]
    pub(super) name: String,
    /// The profile; `-` is standard output
    #[arg(short, long, value_name = "FILE", default_value = "printer.toml")]
    pub(super) output: PathBuf,
    /// Data for other programs; problems too are told as data, on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace the file if it exists
    #[arg(long)]
    pub(super) force: bool,
}

/// What a test page is printed on.
#[derive(Debug, Args)]
pub(super) struct SheetArgs {
    /// Paper: a name such as A3 or Letter, a size such as `13 x 19 in`, or a roll such as `roll 24 in`
    #[arg(short, long, value_name = "PAPER", default_value = "A4")]
    pub(super) paper: Paper,
    /// Width of the strip at each edge of the paper that the printer cannot reach
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
