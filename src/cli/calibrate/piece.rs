//! `backline calibrate piece`: drawings and jobs of test pieces, and the form for what is measured on them.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use crate::bench::{TestPiece, draw_test_piece, record_form};
use crate::formats::{Exporter, Options, Source, drawing_formats};

use super::super::exit::Exit;
use super::super::json;
use super::super::output::{Single, is_single, single_name, to_stdout};
use super::super::paths::is_stdio;
use super::super::values::{ALL, formats};
use super::piece_data::PlannedPieces;
use super::plan::{CommandFailure, PlanArgs, write_files};

/// Draw test pieces to cut, with a job file for each and a form for the measurements
///
/// Writes test-piece-1.svg, test-piece-1.pdf, test-piece-1.toml and so on, and measured.toml.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline calibrate piece -o test                         two pieces, cut from stop to stop
  backline calibrate piece -o test --pieces 3 --by-eye 2   more, and two by eye
  backline calibrate piece -n 1 --format pdf -o -          one drawing to standard output")]
pub(super) struct PieceArgs {
    #[command(flatten)]
    plan: PlanArgs,
    /// Folder for the files, created if missing, or a single drawing such as piece.pdf; `-` is standard output
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    output: PathBuf,
    /// Formats, comma-separated
    #[arg(short, long, value_name = "FORMAT", value_delimiter = ',', default_values = ["svg", "pdf"], value_parser = formats())]
    format: Vec<String>,
    /// Print data for other programs: what to set for each side, and the files; problems become data on standard error
    #[arg(long)]
    pub(super) json: bool,
    /// Replace existing files
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &PieceArgs) -> Result<Exit, CommandFailure> {
    if args.json && is_stdio(&args.output) {
        return Err(CommandFailure::usage("error: --json and --output - both take standard output"));
    }
    let (cutter, pieces) = args.plan.plan()?;
    let wanted = |name: &str| args.format.iter().any(|word| word == name || word == ALL);
    let formats: Vec<_> = drawing_formats().filter(|format| wanted(format.name())).collect();
    if is_single(&args.output) {
        let single = single_name(&args.output);
        let ([piece], [format]) = (pieces.as_slice(), formats.as_slice()) else {
            let message = format!("error: {single} can hold only one drawing; choose --pieces 1 and one --format");
            return Err(CommandFailure::usage(message));
        };
        let single = Single { output: &args.output, force: args.force, verbose: false };
        let usual = PathBuf::from(format!("test-piece{}", format.file_end(&Options::default())));
        let failed = |(message, exit): (String, Exit)| {
            let message = format!("error: {message}");
            if exit == Exit::Usage { CommandFailure::usage(message) } else { CommandFailure::wrong(message) }
        };
        let exit = single.write(&usual, &drawn(piece, &[*format])?.remove(0)).map_err(failed)?;
        return Ok(exit.max(tell(args, &pieces, vec![args.output.display().to_string()])));
    }
    let mut files = Vec::new();
    for piece in &pieces {
        let stem = format!("test-piece-{}", piece.number);
        for (format, bytes) in formats.iter().zip(drawn(piece, &formats)?) {
            files.push((args.output.join(format!("{stem}{}", format.file_end(&Options::default()))), bytes));
        }
        let job = toml::to_string(&piece.job()).map_err(|error| CommandFailure::wrong(format!("error: {error}")))?;
        files.push((args.output.join(format!("{stem}.toml")), job.into_bytes()));
    }
    files.push((args.output.join("measured.toml"), record_form(&cutter, &pieces).into_bytes()));
    std::fs::create_dir_all(&args.output).map_err(|error| {
        CommandFailure::wrong(format!("error: cannot make the folder {}: {error}", args.output.display()))
    })?;
    write_files(&files, args.force)?;
    Ok(tell(args, &pieces, files.iter().map(|(path, _)| path.display().to_string()).collect()))
}

/// Prints the pieces and their files, if data is asked for.
fn tell(args: &PieceArgs, pieces: &[TestPiece], files: Vec<String>) -> Exit {
    if !args.json {
        return Exit::Good;
    }
    to_stdout(json::pretty(&PlannedPieces::new(pieces, files)).as_bytes())
}

/// Draws one piece in several formats.
fn drawn(piece: &TestPiece, formats: &[&dyn Exporter]) -> Result<Vec<Vec<u8>>, CommandFailure> {
    let drawing =
        draw_test_piece(piece).into_result().map_err(|problems| CommandFailure::wrong(problems.to_string()))?;
    let options = Options::default();
    let source = Source::new(&drawing, &options);
    let export = |format: &&dyn Exporter| {
        format.export(&source).map(|file| file.bytes).map_err(|error| CommandFailure::wrong(format!("error: {error}")))
    };
    formats.iter().map(export).collect()
}
