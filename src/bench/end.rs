//! The two ends of the rail.

use serde::{Deserialize, Serialize};

/// An end of the rail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum End {
    /// The far end: the blade is pulled towards the framer.
    #[default]
    Far,
    /// The near end: the blade is pushed away from the framer.
    Near,
}
