//! The framed package as data: a part of the object that `check --json` prints.

use kurbo::{Rect, Size};
use serde::Serialize;

use super::tidy::tidy;
use crate::mat::{Borders, Package, PackagePart, StandingWork};

/// The package of a mat as data, in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PackageSummary {
    /// Left out if the job has no frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame: Option<FrameSummary>,
    /// From the front.
    parts: Vec<PartSummary>,
    /// Of the parts of known thickness.
    known_height: f64,
    /// `null` if a thickness is not known.
    height: Option<f64>,
    /// Of the rabbet; below zero if the package stands out, `null` if its depth or a thickness is not known.
    depth_left: Option<f64>,
    /// Works that stand in the free space between mount and glass or mat.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    standing: Vec<StandingSummary>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct FrameSummary {
    rabbet: SizeData,
    depth: Option<f64>,
    lip: f64,
    clearance: SizeData,
    /// What is seen of the mat, from its top left corner.
    shows: RectData,
    /// Of the borders left and right (width), and at the top and the bottom (height).
    hides: SizeData,
    /// By how much the lip covers the edge of a mat that is pushed to one side.
    hold: f64,
    moulding: Option<MouldingSummary>,
    outside: Option<SizeData>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct MouldingSummary {
    #[serde(skip_serializing_if = "String::is_empty")]
    name: String,
    width: f64,
    colour: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PartSummary {
    kind: &'static str,
    #[serde(skip_serializing_if = "String::is_empty")]
    name: String,
    thickness: Option<f64>,
    /// Only where the thickness is an assumption.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    assumed: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct StandingSummary {
    opening: String,
    depth: f64,
    room: Option<f64>,
    below: &'static str,
}

/// A width and a height in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct SizeData {
    width: f64,
    height: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct RectData {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

/// Distances in millimetres from four edges.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct BordersSummary {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl PackageSummary {
    pub(super) fn new(package: &Package) -> Self {
        Self {
            frame: FrameSummary::new(package),
            parts: package.parts.iter().map(PartSummary::new).collect(),
            known_height: tidy(package.known_height()),
            height: package.height().map(tidy),
            depth_left: package.depth_left().map(tidy),
            standing: package.standing.iter().map(StandingSummary::new).collect(),
        }
    }
}

impl FrameSummary {
    fn new(package: &Package) -> Option<Self> {
        let frame = package.frame.as_ref()?;
        let Rect { x0, y0, .. } = package.seen();
        let SizeData { width, height } = frame.sight().into();
        Some(Self {
            rabbet: frame.rabbet.into(),
            depth: frame.depth.map(tidy),
            lip: tidy(frame.lip),
            clearance: package.clearance()?.into(),
            shows: RectData { left: tidy(x0), top: tidy(y0), width, height },
            hides: package.hidden()?.into(),
            hold: tidy(package.hold()?),
            moulding: frame.moulding.as_ref().map(|moulding| MouldingSummary {
                name: moulding.name.clone(),
                width: tidy(moulding.width),
                colour: moulding.colour.to_string(),
            }),
            outside: frame.outside().map(SizeData::from),
        })
    }
}

impl PartSummary {
    fn new(part: &PackagePart) -> Self {
        let PackagePart { kind, name, thickness, assumed } = part;
        Self { kind: kind.name(), name: name.clone(), thickness: thickness.map(tidy), assumed: *assumed }
    }
}

impl StandingSummary {
    fn new(standing: &StandingWork) -> Self {
        let StandingWork { opening, depth, room, below } = standing;
        Self { opening: opening.to_string(), depth: tidy(*depth), room: room.map(tidy), below: below.name() }
    }
}

impl From<Size> for SizeData {
    fn from(size: Size) -> Self {
        Self { width: tidy(size.width), height: tidy(size.height) }
    }
}

impl From<Borders> for BordersSummary {
    fn from(Borders { left, right, top, bottom }: Borders) -> Self {
        Self { left: tidy(left), right: tidy(right), top: tidy(top), bottom: tidy(bottom) }
    }
}
