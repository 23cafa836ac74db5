//! A place on the shelf as written in a stock.

use serde::{Deserialize, Serialize};

use crate::job::SizeMeasure;

/// A place on the shelf for offcuts, as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct WrittenShelf {
    /// What it is called on labels and in plans: `rack B`.
    pub name: String,
    /// The largest offcut that it takes, either way round; any if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<SizeMeasure>,
    /// How many offcuts it holds; any number if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holds: Option<u32>,
}
