//! The resolved mat as data for other programs: the object that `check --json` prints.

use serde::Serialize;

use super::package_data::{BordersSummary, PackageSummary, SizeData};
use super::suggestions::{Suggestion, suggest};
use super::tidy::tidy;
use crate::checked::Checked;
use crate::dimensions::{Dimension, dimensions, of_shop};
use crate::geometry::Outline;
use crate::job::{Document, FoundProblem, UsedDefault, WrittenJob};
use crate::length::Unit;
use crate::mat::{Bevel, Board, FalloutUse, Groove, GroovePath, Layer, Mat, Opening, OwnData, RuledLine, Wash};

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const MAT_SCHEMA: &str = "backline-mat/1";

/// A resolved mat as data: all lengths in millimetres, seen from the front, origin at the mat's top left, y down.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MatSummary {
    #[cfg_attr(feature = "schema", schemars(extend("const" = MAT_SCHEMA)))]
    schema: &'static str,
    name: String,
    units: UnitData,
    /// Unit of the job, in which sentences give lengths; `None` if the job could not be worked out.
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    unit: Option<Unit>,
    /// What the job carries along, if anything.
    #[serde(skip_serializing_if = "OwnData::is_empty")]
    own: OwnData,
    /// The `$schema` of the job, if it names one.
    #[serde(skip_serializing_if = "String::is_empty")]
    job_schema: String,
    /// Only where there is more than one.
    #[serde(skip_serializing_if = "is_one")]
    quantity: u32,
    /// `None` if the job could not be worked out.
    outer: Option<SizeData>,
    layers: Vec<LayerSummary>,
    /// `None` if the job could not be worked out.
    package: Option<PackageSummary>,
    /// Every size of the mat, with the key of the job that sets it; SVG drawings carry the same ids. Left out of what is told of a mat
    /// without its job.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    dimensions: Vec<Dimension>,
    /// The shop file from which the job takes what it leaves out, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    shop: Option<ShopSummary>,
    problems: Vec<FoundProblem>,
    suggestions: Vec<Suggestion>,
}

/// What a job has taken from a shop file.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ShopSummary {
    /// Its name.
    file: String,
    /// Of its text, in hexadecimal figures.
    sha256: String,
    /// The values that the job has from it.
    values: Vec<UsedDefault>,
}

/// The unit of every number, by what it measures.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct UnitData {
    /// Of every number that is neither an area, an angle nor a count.
    length: &'static str,
    /// Of every `area`.
    area: &'static str,
    /// Of every `angle_deg`.
    angle: &'static str,
}

const UNITS: UnitData = UnitData { length: "mm", area: "mm2", angle: "deg" };

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BoardSummary {
    name: String,
    /// `None` if the job does not say.
    plies: Option<u32>,
    thickness: f64,
    /// Of its face; `None` if neither the job nor the name of the board says it.
    colour: Option<String>,
    /// Colour of its core.
    core: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct LayerSummary {
    name: String,
    board: BoardSummary,
    /// Of its board.
    thickness: f64,
    bevel: BevelSummary,
    /// How much smaller it is than the mat on every side; only of smaller boards.
    #[serde(skip_serializing_if = "is_zero")]
    inset: f64,
    /// Only where it is kept.
    #[serde(skip_serializing_if = "is_scrap")]
    fallout: FalloutUse,
    openings: Vec<OpeningSummary>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    grooves: Vec<GrooveSummary>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lines: Vec<LineSummary>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    washes: Vec<WashSummary>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct GrooveSummary {
    /// The opening that it runs round; `None` for a line of its own.
    opening: Option<String>,
    /// From the face outline of that opening to the bottom of the V.
    distance: Option<f64>,
    angle_deg: f64,
    depth: f64,
    width: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct LineSummary {
    opening: String,
    distance: f64,
    width: f64,
    #[serde(skip_serializing_if = "String::is_empty")]
    ink: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct WashSummary {
    opening: String,
    from: f64,
    to: f64,
    colour: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BevelSummary {
    angle_deg: f64,
    direction: &'static str,
    width: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OpeningSummary {
    id: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    name: String,
    shape: &'static str,
    sight: OutlineSummary,
    face: OutlineSummary,
    back: OutlineSummary,
    borders: BordersSummary,
    /// What the frame shows of the borders; only in a frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible: Option<BordersSummary>,
    /// Only where it differs from the bevel of the layer.
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel: Option<BevelSummary>,
}

/// Place, size and measures of an outline, in millimetres and square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OutlineSummary {
    /// From the mat's left edge.
    pub left: f64,
    /// From the mat's top edge.
    pub top: f64,
    /// Width of the bounds.
    pub width: f64,
    /// Height of the bounds.
    pub height: f64,
    /// Enclosed area.
    pub area: f64,
    /// Length of the outline.
    pub perimeter: f64,
}

/// Returns the JSON Schema of [`MatSummary`].
#[cfg(feature = "schema")]
#[must_use]
pub fn mat_schema() -> serde_json::Value {
    crate::job::output_schema_of::<MatSummary>()
}

impl MatSummary {
    /// Tells what became of a job.
    #[must_use]
    pub fn new(name: &str, resolved: &Checked<Mat>) -> Self {
        let mat = resolved.value.as_ref();
        Self {
            schema: MAT_SCHEMA,
            name: name.to_owned(),
            units: UNITS,
            unit: mat.map(|mat| mat.ruler.unit()),
            own: mat.map(|mat| mat.extras.own.clone()).unwrap_or_default(),
            job_schema: mat.map(|mat| mat.extras.schema.clone()).unwrap_or_default(),
            quantity: mat.map_or(1, |mat| mat.quantity),
            outer: mat.map(|mat| mat.outer.into()),
            layers: mat
                .map(|mat| mat.layers.iter().map(|layer| LayerSummary::new(mat, layer)).collect())
                .unwrap_or_default(),
            package: mat.map(|mat| PackageSummary::new(&mat.package)),
            dimensions: Vec::new(),
            shop: None,
            problems: resolved.problems.iter().map(FoundProblem::new).collect(),
            suggestions: mat.map(suggest).unwrap_or_default(),
        }
    }

    /// Tells what became of a job whose text is at hand, so that problems have their places in it.
    #[must_use]
    pub fn of_text(name: &str, resolved: &Checked<Mat>, text: &Document) -> Self {
        let problems = text.found_all(&resolved.problems);
        Self { problems, ..Self::new(name, resolved) }
    }

    /// Tells the sizes of the mat too, from the job of which it is; nothing if that could not be worked out.
    #[must_use]
    pub fn with_dimensions(self, job: &WrittenJob) -> Self {
        if self.outer.is_none() {
            return self;
        }
        Self { dimensions: dimensions(job), ..self }
    }

    /// Tells which values came from a shop file, of which the name and the SHA-256 are given.
    #[must_use]
    pub fn with_shop(mut self, file: &Option<(String, String)>, values: Vec<UsedDefault>) -> Self {
        of_shop(&mut self.dimensions, &values);
        let shop =
            |(file, sha256): &(String, String)| ShopSummary { file: file.clone(), sha256: sha256.clone(), values };
        Self { shop: file.as_ref().map(shop), ..self }
    }

    /// Tells of a file that could not be read; `problem` says why.
    #[must_use]
    pub fn unreadable(name: &str, problem: &FoundProblem) -> Self {
        Self {
            schema: MAT_SCHEMA,
            name: name.to_owned(),
            units: UNITS,
            unit: None,
            own: OwnData::default(),
            job_schema: String::new(),
            quantity: 1,
            outer: None,
            layers: Vec::new(),
            package: None,
            dimensions: Vec::new(),
            shop: None,
            problems: vec![problem.clone()],
            suggestions: Vec::new(),
        }
    }
}

impl LayerSummary {
    fn new(mat: &Mat, layer: &Layer) -> Self {
        Self {
            name: layer.name.clone(),
            board: BoardSummary::new(&layer.board),
            thickness: tidy(layer.board.thickness),
            bevel: BevelSummary::new(layer.bevel, layer.board.thickness),
            inset: tidy(layer.inset),
            fallout: layer.fallout,
            openings: layer.openings.iter().map(|opening| OpeningSummary::new(mat, layer, opening)).collect(),
            grooves: layer.decoration.grooves.iter().map(GrooveSummary::new).collect(),
            lines: layer.decoration.lines.iter().map(LineSummary::new).collect(),
            washes: layer.decoration.washes.iter().map(WashSummary::new).collect(),
        }
    }
}

impl BoardSummary {
    fn new(board: &Board) -> Self {
        Self {
            name: board.name.clone(),
            plies: board.plies,
            thickness: tidy(board.thickness),
            colour: board.colour.map(|colour| colour.to_string()),
            core: board.core.to_string(),
        }
    }
}

impl GrooveSummary {
    fn new(groove: &Groove) -> Self {
        let distance = match groove.course {
            GroovePath::Round { distance, .. } => Some(tidy(distance)),
            GroovePath::Closed { .. } | GroovePath::Open { .. } => None,
        };
        let opening = groove.opening().map(|number| number.to_string());
        let (depth, width) = (tidy(groove.depth), tidy(groove.width()));
        Self { opening, distance, angle_deg: groove.angle_deg, depth, width }
    }
}

impl LineSummary {
    fn new(line: &RuledLine) -> Self {
        let (distance, width) = (tidy(line.distance), tidy(line.width));
        Self { opening: line.opening.to_string(), distance, width, ink: line.ink.clone() }
    }
}

impl WashSummary {
    fn new(wash: &Wash) -> Self {
        let Wash { opening, from, to, colour, .. } = wash;
        Self { opening: opening.to_string(), from: tidy(*from), to: tidy(*to), colour: colour.clone() }
    }
}

impl BevelSummary {
    fn new(bevel: Bevel, thickness: f64) -> Self {
        Self { angle_deg: bevel.angle_deg, direction: bevel.direction.name(), width: tidy(bevel.width(thickness)) }
    }
}

impl OpeningSummary {
    fn new(mat: &Mat, layer: &Layer, opening: &Opening) -> Self {
        let framed = mat.package.frame.is_some();
        Self {
            id: opening.number.to_string(),
            name: opening.name.clone(),
            shape: opening.shape,
            sight: OutlineSummary::new(&opening.sight),
            face: OutlineSummary::new(&opening.face),
            back: OutlineSummary::new(&opening.back),
            borders: opening.borders(mat.extent(layer)).into(),
            visible: framed.then(|| mat.package.visible(opening.sight.bounds()).into()),
            bevel: (opening.bevel != layer.bevel).then(|| BevelSummary::new(opening.bevel, layer.board.thickness)),
        }
    }
}

impl OutlineSummary {
    /// Measures an outline.
    #[must_use]
    pub fn new(outline: &Outline) -> Self {
        let bounds = outline.bounds();
        Self {
            left: tidy(bounds.x0),
            top: tidy(bounds.y0),
            width: tidy(bounds.width()),
            height: tidy(bounds.height()),
            area: tidy(outline.area()),
            perimeter: tidy(outline.perimeter()),
        }
    }
}

fn is_zero(length: &f64) -> bool {
    *length == 0.0
}

fn is_one(quantity: &u32) -> bool {
    *quantity == 1
}

fn is_scrap(fallout: &FalloutUse) -> bool {
    *fallout == FalloutUse::Discard
}
