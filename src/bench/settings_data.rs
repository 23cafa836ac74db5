//! The settings as data for other programs: the object that `settings --json` prints.

use kurbo::Rect;
use serde::Serialize;

use super::cautions::CAUTIONS;
use super::{
    Bend, BoardEdge, BoardSettings, Changes, Course, Cut, Downsizing, Ends, OpeningCuts, Oval, Place, Setting,
    Settings, Step,
};

/// Name and version of the object; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-settings/1";

/// The settings of a hand cutter as data: lengths in millimetres where they are numbers, as read off a scale where they
/// are text. Edges are those of the board as seen from the front; it lies face down.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingsData {
    schema: &'static str,
    name: String,
    cutter: CutterData,
    mats: u32,
    boards: Vec<BoardData>,
    order: OrderData,
    cautions: [&'static str; CAUTIONS.len()],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CutterData {
    name: String,
    guide_side: &'static str,
    leans: &'static str,
    starts: &'static str,
    stops: bool,
    unit: &'static str,
    parts: u32,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct BoardData {
    name: String,
    board: String,
    thickness: f64,
    taped_behind_the_boards_above: bool,
    keep_fallout: bool,
    /// Size of the rectangle whose edges lie against the guide.
    edges: [f64; 2],
    /// How far its left and its top edge lie from those of the mat.
    edges_at: [f64; 2],
    blank: [NumberData; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    downsizing: Option<DownsizingData>,
    blade_depth: f64,
    bevels: Vec<BevelData>,
    steps: Vec<StepData>,
    ovals: Vec<OvalData>,
    bends: Vec<BendData>,
    not_cut: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct DownsizingData {
    sheet: [f64; 2],
    turned: bool,
    /// Which edge of the sheet the strips are cut off: `top` or `left`.
    strips_off: &'static str,
    strip: NumberData,
    strips: u32,
    piece: NumberData,
    pieces_of_a_strip: u32,
    left: [f64; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct BevelData {
    opening: usize,
    direction: &'static str,
    angle_deg: f64,
    width: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct StepData {
    step: usize,
    opening: usize,
    side: usize,
    name: String,
    edge: &'static str,
    /// `border` or `opening`: what lies on the guide's side of the cut.
    at_guide: &'static str,
    lay: bool,
    #[serde(flatten)]
    course: CourseData,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "snake_case")]
enum CourseData {
    /// Guide and stops: distances from the edge at the guide, at the near and at the far end.
    Stops { guide: PlaceData, near: PlaceData, far: PlaceData, overcut: [f64; 2] },
    /// Guide, and the scale of the rail from the edge at the near end.
    Rail { guide: PlaceData, near: NumberData, far: NumberData, overcut: [f64; 2] },
    /// A pencil line: its ends from the left and the top edge, and how far outside them the mark on the head stands.
    PencilLine { angle_deg: f64, from: [NumberData; 2], to: [NumberData; 2], beyond: [f64; 2] },
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct PlaceData {
    /// `scale`, or `pencil` where the scale does not reach.
    how: &'static str,
    set_anew: bool,
    #[serde(flatten)]
    number: NumberData,
}

/// A number as read, the distance that was wanted, and by how much the mark misses it.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct NumberData {
    reads: String,
    wanted: f64,
    error: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct OvalData {
    opening: usize,
    centre: [NumberData; 2],
    long: NumberData,
    short: NumberData,
    difference: NumberData,
    angle_deg: f64,
    deviation: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct BendData {
    opening: usize,
    side: usize,
    centre: [NumberData; 2],
    radius: Option<NumberData>,
    from: [NumberData; 2],
    to: [NumberData; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct OrderData {
    changes: Changes,
    at_least: Changes,
    proven: bool,
    side_by_side: Changes,
    run: Changes,
    one_by_one: Changes,
}

impl SettingsData {
    /// Tells the settings.
    #[must_use]
    pub fn new(settings: &Settings) -> Self {
        let cutter = &settings.cutter;
        Self {
            schema: SCHEMA,
            name: settings.name.clone(),
            cutter: CutterData {
                name: cutter.name.clone(),
                guide_side: cutter.guide_side.name(),
                leans: cutter.lean.name(),
                starts: cutter.starts.name(),
                stops: cutter.stops.is_some(),
                unit: cutter.ruler.unit().name(),
                parts: cutter.ruler.parts(),
            },
            mats: settings.mats,
            boards: settings
                .boards
                .iter()
                .enumerate()
                .map(|(index, board)| board_data(settings, index, board))
                .collect(),
            order: OrderData {
                changes: settings.changes,
                at_least: settings.at_least,
                proven: settings.is_proven(),
                side_by_side: settings.side_by_side,
                run: settings.run(),
                one_by_one: settings.one_by_one(),
            },
            cautions: CAUTIONS,
        }
    }
}

fn board_data(settings: &Settings, index: usize, board: &BoardSettings) -> BoardData {
    let Rect { x0, y0, .. } = board.edges;
    let numbered = settings.steps.iter().enumerate().filter(|(_, step)| step.board == index);
    BoardData {
        name: board.name.clone(),
        board: board.board.clone(),
        thickness: tidy(board.thickness),
        taped_behind_the_boards_above: board.taped,
        keep_fallout: board.keep_fallout,
        edges: [board.edges.width(), board.edges.height()].map(tidy),
        edges_at: [x0, y0].map(tidy),
        blank: board.blank.each_ref().map(NumberData::new),
        downsizing: settings
            .sheet
            .and_then(|sheet| Downsizing::new(board, &settings.cutter, sheet))
            .map(|downsizing| downsizing_data(&downsizing)),
        blade_depth: tidy(board.depth),
        bevels: board.openings.iter().map(bevel_data).collect(),
        steps: numbered.filter_map(|(number, step)| Some(step_data(number + 1, step, settings.cut(step)?))).collect(),
        ovals: board.openings.iter().filter_map(|opening| opening.oval.as_ref()).map(oval_data).collect(),
        bends: board.openings.iter().flat_map(|opening| &opening.bends).map(bend_data).collect(),
        not_cut: board.not_cut.clone(),
    }
}

fn downsizing_data(downsizing: &Downsizing) -> DownsizingData {
    let [strips, pieces_of_a_strip] = downsizing.counts;
    DownsizingData {
        sheet: [downsizing.sheet.width, downsizing.sheet.height].map(tidy),
        turned: downsizing.turned,
        strips_off: if downsizing.strips_across { "top" } else { "left" },
        strip: NumberData::new(&downsizing.strip),
        strips,
        piece: NumberData::new(&downsizing.piece),
        pieces_of_a_strip,
        left: downsizing.left.map(tidy),
    }
}

fn bevel_data(opening: &OpeningCuts) -> BevelData {
    let bevel = opening.bevel;
    BevelData {
        opening: opening.number,
        direction: bevel.direction.name(),
        angle_deg: bevel.angle_deg,
        width: tidy(opening.bevel_width),
    }
}

fn step_data(number: usize, step: &Step, cut: &Cut) -> StepData {
    let edge: BoardEdge = cut.edge;
    let overcut = cut.end_errors().map(tidy);
    let course = match &cut.course {
        Course::Square { guide, ends: Ends::Stops { near, far } } => CourseData::Stops {
            guide: PlaceData::new(guide, step.sets_guide),
            near: PlaceData::new(near, step.sets_near),
            far: PlaceData::new(far, step.sets_far),
            overcut,
        },
        Course::Square { guide, ends: Ends::Rail { near, far } } => CourseData::Rail {
            guide: PlaceData::new(guide, step.sets_guide),
            near: NumberData::new(near),
            far: NumberData::new(far),
            overcut,
        },
        Course::Oblique { angle_deg, marks: [from, to], beyond } => CourseData::PencilLine {
            angle_deg: tidy(*angle_deg),
            from: from.each_ref().map(NumberData::new),
            to: to.each_ref().map(NumberData::new),
            beyond: beyond.map(tidy),
        },
    };
    StepData {
        step: number,
        opening: cut.opening,
        side: cut.side,
        name: cut.name.clone(),
        edge: edge.name(),
        at_guide: cut.at_guide(),
        lay: step.lays,
        course,
    }
}

fn oval_data(oval: &Oval) -> OvalData {
    OvalData {
        opening: oval.opening,
        centre: oval.centre.each_ref().map(NumberData::new),
        long: NumberData::new(&oval.long),
        short: NumberData::new(&oval.short),
        difference: NumberData::new(&oval.difference),
        angle_deg: tidy(oval.angle_deg),
        deviation: tidy(oval.deviation),
    }
}

fn bend_data(bend: &Bend) -> BendData {
    let [from, to] = &bend.ends;
    BendData {
        opening: bend.opening,
        side: bend.side,
        centre: bend.centre.each_ref().map(NumberData::new),
        radius: bend.radius.as_ref().map(NumberData::new),
        from: from.each_ref().map(NumberData::new),
        to: to.each_ref().map(NumberData::new),
    }
}

impl PlaceData {
    fn new(place: &Place, set_anew: bool) -> Self {
        let how = if place.is_pencil() { "pencil" } else { "scale" };
        Self { how, set_anew, number: NumberData::new(place.setting()) }
    }
}

impl NumberData {
    fn new(setting: &Setting) -> Self {
        let reads = format!("{} {}", setting.reading.text, setting.reading.unit);
        Self { reads, wanted: tidy(setting.wanted), error: tidy(setting.error()) }
    }
}

/// Rounds to a billionth, so that sums of exact lengths print without the dust of `f64`.
fn tidy(number: f64) -> f64 {
    let rounded = (number * 1e9).round() / 1e9;
    if rounded == 0.0 { 0.0 } else { rounded }
}
