//! What a file makes of a job, what comes out otherwise than asked, and what it leaves to others.

use serde::{Deserialize, Serialize};

/// What a file makes of a job, in words; every file for a machine says it in its comments, if its format has some.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WorkAccount {
    /// What is made, a kind of work at a time, with its tool.
    pub makes: Vec<String>,
    /// What comes out otherwise than the job asks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub differs: Vec<String>,
    /// What is left out, and which profiles and views have it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub leaves_out: Vec<String>,
}

impl WorkAccount {
    /// Returns a sentence for each entry.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let made = self.makes.iter().map(|what| format!("makes: {what}"));
        let differs = self.differs.iter().map(|what| format!("DIFFERS FROM THE JOB: {what}"));
        let left = self.leaves_out.iter().map(|what| format!("LEFT OUT: {what}"));
        made.chain(differs).chain(left).collect()
    }
}
