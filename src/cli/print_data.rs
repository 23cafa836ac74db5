//! What `print --json` prints: where the tiles of each file lie.

use kurbo::Rect;
use serde::Serialize;

use crate::tiling::{TilePage, Tiled};

/// Name and version of a line; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-print/1";

/// The pages of one file, as a line. Lengths are in millimetres; tiles lie on the drawing, its origin at the top left and y down.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct PrintData<'t> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    /// The file without its ending; SVG has one for each page, with its number behind this.
    file: &'t str,
    title: &'t str,
    page: PrintedSize,
    rows: usize,
    columns: usize,
    /// By how much the drawing is stretched for a printer that is off.
    stretch: PrintedStretch,
    pages: Vec<PrintedPage>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PrintedSize {
    width: f64,
    height: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PrintedStretch {
    across: f64,
    down: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PrintedPage {
    row: usize,
    column: usize,
    /// What the page is for.
    tile: PrintedArea,
    /// What it shows, which overlaps its neighbours.
    shown: PrintedArea,
    /// By how much the drawing is moved on the page.
    shift: PrintedShift,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PrintedArea {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PrintedShift {
    x: f64,
    y: f64,
}

/// Returns the JSON Schema of a line.
#[cfg(feature = "schema")]
pub(super) fn print_schema() -> serde_json::Value {
    crate::job::output_schema_of::<PrintData<'_>>()
}

impl<'t> PrintData<'t> {
    /// Tells the pages of a drawing; `file` is the name of its file without its ending.
    pub(super) fn new(file: &'t str, tiled: &'t Tiled) -> Self {
        let page = |page: &TilePage| PrintedPage {
            row: page.row,
            column: page.column,
            tile: PrintedArea::new(page.tile),
            shown: PrintedArea::new(page.shown),
            shift: PrintedShift { x: page.shift.x, y: page.shift.y },
        };
        Self {
            schema: SCHEMA,
            file,
            title: &tiled.whole.title,
            page: PrintedSize { width: tiled.page.width, height: tiled.page.height },
            rows: tiled.rows,
            columns: tiled.columns,
            stretch: PrintedStretch { across: tiled.stretch.across, down: tiled.stretch.down },
            pages: tiled.pages.iter().map(page).collect(),
        }
    }
}

impl PrintedArea {
    fn new(rect: Rect) -> Self {
        Self { x: rect.x0, y: rect.y0, width: rect.width(), height: rect.height() }
    }
}
