//! What is said, and in which colours, whatever the command.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use super::bounds::WorkBounds;
use super::shop::ShopChoice;
use super::{files, say};

/// How the program speaks, whatever the command.
#[derive(Debug, ClapArgs)]
pub(super) struct Manners {
    /// Print only errors and warnings on standard error, without notes, counts or progress
    #[arg(long, global = true)]
    quiet: bool,
    /// When to use colour; `auto` uses it on a terminal unless `$NO_COLOR` is set
    #[arg(long, visible_alias = "colour", global = true, value_name = "WHEN", value_enum, default_value_t)]
    color: ColourChoice,
    /// How much work a job may take before it is refused
    #[arg(long, global = true, value_name = "HOW", value_enum, default_value_t)]
    limits: WorkBounds,
    /// Read the outlines and pictures that jobs name from this folder and its subfolders only
    ///
    /// With this option, paths in jobs are relative, contain no `..`, and follow no symbolic link out of the folder. Without it, a
    /// job file may name any file, and a job from standard input or from a line of a file may name none.
    #[arg(long, global = true, value_name = "DIR")]
    files_below: Option<PathBuf>,
    /// Take defaults from this shop file (`backline new shop` prints one)
    ///
    /// By default `$BACKLINE_SHOP`, else `shop.toml` in the folder of the job or in the one above, else `backline/shop.toml` in your
    /// settings folder. Jobs from strangers do not choose it: with --files-below, --limits strict, and for jobs from standard input
    /// or from lines of a file, the folders of the jobs are not looked at.
    #[arg(long, global = true, value_name = "FILE")]
    shop: Option<PathBuf>,
    /// Take no defaults from any shop file
    #[arg(long, global = true, conflicts_with = "shop")]
    no_shop: bool,
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
        let trusted = self.files_below.is_none() && !self.limits.is_strict();
        ShopChoice::of(self.shop.as_deref(), self.no_shop, trusted).keep();
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
