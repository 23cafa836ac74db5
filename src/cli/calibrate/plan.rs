//! What the steps of a calibration share: the pieces that are planned, why a step was not done, and files.

use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;

use super::super::cutter;
use super::super::exit::Exit;
use super::super::output::{to_stdout, write_all};
use super::super::paths::is_stdio;
use crate::bench::{Cutter, TestPiece};
use crate::length::{Ruler, Unit};

/// Which pieces are to be cut on which cutter.
#[derive(Debug, ClapArgs)]
pub(super) struct PlanArgs {
    /// The present profile of the cutter; by default a typical one with scales in sixteenths of an inch
    #[arg(short, long, value_name = "FILE")]
    cutter: Option<PathBuf>,
    /// Number of pieces to cut from stop to stop (by eye on a cutter without stops)
    #[arg(short = 'n', long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(0..=20))]
    pieces: u8,
    /// Number of further pieces to start and end by eye, which show how far the blade over-runs
    #[arg(short = 'e', long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u8).range(0..=20))]
    by_eye: u8,
}

/// Why a step was not done, in words for the terminal.
pub(super) struct CommandFailure {
    pub(super) report: String,
    pub(super) exit: Exit,
}

impl CommandFailure {
    pub(super) fn wrong(report: impl Into<String>) -> Self {
        Self { report: report.into(), exit: Exit::JobWrong }
    }

    pub(super) fn usage(report: impl Into<String>) -> Self {
        Self { report: report.into(), exit: Exit::Usage }
    }
}

/// Returns the cutter of a profile, or a usual one.
pub(super) fn cutter_of(profile: Option<&Path>) -> Result<Cutter, CommandFailure> {
    profile.map_or_else(
        || Ok(Cutter::usual(Ruler::usual(Unit::Inch))),
        |path| cutter::read(path).map_err(CommandFailure::wrong),
    )
}

impl PlanArgs {
    pub(super) fn plan(&self) -> Result<(Cutter, Vec<TestPiece>), CommandFailure> {
        if self.pieces == 0 && self.by_eye == 0 {
            return Err(CommandFailure::usage(
                "error: no pieces to draw; give --pieces or --by-eye a number above zero",
            ));
        }
        let cutter = cutter_of(self.cutter.as_deref())?;
        let pieces = cutter
            .test_pieces(usize::from(self.pieces), usize::from(self.by_eye))
            .map_err(|reason| CommandFailure::wrong(format!("error: {reason}; give the profile a longer `reach`")))?;
        Ok((cutter, pieces))
    }
}

/// Writes files, all of them or none.
pub(super) fn write_files(files: &[(PathBuf, Vec<u8>)], force: bool) -> Result<(), CommandFailure> {
    write_all(files.iter().map(|(path, bytes)| (path.as_path(), bytes.as_slice())), force)
        .map_err(|message| CommandFailure::wrong(format!("error: {message}")))
}

/// Writes a text to a file, or to standard output for `-`.
pub(super) fn write_text(path: &Path, text: &str, force: bool) -> Result<Exit, CommandFailure> {
    if is_stdio(path) {
        return Ok(to_stdout(text.as_bytes()));
    }
    write_files(&[(path.to_owned(), text.as_bytes().to_vec())], force).map(|()| Exit::Good)
}
