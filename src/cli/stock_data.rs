//! What `stock --json` prints: the orders of a ledger with what they come to, or what a command changed.

use serde::Serialize;

use crate::sheets::{LedgerTotals, OrderState, Stock, WrittenOffcut};

/// Name and version of a report; another version means that a key changed its meaning or went away.
const REPORT_SCHEMA: &str = "backline-ledger/1";
/// Name and version of a change.
const CHANGE_SCHEMA: &str = "backline-stock-change/1";

/// The orders of a ledger. Areas are square millimetres.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct LedgerReport<'a> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = REPORT_SCHEMA)))]
    schema: &'static str,
    /// All orders, those too that were cut on other days.
    orders: Vec<ReportedOrder<'a>>,
    /// The year, month or day to which the totals are confined; empty for all.
    days: &'a str,
    /// What the orders come to that were cut on those days.
    totals: ReportedTotals,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ReportedOrder<'a> {
    id: &'a str,
    state: OrderState,
    /// The day, such as 2026-11-30; empty for an order that is reserved.
    cut_on: &'a str,
    blanks: u32,
    sheets: u32,
    offcuts: u32,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ReportedTotals {
    orders: usize,
    sheets: u32,
    /// Area of the sheets, offcuts and fallout that were taken.
    taken_area: f64,
    /// Area of the blanks.
    piece_area: f64,
    /// Area of the offcuts that were kept.
    offcut_area: f64,
    /// Area that went into the bin.
    waste_area: f64,
}

/// What a command made of an order.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct StockChange<'a> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = CHANGE_SCHEMA)))]
    schema: &'static str,
    /// The identity of the order.
    order: &'a str,
    /// What the order now is; left out if it was cancelled and is gone.
    #[serde(skip_serializing_if = "Option::is_none")]
    state: Option<OrderState>,
    /// Whether the file was changed; not if all was as it should be already.
    changed: bool,
    /// Offcuts that joined the stock, with the place on the shelf to which each goes.
    offcuts: Vec<&'a WrittenOffcut>,
}

impl<'a> LedgerReport<'a> {
    pub(super) fn new(stock: &'a Stock, days: &'a str) -> Self {
        let orders = stock.order.iter().map(|order| ReportedOrder {
            id: &order.id,
            state: order.state,
            cut_on: &order.cut_on,
            blanks: order.blank.iter().map(|blank| blank.quantity).sum(),
            sheets: order.sheet.iter().map(|sheet| sheet.quantity).sum(),
            offcuts: order.taken.iter().map(|offcut| offcut.quantity).sum(),
        });
        Self { schema: REPORT_SCHEMA, orders: orders.collect(), days, totals: ReportedTotals::of(&stock.totals(days)) }
    }
}

impl ReportedTotals {
    fn of(totals: &LedgerTotals) -> Self {
        Self {
            orders: totals.orders,
            sheets: totals.sheets,
            taken_area: totals.taken,
            piece_area: totals.blanks,
            offcut_area: totals.kept,
            waste_area: totals.waste(),
        }
    }
}

impl<'a> StockChange<'a> {
    /// Tells what became of an order, from the stock before and after.
    pub(super) fn new(order: &'a str, before: &Stock, after: &'a Stock) -> Self {
        let state = after.order(order).map(|order| order.state);
        Self { schema: CHANGE_SCHEMA, order, state, changed: true, offcuts: joined(before, after) }
    }

    /// Tells that an order was as it should be already.
    pub(super) fn none(order: &'a str, state: OrderState) -> Self {
        Self { schema: CHANGE_SCHEMA, order, state: Some(state), changed: false, offcuts: Vec::new() }
    }
}

/// Returns the offcuts with an identity that a stock has and had not.
pub(super) fn joined<'a>(before: &Stock, after: &'a Stock) -> Vec<&'a WrittenOffcut> {
    let is_new = |offcut: &&WrittenOffcut| !before.offcut.iter().any(|old| old.id == offcut.id);
    after.offcut.iter().filter(|offcut| !offcut.id.is_empty()).filter(is_new).collect()
}

/// Returns the JSON Schema of a report.
pub(super) fn ledger_schema() -> serde_json::Value {
    crate::job::output_schema_of::<LedgerReport<'_>>()
}

/// Returns the JSON Schema of a change.
pub(super) fn change_schema() -> serde_json::Value {
    crate::job::output_schema_of::<StockChange<'_>>()
}
