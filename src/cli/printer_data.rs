//! What `printer --json` prints: the bars of the test page, or the printer that they measured.

use serde::Serialize;

use crate::paper::{Paper, Printer};
use crate::tiling::TestPage;

/// Name and version of the data of a test page; another version means that a key changed its meaning or went away.
const PAGE_SCHEMA: &str = "backline-printer-page/1";
/// Name and version of the data of a printer.
const PRINTER_SCHEMA: &str = "backline-printer/1";

/// How long the bars of a test page are to be.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct PrinterPage {
    #[cfg_attr(feature = "schema", schemars(extend("const" = PAGE_SCHEMA)))]
    schema: &'static str,
    /// The paper, as it is asked for.
    paper: String,
    /// Length in millimetres of the bar along the short side of the paper, or across the roll.
    short: f64,
    /// Length in millimetres of the bar along the long side of the paper, or along the roll.
    long: f64,
}

/// A printer as measured.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct PrinterFound<'a> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = PRINTER_SCHEMA)))]
    schema: &'static str,
    name: &'a str,
    /// The paper in it, as it is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    paper: Option<String>,
    /// Width in millimetres of the strip at each edge of the paper that it cannot reach.
    #[serde(skip_serializing_if = "Option::is_none")]
    margin: Option<f64>,
    /// How long it prints along the short side of the paper what is to be 1 long.
    stretch_short: f64,
    /// The same along the long side.
    stretch_long: f64,
}

impl PrinterPage {
    pub(super) fn new(paper: &Paper, page: &TestPage) -> Self {
        Self { schema: PAGE_SCHEMA, paper: paper.to_string(), short: page.short, long: page.long }
    }
}

impl<'a> PrinterFound<'a> {
    pub(super) fn new(printer: &'a Printer) -> Self {
        Self {
            schema: PRINTER_SCHEMA,
            name: &printer.name,
            paper: printer.paper.as_ref().map(Paper::to_string),
            margin: printer.margin,
            stretch_short: printer.stretch.across,
            stretch_long: printer.stretch.down,
        }
    }
}

/// Returns the JSON Schema of the data of a test page.
pub(super) fn page_schema() -> serde_json::Value {
    crate::job::output_schema_of::<PrinterPage>()
}

/// Returns the JSON Schema of the data of a printer.
pub(super) fn printer_schema() -> serde_json::Value {
    crate::job::output_schema_of::<PrinterFound<'_>>()
}
