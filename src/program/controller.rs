//! What the controller of a machine reads: its unit, its coordinates, its curves and the limits of its format.

use kurbo::Vec2;
use serde::{Deserialize, Serialize};

use super::words::OwnWords;
use crate::geometry::Flattening;

/// What the controller of a machine, or the software in front of it, reads.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Controller {
    /// Name of the format of its files.
    pub format: String,
    /// What one unit in its files stands for.
    pub unit: MachineUnit,
    /// Where its coordinates are zero and which way they run.
    pub origin: Origin,
    /// What curves become.
    pub curves: Curves,
    /// Largest distance in millimetres between a curve and what is written for it.
    pub tolerance: f64,
    /// On which side of a curve the chords lie that stand for it.
    pub flattening: Flattening,
    /// Strokes of a curve shorter than this many millimetres are joined to the next.
    pub smallest_segment: f64,
    /// What only plotters have.
    pub plotter: Plotter,
    /// What only routers have.
    pub router: Router,
    /// What only files in DXF have.
    pub dxf: DxfChoices,
    /// Lines of the profile's own.
    pub words: OwnWords,
}

/// The length that one unit of a file stands for.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MachineUnit {
    /// Its name as in the profile: `mm`, `in`, `0.025 mm`.
    pub name: String,
    /// Its length in millimetres, above zero.
    pub millimetres: f64,
}

impl MachineUnit {
    /// Returns the unit in words for a comment, for example `mm (one unit is one millimetre)`.
    #[must_use]
    pub fn describe(&self) -> String {
        match self.name.as_str() {
            "mm" => "mm (one drawing unit is one millimetre)".to_owned(),
            "cm" => "cm (one drawing unit is one centimetre)".to_owned(),
            "in" => "in (one drawing unit is one inch)".to_owned(),
            other => format!("{other} (one drawing unit is {other})"),
        }
    }

    /// Returns the unit as a part of a file name: letters, figures and points.
    #[must_use]
    pub fn file_part(&self) -> String {
        self.name.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '.').collect()
    }
}

/// Where the coordinates of a machine are zero and which way they run, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Origin {
    /// The corner of the bed, or its centre, with the coordinates zero.
    pub at: DatumPoint,
    /// Coordinates in millimetres of the same corner, or centre, of the board.
    pub offset: Vec2,
    /// Where x grows.
    pub x: AxisDirection,
    /// Where y grows; across x.
    pub y: AxisDirection,
}

/// A corner of the bed and of the board, or the centre, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum DatumPoint {
    /// The corner on the left, near the operator.
    #[default]
    BottomLeft,
    /// The corner on the right, near the operator.
    BottomRight,
    /// The corner on the left, away from the operator.
    TopLeft,
    /// The corner on the right, away from the operator.
    TopRight,
    /// The centre, as large plotters have it.
    #[serde(alias = "center")]
    Centre,
}

impl DatumPoint {
    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::BottomLeft => "bottom-left",
            Self::BottomRight => "bottom-right",
            Self::TopLeft => "top-left",
            Self::TopRight => "top-right",
            Self::Centre => "centre",
        }
    }
}

/// A direction on the bed, seen from above by the operator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum AxisDirection {
    /// To the right.
    Right,
    /// To the left.
    Left,
    /// Away from the operator.
    Up,
    /// Towards the operator.
    Down,
}

impl AxisDirection {
    /// Returns the direction as a unit vector on a sheet seen from above, y down.
    #[must_use]
    pub const fn vector(self) -> Vec2 {
        match self {
            Self::Right => Vec2::new(1.0, 0.0),
            Self::Left => Vec2::new(-1.0, 0.0),
            Self::Up => Vec2::new(0.0, -1.0),
            Self::Down => Vec2::new(0.0, 1.0),
        }
    }

    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}

/// What curves become in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Curves {
    /// Short straight strokes.
    #[default]
    Lines,
    /// Arcs of circles that touch each other.
    Arcs,
    /// What the format has: ellipses stay ellipses; other curves become arcs.
    Native,
}

/// What only plotters have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Plotter {
    /// The largest number that the device reads.
    pub largest_number: u32,
    /// What is done with a drawing that needs larger ones.
    pub beyond: LargeNumbers,
    /// The longest instruction in bytes that its buffer holds.
    pub longest_instruction: usize,
}

/// What is done with a drawing that needs larger numbers than a plotter reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum LargeNumbers {
    /// It is written in coarser steps by the instructions IP and SC.
    #[default]
    Coarser,
    /// It is refused.
    Refuse,
}

/// What only routers have.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Router {
    /// Height in millimetres above the surface at which the tool travels.
    pub safe_height: f64,
    /// Speed into the material in file units a minute; `None` is that of the tool.
    pub plunge_speed: Option<f64>,
    /// How the controller passes from one move to the next.
    pub path_mode: PathMode,
    /// Settings that the file does not make, since the controller refuses their words.
    pub left_out_words: Vec<ModalWord>,
    /// What lowers and lifts the tool.
    pub lowered: Lowering,
}

/// What lowers and lifts the tool of a router.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Lowering {
    /// Moves along Z.
    #[default]
    ByZ,
    /// The lines before and after each cut, for a machine without Z: a pneumatic knife, a beam.
    ByWords,
}

/// How a controller passes from one move to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum PathMode {
    /// Exactly through every point (G61), so that corners are not rounded.
    #[default]
    Exact,
    /// Exactly, with a full stop at every point (G61.1).
    ExactStop,
    /// Within the tolerance of curves (G64 P), which is faster on many controllers.
    Tolerance,
    /// As the controller was left in: corners may be rounded.
    Unsaid,
}

/// A setting of a controller that a file relies on (RS-274; the words are those of RS274/NGC).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum ModalWord {
    /// Inches.
    G20,
    /// Millimetres.
    G21,
    /// Coordinates are places, not steps.
    G90,
    /// Centres of arcs are steps from their starts.
    #[serde(rename = "G91.1")]
    G91p1,
    /// Arcs lie in the plane of the board.
    G17,
    /// The tool is not moved aside by its radius.
    G40,
    /// Heights are not moved by the length of a tool.
    G49,
    /// No drilling cycle goes on.
    G80,
    /// Speeds are lengths a minute.
    G94,
}

impl ModalWord {
    /// Returns the word as it stands in a file.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::G20 => "G20",
            Self::G21 => "G21",
            Self::G90 => "G90",
            Self::G91p1 => "G91.1",
            Self::G17 => "G17",
            Self::G40 => "G40",
            Self::G49 => "G49",
            Self::G80 => "G80",
            Self::G94 => "G94",
        }
    }
}

/// What only files in DXF have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct DxfChoices {
    /// Whether the header has the variables of the unit, `$INSUNITS` and `$MEASUREMENT`.
    pub unit_variables: bool,
    /// Whether every line and arc is an entity of its own, and not part of a polyline.
    pub separate: bool,
}
