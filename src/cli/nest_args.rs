//! The arguments of `backline draw --nest` as typed.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use serde::Serialize;

use super::sheets_args::{BenchRules, SearchArgs};
use super::values::sheet_of_board;

/// The heading of these arguments in the help.
const HEADING: &str = "Mats side by side on sheets";

/// How mats are laid on sheets beside each other.
#[derive(Debug, ClapArgs)]
pub(super) struct NestArgs {
    /// Lay the boards of all jobs side by side on sheets, as `backline sheets` plans them, and write a file for each sheet
    ///
    /// Each mat is laid as often as its quantity says; boards of different colour or thickness never share a sheet. An edge that two
    /// mats share is cut once, and edges are cut last; with --kerf there is a gap instead, and each mat is cut all round. The sheet
    /// size comes from --sheet or --stock, or else from the bed of the machine. Files are named after the order, board and sheet,
    /// such as show-white-sheet-2-cut.dxf, or show-white-sheets-2-4-cut.dxf if three sheets are alike.
    #[arg(long, help_heading = HEADING)]
    pub(super) nest: bool,
    /// Size of the sheets, such as "32 x 40 in"; uses as many as needed
    #[arg(long, value_name = "SIZE", value_parser = sheet_of_board, help_heading = HEADING)]
    pub(super) sheet: Option<kurbo::Size>,
    /// File with the sheets and offcuts on hand, prices and bench rules (`backline new stock` prints one to start from)
    #[arg(long, value_name = "FILE", conflicts_with = "sheet", help_heading = HEADING)]
    pub(super) stock: Option<PathBuf>,
    /// Name of the order; by default the name of the job, if there is only one
    #[arg(long, value_name = "NAME", help_heading = HEADING)]
    pub(super) name: Option<String>,
    #[command(flatten)]
    pub(super) rules: BenchRules,
    #[command(flatten, next_help_heading = "Search for a plan")]
    pub(super) search: SearchArgs,
}

impl NestArgs {
    /// Returns all that the plan of the sheets follows from; the stock goes by its text.
    pub(super) fn as_data(&self) -> impl Serialize {
        let Self { nest, sheet, stock: _, name, rules, search } = self;
        (*nest, sheet.map(|sheet| [sheet.width, sheet.height]), name.clone(), rules.clone(), search.clone())
    }

    /// Returns an option that was given although nothing is to be laid on sheets.
    pub(super) fn idle(&self) -> Option<&'static str> {
        let (rules, search) = (&self.rules, &self.search);
        let given = [
            ("--sheet", self.sheet.is_some()),
            ("--stock", self.stock.is_some()),
            ("--name", self.name.is_some()),
            ("--trim", rules.trim.is_some()),
            ("--kerf", rules.kerf.is_some()),
            ("--smallest-offcut", rules.smallest_offcut.is_some()),
            ("--longest-cut", rules.longest_cut.is_some()),
            ("--stages", rules.stages.is_some()),
            ("--no-turn", rules.no_turn),
            ("--effort", search.effort.is_some()),
            ("--seed", search.seed != 1),
            ("--time", search.time.is_some()),
        ];
        let idle = given.into_iter().find(|(_, is_given)| !self.nest && *is_given);
        idle.map(|(name, _)| name)
    }
}
