//! What `calibrate piece --json` prints: the pieces to cut, what to set for each side, and their files.

use serde::Serialize;

use crate::bench::{TestPiece, TestSide};

/// Name and version of the data; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-test-pieces/1";

/// Test pieces to cut. Lengths are millimetres.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct PlannedPieces {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    pieces: Vec<PlannedPiece>,
    /// All files that were written, with the form for what is measured.
    files: Vec<String>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PlannedPiece {
    number: usize,
    /// What the squaring arm is set to for its width.
    width: f64,
    /// What the squaring arm is set to for its height.
    height: f64,
    /// Whether its cuts are started and ended by eye.
    by_eye: bool,
    /// Its sides as seen from the front.
    sides: Vec<PlannedSide>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PlannedSide {
    /// left, bottom, right or top.
    name: &'static str,
    /// What the guide is set to.
    guide: f64,
    /// What the far stop is set to, or where the mark on the head stands.
    far: f64,
    /// The same at the near end.
    near: f64,
}

impl PlannedPieces {
    pub(super) fn new(pieces: &[TestPiece], files: Vec<String>) -> Self {
        let side =
            |side: &TestSide| PlannedSide { name: side.side.name(), guide: side.guide, far: side.far, near: side.near };
        let piece = |piece: &TestPiece| PlannedPiece {
            number: piece.number,
            width: piece.width,
            height: piece.height,
            by_eye: piece.by_eye,
            sides: piece.sides.iter().map(side).collect(),
        };
        Self { schema: SCHEMA, pieces: pieces.iter().map(piece).collect(), files }
    }
}

/// Returns the JSON Schema of the data.
pub(in crate::cli) fn pieces_schema() -> serde_json::Value {
    crate::job::output_schema_of::<PlannedPieces>()
}
