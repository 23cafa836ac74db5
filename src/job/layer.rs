//! Boards, bevels and layers as written in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer};

use super::bevel::WrittenBevel;
use super::border::WrittenBorder;
use super::short::{self, OneOrMany, Short, ShortOr};
use super::{Arrangement, Measure, WrittenGroove, WrittenOpening, WrittenRuling};
use crate::mat::{Direction, Fallout};

/// A board: its name, in which plies, thickness, colour and core may stand in any place, and what else is known of it.
///
/// In short it is the name alone, such as `8-ply rag`, `white 1400 micron` or `cream, black core`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBoard {
    /// What the framer calls it, for example `8-ply rag` or `warm white`. In a job its thickness is that of 4-ply if nothing gives
    /// it. A name with another figure in it, such as `white 2297`, needs its `thickness` or `plies` beside it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its plies, for example 4; a measured `thickness` is better.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plies: Option<u32>,
    /// Its measured thickness; or plies, such as `4-ply`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// Colour of its face: a word for a colour, a CSS colour such as `#7a1f2b`, or a name of the job's `colours`; that of
    /// its name if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
    /// Colour of its core, which a bevel shows; white if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub core: String,
}

/// Writes a board of which only the name is known as that.
#[expect(clippy::ref_option, reason = "serde passes a reference")]
pub(crate) fn board_in_short<S: Serializer>(board: &Option<WrittenBoard>, serializer: S) -> Result<S::Ok, S::Error> {
    match board {
        Some(board) if *board == (WrittenBoard { name: board.name.clone(), ..WrittenBoard::default() }) => {
            board.name.serialize(serializer)
        }
        board => board.serialize(serializer),
    }
}

impl Short for WrittenBoard {
    type Form = Measure;
    const EXPECTED: &'static str = "a name such as \"8-ply rag\", a colour, a thickness, or a table with `name`, `plies`, `thickness`, `colour` and `core`";

    fn from_short(short: Measure) -> Self {
        match short {
            // Figures without a word are a length in the unit of the file.
            Measure::Text(name) if name.contains(char::is_alphabetic) || !name.contains(char::is_numeric) => {
                Self { name, ..Self::default() }
            }
            short => Self { thickness: Some(short), ..Self::default() },
        }
    }
}

/// What the number `reveal` means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum RevealMeaning {
    /// Distance between the back outlines of the two boards: what a cutter is set to, border plus reveal.
    #[default]
    Back,
    /// Width of the coloured strip of the lower board's face that the eye sees.
    Strip,
}

/// One board of the mat, from the top one to the lowest.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenLayer {
    /// Its name; `top`, `second`, `third` … if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its board, if it differs from the job's.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<ShortOr<Measure, WrittenBoard>>")]
    pub board: Option<WrittenBoard>,
    /// Slope of its cuts, if it differs from the job's.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<ShortOr<Direction, WrittenBevel>>")]
    pub bevel: Option<WrittenBevel>,
    /// How far it shows inside the layer above; 1/4 in or 6 mm if left out. Not for the top layer, nor with openings of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reveal: Option<Measure>,
    /// Whether `reveal` is measured between the back outlines or as the visible strip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reveal_measured: Option<RevealMeaning>,
    /// How much smaller it is cut than the board above ON EVERY SIDE, so that it seats inside; not for the top layer.
    /// `border` and `at` of its openings still count from the edges of the mat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smaller: Option<Measure>,
    /// Whether the pieces that fall out of its openings are wanted: `keep` or `discard`.
    pub fallout: Fallout,
    /// Openings of its own; if there are none it repeats those above.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "OneOrMany<WrittenOpening>")]
    #[serde(alias = "openings")]
    pub opening: Vec<WrittenOpening>,
    /// How its own openings are arranged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arrangement: Option<Arrangement>,
    /// Borders round its own openings.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<ShortOr<Measure, WrittenBorder>>")]
    #[serde(alias = "borders")]
    pub border: Option<WrittenBorder>,
    /// V-grooves in its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "OneOrMany<WrittenGroove>")]
    #[serde(alias = "grooves")]
    pub groove: Vec<WrittenGroove>,
    /// Ruled lines and bands of wash on its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "OneOrMany<WrittenRuling>")]
    pub ruled: Vec<WrittenRuling>,
}
