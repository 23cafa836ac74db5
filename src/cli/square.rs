//! `backline square`: how square the arm of a cutter stands, and how to set it right.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand, ValueEnum};
use kurbo::Size;

use crate::bench::{Pivot, RailSide, SquareDemand, SquareReport, SquareTest, Verdict, square_picture};
use crate::length::{self, LengthError, Ruler, Unit};

use super::cutter;
use super::doubt::doubted;
use super::exit::Exit;
use super::json;
use super::output::to_stdout;
use super::say;

/// Check whether the squaring arm is square, and say how far to move it
///
/// The corner to measure is the one that lay between arm and blade: mark it when you cut. The exit code is 0 if the arm is
/// square within the tolerance, uncertainty included, and 1 if it is not or if the measurement cannot tell.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline square diagonals '16 in' '20 in' '25 5/8 in' '25 19/32 in'
  backline square --unit mm diagonals 300 400 500 501 --bracket 350
  backline square --unit in gap 24 1/32 --at corner --tolerance 1/64
  backline square --unit in triangle 15 20 25
  backline square --unit mm sides 300 300.8 400 --json

A carpenter's square may itself be out of square: try it both ways round before you trust a gap.
Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct SquareArgs {
    #[command(subcommand)]
    test: Test,
    /// Unit of bare numbers: in, mm or cm
    #[arg(short, long, global = true, value_name = "UNIT", value_parser = unit)]
    unit: Option<Unit>,
    /// The largest blank you cut; 32 x 40 in by default
    #[arg(short, long, global = true, value_name = "SIZE")]
    largest: Option<String>,
    /// How far the longest cut of that blank may be out of square; 1/32 in by default
    #[arg(short, long, global = true, value_name = "LENGTH")]
    tolerance: Option<String>,
    /// How far each measured length may be off either way; 0.25 mm by default
    #[arg(short, long, global = true, value_name = "LENGTH")]
    reading: Option<String>,
    /// Distance from the pivot of the arm to the bracket that sets it
    #[arg(short, long, global = true, value_name = "LENGTH")]
    bracket: Option<String>,
    /// Profile of the cutter: the unit and marks of its scales, and the end at which its arm pivots
    #[arg(short, long, global = true, value_name = "FILE")]
    cutter: Option<PathBuf>,
    /// Draw which way to move the arm, as you stand at the cutter; the file's ending sets the format, such as square.pdf
    #[arg(long, global = true, value_name = "FILE")]
    picture: Option<PathBuf>,
    /// Replace an existing picture
    #[arg(long, global = true)]
    force: bool,
    /// Print data for other programs
    #[arg(long, global = true)]
    pub(super) json: bool,
}

#[derive(Debug, Subcommand)]
enum Test {
    /// From the two diagonals of a blank whose opposite sides are parallel
    Diagonals {
        /// Its width
        width: String,
        /// Its height
        height: String,
        /// The diagonal from the corner that lay between arm and blade when the first cut was made
        first: String,
        /// The other diagonal
        second: String,
    },
    /// From the gap between the cut edge and a carpenter's square whose stock lies along the edge that lay on the arm
    Gap {
        /// Length of the square's blade over which the gap is seen
        length: String,
        /// The gap
        gap: String,
        /// Where the gap is
        #[arg(long, value_enum)]
        at: GapAt,
    },
    /// From a length along each edge of the corner and the distance between their ends (3, 4 and 5 if square)
    Triangle {
        /// Along the edge that lay on the arm
        arm: String,
        /// Along the cut
        cut: String,
        /// Between the two ends
        across: String,
    },
    /// From the sides of a blank whose two ends were cut with the same edge on the arm, turned over in between
    Sides {
        /// The edge that lay on the arm
        arm: String,
        /// The opposite edge
        opposite: String,
        /// The cut ends
        cut: String,
    },
}

/// Where a gap is seen.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum GapAt {
    /// At the corner of the board: the square touches at its free end
    Corner,
    /// At the free end of the square: it touches at the corner
    End,
}

/// The largest blank in millimetres: the usual sheet (common practice, no source).
const LARGEST: Size = Size::new(812.8, 1016.0);
/// How far in millimetres the longest cut may run off: a thirty-second of an inch (common practice, no source).
const TOLERANCE_MM: f64 = 25.4 / 32.0;
/// How far in millimetres a careful reading of a ruler with half millimetres may be off (common practice, no source).
const READING_MM: f64 = 0.25;

pub(super) fn unit(name: &str) -> Result<Unit, String> {
    Unit::parse(name).ok_or_else(|| "give in, mm or cm".to_owned())
}

pub(super) fn run(args: &SquareArgs) -> Exit {
    match report(args) {
        Ok((report, ruler, guide)) => {
            let drawn = args.picture.as_deref().map_or(Exit::Good, |path| {
                super::drawn_pages::write(path, &[square_picture(&report, guide, ruler)], args.force)
            });
            drawn.max(show(args, &report, ruler))
        }
        Err((message, exit)) => {
            say::line(&message);
            exit
        }
    }
}

fn report(args: &SquareArgs) -> Result<(SquareReport, Ruler, RailSide), (String, Exit)> {
    let cutter = args.cutter.as_deref().map(cutter::read).transpose().map_err(|report| (report, Exit::JobWrong))?;
    let known = cutter.as_ref().map(|cutter| cutter.ruler);
    let guide = cutter.as_ref().map_or(RailSide::Left, |cutter| cutter.guide_side);
    let pivot = cutter.map_or(Pivot::default(), |cutter| cutter.pivot);
    let unit = args.unit.or(known.map(Ruler::unit));
    let ruler = match (known, unit) {
        (Some(ruler), Some(unit)) if ruler.unit() == unit => ruler,
        (_, unit) => Ruler::usual(length::reported_unit(unit, &args.units_named())),
    };
    let lengths = LengthArguments { unit };
    let usage = |message: String| (format!("error: {message}"), Exit::Usage);
    let demand = SquareDemand { pivot, ruler, ..args.demand(&lengths).map_err(usage)? };
    let test = args.test.read(&lengths).map_err(usage)?;
    let report = SquareReport::new(&test, &demand).map_err(|reason| (format!("error: {reason}"), Exit::JobWrong))?;
    Ok((report, ruler, guide))
}

fn show(args: &SquareArgs, report: &SquareReport, ruler: Ruler) -> Exit {
    let judged = if report.verdict() == Verdict::Square { Exit::Good } else { Exit::JobWrong };
    if args.json {
        return judged.max(to_stdout(json::pretty(report).as_bytes()));
    }
    if let Some(warning) = report.warning() {
        say::warning!("{warning}");
    }
    judged.max(to_stdout(report.describe(ruler).as_bytes()))
}

/// Reads lengths of the command line.
struct LengthArguments {
    unit: Option<Unit>,
}

impl LengthArguments {
    fn read(&self, name: &str, text: &str) -> Result<f64, String> {
        length::parse(doubted(text), self.unit).map_err(|error| in_words(name, text, self.unit, &error))
    }

    fn or(&self, name: &str, text: Option<&String>, usual: f64) -> Result<f64, String> {
        text.map_or(Ok(usual), |text| self.read(name, text))
    }
}

/// Words the error of a length of the command line, where a unit for all is an option.
pub(super) fn in_words(name: &str, text: &str, unit: Option<Unit>, error: &LengthError) -> String {
    let help = match unit {
        None => "write it with its unit, such as 15in or '15 1/2 in', or give --unit",
        Some(_) => &error.help,
    };
    let help = if help.is_empty() { String::new() } else { format!("; {help}") };
    format!("{name}, `{}`: {}{help}", text.escape_debug(), error.message)
}

impl SquareArgs {
    /// Lists the units in which the lengths measured are written.
    fn units_named(&self) -> Vec<Unit> {
        self.test.texts().into_iter().filter_map(|text| length::unit_named(text)).collect()
    }

    fn demand(&self, lengths: &LengthArguments) -> Result<SquareDemand, String> {
        let largest = match &self.largest {
            None => LARGEST,
            Some(text) => length::parse_size(doubted(text), lengths.unit)
                .map_err(|error| in_words("--largest", text, lengths.unit, &error))?,
        };
        if largest.width <= 0.0 || largest.height <= 0.0 {
            return Err("--largest has no area: give a width and a height above zero".to_owned());
        }
        let demand = SquareDemand {
            largest,
            tolerance: lengths.or("--tolerance", self.tolerance.as_ref(), TOLERANCE_MM)?,
            reading: lengths.or("--reading", self.reading.as_ref(), READING_MM)?,
            bracket: self.bracket.as_ref().map(|text| lengths.read("--bracket", text)).transpose()?,
            pivot: Pivot::default(),
            ruler: Ruler::usual(lengths.unit.unwrap_or(Unit::Inch)),
        };
        Ok(demand)
    }
}

impl Test {
    fn texts(&self) -> Vec<&String> {
        match self {
            Self::Diagonals { width, height, first, second } => vec![width, height, first, second],
            Self::Gap { length, gap, .. } => vec![length, gap],
            Self::Triangle { arm, cut, across } => vec![arm, cut, across],
            Self::Sides { arm, opposite, cut } => vec![arm, opposite, cut],
        }
    }

    fn read(&self, lengths: &LengthArguments) -> Result<SquareTest, String> {
        let read = |name: &str, text: &String| lengths.read(name, text);
        Ok(match self {
            Self::Diagonals { width, height, first, second } => SquareTest::Diagonals {
                width: read("WIDTH", width)?,
                height: read("HEIGHT", height)?,
                first: read("FIRST", first)?,
                second: read("SECOND", second)?,
            },
            Self::Gap { length, gap, at } => {
                let gap = read("GAP", gap)?;
                let gap = if matches!(at, GapAt::Corner) { gap } else { -gap };
                SquareTest::Gap { length: read("LENGTH", length)?, gap }
            }
            Self::Triangle { arm, cut, across } => {
                SquareTest::Triangle { arm: read("ARM", arm)?, cut: read("CUT", cut)?, across: read("ACROSS", across)? }
            }
            Self::Sides { arm, opposite, cut } => SquareTest::Sides {
                arm: read("ARM", arm)?,
                opposite: read("OPPOSITE", opposite)?,
                cut: read("CUT", cut)?,
            },
        })
    }
}
