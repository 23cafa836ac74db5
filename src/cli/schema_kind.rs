//! Everything that `backline schema` knows.

use clap::ValueEnum;

/// Something of which there is a JSON Schema: a kind of file that users write, or what a command prints for programs.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum SchemaKind {
    /// A job: one mat
    #[default]
    Job,
    /// A profile of a hand cutter
    Cutter,
    /// An order of blanks for `backline sheets`
    Order,
    /// A stock of sheets and offcuts for `backline sheets`
    Stock,
    /// A profile of an automated cutter or a plotter
    Machine,
    /// A profile of an office printer or plotter
    Printer,
    /// A record of test pieces for `backline calibrate`
    Record,
    /// What `check --json` prints of a job
    Check,
    /// What `settings --format json` prints of a job
    Settings,
    /// What `settings --together --json` prints of several jobs
    WholeOrder,
    /// What `sheets --json` prints
    Sheets,
    /// What `stock report --json` prints
    Ledger,
    /// What `stock cut --json` and `stock cancel --json` print
    StockChange,
    /// What `measure --json` prints of a file
    Measure,
    /// What `calibrate fit --json` prints
    Calibration,
    /// What `calibrate piece --json` prints: the test pieces and their files
    TestPieces,
    /// What `square --json` prints
    Square,
    /// What `trouble SIGN --json` prints
    Trouble,
    /// What `trouble --json` prints: the signs and numbers that there are
    Signs,
    /// What `machines --json` prints of a profile
    Machines,
    /// A line of what `print --json` prints: a file and its pages
    Print,
    /// What `printer page --json` prints
    PrinterPage,
    /// What `printer save --json` prints
    PrinterFound,
    /// A line of the manifest of `draw`
    Manifest,
    /// A line on standard error of the problems of a file, where other data is printed
    Problems,
}

impl SchemaKind {
    /// Returns the JSON Schema.
    pub(super) fn schema(self) -> serde_json::Value {
        match self {
            Self::Job => crate::job::schema(),
            Self::Cutter => crate::bench::cutter_schema(),
            Self::Order => crate::sheets::order_schema(),
            Self::Stock => crate::sheets::stock_schema(),
            Self::Machine => crate::machine::machine_schema(),
            Self::Printer => crate::paper::printer_schema(),
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
            Self::Manifest => super::manifest::entry_schema(),
            Self::Problems => super::telling::told_schema(),
        }
    }
}
