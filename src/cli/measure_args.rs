//! `backline measure` as typed.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use super::doubt::doubted;
use super::values::{file_unit, views};
use crate::formats::FileUnit;
use crate::length;

/// Measure files: report sizes, outlines, layers and faults, and how far they differ from a job
///
/// Reads DXF, SVG, HP-GL, G-code and polyline files from this or any other program, and trusts none of them. With --against it
/// reports the largest distance between the file and the job, in either direction and anywhere along the lines. It also says
/// whether the file is mirrored, turned, or off by a factor that comes from mixed-up units. Sides may be separate strokes that
/// run past the corners; it says how far. With --machine every stroke must match what that machine is to do, in its place on the
/// bed, lead-ins and over-runs included.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline measure harbour-cut.dxf                              what the file contains
  backline measure from-the-shop.plt --against harbour.toml     and whether it matches the job
  backline measure cut.nc --against harbour.toml --machine drag-knife-router
                                                                stroke by stroke, as the machine reads it
  backline measure cut.nc --against harbour.toml --machine drag-knife-router --picture cut.png
                                                                and a picture of what differs, and where
  backline measure old.dxf --unit in --json | jq .size          numbers in inches, as data

The exit code is 1 if a file cannot be read completely, or differs from the job by more than --within.")]
pub(super) struct MeasureArgs {
    /// Files to measure; `-` is standard input
    #[arg(required = true, value_name = "FILE")]
    pub(super) files: Vec<PathBuf>,
    /// The job that the files should match
    #[arg(short, long, value_name = "JOB")]
    pub(super) against: Option<PathBuf>,
    /// Views that the files may show, comma-separated; by default the one that fits best
    #[arg(short = 'w', long, value_name = "VIEW", value_delimiter = ',', value_parser = views(), requires = "against", conflicts_with = "machine")]
    pub(super) view: Vec<String>,
    /// The machine that the files are for: the name of a profile, or the path of its file
    ///
    /// The files are compared with what Backline would write for it now. A DXF file is read in the unit of the profile.
    #[arg(long, value_name = "MACHINE", requires = "against")]
    pub(super) machine: Option<String>,
    /// Folder of your own machine profiles
    #[arg(long, value_name = "DIR", requires = "machine")]
    pub(super) machine_folder: Option<PathBuf>,
    /// The board that the files show, counted from the top; by default the one that fits best
    #[arg(short, long, value_name = "N", requires = "against")]
    pub(super) board: Option<std::num::NonZeroUsize>,
    /// Largest difference from the job that still counts as a match
    #[arg(long, value_name = "LENGTH", default_value = "0.05 mm", value_parser = distance)]
    pub(super) within: f64,
    /// Unit of the numbers in the files, whatever the files say
    #[arg(long, value_name = "UNIT", value_parser = PossibleValuesParser::new(["mm", "in"]).map(|name| file_unit(&name)))]
    pub(super) unit: Option<FileUnit>,
    /// Draw the file over the job, with numbers where they differ, and the order of a machine's strokes; its ending sets the format: svg, pdf or png
    #[arg(short, long, value_name = "PICTURE", requires = "against")]
    pub(super) picture: Option<PathBuf>,
    /// Replace an existing picture
    #[arg(long, requires = "picture")]
    pub(super) force: bool,
    /// Print data for other programs: an object for one file, an array for several
    #[arg(long)]
    pub(super) json: bool,
}

fn distance(text: &str) -> Result<f64, String> {
    let distance = length::parse(doubted(text), None).map_err(|error| format!("{}; {}", error.message, error.help))?;
    if distance > 0.0 { Ok(distance) } else { Err("give a length above zero".to_owned()) }
}
