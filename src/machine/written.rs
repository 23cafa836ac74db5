//! A machine profile as written in its file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::job::{Measure, ReadError, SizeMeasure, Syntax};

/// A machine profile as written; bare numbers are millimetres.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
    pub turn: Turn,
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
    pub order: Vec<Work>,
    /// What is written into the pieces that fall out.
    pub labels: Labels,
    /// Length of a line beside the board that is checked with a ruler; none if left out.
    pub reference_line: Option<Measure>,
    /// The tool for each kind of work; work without a tool is left out of the file.
    pub tools: BTreeMap<Work, WrittenTool>,
    /// What only plotters have.
    pub plotter: WrittenPlotter,
    /// What only routers have.
    pub router: WrittenRouter,
    /// What only files in DXF have.
    pub dxf: WrittenDxf,
}

/// Which side of the board lies up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SideUp {
    /// The plain back: the drawing is mirrored and the back outlines are followed.
    #[default]
    Back,
    /// The coloured face: the drawing is as hung and the face outlines are followed.
    Face,
}

/// A kind of work that a machine does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Work {
    /// Register marks.
    Register,
    /// Edges of bands of wash.
    Wash,
    /// Ruled lines.
    Ruling,
    /// Opening numbers and names.
    Label,
    /// The reference line.
    Scale,
    /// V-grooves.
    Groove,
    /// Openings.
    Cut,
    /// The outer edge.
    Edge,
}

/// Where the zero of the coordinates is and which way they run, seen from above.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenOrigin {
    /// The corner of the bed, or its centre, that has the coordinates zero; the bottom left corner if left out.
    pub at: Corner,
    /// Coordinates of the same corner, or centre, of the board; zero if left out.
    pub offset: Option<[Measure; 2]>,
    /// Where x grows; to the right if left out.
    pub x: Option<Toward>,
    /// Where y grows; up, away from the operator, if left out.
    pub y: Option<Toward>,
}

/// A corner of the bed and of the board, or the centre, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Corner {
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

/// A direction on the bed, seen from above by the operator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Toward {
    /// To the right.
    Right,
    /// To the left.
    Left,
    /// Away from the operator.
    Up,
    /// Towards the operator.
    Down,
}

/// Whether a board is laid on the bed turned by a quarter, clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// Never.
    #[default]
    Never,
    /// Always.
    Always,
    /// If it fits the bed only so.
    ToFit,
}

/// What curves become in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
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

/// On which side of a curve the short straight strokes lie that stand for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WrittenFlattening {
    /// On its inner side, with every point on the curve.
    #[default]
    Inside,
    /// On both sides, which takes about 30 % fewer points.
    BothSides,
}

/// How the head follows an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Head {
    /// It turns with the line and follows the whole outline.
    #[default]
    Turning,
    /// It cuts straight lines only, a whole side at a stroke.
    Straight,
}

/// Which way round an opening the head travels, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Round {
    /// Like the hands of a clock.
    #[default]
    Clockwise,
    /// Against the hands of a clock.
    Counterclockwise,
}

/// The direction of travel for each kind of bevel; clockwise if left out. It decides which way a leaning blade leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenDirection {
    /// Openings with a standard bevel.
    pub standard: Round,
    /// Openings with a reverse bevel.
    pub reverse: Round,
    /// Openings cut square to the board, and the outer edge.
    pub straight: Round,
}

/// How far cuts run on beyond the corners of openings.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum OverRunRule {
    /// There is none.
    #[default]
    None,
    /// The bevel: `w / tan(α/2)` plus the lead of the blade; none at corners that point inwards.
    Bevel,
}

/// What is written into the pieces that fall out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Labels {
    /// Nothing.
    #[default]
    None,
    /// The numbers of the openings.
    Numbers,
    /// The numbers and names of the openings and the name of the job.
    Names,
}

/// The tool for one kind of work.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
    /// Depth below the surface that a router goes to.
    pub depth: Option<Measure>,
}

/// What only plotters have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenPlotter {
    /// The largest number that the device reads; 32767 if left out.
    pub largest_number: Option<u32>,
    /// What is done with a drawing that needs larger numbers.
    pub beyond: LargeNumbers,
    /// The longest instruction in bytes that its buffer holds; 240 if left out.
    pub longest_instruction: Option<u16>,
}

/// What is done with a drawing that needs larger numbers than a plotter reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum LargeNumbers {
    /// It is written in coarser steps by the instructions IP and SC.
    #[default]
    Coarser,
    /// It is refused.
    Refuse,
}

/// What only routers have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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
}

/// How a controller passes from one move to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
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

/// What only files in DXF have.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WrittenDxf {
    /// Whether the header says the unit in the variables `$INSUNITS` and `$MEASUREMENT`; true if left out. Set it to false for
    /// a controller that refuses them.
    pub unit_variables: Option<bool>,
    /// Whether every line and arc is an entity of its own (LINE, ARC), for readers that know no polylines or drop their bulges.
    pub separate: bool,
}

/// Returns the JSON Schema of machine profiles, made from the types that read them.
#[must_use]
pub fn machine_schema() -> serde_json::Value {
    crate::job::schema_of::<WrittenMachine>()
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
