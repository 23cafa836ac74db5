//! Which commands tell problems as data on standard error: those that were asked for data and have no place for problems in it.

use super::args::{Command, SettingsFormat};

impl Command {
    /// Tells whether problems are told as data on standard error: where data was asked for that has no place for them.
    pub(super) fn tells_as_data(&self) -> bool {
        match self {
            Self::Settings(args) => matches!(args.format(), SettingsFormat::Json),
            Self::Draw(args) => args.json,
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
