//! The sloping edge that a tilted blade leaves round an opening.

use serde::{Deserialize, Serialize};

use crate::length::exact_mm;

/// Which side of the board has the larger outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum BevelDirection {
    /// Larger at the face: the core of the board shows as a strip round the opening.
    #[default]
    Standard,
    /// Larger at the back: the core is hidden.
    Reverse,
    /// Cut square to the board: no strip on either side.
    Straight,
}

impl BevelDirection {
    /// Returns the word for it: `standard`, `reverse` or `straight`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Reverse => "reverse",
            Self::Straight => "straight",
        }
    }
}

/// One of the three outlines of an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Edge {
    /// The smaller of the other two: what the eye sees the art through.
    #[default]
    Sight,
    /// Where the opening meets the coloured face of the board.
    Face,
    /// Where the opening meets the plain back of the board.
    Back,
}

impl Edge {
    /// Returns the word for it: `sight`, `face` or `back`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sight => "sight",
            Self::Face => "face",
            Self::Back => "back",
        }
    }
}

/// The slope of a cut.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Bevel {
    /// Angle of the blade from the board's normal in degrees, from 0 to [`Bevel::LARGEST_ANGLE_DEG`].
    pub angle_deg: f64,
    /// Which side of the board has the larger outline.
    pub direction: BevelDirection,
}

impl Bevel {
    /// The usual angle in degrees (B. Mainwaring, *Matting*; Balloffet & Hille 2005).
    pub const USUAL_ANGLE_DEG: f64 = 45.0;

    /// The flattest blade in degrees that is taken for meant: beyond it the strip is over 3.7 times the thickness.
    pub const LARGEST_ANGLE_DEG: f64 = 75.0;

    /// Returns the width in millimetres of the bevel seen from the front: `t · tan β`, zero for a straight cut.
    #[must_use]
    pub fn width(&self, thickness: f64) -> f64 {
        match self.direction {
            BevelDirection::Straight => 0.0,
            // The tangent of 45 degrees in radians is not quite one.
            _ if self.angle_deg.to_bits() == Self::USUAL_ANGLE_DEG.to_bits() => thickness,
            _ => thickness * self.angle_deg.to_radians().tan(),
        }
    }

    /// Returns the cosine of the angle of the blade: a blade that reaches so deep is longer by its inverse.
    pub(crate) fn lean_cosine(&self) -> f64 {
        match self.direction {
            BevelDirection::Straight => 1.0,
            _ => self.angle_deg.to_radians().cos(),
        }
    }

    /// Describes the cut in words, for a board of the given thickness in millimetres.
    #[must_use]
    pub fn describe(&self, thickness: f64) -> String {
        match self.direction {
            BevelDirection::Straight => "straight cut, no bevel".to_owned(),
            direction => {
                format!("{} bevel, {}°, {} wide", direction.name(), self.angle_deg, exact_mm(self.width(thickness)))
            }
        }
    }

    /// Returns the cut in a few words: `reverse bevel`, `straight cut`, with the angle if it is not the usual one.
    #[must_use]
    pub fn name(&self) -> String {
        match self.direction {
            BevelDirection::Straight => "straight cut".to_owned(),
            direction if self.angle_deg.to_bits() == Self::USUAL_ANGLE_DEG.to_bits() => {
                format!("{} bevel", direction.name())
            }
            direction => format!("{} bevel {}°", direction.name(), self.angle_deg),
        }
    }

    /// Returns how far in millimetres an outline of the opening lies outside its sight outline.
    #[must_use]
    pub fn outside_sight(&self, edge: Edge, thickness: f64) -> f64 {
        match (edge, self.direction) {
            (Edge::Face, BevelDirection::Standard) | (Edge::Back, BevelDirection::Reverse) => self.width(thickness),
            _ => 0.0,
        }
    }
}

impl Default for Bevel {
    fn default() -> Self {
        Self { angle_deg: Self::USUAL_ANGLE_DEG, direction: BevelDirection::Standard }
    }
}
