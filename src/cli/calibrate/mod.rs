//! `backline calibrate`: test pieces to cut, their measurements, and the cutter profile that follows from them.

mod ask;
mod fit;
mod piece;
mod piece_data;
mod plan;

use clap::{Args as ClapArgs, Subcommand};

use super::exit::Exit;
use crate::cli::say;
use plan::CommandFailure;

pub(super) use piece_data::pieces_schema;

/// Calibrate a hand cutter from test cuts, and write its profile
///
/// Draw test pieces, cut them at the numbers they show, write down what you measure, and fit. The fit gives the offset and stretch
/// of guide, stops and arm, the angle of the blade, how far it over-runs, and how square the arm is, each with its uncertainty.
/// It refuses whatever the measurements cannot support, and says what is missing.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline calibrate piece -o test                    drawings, jobs and a form to fill in, in the folder `test`
  backline calibrate ask -o measured.toml             or be asked for the measurements one by one
  backline calibrate fit measured.toml                see what they say
  backline calibrate fit measured.toml -o bench.toml  and write the profile
  backline new cutter > bench.toml                    a commented profile to start from

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct CalibrateArgs {
    #[command(subcommand)]
    step: CalibrateCommand,
}

#[derive(Debug, Subcommand)]
enum CalibrateCommand {
    Piece(piece::PieceArgs),
    Ask(ask::AskArgs),
    Fit(fit::FitArgs),
}

impl CalibrateArgs {
    /// Tells whether data is asked for.
    pub(super) const fn asks_for_data(&self) -> bool {
        match &self.step {
            CalibrateCommand::Piece(args) => args.json,
            CalibrateCommand::Ask(_) => false,
            CalibrateCommand::Fit(args) => args.json,
        }
    }
}

pub(super) fn run(args: &CalibrateArgs) -> Exit {
    let done = match &args.step {
        CalibrateCommand::Piece(args) => piece::run(args),
        CalibrateCommand::Ask(args) => ask::run(args),
        CalibrateCommand::Fit(args) => fit::run(args),
    };
    done.unwrap_or_else(|CommandFailure { report, exit }| {
        say::line(&report);
        exit
    })
}
