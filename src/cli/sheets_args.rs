//! The arguments of `backline sheets` as typed.

use std::num::NonZero;
use std::path::PathBuf;
use std::thread::available_parallelism;

use crate::job::{Measure, SizeMeasure};
use crate::length::{self, Unit};
use crate::paper::Paper;
use crate::sheets::cutting::Effort;
use crate::sheets::{Columns, Stock};
use clap::Args as ClapArgs;
use serde::Serialize;

use super::bounds::search_seconds;
use super::doubt::doubted;
use super::drawn_pages::PageForm;

/// Plan how to cut blanks from sheets with little waste, for an order or for the boards of jobs
///
/// Prints the sheets to pull, what they cost, how good the plan is, and the sequence of cuts for every sheet: set the arm, cut,
/// turn. Blanks that do not fit are listed, and the exit code is then 1. With -o it also draws every sheet.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline sheets harbour.toml oval.toml                    boards of two jobs, from sheets of common sizes
  backline sheets order.toml --stock stock.toml -o out      an order from your own stock, with drawings
  backline sheets order.csv --unit in --kerf 1/16 --json    an order from a spreadsheet, as data
  backline sheets *.toml --fallout --labels -o out          use what falls out of large openings; print labels
  backline sheets order.toml --stock stock.toml --reserve 2026-117
                                                            set its sheets aside; see `backline stock`
  backline new order > order.toml                           an order to start from; `new stock` for a stock

The same order, stock, --effort and --seed give the same plan; with --time the plan may vary. Ctrl-C ends the search and
prints the best plan found so far.
Blades cut people: keep your free hand out of the line of the blade, and follow the manual of your cutter.")]
pub(super) struct SheetsArgs {
    /// Order files (TOML, JSON or CSV), job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "ORDER")]
    pub(super) orders: Vec<PathBuf>,
    /// File with the sheets and offcuts on hand, prices and bench rules; by default sheets of common sizes are used
    #[arg(short, long, value_name = "FILE")]
    pub(super) stock: Option<PathBuf>,
    /// Unit of bare numbers in the options below and in orders that do not name a unit: in, mm or cm
    #[arg(long, value_name = "UNIT", value_parser = super::square::unit)]
    pub(super) unit: Option<Unit>,
    /// What unusual spreadsheet headings stand for, such as size=Cut,ignore=Notes
    #[arg(long, value_name = "COLUMN=HEADING,…", value_parser = Columns::parse)]
    pub(super) columns: Option<Columns>,
    #[command(flatten)]
    pub(super) rules: BenchRules,
    /// Plan with as many sheets as needed at their prices, and say what to buy and how much that saves over the stock on hand
    #[arg(long, requires = "stock", conflicts_with_all = ["reserve", "json"])]
    pub(super) buy: bool,
    /// Cut smaller blanks from the fallout of the jobs' openings, unless a job says to keep it
    #[arg(long)]
    pub(super) fallout: bool,
    /// Name of the plan; by default the name of the order or job, if there is only one
    #[arg(long, value_name = "NAME")]
    pub(super) name: Option<String>,
    /// Draw the sheets into this folder, created if missing, or into a single file such as sheets.pdf
    #[arg(short, long, value_name = "DIR")]
    pub(super) output: Option<PathBuf>,
    /// Formats of the drawings, comma-separated
    #[arg(short, long, value_name = "FORMAT", value_delimiter = ',', default_values = ["pdf"], value_parser = PageForm::parser(), requires = "output")]
    pub(super) format: Vec<PageForm>,
    /// Paper of the drawings, upright: A4, Letter or a size such as "8.5 x 13 in"; by default Letter for inches, otherwise A4
    #[arg(long, value_name = "PAPER", value_parser = paper, requires = "output")]
    pub(super) paper: Option<Paper>,
    /// Also draw a label for every piece
    #[arg(long, requires = "output")]
    pub(super) labels: bool,
    /// Reserve what the plan uses in the ledger of the stock file, under this order ID; without it, planning changes nothing
    #[arg(long, value_name = "ID", requires = "stock")]
    pub(super) reserve: Option<String>,
    /// Replace existing files
    #[arg(long)]
    pub(super) force: bool,
    /// Print data for other programs
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) search: SearchArgs,
    /// Print the name of each file written
    #[arg(short, long)]
    pub(super) verbose: bool,
}

/// The rules of the bench as typed; they stand in for those of the stock.
#[derive(Debug, Clone, ClapArgs, Serialize)]
pub(super) struct BenchRules {
    /// Cut this much off every factory edge first, including the kerf
    #[arg(long, value_name = "LENGTH", value_parser = length, help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) trim: Option<Measure>,
    /// Width of board that a cut removes
    #[arg(long, value_name = "LENGTH", value_parser = length, help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) kerf: Option<Measure>,
    /// Smallest remainder worth keeping
    #[arg(long, value_name = "SIZE", value_parser = size, help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) smallest_offcut: Option<Measure>,
    /// Longest cut that the arm can make
    #[arg(long, value_name = "LENGTH", value_parser = length, help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) longest_cut: Option<Measure>,
    /// Largest number of levels of cuts, each at right angles to the one before
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..), help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) stages: Option<u32>,
    /// Never rotate blanks: the board has a grain, a texture or a pattern
    #[arg(long, help_heading = "Bench rules, instead of those in the stock file")]
    pub(super) no_turn: bool,
}

/// How hard to search for a plan.
#[derive(Debug, Clone, ClapArgs, Serialize)]
pub(super) struct SearchArgs {
    /// Rounds of search for each board: 100,000 take about a second on one core; proving that nothing is cheaper takes several
    /// times as long. Above 30,000, more rounds never give a more expensive plan
    #[arg(long, value_name = "ROUNDS")]
    pub(super) effort: Option<u64>,
    /// Cores to search on, all by default; the plan is the same on any number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(super) cores: Option<u16>,
    /// Seed of the search, which chooses between equally good plans
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(super) seed: u64,
    /// Search for at most this many seconds in all; without --effort, as long as searching can still help. The last eighth of each
    /// board's share goes to larger offcuts and fewer settings
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    pub(super) time: Option<f64>,
}

impl BenchRules {
    /// Puts the rules in place of those of a stock; bare numbers are in a unit, whatever the file has.
    pub(super) fn applied_to(&self, stock: &Stock, unit: Unit) -> Stock {
        let own = |measure: &Measure| match measure {
            Measure::Text(text) if length::parse_size(text, None).is_err() => Measure::Text(format!("{text} {unit}")),
            measure => measure.clone(),
        };
        let mut stock = stock.clone();
        if let Some(trim) = &self.trim {
            stock.trim = Some(own(trim));
            stock.sheet.iter_mut().for_each(|sheet| sheet.trim = None);
        }
        stock.kerf = self.kerf.as_ref().map(own).or(stock.kerf);
        stock.smallest_offcut =
            self.smallest_offcut.as_ref().map(|size| SizeMeasure::One(own(size))).or(stock.smallest_offcut);
        stock.longest_cut = self.longest_cut.as_ref().map(own).or(stock.longest_cut);
        stock.stages = self.stages.or(stock.stages);
        stock
    }
}

impl SearchArgs {
    /// Returns the seconds that searching may take in all: those asked for, but no more processor than --limits allows.
    pub(super) fn seconds(&self) -> Option<f64> {
        self.time.into_iter().chain(self.most_seconds()).reduce(f64::min)
    }

    /// Returns the seconds that --limits allows, on as many cores as there are.
    pub(super) fn most_seconds(&self) -> Option<f64> {
        let cores = self.cores.map_or_else(|| available_parallelism().map_or(1, NonZero::get), usize::from);
        search_seconds().map(|seconds| seconds / cores as f64)
    }

    /// Returns how long to search where no limit of time holds.
    pub(super) fn bounded_effort(&self) -> Effort {
        Effort { iterations: self.effort.unwrap_or(Effort::default().iterations), ..self.effort() }
    }

    /// Returns how long to search: a limit of time alone lets the search go on until then.
    pub(super) fn effort(&self) -> Effort {
        let usual = if self.time.is_some() { u64::MAX } else { Effort::default().iterations };
        Effort {
            iterations: self.effort.unwrap_or(usual),
            seed: self.seed,
            cores: usize::from(self.cores.unwrap_or(0)),
            ..Effort::default()
        }
    }
}

/// The narrowest page in millimetres that has room for the words of a plan.
const NARROWEST: f64 = 100.0;

fn paper(text: &str) -> Result<Paper, String> {
    match text.parse() {
        Ok(Paper::Roll { .. }) => Err("a plan is printed on sheets of paper, not on a roll".to_owned()),
        Ok(paper) if paper.short() < NARROWEST => Err(format!("the page must be at least {NARROWEST} mm wide")),
        Ok(paper) => Ok(paper),
        Err(error) => Err(error.to_string()),
    }
}

/// Checks a length that may lack its unit; the unit is settled later.
fn length(text: &str) -> Result<Measure, String> {
    length::parse(doubted(text), Some(Unit::Inch)).map_err(|error| error.to_string())?;
    Ok(text.into())
}

fn size(text: &str) -> Result<Measure, String> {
    length::parse_size(doubted(text), Some(Unit::Inch)).map_err(|error| error.to_string())?;
    Ok(text.into())
}

/// A month: longer searches are a slip of the pen.
const LONGEST_SEARCH: f64 = 30.0 * 86_400.0;

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse() {
        Ok(seconds) if (0.0..=LONGEST_SEARCH).contains(&seconds) => Ok(seconds),
        _ => Err("give a number of seconds such as 30".to_owned()),
    }
}
