//! The settings as data for other programs: the object that `settings --json` prints.

use kurbo::Rect;
use serde::Serialize;

use super::step_data::{CutStepData, NumberData, tidy};
use super::{
    Bend, BoardSettings, Changes, CutSequence, Cutter, DistanceSetting, Downsizing, OpeningCuts, Oval, Settings,
};
use crate::fault::Certain;

/// Name and version of the object; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-settings/2";

/// The settings of a hand cutter as data: lengths in millimetres where they are numbers, as read off a scale where they
/// are text. Edges are those of the board as seen from the front; each step says which way its face looks.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SettingsData {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    name: String,
    /// The unit of every number that is neither an angle, in degrees, nor a count.
    units: &'static str,
    cutter: CutterData,
    mats: u32,
    boards: Vec<BoardSettingsData>,
    order: OrderData,
    cautions: [&'static str; 4],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct CutterData {
    name: String,
    guide_side: &'static str,
    leans: &'static str,
    starts: &'static str,
    stops: bool,
    /// What the numbers of the stops count from: `board` or `rail`.
    stops_from: &'static str,
    /// Length of the rail, and the largest numbers on the scales.
    rail: f64,
    reach: ReachData,
    unit: &'static str,
    parts: u32,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ReachData {
    guide: f64,
    near_stop: Option<f64>,
    far_stop: Option<f64>,
    arm: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BoardSettingsData {
    #[serde(flatten)]
    facts: BoardFacts,
    steps: Vec<CutStepData>,
}

/// All that is to be known of a board but the order of its cuts.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct BoardFacts {
    name: String,
    board: String,
    thickness: f64,
    taped_behind_the_boards_above: bool,
    keep_fallout: bool,
    /// Size of the rectangle whose edges lie against the guide.
    edges: [f64; 2],
    /// How far its left and its top edge lie from those of the mat.
    edges_at: [f64; 2],
    /// Width and height.
    blank: [BlankData; 2],
    /// How far the longest cut of the blank runs off square by the error of the arm.
    off_square: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    downsizing: Option<DownsizingData>,
    /// How deep the blade reaches below the side that lies up in the last pass, and in each of them.
    blade_depth: f64,
    passes: Vec<f64>,
    bevels: Vec<BevelData>,
    finished: Vec<FinishedData>,
    ovals: Vec<OvalData>,
    bends: Vec<BendData>,
    not_cut: Vec<String>,
}

/// A size of a blank.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BlankData {
    /// `arm`, or `ruler` where the size is beyond the reach of the arm.
    how: &'static str,
    #[serde(flatten)]
    number: NumberData,
}

/// How an opening comes out with its sides set on marks.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct FinishedData {
    opening: usize,
    #[serde(skip_serializing_if = "String::is_empty")]
    opening_name: String,
    /// Width and height of the sight opening; `null` where a side is cut by eye.
    comes_out: [Option<f64>; 2],
    /// What that is more than wanted.
    grown: [Option<f64>; 2],
    /// How far the work behind it reaches under the left, right, top and bottom side.
    overlap: Option<[f64; 4]>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct DownsizingData {
    sheet: [f64; 2],
    turned: bool,
    /// Which edge of the sheet the strips are cut off: `top` or `left`.
    strips_off: &'static str,
    strip: BlankData,
    strips: u32,
    piece: BlankData,
    pieces_of_a_strip: u32,
    left: [f64; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BevelData {
    opening: usize,
    #[serde(skip_serializing_if = "String::is_empty")]
    opening_name: String,
    direction: &'static str,
    angle_deg: f64,
    width: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OvalData {
    opening: usize,
    #[serde(skip_serializing_if = "String::is_empty")]
    opening_name: String,
    centre: [NumberData; 2],
    long: NumberData,
    short: NumberData,
    difference: NumberData,
    angle_deg: f64,
    deviation: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BendData {
    opening: usize,
    #[serde(skip_serializing_if = "String::is_empty")]
    opening_name: String,
    side: usize,
    centre: [NumberData; 2],
    radius: Option<NumberData>,
    from: [NumberData; 2],
    to: [NumberData; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OrderData {
    /// `fewest-settings` or `openings`: in which sequence the cuts are made.
    sequence: &'static str,
    changes: Changes,
    at_least: Changes,
    proven: bool,
    side_by_side: Changes,
    run: Changes,
    one_by_one: Changes,
}

/// Returns the JSON Schema of [`SettingsData`].
#[cfg(feature = "schema")]
#[must_use]
pub fn settings_schema() -> serde_json::Value {
    crate::job::output_schema_of::<SettingsData>()
}

impl SettingsData {
    /// Tells the settings.
    #[must_use]
    pub fn new(settings: &Settings) -> Self {
        let cutter = &settings.cutter;
        Self {
            schema: SCHEMA,
            name: settings.name.clone(),
            units: "mm",
            cutter: CutterData::new(cutter),
            mats: settings.mats,
            boards: settings
                .boards
                .iter()
                .enumerate()
                .map(|(index, board)| board_data(settings, index, board))
                .collect(),
            order: OrderData {
                sequence: match settings.sequence {
                    CutSequence::FewestSettings => "fewest-settings",
                    CutSequence::Openings => "openings",
                },
                changes: settings.changes,
                at_least: settings.at_least,
                proven: settings.is_proven(),
                side_by_side: settings.side_by_side,
                run: settings.run(),
                one_by_one: settings.one_by_one(),
            },
            cautions: cutter.cautions(),
        }
    }
}

impl CutterData {
    pub(super) fn new(cutter: &Cutter) -> Self {
        Self {
            name: cutter.name.clone(),
            guide_side: cutter.guide_side.name(),
            leans: cutter.lean.name(),
            starts: cutter.starts.name(),
            stops: cutter.stops.is_some(),
            stops_from: cutter.stops_from.name(),
            rail: tidy(cutter.rail),
            reach: ReachData {
                guide: tidy(cutter.guide.reach),
                near_stop: cutter.stops.map(|stops| tidy(stops.near.reach)),
                far_stop: cutter.stops.map(|stops| tidy(stops.far.reach)),
                arm: tidy(cutter.arm.reach),
            },
            unit: cutter.ruler.unit().name(),
            parts: cutter.ruler.parts(),
        }
    }
}

fn board_data(settings: &Settings, index: usize, board: &BoardSettings) -> BoardSettingsData {
    let numbered = settings.steps.iter().enumerate().filter(|(_, step)| step.board == index);
    BoardSettingsData {
        facts: board_facts(settings, board),
        steps: numbered
            .map(|(number, step)| {
                CutStepData::new(settings, number + 1, step, settings.cut(step).certain("cut of this step"))
            })
            .collect(),
    }
}

pub(super) fn board_facts(settings: &Settings, board: &BoardSettings) -> BoardFacts {
    let Rect { x0, y0, .. } = board.edges;
    BoardFacts {
        name: board.name.clone(),
        board: board.board.clone(),
        thickness: tidy(board.thickness),
        taped_behind_the_boards_above: board.taped,
        keep_fallout: board.keep_fallout,
        edges: [board.edges.width(), board.edges.height()].map(tidy),
        edges_at: [x0, y0].map(tidy),
        blank: board.blank.each_ref().map(BlankData::new),
        off_square: tidy(board.off_square),
        downsizing: settings
            .sheet
            .and_then(|sheet| Downsizing::new(board, &settings.cutter, settings.ruler, sheet))
            .map(|downsizing| downsizing_data(&downsizing)),
        blade_depth: tidy(board.depth()),
        passes: board.passes.iter().copied().map(tidy).collect(),
        bevels: board.openings.iter().map(bevel_data).collect(),
        finished: board.openings.iter().map(finished_data).collect(),
        ovals: board.openings.iter().filter_map(|opening| Some(oval_data(opening, opening.oval.as_ref()?))).collect(),
        bends: board
            .openings
            .iter()
            .flat_map(|opening| opening.bends.iter().map(move |bend| bend_data(opening, bend)))
            .collect(),
        not_cut: board.not_cut.clone(),
    }
}

fn downsizing_data(downsizing: &Downsizing) -> DownsizingData {
    let [strips, pieces_of_a_strip] = downsizing.counts;
    DownsizingData {
        sheet: [downsizing.sheet.width, downsizing.sheet.height].map(tidy),
        turned: downsizing.turned,
        strips_off: if downsizing.strips_across { "top" } else { "left" },
        strip: BlankData::new(&downsizing.strip),
        strips,
        piece: BlankData::new(&downsizing.piece),
        pieces_of_a_strip,
        left: downsizing.left.map(tidy),
    }
}

fn bevel_data(opening: &OpeningCuts) -> BevelData {
    let bevel = opening.bevel;
    BevelData {
        opening: opening.number,
        opening_name: opening.name.clone(),
        direction: bevel.direction.name(),
        angle_deg: bevel.angle_deg,
        width: tidy(opening.bevel_width),
    }
}

fn finished_data(opening: &OpeningCuts) -> FinishedData {
    FinishedData {
        opening: opening.number,
        opening_name: opening.name.clone(),
        comes_out: opening.comes_out().map(|length| length.map(tidy)),
        grown: opening.grown.map(|length| length.map(tidy)),
        overlap: opening.overlap.map(|sides| sides.map(tidy)),
    }
}

impl BlankData {
    fn new(place: &DistanceSetting) -> Self {
        let how = if place.is_pencil() { "ruler" } else { "arm" };
        Self { how, number: NumberData::new(place.setting()) }
    }
}

fn oval_data(opening: &OpeningCuts, oval: &Oval) -> OvalData {
    OvalData {
        opening: oval.opening,
        opening_name: opening.name.clone(),
        centre: oval.centre.each_ref().map(NumberData::new),
        long: NumberData::new(&oval.long),
        short: NumberData::new(&oval.short),
        difference: NumberData::new(&oval.difference),
        angle_deg: tidy(oval.angle_deg),
        deviation: tidy(oval.deviation),
    }
}

fn bend_data(opening: &OpeningCuts, bend: &Bend) -> BendData {
    let [from, to] = &bend.ends;
    BendData {
        opening: bend.opening,
        opening_name: opening.name.clone(),
        side: bend.side,
        centre: bend.centre.each_ref().map(NumberData::new),
        radius: bend.radius.as_ref().map(NumberData::new),
        from: from.each_ref().map(NumberData::new),
        to: to.each_ref().map(NumberData::new),
    }
}
