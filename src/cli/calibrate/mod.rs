//! `backline calibrate`: test pieces to cut, what was measured on them, and the profile of the cutter that follows.

mod ask;
mod fit;
mod piece;
mod plan;

use clap::{Args as ClapArgs, Subcommand};

use super::exit::Exit;
use plan::Failure;

/// Measure a hand cutter by test cuts, and write its profile
///
/// Draw test pieces, cut them at the numbers they show, write down what came out, and fit: offset and stretch of guide, stops
/// and arm, the angle of the blade, how far it runs on, and how square the arm stands, each with its uncertainty. What the
/// measurements do not support is refused with what is missing.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline calibrate piece -o test                    drawings, jobs and a form to fill in, in the folder `test`
  backline calibrate ask -o measured.toml             or be asked for the numbers one by one
  backline calibrate fit measured.toml                see what they say
  backline calibrate fit measured.toml -o bench.toml  and write the profile
  backline new cutter > bench.toml                    a commented profile to start from

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct CalibrateArgs {
    #[command(subcommand)]
    step: Step,
}

#[derive(Debug, Subcommand)]
enum Step {
    Piece(piece::PieceArgs),
    Ask(ask::AskArgs),
    Fit(fit::FitArgs),
}

pub(super) fn run(args: &CalibrateArgs) -> Exit {
    let done = match &args.step {
        Step::Piece(args) => piece::run(args),
        Step::Ask(args) => ask::run(args),
        Step::Fit(args) => fit::run(args),
    };
    done.unwrap_or_else(|Failure { report, exit }| {
        anstream::eprintln!("{report}");
        exit
    })
}
