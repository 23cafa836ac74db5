//! The command line: the only part of the project that touches files, terminals and the list of arguments.

mod args;
mod batch;
mod calibrate;
mod check;
mod cutter;
mod draw;
mod draw_plan;
mod drawn_file;
mod exit;
mod input;
mod machines;
mod manifest;
mod measure;
mod measure_args;
mod nest;
mod nest_args;
mod nest_files;
mod nest_stock;
mod output;
mod picture;
mod print;
mod print_args;
mod printer;
mod requests;
mod search_watch;
mod settings;
mod sheets;
mod sheets_args;
mod sheets_files;
mod sheets_input;
mod square;
mod text_file;
mod trouble;
mod verify;
mod workshop;

use clap::Parser;

use args::{Args, Command};
pub use exit::Exit;

/// Runs the program with the arguments of the process.
#[must_use]
pub fn run() -> Exit {
    match Args::parse().command {
        Command::Draw(args) => draw::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Print(args) => print::run(&args),
        Command::Printer(args) => printer::run(&args),
        Command::Settings(args) => settings::run(&args),
        Command::Sheets(args) => sheets::run(&args),
        Command::Calibrate(args) => calibrate::run(&args),
        Command::Workshop(args) => workshop::run(&args),
        Command::Picture(args) => picture::run(&args),
        Command::Machines(args) => machines::run(&args),
        Command::Square(args) => square::run(&args),
        Command::Trouble(args) => trouble::run(&args),
        Command::Measure(args) => measure::run(&args),
        Command::New { what } => output::to_stdout(what.starter().as_bytes()),
        Command::Schema { what } => output::to_stdout(format!("{:#}\n", what.schema()).as_bytes()),
    }
}
