//! Offcuts as written in a stock and its ledger.

use serde::{Deserialize, Serialize};

use super::order::{one, yes};
use crate::job::{BoardKey, SizeMeasure};

/// Offcuts of one size as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenOffcut {
    /// Its identity, printed on its label; none where several are listed together.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub id: String,
    /// Where it lies: a place on the shelf.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// The board it is of; any if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Width and height, the way round that its grain runs.
    pub size: SizeMeasure,
    /// How many there are; one if left out.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub quantity: u32,
    /// What it is worth to you; nothing if left out, so that it is used first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Whether blanks may be turned on it.
    #[serde(default = "yes", skip_serializing_if = "is_true")]
    pub turnable: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
pub(super) fn is_true(value: &bool) -> bool {
    *value
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_one(value: &u32) -> bool {
    *value == 1
}

impl WrittenOffcut {
    /// Makes one offcut of any board.
    #[must_use]
    pub fn new(size: impl Into<SizeMeasure>) -> Self {
        Self {
            id: String::new(),
            place: String::new(),
            board: None,
            size: size.into(),
            quantity: one(),
            price: None,
            turnable: yes(),
        }
    }

    /// Returns its identity and its place as they are printed: `K7, rack B`.
    pub(super) fn known_as(&self) -> String {
        let words = [self.id.as_str(), self.place.as_str()];
        words.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
    }

    /// Tells whether offcuts are the same: of one identity, or where they have none, alike.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        let alike = |offcut: &Self| Self { quantity: 0, place: String::new(), ..offcut.clone() };
        if self.id.is_empty() { alike(self) == alike(other) } else { self.id == other.id }
    }
}
