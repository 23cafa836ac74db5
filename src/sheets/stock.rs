//! The stock of board as written in a file: sheets, offcuts, prices and the rules of the bench.

use serde::{Deserialize, Serialize};

use super::ledger_order::LedgerOrder;
use super::offcut::{WrittenOffcut, is_true};
use super::order::yes;
use super::storage::WrittenShelf;
use crate::fault::Certain;
#[cfg(feature = "schema")]
use crate::job::OneOrMany;
use crate::job::{self, BoardKey, Measure, ReadError, SizeMeasure, Syntax, one_or_many};
use crate::length::Unit;

/// The stock of board and the rules of the bench as written; every key is optional.
///
/// Lengths are numbers in `unit`, or text with fractions and units such as `"3 1/4 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Stock {
    /// Unit of bare numbers: `in`, `mm` or `cm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// The word that is printed after prices, for example `USD`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub currency: String,
    /// How much is cut off every factory edge of a sheet first, the kerf included; nothing if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trim: Option<Measure>,
    /// The width that a cut destroys; nothing if left out, as with a knife.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kerf: Option<Measure>,
    /// The smallest remainder worth keeping, either way round; 8 × 10 in or 200 × 250 mm if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smallest_offcut: Option<SizeMeasure>,
    /// The longest cut that the arm can make; any if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub longest_cut: Option<Measure>,
    /// How many levels of cuts a person will follow, each square to the one before; any number if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stages: Option<u32>,
    /// Sheets as they are bought.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenSheet>"))]
    #[serde(alias = "sheets")]
    pub sheet: Vec<WrittenSheet>,
    /// Offcuts on hand, the oldest first.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenOffcut>"))]
    #[serde(alias = "offcuts")]
    pub offcut: Vec<WrittenOffcut>,
    /// Places on the shelf for offcuts.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenShelf>"))]
    #[serde(alias = "shelves")]
    pub shelf: Vec<WrittenShelf>,
    /// The ledger: orders that have reserved board or have been cut. It is kept by the program.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub order: Vec<LedgerOrder>,
}

/// A kind of sheet as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenSheet {
    /// The board it is of; any if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Width and height.
    pub size: SizeMeasure,
    /// What one costs. Either all sheets of a board have a price or none: then the least area is used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// How many there are; as many as wanted if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_hand: Option<u32>,
    /// How much is cut off every factory edge, if it differs from the stock's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim: Option<Measure>,
    /// Whether blanks may be turned on it: `false` where it has a grain, a texture or a pattern.
    #[serde(default = "yes", skip_serializing_if = "is_true")]
    pub turnable: bool,
}

impl WrittenSheet {
    /// Makes a kind of sheet of a size: of any board, as many as wanted, without a price, which may be turned.
    #[must_use]
    pub fn new(size: impl Into<SizeMeasure>) -> Self {
        Self { board: None, size: size.into(), price: None, on_hand: None, trim: None, turnable: yes() }
    }
}

/// A commented stock file to start from.
pub const STOCK_STARTER: &str = include_str!("stock_starter.toml");

/// Returns the JSON Schema of stock files, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn stock_schema() -> serde_json::Value {
    crate::job::schema_of::<Stock>()
}

impl crate::job::Described for Stock {
    const TABLES: &'static str = include_str!("stock.tables");
}

impl Stock {
    /// Reads a stock from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }

    /// Writes the stock as a file that [`Stock::read`] reads.
    #[must_use]
    pub fn write(&self, syntax: Syntax) -> String {
        match syntax {
            Syntax::Toml => toml::to_string(self).certain("TOML of this stock"),
            Syntax::Json => serde_json::to_string_pretty(self).certain("JSON of this stock") + "\n",
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::{STOCK_STARTER, Stock};
    use crate::job::Syntax;

    #[test]
    fn what_is_written_is_read_again() {
        let stock = Stock::read(STOCK_STARTER, Syntax::Toml).unwrap();
        for syntax in [Syntax::Toml, Syntax::Json] {
            assert_eq!(Stock::read(&stock.write(syntax), syntax).unwrap(), stock);
        }
    }

    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::Stock>("sheets/stock.tables");
    }
}
