//! `backline calibrate fit`: from a record of test pieces to the profile of the cutter.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use kurbo::Size;

use crate::bench::{CalibrationRecord, CalibrationReport, calibration_pages};
use crate::checked::Checked;
use crate::job::FoundProblem;

use super::super::exit::Exit;
use super::super::json;
use super::super::output::to_stdout;
use super::super::paths::is_stdio;
use crate::cli::say;
use crate::length::Unit;

use super::super::drawn_pages;
use super::super::text_file::TextFile;
use super::plan::{CommandFailure, cutter_of, write_text};

/// Pages of the picture in millimetres: A4 (ISO 216) and Letter.
const A4: Size = Size::new(210.0, 297.0);
const LETTER: Size = Size::new(215.9, 279.4);

/// Fit a cutter profile to the measurements, and write it
///
/// The intervals contain the true number in 95 % of cases. Measurements that disagree with the others are named.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline calibrate fit measured.toml
  backline calibrate fit measured.toml -o bench.toml --picture fit.pdf
  backline calibrate fit measured.toml --cutter bench.toml -o bench.toml --force   refit only what was measured
  backline calibrate fit --json measured.toml | jq .guide.offset")]
pub(super) struct FitArgs {
    /// The measurements of the test pieces, TOML or JSON; `-` is standard input
    #[arg(value_name = "MEASURED")]
    record: PathBuf,
    /// The present profile of the cutter; whatever was not measured is kept from it
    #[arg(short, long, value_name = "FILE")]
    cutter: Option<PathBuf>,
    /// File for the profile; `-` prints it instead of the report
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Draw the readings, fit, interval and doubtful readings into this file; its ending sets the format, such as fit.pdf
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
    /// Replace an existing file
    #[arg(long)]
    force: bool,
    /// Print data for other programs
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(args: &FitArgs) -> Result<Exit, CommandFailure> {
    if args.json && args.output.as_deref().is_some_and(is_stdio) {
        return Err(CommandFailure::usage(
            "error: --json and --output - both write to standard output; leave one of them out",
        ));
    }
    let before = cutter_of(args.cutter.as_deref())?;
    let file = match TextFile::read(&args.record) {
        Ok(file) => file,
        Err(unreadable) => return refused(args.json, vec![*unreadable.problem], unreadable.report),
    };
    let record: CalibrationRecord = match file.parse_and_doubt() {
        Ok(record) => record,
        Err(unreadable) => return refused(args.json, vec![*unreadable.problem], unreadable.report),
    };
    let Checked { value, problems } = record.calibrate(&before);
    let found = file.found_all(&problems);
    let Some(calibration) = value else {
        return refused(args.json, found, file.report(&problems).trim_end().to_owned());
    };
    if !args.json {
        say::report(&file.report(&problems));
    }
    let mut exit = Exit::Good;
    if let Some(output) = &args.output {
        exit = write_text(output, &calibration.cutter.to_toml(&calibration.remarks()), args.force)?;
    }
    if let Some(picture) = &args.picture {
        let page = if calibration.cutter.ruler.unit() == Unit::Inch { LETTER } else { A4 };
        exit = exit.max(drawn_pages::write(picture, &calibration_pages(&calibration, page), args.force));
    }
    if args.json {
        exit = exit.max(print_json(&CalibrationReport::new(&calibration, found)));
    } else if !args.output.as_deref().is_some_and(is_stdio) {
        exit = exit.max(to_stdout(calibration.describe().as_bytes()));
    }
    Ok(exit)
}

/// Says why there is no calibration.
fn refused(json: bool, problems: Vec<FoundProblem>, report: String) -> Result<Exit, CommandFailure> {
    if !json {
        return Err(CommandFailure::wrong(report));
    }
    Ok(print_json(&CalibrationReport::refused(problems)).max(Exit::JobWrong))
}

fn print_json(report: &CalibrationReport) -> Exit {
    to_stdout(json::pretty(report).as_bytes())
}
