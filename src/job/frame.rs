//! The frame, and lists of standard sizes, as written in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::short::Short;
use super::{Measure, SizeMeasure};

/// The frame that the mat goes into.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WrittenFrame {
    /// Width and height of the opening of the rabbet: the size by which frames are sold.
    pub rabbet: SizeMeasure,
    /// How much smaller the mat is than the rabbet, overall; 1/8 in if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clearance: Option<Measure>,
    /// How much of every border the lip of the rabbet hides; 1/4 in if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lip: Option<Measure>,
}

impl Short for WrittenFrame {
    type Form = SizeMeasure;
    const EXPECTED: &'static str = "the size of the rabbet, or a table with `rabbet`, `clearance` and `lip`";

    fn from_short(rabbet: SizeMeasure) -> Self {
        Self { rabbet, clearance: None, lip: None }
    }
}

/// Takes the outer size from a list of standard sizes: the smallest that keeps every border wide enough.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WrittenStandard {
    /// Name of a built-in list, or of one of the job's own `size_list` tables.
    pub list: String,
    /// The least width of every border; 2 in if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minimum_border: Option<Measure>,
}

impl Short for WrittenStandard {
    type Form = String;
    const EXPECTED: &'static str = "the name of a list of sizes, or a table with `list` and `minimum_border`";

    fn from_short(list: String) -> Self {
        Self { list, minimum_border: None }
    }
}

/// A list of standard sizes of the user's own.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WrittenSizeList {
    /// The name by which `standard` calls it.
    pub name: String,
    /// Where the sizes come from.
    #[serde(default)]
    pub source: String,
    /// The sizes; each may be used upright or lying.
    pub sizes: Vec<SizeMeasure>,
}
