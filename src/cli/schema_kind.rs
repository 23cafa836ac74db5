//! Everything that `backline schema` knows.

use std::sync::LazyLock;

use clap::ValueEnum;
use clap::builder::PossibleValue;

use super::file_kind::FileKind;

/// Something that has a JSON Schema.
#[derive(Debug, Clone, Copy)]
pub(super) enum SchemaKind {
    /// A file that users write from a starter.
    File(FileKind),
    /// A file that a command writes, or what a command prints for programs.
    Data(DataKind),
}

impl Default for SchemaKind {
    fn default() -> Self {
        Self::File(FileKind::default())
    }
}

impl ValueEnum for SchemaKind {
    fn value_variants<'a>() -> &'a [Self] {
        static ALL: LazyLock<Vec<SchemaKind>> = LazyLock::new(|| {
            let files = FileKind::value_variants().iter().copied().map(SchemaKind::File);
            files.chain(DataKind::value_variants().iter().copied().map(SchemaKind::Data)).collect()
        });
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::File(kind) => kind.to_possible_value(),
            Self::Data(kind) => kind.to_possible_value(),
        }
    }
}

impl SchemaKind {
    /// Tells whether it is that of shop files, whose options are known by the commands.
    pub(super) const fn is_of_shop(self) -> bool {
        matches!(self, Self::File(FileKind::Shop))
    }

    /// Returns the JSON Schema.
    pub(super) fn schema(self) -> serde_json::Value {
        match self {
            Self::File(kind) => kind.schema(),
            Self::Data(kind) => kind.schema(),
        }
    }
}

/// A file that a command writes, or what a command prints for programs.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum DataKind {
    /// A record of test pieces for `backline calibrate`
    Record,
    /// What `check --json` prints for a job
    Check,
    /// What `settings --format json` prints for a job
    Settings,
    /// What `settings --together --json` prints for several jobs
    WholeOrder,
    /// What `sheets --json` prints
    Sheets,
    /// What `stock report --json` prints
    Ledger,
    /// What `stock cut --json` and `stock cancel --json` print
    StockChange,
    /// What `measure --json` prints for a file
    Measure,
    /// What `calibrate fit --json` prints
    Calibration,
    /// What `calibrate piece --json` prints: the test pieces and their files
    TestPieces,
    /// What `square --json` prints
    Square,
    /// What `trouble SIGN --json` prints
    Trouble,
    /// What `trouble --json` prints: the known signs and numbers
    Signs,
    /// What `machines --json` prints for a profile
    Machines,
    /// One line of what `print --json` prints: a file and its pages
    Print,
    /// What `printer page --json` prints
    PrinterPage,
    /// What `printer save --json` prints
    PrinterFound,
    /// What `quote --json` prints for a job
    Quote,
    /// One line of the manifest of `draw`
    Manifest,
    /// One line of problems on standard error, for a file whose other data goes to standard output
    Problems,
}

impl DataKind {
    fn schema(self) -> serde_json::Value {
        match self {
            Self::Record => crate::bench::record_schema(),
            Self::Check => crate::summary::mat_schema(),
            Self::Settings => crate::bench::settings_schema(),
            Self::WholeOrder => crate::bench::whole_order_schema(),
            Self::Sheets => crate::sheets::plan_schema(),
            Self::Ledger => super::stock_data::ledger_schema(),
            Self::StockChange => super::stock_data::change_schema(),
            Self::Measure => crate::measure::found_schema(),
            Self::Calibration => crate::bench::calibration_schema(),
            Self::TestPieces => super::calibrate::pieces_schema(),
            Self::Square => crate::bench::square_schema(),
            Self::Trouble => crate::bench::trouble_schema(),
            Self::Signs => super::trouble::signs_schema(),
            Self::Machines => super::machines::machines_schema(),
            Self::Print => super::print_data::print_schema(),
            Self::PrinterPage => super::printer_data::page_schema(),
            Self::PrinterFound => super::printer_data::printer_schema(),
            Self::Quote => crate::shop::quote_schema(),
            Self::Manifest => super::manifest::entry_schema(),
            Self::Problems => super::telling::told_schema(),
        }
    }
}
