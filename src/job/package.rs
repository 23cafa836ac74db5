//! What lies in a frame beside the boards, as written in a job file: glass, spacers, mount, backing.

use serde::{Deserialize, Serialize};

use super::Measure;
#[cfg(feature = "schema")]
use super::short::ShortOr;
use super::short::{self, Short};

/// One thing that lies in the frame: what it is called, and how thick it is.
///
/// A name may have the thickness in it, as `2 mm, anti-reflective` does.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenPart {
    /// What the framer calls it; `none` if there is none.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Its thickness, if the name does not have it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
}

impl Short for WrittenPart {
    type Form = Measure;
    const EXPECTED: &'static str =
        "a name such as \"2 mm, anti-reflective\", a thickness, \"none\", or a table with `name` and `thickness`";

    fn from_short(short: Measure) -> Self {
        match short {
            Measure::Text(name) => Self { name, thickness: None },
            number @ Measure::Number(_) => Self { name: String::new(), thickness: Some(number) },
        }
    }
}

/// Spacers at the edge of the frame, which keep the art or the mat off the glass.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenSpacers {
    /// Spacers between the glass and the mat.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenPart>>"))]
    pub under_glass: Option<WrittenPart>,
    /// Spacers between the mat and the mount of the art, as in a shadow box.
    #[serde(deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenPart>>"))]
    pub under_mat: Option<WrittenPart>,
}

impl Short for WrittenSpacers {
    type Form = Measure;
    const EXPECTED: &'static str =
        "the thickness of spacers between glass and mat, or a table with `under_glass` and `under_mat`";

    fn from_short(short: Measure) -> Self {
        Self { under_glass: Some(WrittenPart::from_short(short)), under_mat: None }
    }
}
