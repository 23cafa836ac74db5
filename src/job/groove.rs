//! V-grooves as written in a job file.

use serde::{Deserialize, Serialize};

use super::short;
#[cfg(feature = "schema")]
use super::short::OneOrMany;
use super::{Around, Measure};

/// V-grooves in the face of a board: round openings, or along a line of their own.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenGroove {
    /// Which openings it runs round: `"all"` (if left out), a number, or a list of numbers.
    pub around: Around,
    /// How far from the outline of the opening IN THE FACE the bottom of the V runs: a length, or a list for several
    /// grooves; 1 in or 25 mm if left out.
    #[serde(deserialize_with = "short::lengths", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<Measure>"))]
    pub distance: Vec<Measure>,
    /// Angle between the two walls of the V in degrees; 90 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub angle: Option<f64>,
    /// Depth below the face; a third of the thickness of the board if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth: Option<Measure>,
    /// Corners of a line of its own, instead of `around` and `distance`: x from the left and y from the top edge of the
    /// mat, seen from the front. A last point like the first closes the line.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<[Measure; 2]>,
}
