//! A tool of a machine as written in its profile.

use serde::{Deserialize, Serialize};

use crate::job::Measure;
use crate::mat::BevelDirection;
use crate::program::ToolKind;

/// The tool for one kind of work.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenTool {
    /// Number of the pen or tool; the usual pen of the kind of work if left out.
    pub number: Option<u16>,
    /// Name of the layer in drawings; the name of the kind of work in capitals if left out.
    #[serde(alias = "layers")]
    pub layer: Option<String>,
    /// Colour in drawings, such as `#ff0000`; the usual one if left out.
    pub color: Option<String>,
    /// Number of the colour in the colour table of DXF, 1 to 255; the usual one if left out.
    pub dxf_color: Option<u8>,
    /// Speed, passed through as it is: cm/s in HP-GL, file units a minute in G-code.
    pub speed: Option<f64>,
    /// Force, passed through as it is to HP-GL.
    pub force: Option<f64>,
    /// What it is: `bevel-knife`, `upright-knife`, `v-tool`, `scoring-wheel`, `router-bit`, `beam`, `pen` or `line`. It must be said of
    /// what cuts; whatever draws is a pen if left out.
    pub kind: Option<ToolKind>,
    /// Angles from upright that a bevel knife can be set to, in degrees, 0 for upright; of a V tool the angle between its walls, 90 if left out.
    pub angles: Vec<f64>,
    /// Whether the lines before a cut set the angle of a bevel knife anew within a file; otherwise a board may have one angle only.
    pub turns_between: bool,
    /// To which side of its travel a bevel knife leans: the side on which its point lies, below, seen from above.
    pub lean: Option<BladeLean>,
    /// The bevels that a bevel knife cuts; standard and reverse if left out.
    pub bevels: Option<Vec<BevelDirection>>,
    /// The thickest board that it cuts; not checked if left out.
    pub thickest: Option<Measure>,
    /// Width of the line that a router bit or a beam takes away.
    pub width: Option<Measure>,
    /// Who moves a router bit or a beam aside by half its width.
    pub compensation: Compensation,
    /// What an upright tool does with an opening that is to have a bevel.
    pub bevelled: Bevelled,
    /// How deep it goes below the surface: a length, or a sum with the board or the groove, such as `board + 0.2 mm`, `half board` or
    /// `groove`. A list goes over each cut several times, each time deeper.
    pub depth: Option<WrittenDepth>,
    /// Places where a cut is left closed, to keep the piece that falls out in the board.
    pub tabs: Option<WrittenTabs>,
    /// Width of its lines in drawings; 0.1 mm if left out.
    pub line_width: Option<Measure>,
    /// Lines written before each of its cuts, with places such as `{depth}`.
    pub before_cut: Vec<String>,
    /// Lines written after each of its cuts.
    pub after_cut: Vec<String>,
}

/// Who moves a tool of some width aside, so that its edge follows the outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Compensation {
    /// The file: its lines lie half a width beside the outlines, in the waste.
    #[default]
    File,
    /// The controller, or the program that reads the file: its lines are the outlines.
    Controller,
}

/// What an upright tool does with an opening that is to have a bevel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Bevelled {
    /// It cuts along the smaller outline, through which the art is seen, so that the board covers the art as the job asks.
    #[default]
    Sight,
    /// It cuts along the outline on the side that lies up, which may be the larger one.
    Surface,
    /// The job is refused.
    Refuse,
}

/// To which side of its travel a blade leans, seen from above: the side on which its point lies, below.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum BladeLean {
    /// To the left of the travel.
    Left,
    /// To the right of the travel.
    Right,
}

/// How deep a tool goes, once or several times.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum WrittenDepth {
    /// In one go.
    Once(WrittenDepthTerm),
    /// In several, each deeper than the one before.
    Several(Vec<WrittenDepthTerm>),
}

/// One depth as written: millimetres, or a sum in words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum WrittenDepthTerm {
    /// Millimetres.
    Number(f64),
    /// A sum such as `board + 0.2 mm`.
    Text(String),
}

/// Places where a cut is left closed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct WrittenTabs {
    /// How many for each opening.
    pub count: u8,
    /// How long each is.
    pub length: Measure,
}
