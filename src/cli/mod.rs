//! The command line: the only part of the project that touches files, terminals and the list of arguments.

mod args;
mod check;
mod draw;
mod exit;
mod input;
mod output;
mod report;

use clap::Parser;

use args::{Args, Command};
pub use exit::Exit;

/// Runs the program with the arguments of the process.
#[must_use]
pub fn run() -> Exit {
    match Args::parse().command {
        Command::Draw(args) => draw::run(&args),
        Command::Check(args) => check::run(&args),
        Command::New => output::to_stdout(crate::job::STARTER.as_bytes()),
        Command::Schema => output::to_stdout(format!("{:#}\n", crate::job::schema()).as_bytes()),
    }
}
