//! The command line as typed.

use std::path::PathBuf;

use super::calibrate::CalibrateArgs;
use super::drawn_pages::PageForm;
use super::file_kind::FileKind;
use super::measure_args::MeasureArgs;
use super::print_args::{PrintArgs, PrinterArgs};
use super::schema_kind::SchemaKind;
use super::sheets_args::SheetsArgs;
use super::square::SquareArgs;
use super::trouble::TroubleArgs;
use super::values::{file_unit, formats, sheet_of_board, tolerance, views};
use crate::formats::{DxfFigures, FileUnit, page_format};
use crate::geometry::Flattening;
use crate::job::NamePattern;
use crate::paper::Paper;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};

/// Draw window mats: from a job file to a full-size, mirrored template and files for cutters.
#[derive(Debug, Parser)]
#[command(
    version,
    max_term_width = 100,
    after_help = "\
Examples:
  backline new > harbour.toml             write a commented job to start from; change its numbers
  backline check harbour.toml             see the sizes, borders and problems
  backline help job                       every key of a job with an example; also order, shop, cutter, machine
  backline draw harbour.toml -o out       draw the template and the files for a cutter
  backline settings harbour.toml          see what to set your hand cutter to
  backline workshop harbour.toml -o out   draw a page for the bench, with sizes and boards
  backline picture harbour.toml -o out    draw how it will look, for the customer

Exit codes: 0 success; 1 a job is wrong, or a file cannot be read or written; 2 the command line is wrong.
Blades cut people: test on scrap first and follow the manual of your cutter."
)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Command,
    #[command(flatten)]
    pub(super) manners: super::manners::Manners,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    Draw(DrawArgs),
    Check(CheckArgs),
    Watch(WatchArgs),
    Print(PrintArgs),
    Printer(PrinterArgs),
    Pack(super::pack::PackArgs),
    Quote(super::quote::QuoteArgs),
    Measure(MeasureArgs),
    Settings(SettingsArgs),
    Sheets(SheetsArgs),
    Stock(super::stock::StockArgs),
    Calibrate(CalibrateArgs),
    Workshop(super::workshop::WorkshopArgs),
    Picture(super::picture::PictureArgs),
    Square(SquareArgs),
    Trouble(TroubleArgs),
    Machines(super::machines::MachinesArgs),
    Completions(super::manual::CompletionsArgs),
    Man(super::manual::ManArgs),
    /// Print a commented file to start from: a job, order or stock, or the profile of a cutter, machine or printer
    ///
    /// Example: backline new > harbour.toml
    New {
        /// The kind of file
        #[arg(value_enum, default_value_t)]
        what: FileKind,
        /// Print it as JSON, without comments, for programs to start from
        #[arg(long)]
        json: bool,
    },
    /// Print the JSON Schema for a kind of file, for editors and other programs
    Schema {
        /// The kind of file, or the output of a command
        #[arg(value_enum, default_value_t)]
        what: SchemaKind,
    },
}

/// Draw every board of each job at full size
///
/// Writes one file for each board, view and format, such as harbour-back.pdf, or harbour-1-top-back.pdf if the mat has several
/// boards. Given a folder, draws all jobs in it and in its subfolders, into subfolders of the same names. A job that fails is
/// reported, and the others are still drawn. With --nest the mats are laid side by side on sheets. Send a cutter the view `cut`
/// or `cut-face`; the other views also contain guide lines and words.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline draw harbour.toml                                 template and cut path as SVG, PDF and DXF, in this folder
  backline draw *.toml -o out --format all --view all        many jobs, every view in every format
  backline draw harbour.toml --view cut --format hpgl -o -   one file to standard output
  cat job.json | backline draw - -o out                      a job from another program
  backline draw harbour.toml --machine drag-knife-router     a file for the machine of that profile
  backline draw harbour.toml --format dxf --verify           the file is read back and measured
  orders | backline draw --lines - -o out                    one JSON job per line
  backline draw *.toml --nest --sheet 32x40in -o out          all mats side by side on sheets, a file for each sheet
  backline draw orders -o out --manifest out/drawn.jsonl     a folder of jobs; rerun to resume after an interruption")]
pub(super) struct DrawArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Read one JSON job per line; .jsonl files are always read this way
    #[arg(long)]
    pub(super) lines: bool,
    /// How many of each mat to make; overrides the job's `quantity`
    ///
    /// Each board is still drawn once. The number appears on the templates and in the manifest.
    #[arg(short, long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub(super) quantity: Option<u32>,
    /// Keep a list of what was drawn in this file, and skip jobs that it lists as done
    ///
    /// Each line of the list is a JSON object: the job, its quantity, its files with their size in bytes and SHA-256, and its
    /// problems. Another run with the same list draws only jobs that failed or changed, or whose files are missing or altered.
    #[arg(short, long, value_name = "FILE")]
    pub(super) manifest: Option<PathBuf>,
    /// Folder for the files, created if missing, or a single file such as cut.dxf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(super) output: PathBuf,
    /// Pattern for the start of file names, such as '{own.order}-{stem}'
    ///
    /// `{stem}` is the name of the job file without its ending, `{name}` the name of the job, and `{own.KEY}` a value from the
    /// job's table `own`. It is an error if two jobs would write files of the same name.
    #[arg(long, value_name = "PATTERN")]
    pub(super) file_names: Option<NamePattern>,
    /// Write files for these machines instead: names or paths of profiles, comma-separated
    ///
    /// `backline machines` lists them. The profile sets the format, unit, side, origin, order, direction and tools.
    #[arg(long, value_name = "MACHINE", value_delimiter = ',', conflicts_with_all = ["format", "view", "tolerance", "chords", "dxf_figures", "unit", "font"])]
    pub(super) machine: Vec<String>,
    /// Folder of your own machine profiles, instead of `$BACKLINE_MACHINES` or backline/machines in your settings folder
    #[arg(long, value_name = "DIR", requires = "machine")]
    pub(super) machine_folder: Option<PathBuf>,
    /// Formats, comma-separated
    #[arg(short, long, value_name = "FORMAT", value_delimiter = ',', default_values = ["svg", "pdf", "dxf"], value_parser = formats())]
    pub(super) format: Vec<String>,
    /// Views, comma-separated
    #[arg(short = 'w', long, value_name = "VIEW", value_delimiter = ',', default_values = ["back", "cut"], value_parser = views())]
    pub(super) view: Vec<String>,
    /// Largest distance between a curve and the straight strokes that replace it, in formats without curves
    #[arg(long, value_name = "LENGTH", default_value = "0.01 mm", value_parser = tolerance)]
    pub(super) tolerance: f64,
    /// Which side of the curve those strokes lie on
    #[arg(long, value_name = "SIDE", value_enum, default_value_t)]
    pub(super) chords: ChordSide,
    /// How outlines are written in DXF; by default polylines in `dxf` and bulges in `dxf-r2000`
    #[arg(long, value_name = "FIGURES", value_enum)]
    pub(super) dxf_figures: Option<Figures>,
    /// Unit of the numbers in DXF and polyline files; with `in`, file names say so
    #[arg(long, value_name = "UNIT", default_value = "mm", value_parser = PossibleValuesParser::new(["mm", "in"]).map(|name| file_unit(&name)))]
    pub(super) unit: FileUnit,
    /// TrueType or OpenType font for characters that the built-in PDF font lacks
    #[arg(long, value_name = "FILE")]
    pub(super) font: Option<PathBuf>,
    /// Read every file back and measure it against the job before reporting success; PDF is not read back
    #[arg(long)]
    pub(super) verify: bool,
    /// Report problems as data for other programs: one line of JSON per job, on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Refuse a job if a file would omit or change any part of it, instead of only warning
    #[arg(long)]
    pub(super) strict: bool,
    /// Replace existing files
    #[arg(long)]
    pub(super) force: bool,
    /// Number of jobs to work on at once; one per core by default
    #[arg(short, long, value_name = "N")]
    pub(super) jobs_at_once: Option<std::num::NonZeroUsize>,
    /// Print the name of each file written
    #[arg(short, long)]
    pub(super) verbose: bool,
    #[command(flatten)]
    pub(super) nest: super::nest_args::NestArgs,
}

/// Draw jobs, and draw them again whenever they are saved
///
/// Watches the jobs, the outlines and pictures that they name, and the shop file. What is wrong is said, and the drawings stay as they
/// were until it is right again. Ctrl-C ends it. All options are those of `backline draw`; files that this run has not written are
/// replaced only with --force.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline watch harbour.toml -o out --format svg     open out/harbour-back.svg in a viewer, and change the job
  backline watch orders -o out                        a folder of jobs, and new jobs in it")]
pub(super) struct WatchArgs {
    #[command(flatten)]
    pub(super) draw: DrawArgs,
}

/// Which side of a curve its straight strokes lie on.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum ChordSide {
    /// On the inner side, with every point on the curve
    #[default]
    Inside,
    /// On both sides, with about 30 % fewer points at the same tolerance
    BothSides,
}

impl From<ChordSide> for Flattening {
    fn from(chords: ChordSide) -> Self {
        match chords {
            ChordSide::Inside => Self::Inside,
            ChordSide::BothSides => Self::BothSides,
        }
    }
}

/// How outlines are written in DXF.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Figures {
    /// Polylines of straight segments, which every program reads
    Polylines,
    /// Polylines with circular arcs; release 2000 also has circles and ellipses
    Bulges,
    /// Separate straight lines, for programs that do not read polylines
    Lines,
    /// Separate lines, arcs and circles, for programs that ignore the bulges of polylines
    Arcs,
}

impl From<Figures> for DxfFigures {
    fn from(figures: Figures) -> Self {
        match figures {
            Figures::Polylines => Self::Polylines,
            Figures::Bulges => Self::Bulges,
            Figures::Lines => Self::Lines,
            Figures::Arcs => Self::Arcs,
        }
    }
}

/// Work out each job and report its sizes and problems, without drawing
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline check harbour.toml
  backline check --json *.toml | jq '.[].outer'
  backline new | backline check -")]
pub(super) struct CheckArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Read one JSON job per line; .jsonl files are always read this way
    #[arg(long)]
    pub(super) lines: bool,
    /// Print data for other programs: an object for one job; an array for several, for folders and for streams
    #[arg(long)]
    pub(super) json: bool,
    /// Also say which values came from the shop file
    #[arg(short, long, conflicts_with = "json")]
    pub(super) verbose: bool,
}

/// Print the settings of a hand cutter (guide, stops, blade) in the order with the fewest changes
///
/// For each side of every opening in every board: which edge goes against the guide, where to set the guide and the near and far
/// stops, and how far each setting is from the nearest mark of the scale. Ovals, arcs and slanting sides get marks and lines to draw.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline settings harbour.toml                               a table for the terminal
  backline settings harbour.toml --cutter bench.toml --mats 6  corrected for your cutter, for six alike
  backline settings harbour.toml --format text                 step by step, in sentences
  backline settings *.toml --format pdf -o bench.pdf           bench cards to print, one page per board
  backline settings --together *.toml --format text            a day's mats as one order, saying which blank is next
  backline settings --json *.toml | jq '.[].order'

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct SettingsArgs {
    /// Job files, TOML or JSON; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    pub(super) jobs: Vec<PathBuf>,
    /// Profile of your cutter (`backline new cutter` prints one to start from); a typical cutter by default
    #[arg(short, long, value_name = "FILE")]
    pub(super) cutter: Option<PathBuf>,
    /// Assume a typical cutter without stops
    #[arg(long, conflicts_with = "cutter")]
    pub(super) no_stops: bool,
    /// Cut each board on its own, measured from its own edges, rather than taped behind the one above
    #[arg(long)]
    pub(super) boards_apart: bool,
    /// Finish each opening before starting the next, rather than change the settings as rarely as possible
    #[arg(long)]
    pub(super) openings: bool,
    /// Cut all jobs as one run, grouped by board thickness, with the fewest settings overall
    #[arg(long, conflicts_with = "openings")]
    pub(super) together: bool,
    /// Number of identical mats cut in one run; the job's quantity by default
    #[arg(short, long, value_name = "N")]
    pub(super) mats: Option<std::num::NonZeroU32>,
    /// What to print
    #[arg(short, long, value_name = "FORMAT", default_value = "table", value_parser = SettingsFormat::parser())]
    format: SettingsFormat,
    /// Print data for other programs, like `--format json`: an object for one job, an array for several
    #[arg(long, conflicts_with = "format")]
    json: bool,
    /// Size of the sheets to cut the blanks from, such as "32 x 40 in"; adds how to cut them down
    #[arg(long, value_name = "SIZE", value_parser = sheet_of_board)]
    pub(super) sheet: Option<kurbo::Size>,
    /// Paper of the bench card, such as A4 or Letter; by default Letter for rulers in inches, A4 for metric ones
    #[arg(long, value_name = "PAPER", value_parser = sheet_of_paper)]
    pub(super) paper: Option<kurbo::Size>,
    /// TrueType or OpenType font for characters on the bench card that the built-in PDF font lacks
    #[arg(long, value_name = "FILE")]
    pub(super) font: Option<PathBuf>,
    /// File to write, instead of standard output; `-` is standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    /// Replace an existing file
    #[arg(long)]
    pub(super) force: bool,
}

/// How settings are printed.
#[derive(Debug, Clone, Copy)]
pub(super) enum SettingsFormat {
    /// A table for each board.
    Table,
    /// Numbered sentences.
    Text,
    /// Markdown.
    Markdown,
    /// Data for other programs.
    Json,
    /// Bench cards, in a format for pages.
    Cards(PageForm),
}

impl SettingsFormat {
    /// Those that are text: their names, what help says, and what they are.
    const TEXTS: [(&'static str, &'static str, Self); 4] = [
        ("table", "A table for each board", Self::Table),
        ("text", "Numbered sentences", Self::Text),
        ("markdown", "Markdown", Self::Markdown),
        ("json", "Data for other programs", Self::Json),
    ];

    /// Reads a choice.
    fn parser() -> impl TypedValueParser<Value = Self> {
        let texts = Self::TEXTS.iter().map(|(name, help, _)| PossibleValue::new(*name).help(*help));
        let cards = PageForm::choices().map(|choice| {
            let form = choice.get_help().map(ToString::to_string).unwrap_or_default();
            choice.help(format!("Bench cards with large numbers, a sketch of each step and boxes to tick: {form}"))
        });
        PossibleValuesParser::new(texts.chain(cards)).try_map(|name| {
            let text = Self::TEXTS.iter().find(|(text, ..)| *text == name).map(|(.., format)| *format);
            let cards = || page_format(&name).map(|format| Self::Cards(PageForm(format)));
            text.or_else(cards).ok_or_else(|| format!("there is no format {name}"))
        })
    }
}

/// The shortest side in millimetres of a page that a bench card fits on.
const SMALLEST_CARD_MM: f64 = 140.0;

/// Reads the size in millimetres of an upright sheet.
fn sheet_of_paper(text: &str) -> Result<kurbo::Size, String> {
    match text.parse::<Paper>().map_err(|error| error.to_string())? {
        Paper::Sheet { short, long, .. } if short >= SMALLEST_CARD_MM => Ok(kurbo::Size::new(short, long)),
        Paper::Sheet { .. } => Err(format!("a bench card needs paper at least {SMALLEST_CARD_MM} mm wide, such as A5")),
        Paper::Roll { .. } => Err("a bench card is printed on sheets, such as A4 or Letter, not on a roll".to_owned()),
    }
}

impl SettingsArgs {
    /// Returns the format that the two options ask for.
    pub(super) const fn format(&self) -> SettingsFormat {
        if self.json { SettingsFormat::Json } else { self.format }
    }
}
