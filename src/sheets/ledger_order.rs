//! Orders as written in the ledger of a stock.

use serde::{Deserialize, Serialize};

use super::offcut::WrittenOffcut;
use crate::job::{BoardKey, SizeMeasure};

/// An order in the ledger as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct LedgerOrder {
    /// The identity of the order, which no other has.
    pub id: String,
    /// Whether its sheets are set aside or already cut.
    pub state: OrderState,
    /// The day on which it was cut, `2026-11-30`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub cut_on: String,
    /// Its blanks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(alias = "blanks")]
    pub blank: Vec<LedgerPart>,
    /// The sheets that it takes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(alias = "sheets")]
    pub sheet: Vec<LedgerPart>,
    /// Pieces that fall out of openings of its own mats, and are cut further.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fallout: Vec<LedgerPart>,
    /// The offcuts that it takes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub taken: Vec<WrittenOffcut>,
    /// The offcuts that it leaves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kept: Vec<WrittenOffcut>,
}

/// How far an order has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum OrderState {
    /// Its sheets and offcuts are set aside.
    Reserved,
    /// It has been cut.
    Cut,
}

/// Blanks, sheets or fallout of one size in the ledger.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct LedgerPart {
    /// The board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Width and height.
    pub size: SizeMeasure,
    /// How many.
    pub quantity: u32,
}

impl LedgerOrder {
    /// An order that has reserved nothing yet.
    pub(super) fn empty(id: &str) -> Self {
        Self {
            id: id.to_owned(),
            state: OrderState::Reserved,
            cut_on: String::new(),
            blank: Vec::new(),
            sheet: Vec::new(),
            fallout: Vec::new(),
            taken: Vec::new(),
            kept: Vec::new(),
        }
    }
}
