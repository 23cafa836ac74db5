//! The command-line program; see `backline --help`.

use std::process::ExitCode;

fn main() -> ExitCode {
    backline::cli::run().into()
}
