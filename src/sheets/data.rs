//! What a plan tells programs.

use serde::Serialize;

/// Name and version of the object.
pub(super) const SCHEMA: &str = "backline-sheets/1";

/// Returns the JSON Schema of [`SheetPlanData`].
#[cfg(feature = "schema")]
#[must_use]
pub fn plan_schema() -> serde_json::Value {
    crate::job::output_schema_of::<SheetPlanData>()
}

/// A plan as data. Lengths are millimetres, areas square millimetres, prices plain numbers.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SheetPlanData {
    /// Name and version of the object; another version means that a key changed its meaning or went away.
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    pub schema: &'static str,
    /// Name of the order.
    pub name: String,
    /// Whether every blank has its place.
    pub complete: bool,
    /// The word after prices; empty if there is none.
    pub currency: String,
    /// The blanks by size and board.
    pub pieces: Vec<ItemData>,
    /// The boards with their totals and sheets.
    pub boards: Vec<BoardData>,
    /// Price of all boards, if that of each is known.
    pub price: Option<f64>,
    /// What each job, or blank of an order, has of the plan.
    pub shares: Vec<ShareData>,
    /// What each customer has of the plan; empty if no blank has one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub customers: Vec<ShareData>,
}

/// What a job, or a blank of an order, has of a plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ShareData {
    /// Whose it is.
    pub name: String,
    /// Who ordered it; left out if nobody says.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub customer: String,
    /// How many pieces it gets.
    pub pieces: u32,
    /// Their area.
    pub area: f64,
    /// Its share of the price, by area, if prices are known; all shares together are the whole price.
    pub price: Option<f64>,
    /// Its share of the waste, by area.
    pub waste: f64,
}

/// Blanks of one size of one board.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ItemData {
    /// The number on plan, sequence and labels.
    pub number: usize,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// How many are wanted.
    pub quantity: u32,
    /// Whether they may be turned.
    pub turnable: bool,
    /// Whose they are.
    pub users: Vec<UserData>,
}

/// Whose blanks they are.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct UserData {
    /// The job, or the blank of an order.
    pub name: String,
    /// Who ordered it; left out if nobody says.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub customer: String,
    /// How many.
    pub quantity: u32,
}

/// The plan of a board.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BoardData {
    /// Its name.
    pub board: String,
    /// Its thickness, if it is known.
    pub thickness: Option<f64>,
    /// Whole sheets used.
    pub sheets: usize,
    /// Offcuts and fallout used.
    pub offcuts: usize,
    /// No plan uses fewer sheets and offcuts together.
    pub sheets_bound: u32,
    /// Price of the sheets, if prices are known.
    pub price: Option<f64>,
    /// No plan costs less, if prices are known.
    pub price_bound: Option<f64>,
    /// How much more than the bound it costs, or without prices how much more board it uses, as a share of the bound.
    pub gap: f64,
    /// Whether no better plan exists by that measure.
    pub proven: bool,
    /// Area of the sheets and offcuts used.
    pub stock_area: f64,
    /// Area of the pieces.
    pub piece_area: f64,
    /// Area of the remainders worth keeping.
    pub offcut_area: f64,
    /// Share of the board that goes into the bin, in percent.
    pub waste_percent: f64,
    /// Width and height of the largest remainder worth keeping.
    pub largest_offcut: Option<[f64; 2]>,
    /// Sheets that are cut alike, in the order in which they are cut.
    pub patterns: Vec<PatternData>,
    /// Blanks without a place.
    pub left_over: Vec<LeftOverData>,
}

/// Sheets that are cut alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PatternData {
    /// The first of their numbers.
    pub first: usize,
    /// The last of their numbers.
    pub last: usize,
    /// Where they come from: `built-in`, `sheet`, `offcut` or `fallout`.
    pub source: &'static str,
    /// The place in the list of the stock file, from zero, of a sheet or an offcut.
    pub stock_index: Option<usize>,
    /// What it falls out of, for fallout.
    pub fallout_of: Option<String>,
    /// Width of a sheet before trimming.
    pub width: f64,
    /// Height of a sheet before trimming.
    pub height: f64,
    /// What is trimmed off each edge first.
    pub trim: f64,
    /// The rectangles that come off each, from the top left corner of the untrimmed sheet, y down.
    pub parts: Vec<PartData>,
    /// How often the arm is set.
    pub settings: usize,
    /// How often a part is turned.
    pub turns: usize,
    /// How many cuts are made.
    pub cuts: usize,
    /// The steps for one of the sheets.
    pub sequence: Vec<SequenceStepData>,
}

/// A rectangle that comes off a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PartData {
    /// `piece`, `offcut` or `waste`.
    pub kind: &'static str,
    /// The number of a piece.
    pub piece: Option<usize>,
    /// Whether a piece is cut with width and height exchanged.
    pub turned: bool,
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// A step of a sequence.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "do", rename_all = "lowercase")]
pub enum SequenceStepData {
    /// Set the arm.
    Set {
        /// To this length.
        to: f64,
    },
    /// Lay a part at the cutter: 0 is the sheet.
    Lay {
        /// Its handle.
        handle: usize,
        /// What the words call it.
        name: String,
        /// The side along the scale: `width` or `height`, as in the drawing of the sheet. With `width` its left edge is at the
        /// stop, with `height` its top edge.
        along: &'static str,
    },
    /// Give it a quarter turn counter-clockwise, so that the next edge is at the stop.
    Turn,
    /// Cut once.
    Cut {
        /// The number of the cut on its sheet, from one.
        number: usize,
        /// What comes off.
        off: OutcomeData,
    },
    /// Put down what is left.
    Leave {
        /// What it is.
        left: OutcomeData,
    },
}

/// What a part becomes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum OutcomeData {
    /// It is cut again, under this handle.
    Handle(usize),
    /// It is a finished piece of this number.
    Piece(usize),
    /// It is worth keeping.
    Offcut,
    /// It is for the bin.
    Waste,
    /// The kerf took all of it.
    Nothing,
}

/// Blanks without a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LeftOverData {
    /// Their number.
    pub piece: usize,
    /// How many.
    pub quantity: u32,
    /// `too-large`, `too-large-unturned`, `too-long`, `too-many-stages` or `no-stock`.
    pub reason: &'static str,
    /// The same in words, with what to do.
    pub message: String,
}
