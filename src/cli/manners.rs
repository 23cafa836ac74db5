//! What is said, and in which colours, whatever the command.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use super::bounds::WorkBounds;
use super::{files, say};

/// How the program speaks, whatever the command.
#[derive(Debug, ClapArgs)]
pub(super) struct Manners {
    /// Print only errors and warnings on standard error: no notes, no counts, no progress
    #[arg(long, global = true)]
    quiet: bool,
    /// When to use colour; `auto` uses it on a terminal unless `$NO_COLOR` is set
    #[arg(long, visible_alias = "colour", global = true, value_name = "WHEN", value_enum, default_value_t)]
    color: ColourChoice,
    /// How much work may be done for a job before it is refused
    #[arg(long, global = true, value_name = "HOW", value_enum, default_value_t)]
    limits: WorkBounds,
    /// Folder below which the outlines and pictures lie that jobs name; no other is read
    ///
    /// Without it a job file may name any file, and a job from standard input or in a line of a file may name none. Paths are then
    /// relative, without `..`, and no symbolic link leads out of the folder.
    #[arg(long, global = true, value_name = "DIR")]
    files_below: Option<PathBuf>,
}

/// When words are coloured.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum ColourChoice {
    #[default]
    Auto,
    Always,
    Never,
}

impl Manners {
    /// Makes these the manners of the whole run.
    ///
    /// # Errors
    ///
    /// Returns the reason if one of them cannot be kept.
    pub(super) fn keep(&self) -> Result<(), String> {
        say::be_quiet(self.quiet);
        anstream::ColorChoice::from(self.color).write_global();
        self.limits.keep();
        let below = self.files_below.as_ref();
        below.map_or(Ok(()), |folder| {
            let unusable = |error| format!("--files-below {}: {error}", folder.display());
            files::confine(folder).map_err(unusable)
        })
    }
}

impl From<ColourChoice> for anstream::ColorChoice {
    fn from(colour: ColourChoice) -> Self {
        match colour {
            ColourChoice::Auto => Self::Auto,
            ColourChoice::Always => Self::Always,
            ColourChoice::Never => Self::Never,
        }
    }
}
