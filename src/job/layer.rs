//! Boards, bevels and layers as written in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::border::WrittenBorder;
use super::short::{self, OneOrMany, Short, ShortOr};
use super::{Arrangement, Measure, WrittenGroove, WrittenOpening, WrittenRuling};
use crate::mat::{Direction, Fallout};

/// A board: a name, and a thickness unless the name is a ply name.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBoard {
    /// What the framer calls it, for example `4-ply` or `warm white`; its thickness is that of 4-ply if nothing else gives it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its plies, for example 4; a measured `thickness` is better.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plies: Option<u32>,
    /// Its measured thickness.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// Colour of its face: a word for a colour, a CSS colour such as `#7a1f2b`, or a name of the job's `colours`; that of
    /// its name if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub colour: String,
    /// Colour of its core, which a bevel shows; white if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub core: String,
}

impl Short for WrittenBoard {
    type Form = Measure;
    const EXPECTED: &'static str = "a ply name such as \"4-ply\", a colour, a thickness, or a table with `name`, `plies`, `thickness`, `colour` and `core`";

    fn from_short(short: Measure) -> Self {
        match short {
            // A colour or a ply name has a word in it that no length has.
            Measure::Text(name) if name.contains("ply") || !name.contains(|letter: char| letter.is_ascii_digit()) => {
                Self { name, ..Self::default() }
            }
            short => Self { thickness: Some(short), ..Self::default() },
        }
    }
}

/// The slope of a cut: a direction, an angle, or both. The angle is counted from one of two lines; at most one key says it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBevel {
    /// Angle in degrees between the cut and the face of the board: 90 is a straight cut; 45 if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub angle_from_face: Option<f64>,
    /// Angle in degrees by which the blade leans from upright, which is the board's normal: 0 is a straight cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub angle_from_upright: Option<f64>,
    /// 45, which is the same from the face and from upright; any other angle needs one of the two keys above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub angle: Option<f64>,
    /// `standard` (the core shows), `reverse` (the core is hidden) or `straight`; standard if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
}

impl Short for WrittenBevel {
    type Form = Direction;
    const EXPECTED: &'static str =
        "`standard`, `reverse` or `straight`, or a table such as { angle_from_face = 45, direction = \"standard\" },";

    fn from_short(direction: Direction) -> Self {
        Self { direction: Some(direction), ..Self::default() }
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
    /// How far it shows inside the layer above; 1/4 in if left out. Not for the top layer, nor with openings of its own.
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
    pub opening: Vec<WrittenOpening>,
    /// How its own openings are arranged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arrangement: Option<Arrangement>,
    /// Borders round its own openings.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<ShortOr<Measure, WrittenBorder>>")]
    pub border: Option<WrittenBorder>,
    /// V-grooves in its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "OneOrMany<WrittenGroove>")]
    pub groove: Vec<WrittenGroove>,
    /// Ruled lines and bands of wash on its face.
    #[serde(deserialize_with = "short::one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "OneOrMany<WrittenRuling>")]
    pub ruled: Vec<WrittenRuling>,
}
