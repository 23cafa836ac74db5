//! Sheets: cutting an order of blanks from board with little waste.
//!
//! An [`Order`] of blanks, or the boards of mats, and a [`Stock`] of sheets become a [`Request`]; on one grid of whole steps
//! it is [`PreparedRequest`], planned, and comes back as a [`SheetPlan`]: the sheets to pull, the cuts of each, and the
//! [`Sequence`] of settings by which a person makes them.
//!
//! ```
//! use std::ops::ControlFlow;
//!
//! use backline::job::Syntax;
//! use backline::length::Ratio;
//! use backline::sheets::cutting::Effort;
//! use backline::sheets::{Order, Request, Stock};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let order = Order::read("unit = 'in'\n[[blank]]\nsize = [16, 20]\nquantity = 8\nturnable = false", Syntax::Toml)?;
//! let stock = Stock::read("unit = 'in'\n[[sheet]]\nsize = [32, 40]\nprice = 12.5", Syntax::Toml)?;
//! let mut problems = Vec::new();
//! let request = Request {
//!     name: "Spring show".to_owned(),
//!     ruler: order.ruler(),
//!     blanks: order.resolve().take(&mut problems).unwrap(),
//!     shelf: stock.resolve(order.ruler()).take(&mut problems).unwrap(),
//!     fallout: Vec::new(),
//!     trim: Ratio::ZERO,
//!     turnable: true,
//! };
//! let prepared = request.prepare().take(&mut problems).ok_or("see the problems")?;
//! let plan = prepared.plan(&Effort::default(), &mut |_, _| ControlFlow::Continue(()));
//!
//! assert!(plan.is_complete());
//! let board = &plan.boards[0];
//! assert_eq!((board.totals.sheets, board.totals.proven), (2, true));
//! // Both sheets are cut alike, with two settings of the arm.
//! let pattern = &board.patterns[0];
//! assert_eq!((pattern.copies(), pattern.sequence.settings()), (2, 2));
//! assert!(plan.instructions(pattern)[0].set.starts_with("Set the arm to "));
//! # Ok(())
//! # }
//! ```
//!
//! A [`NestRequest`] lays the boards of mats on sheets in the same way, so that each sheet is cut or drawn in one go.
//!
//! [`cutting`] finds the plan: it knows rectangles, stock and edge-to-edge cuts in whole units, and nothing about mats.

mod blank;
mod board_name;
mod by_board;
#[cfg(feature = "spreadsheets")]
mod columns;
pub mod cutting;
mod data;
mod data_of_plan;
mod fallout;
mod grid;
mod handy_offcuts;
mod holds;
mod instructions;
mod ledger;
mod ledger_order;
mod nest;
mod offcut;
mod order;
#[cfg(feature = "spreadsheets")]
mod order_csv;
mod pages;
mod pattern;
mod places;
mod quote;
mod request;
mod sequence;
mod sheet_plan;
mod shelf;
mod stock;
mod stock_text;
mod storage;
mod tightening;
mod words;

pub use blank::Blank;
pub use board_name::BoardName;
#[cfg(feature = "spreadsheets")]
pub use columns::Columns;
#[cfg(feature = "schema")]
pub use data::plan_schema;
pub use data::{
    BoardData, ItemData, LeftOverData, OutcomeData, PartData, PatternData, SequenceStepData, ShareData, SheetPlanData,
    UserData,
};
pub use fallout::Fallout;
pub use grid::Grid;
pub use holds::{ArmSetting, HeldCut, Hold, SheetEdge, SheetRect};
pub use instructions::{Instruction, READING, WorkLine};
pub use ledger::{LedgerRefusal, LedgerTotals};
pub use ledger_order::{LedgerOrder, LedgerPart, OrderState};
pub use nest::{
    Nest, NestRequest, NestedBoard, NestedSheet, PreparedNest, SharedEdge, Unplaced, UsableArea, shared_edges,
};
pub use offcut::WrittenOffcut;
#[cfg(feature = "schema")]
pub use order::order_schema;
pub use order::{ORDER_STARTER, Order, WrittenBlank};
pub use pages::{offcut_labels, sheet_figure, sheet_labels, sheet_plan_pages};
pub use quote::{GrandTotal, Purchase, Share};
pub use request::{BlankUser, BoardTask, Item, PreparedRequest, Request};
pub use sequence::{Handle, Outcome, Sequence, SequenceStep};
pub use sheet_plan::{BoardPlan, LeftOver, Pattern, Reason, SheetPlan, Totals, Watch};
pub use shelf::{Price, Shelf, ShelfEntry, StockSource};
#[cfg(feature = "schema")]
pub use stock::stock_schema;
pub use stock::{STOCK_STARTER, Stock, WrittenSheet};
pub use storage::WrittenShelf;
pub use words::CUTTING_CAUTIONS;
