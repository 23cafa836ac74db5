//! A bevel as written in a job file.

use serde::{Deserialize, Serialize};

use super::short::Short;
use crate::mat::BevelDirection;

/// The slope of a cut: a direction, an angle, or both. The angle is counted from one of two lines; at most one key says it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    pub direction: Option<BevelDirection>,
}

impl Short for WrittenBevel {
    type Form = BevelDirection;
    const EXPECTED: &'static str =
        "`standard`, `reverse` or `straight`, or a table such as { angle_from_face = 45, direction = \"standard\" },";

    fn from_short(direction: BevelDirection) -> Self {
        Self { direction: Some(direction), ..Self::default() }
    }
}
