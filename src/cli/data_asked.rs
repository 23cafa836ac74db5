//! Which commands tell problems as data on standard error: all that were asked for data, of whatever has no place in what they print.

use std::path::{Path, PathBuf};

use super::args::{Command, SettingsFormat};

impl Command {
    /// Tells whether problems are told as data on standard error: where data was asked for.
    pub(super) fn tells_as_data(&self) -> bool {
        match self {
            Self::Settings(args) => matches!(args.format(), SettingsFormat::Json),
            Self::Check(args) => args.json,
            Self::Stock(args) => args.asks_for_data(),
            Self::Calibrate(args) => args.asks_for_data(),
            Self::Printer(args) => args.asks_for_data(),
            Self::Draw(args) => args.json,
            Self::Watch(args) => args.draw.json,
            Self::Pack(args) => args.json,
            Self::Quote(args) => args.json,
            Self::Workshop(args) => args.json,
            Self::Picture(args) => args.json,
            Self::Square(args) => args.json,
            Self::Sheets(args) => args.json,
            Self::Print(args) => args.json,
            Self::Machines(args) => args.json,
            Self::Trouble(args) => args.json,
            Self::Measure(args) => args.json,
            _ => false,
        }
    }
}

impl Command {
    /// Returns the name of a command that takes options from a shop file, and the first file that it is given.
    pub(super) fn with_habits(&self) -> Option<(&'static str, Option<&Path>)> {
        let (name, files) = match self {
            Self::Draw(args) => ("draw", &args.jobs),
            Self::Watch(args) => ("watch", &args.draw.jobs),
            Self::Print(args) => ("print", &args.jobs),
            Self::Settings(args) => ("settings", &args.jobs),
            Self::Sheets(args) => ("sheets", &args.orders),
            Self::Workshop(args) => ("workshop", &args.jobs),
            Self::Picture(args) => ("picture", &args.jobs),
            _ => return None,
        };
        Some((name, files.first().map(PathBuf::as_path)))
    }
}
