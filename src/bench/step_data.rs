//! One step at the cutter as data: what changes, how the bench then stands, and the numbers of the cut.

use serde::Serialize;

use super::{Changes, Cut, CutMethod, CutStep, Cutter, DistanceSetting, Ends, Guide, Setting, Settings, Stop};

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct CutStepData {
    step: usize,
    opening: usize,
    #[serde(skip_serializing_if = "String::is_empty")]
    opening_name: String,
    side: usize,
    name: String,
    edge: &'static str,
    /// Which way the face of the board looks: `down` or `up`.
    facing: &'static str,
    /// `border` or `opening`: what lies on the guide's side of the cut.
    at_guide: &'static str,
    lay: bool,
    /// What is done before the cut, beginning with how the step before left the bench.
    changes: Changes,
    /// How the bench stands for the cut.
    bench: BenchData,
    /// How far the mark on the head would go beyond the rail; zero where the rail is long enough.
    beyond_rail: f64,
    #[serde(flatten)]
    course: CourseData,
}

/// How the bench stands: numbers as read off the scales.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BenchData {
    /// The number that the guide stands at, or `off`.
    guide: String,
    /// The number that the stop stands at, `away`, or `none` on a cutter without stops.
    near_stop: String,
    far_stop: String,
    /// `bevel` or `straight`.
    head: &'static str,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "by", rename_all = "snake_case")]
enum CourseData {
    /// Guide and stops: distances from the edge at the guide, at the near and at the far end.
    Stops {
        guide: PlaceData,
        near: PlaceData,
        far: PlaceData,
        /// Which edge the far number counts from: `far`, or `near` for a scale along the rail.
        far_from: &'static str,
        overcut: [f64; 2],
    },
    /// Guide, and the scale of the rail from the edge at the near end.
    Rail { guide: PlaceData, near: NumberData, far: NumberData, overcut: [f64; 2] },
    /// A pencil line: its ends from the left and the top edge, and how far outside them the mark on the head stands.
    PencilLine { angle_deg: f64, from: [NumberData; 2], to: [NumberData; 2], beyond: [f64; 2] },
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PlaceData {
    /// `scale`, or `pencil` where the scale does not reach.
    how: &'static str,
    set_anew: bool,
    #[serde(flatten)]
    number: NumberData,
}

/// A number as read, the distance that was wanted, and by how much the mark misses it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct NumberData {
    reads: String,
    wanted: f64,
    error: f64,
    /// How far the scale may be off there, where it was measured, and whether that lies beyond what was tried.
    #[serde(skip_serializing_if = "Option::is_none")]
    plus_minus: Option<f64>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    beyond_measured: bool,
}

impl CutStepData {
    pub(super) fn new(settings: &Settings, number: usize, step: &CutStep, cut: &Cut) -> Self {
        Self {
            step: number,
            opening: cut.opening,
            opening_name: cut.opening_name.clone(),
            side: cut.side,
            name: cut.name.clone(),
            edge: cut.edge.name(),
            facing: cut.facing.name(),
            at_guide: cut.at_guide(),
            lay: step.lays(),
            changes: step.changes(),
            bench: BenchData::new(&settings.cutter, step, cut),
            beyond_rail: tidy(cut.beyond_rail),
            course: CourseData::new(step, cut),
        }
    }
}

impl BenchData {
    fn new(cutter: &Cutter, step: &CutStep, cut: &Cut) -> Self {
        let number = |marks: i64| cutter.ruler.show(marks as f64 * cutter.ruler.mark());
        let stop = |stop: Stop| match stop {
            Stop::None => "none".to_owned(),
            Stop::Away => "away".to_owned(),
            Stop::At(marks) => number(marks),
        };
        let [near, far] = step.setup.stops;
        Self {
            guide: match step.setup.guide {
                Guide::Off => "off".to_owned(),
                Guide::At(marks) => number(marks),
            },
            near_stop: stop(near),
            far_stop: stop(far),
            head: if cut.direction == crate::mat::BevelDirection::Straight { "straight" } else { "bevel" },
        }
    }
}

impl CourseData {
    fn new(step: &CutStep, cut: &Cut) -> Self {
        let overcut = cut.end_errors().map(tidy);
        let [sets_near, sets_far] = step.sets_stops();
        match &cut.course {
            CutMethod::Square { guide, ends: Ends::Stops { near, far, far_from_near } } => Self::Stops {
                guide: PlaceData::new(guide, step.sets_guide()),
                near: PlaceData::new(near, sets_near),
                far: PlaceData::new(far, sets_far),
                far_from: if *far_from_near && !far.is_pencil() { "near" } else { "far" },
                overcut,
            },
            CutMethod::Square { guide, ends: Ends::Rail { near, far } } => Self::Rail {
                guide: PlaceData::new(guide, step.sets_guide()),
                near: NumberData::new(near),
                far: NumberData::new(far),
                overcut,
            },
            CutMethod::Oblique { angle_deg, marks: [from, to], beyond } => Self::PencilLine {
                angle_deg: tidy(*angle_deg),
                from: from.each_ref().map(NumberData::new),
                to: to.each_ref().map(NumberData::new),
                beyond: beyond.map(tidy),
            },
        }
    }
}

impl PlaceData {
    fn new(place: &DistanceSetting, set_anew: bool) -> Self {
        let how = if place.is_pencil() { "pencil" } else { "scale" };
        Self { how, set_anew, number: NumberData::new(place.setting()) }
    }
}

impl NumberData {
    pub(super) fn new(setting: &Setting) -> Self {
        let reads = format!("{} {}", setting.reading.text, setting.reading.unit);
        Self {
            reads,
            wanted: tidy(setting.wanted),
            error: tidy(setting.error()),
            plus_minus: setting.doubt.map(|doubt| tidy(doubt.plus_minus)),
            beyond_measured: setting.doubt.is_some_and(|doubt| doubt.beyond),
        }
    }
}

/// Rounds to a billionth, so that sums of exact lengths print without the dust of `f64`.
pub(super) fn tidy(number: f64) -> f64 {
    let rounded = (number * 1e9).round() / 1e9;
    if rounded == 0.0 { 0.0 } else { rounded }
}
