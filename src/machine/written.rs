//! A machine profile as written in its file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::written_tool::WrittenTool;
use crate::job::{Measure, ReadError, SizeMeasure, Syntax};
use crate::program::{AxisDirection, Curves, DatumPoint, LargeNumbers, Lowering, ModalWord, PathMode, WorkKind};

/// A machine profile as written; bare numbers are millimetres.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenMachine {
    /// What the machine is, in a sentence.
    pub about: String,
    /// Name of the format of its files, such as `dxf-r12`.
    pub format: String,
    /// The length that one unit of the file stands for: `mm`, `cm`, `in`, or a length such as `0.025 mm`; millimetres if
    /// left out.
    pub unit: Option<String>,
    /// Whether the unit is part of the file name.
    pub unit_in_name: bool,
    /// The side of the board that lies up.
    pub side_up: SideUp,
    /// Width and height of the bed in its own directions of x and y; unlimited if left out.
    pub bed: Option<SizeMeasure>,
    /// Where the zero of the coordinates is and which way they run.
    pub origin: WrittenOrigin,
    /// Whether a board is laid on the bed turned by a quarter.
    pub turn: BoardTurn,
    /// What curves become.
    pub curves: Curves,
    /// Largest distance between a curve and what is written for it; 0.01 mm if left out.
    pub tolerance: Option<Measure>,
    /// On which side of a curve the short straight strokes lie that stand for it.
    pub chords: WrittenFlattening,
    /// Strokes of a curve shorter than this are joined to the next; 0 if left out.
    pub smallest_segment: Option<Measure>,
    /// How the head follows an outline.
    pub head: Head,
    /// Which way the head travels round an opening.
    pub direction: WrittenDirection,
    /// How far cuts run on beyond the corners of openings.
    pub over_run: WrittenOverRun,
    /// Length of the stroke that leads from the waste into a closed cut; 0 if left out.
    pub lead_in: Option<Measure>,
    /// How far a closed cut runs on beyond its start; 0 if left out.
    pub overlap: Option<Measure>,
    /// The work in the order in which it is done, by the names of the tools; those left out follow in the usual order.
    pub order: Vec<WorkKind>,
    /// What is written into the pieces that fall out.
    pub labels: FalloutLabels,
    /// Length of a line beside the board that is checked with a ruler; none if left out.
    pub reference_line: Option<Measure>,
    /// The tool for each kind of work; work without a tool is left out of the file.
    pub tools: BTreeMap<WorkKind, WrittenTool>,
    /// Lines of your own in the file.
    pub words: WrittenWords,
    /// How far a tool may go below the board, into what lies under it; 1 mm if left out.
    pub below_board: Option<Measure>,
    /// Whether the edges of a sheet that are edges of mats too are cut anew; they are left as the factory cut them if not said.
    pub cut_sheet_edges: bool,
    /// What only plotters have.
    pub plotter: WrittenPlotter,
    /// What only routers have.
    pub router: WrittenRouter,
    /// What only files in DXF have.
    pub dxf: WrittenDxf,
}

/// Which side of the board lies up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum SideUp {
    /// The plain back: the drawing is mirrored and the back outlines are followed.
    #[default]
    Back,
    /// The coloured face: the drawing is as hung and the face outlines are followed.
    Face,
}

/// Where the zero of the coordinates is and which way they run, seen from above.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenOrigin {
    /// The corner of the bed, or its centre, that has the coordinates zero; the bottom left corner if left out.
    pub at: DatumPoint,
    /// Coordinates of the same corner, or centre, of the board; zero if left out.
    pub offset: Option<[Measure; 2]>,
    /// Where x grows; to the right if left out.
    pub x: Option<AxisDirection>,
    /// Where y grows; up, away from the operator, if left out.
    pub y: Option<AxisDirection>,
}

/// Whether a board is laid on the bed turned by a quarter, clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum BoardTurn {
    /// Never.
    #[default]
    Never,
    /// Always.
    Always,
    /// If it fits the bed only so.
    ToFit,
}

/// On which side of a curve the short straight strokes lie that stand for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum WrittenFlattening {
    /// On its inner side, with every point on the curve.
    #[default]
    Inside,
    /// On both sides, which takes about 30 % fewer points.
    BothSides,
}

/// How the head follows an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Head {
    /// It turns with the line and follows the whole outline.
    #[default]
    Turning,
    /// It cuts straight lines only, a whole side at a stroke.
    Straight,
}

/// Which way round an opening the head travels, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum TravelDirection {
    /// Like the hands of a clock.
    #[default]
    Clockwise,
    /// Against the hands of a clock.
    Counterclockwise,
}

impl TravelDirection {
    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clockwise => "clockwise",
            Self::Counterclockwise => "counterclockwise",
        }
    }

    /// Returns it in words: with or against the hands of a clock.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Clockwise => "travelling clockwise",
            Self::Counterclockwise => "travelling counterclockwise",
        }
    }
}

/// The direction of travel for each kind of bevel; clockwise if left out. It decides which way a leaning blade leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenDirection {
    /// Openings with a standard bevel; the way that the lean of the blade asks for if left out, and clockwise if that is not said.
    pub standard: Option<TravelDirection>,
    /// Openings with a reverse bevel; for a bevel knife the way that keeps its lean if left out, and for others clockwise.
    pub reverse: Option<TravelDirection>,
    /// Openings cut square to the board, and the outer edge.
    pub straight: TravelDirection,
}

/// How far cuts run on beyond the corners of openings.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenOverRun {
    /// What the length follows from.
    pub rule: OverRunRule,
    /// The lead of the blade, added at every corner; 0 if left out.
    pub lead: Option<Measure>,
    /// How far a cut may at most run into the board beyond its own bevel; 1.5 mm if left out.
    pub into_bar: Option<Measure>,
}

/// What the over-run at a corner follows from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum OverRunRule {
    /// There is none.
    #[default]
    None,
    /// The bevel: `w / tan(α/2)` plus the lead of the blade, where the cuts must meet on the far side: at corners that point outwards if the far
    /// edge lies outside, and at those that point inwards, into the waste, if it lies inside.
    Bevel,
}

/// What is written into the pieces that fall out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum FalloutLabels {
    /// Nothing.
    #[default]
    None,
    /// The numbers of the openings.
    Numbers,
    /// The numbers and names of the openings and the name of the job.
    Names,
}

/// Lines of a shop's own in its files, for codes that only the machine knows: vacuum, oscillation, spindle. G-code and HP-GL only.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenWords {
    /// After the settings at the start.
    pub before_file: Vec<String>,
    /// Before the end.
    pub after_file: Vec<String>,
    /// Where another tool is needed; a stop (M0 in G-code) if left out.
    pub tool_change: Vec<String>,
}

/// What only plotters have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenPlotter {
    /// The largest number that the device reads; 32767 if left out.
    pub largest_number: Option<u32>,
    /// What is done with a drawing that needs larger numbers.
    pub beyond: LargeNumbers,
    /// The longest instruction in bytes that its buffer holds; 240 if left out.
    pub longest_instruction: Option<u16>,
}

/// What only routers have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenRouter {
    /// Height above the surface at which the tool travels; 5 mm if left out.
    pub safe_height: Option<Measure>,
    /// Speed into the material in file units a minute; that of the tool if left out.
    pub plunge_speed: Option<f64>,
    /// How the controller passes from one move to the next.
    pub path_mode: PathMode,
    /// Words of the settings at the start that the controller refuses, such as `["G91.1"]`; none if left out. What such a word
    /// would set is then whatever the controller was left in.
    pub left_out_words: Vec<ModalWord>,
    /// What lowers and lifts the tool.
    pub lowered: Lowering,
}

/// What only files in DXF have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenDxf {
    /// Whether the header says the unit in the variables `$INSUNITS` and `$MEASUREMENT`; true if left out. Set it to false for
    /// a controller that refuses them.
    pub unit_variables: Option<bool>,
    /// Whether every line and arc is an entity of its own (LINE, ARC), for readers that know no polylines or drop their bulges.
    pub separate: bool,
}

/// Returns the JSON Schema of machine profiles, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn machine_schema() -> serde_json::Value {
    crate::job::schema_of::<WrittenMachine>()
}

impl crate::job::Described for WrittenMachine {
    const TABLES: &'static str = include_str!("machine.tables");
}

impl WrittenMachine {
    /// Reads a profile from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text; unknown keys are errors.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        crate::job::read_described(text, syntax)
    }
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::WrittenMachine>("machine/machine.tables");
    }
}
