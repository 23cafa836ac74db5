//! A printer as it is known by measurement.

use super::{Paper, Stretch};

/// A printer: what it prints on, and how true it prints.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Printer {
    /// What the framer calls it; may be empty.
    pub name: String,
    /// The paper in it, if the profile says so.
    pub paper: Option<Paper>,
    /// What it cannot print at the edges of the paper, in millimetres, if the profile says so.
    pub margin: Option<f64>,
    /// By how much more or less it prints along the short and the long side of the paper.
    pub stretch: Stretch,
}
