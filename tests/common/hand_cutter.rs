//! A hand cutter that does what printed settings say, and knows nothing else of the program.
//!
//! It works in a plane of its own: the framer stands at the origin and looks along the rail towards y; x runs to the right.
//! A board lies face down. It is turned by quarter turns until the edge that is named lies on the guide's side.
#![allow(dead_code, reason = "each test program uses a part of it")]

use backline::length;
use kurbo::{Point, Rect, Vec2};
use serde_json::Value;

/// What a scale really gives for a number.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TrueScale {
    pub(crate) offset: f64,
    pub(crate) stretch: f64,
}

/// The cutter as it really is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HandCutter {
    pub(crate) guide_on_the_left: bool,
    pub(crate) leans_to_the_guide: bool,
    pub(crate) starts_far: bool,
    pub(crate) guide: TrueScale,
    pub(crate) near: TrueScale,
    pub(crate) far: TrueScale,
    pub(crate) lead_entry: f64,
    pub(crate) lead_exit: f64,
    /// Largest numbers on the guide and on the stops, and the longest way of the head.
    pub(crate) guide_reach: f64,
    pub(crate) near_reach: f64,
    pub(crate) far_reach: f64,
    pub(crate) rail: f64,
    pub(crate) has_stops: bool,
    /// Whether the far stop counts from the near edge, along the rail.
    pub(crate) far_from_near: bool,
}

/// A cut in the frame of reference of the mat.
#[derive(Debug, Clone)]
pub(crate) struct Made {
    pub(crate) opening: u64,
    pub(crate) side: u64,
    /// On the back, from one end of the cut to the other.
    pub(crate) back: [Point; 2],
    /// On the face.
    pub(crate) face: [Point; 2],
    pub(crate) face_up: bool,
}

/// Where something on the cutter stands.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Stands {
    #[default]
    Unknown,
    Away,
    At(f64),
}

/// How the cutter is set and how the board lies in it.
#[derive(Debug, Clone, Default)]
struct Stand {
    guide: Stands,
    near: Stands,
    far: Stands,
    head: Option<String>,
    /// Edge, face and, on pencil lines, which one.
    lies: Option<[String; 3]>,
}

/// A board in the cutter.
struct Laid {
    /// Unit vectors of the cutter's x and y, in the frame of the mat.
    x: Vec2,
    y: Vec2,
    /// Where the board lies, in the frame of the cutter.
    bounds: Rect,
}

impl Laid {
    /// Lays a board so that `toward_guide`, a direction in the frame of the mat, points at the guide.
    fn new(board: Rect, toward_guide: Vec2, guide_on_the_left: bool, face_up: bool) -> Self {
        let x = if guide_on_the_left { -toward_guide } else { toward_guide };
        // Face up, with x to the right and y down, "away from the framer" is x turned a quarter against the clock:
        // (x.y, -x.x). Face down everything is mirrored.
        let y = if face_up { Vec2::new(x.y, -x.x) } else { Vec2::new(-x.y, x.x) };
        let corners = [(board.x0, board.y0), (board.x1, board.y0), (board.x1, board.y1), (board.x0, board.y1)];
        let points = corners.map(|corner| Point::from(corner).to_vec2());
        let (us, vs) = (points.map(|point| point.dot(x)), points.map(|point| point.dot(y)));
        let low = |values: [f64; 4]| values.into_iter().fold(f64::INFINITY, f64::min);
        let high = |values: [f64; 4]| values.into_iter().fold(f64::NEG_INFINITY, f64::max);
        Self { x, y, bounds: Rect::new(low(us), low(vs), high(us), high(vs)) }
    }

    /// Takes a point of the cutter to the mat.
    fn to_mat(&self, u: f64, v: f64) -> Point {
        (self.x * u + self.y * v).to_point()
    }
}

/// How the cutter stands between two boards, and what it could not do.
#[derive(Debug, Default)]
pub(crate) struct CutterState {
    stand: Stand,
    /// What the cutter cannot do without being told otherwise, a sentence each.
    pub(crate) impossible: Vec<String>,
    /// What was set, moved and laid: the guide, the stops, boards.
    pub(crate) counted: [u64; 3],
}

impl HandCutter {
    /// Cuts what the settings of one board say, step by step; nothing is set, moved or laid unless the step says so.
    pub(crate) fn follow(&self, board: &Value, state: &mut CutterState) -> Vec<Made> {
        // Another board is in the cutter.
        state.stand.lies = None;
        let edges = rect_of(board);
        board["steps"].as_array().unwrap().iter().map(|step| self.make(step, board, edges, state)).collect()
    }

    /// Cuts what a whole order says, step by step, and returns what was cut of each board of each mat; of equal mats all are
    /// laid, and one is cut.
    pub(crate) fn follow_order(&self, order: &Value, state: &mut CutterState) -> Vec<Vec<Vec<Made>>> {
        let mats = order["mats"].as_array().unwrap();
        let mut made: Vec<Vec<Vec<Made>>> =
            mats.iter().map(|mat| vec![Vec::new(); mat["boards"].as_array().unwrap().len()]).collect();
        let mut in_cutter = None;
        let mut number = 0;
        for step in order["parts"].as_array().unwrap().iter().flat_map(|part| part["steps"].as_array().unwrap()) {
            number += 1;
            if step["step"] != number {
                state.impossible.push(format!("step {} is number {number}", step["step"]));
            }
            let [mat, board] = ["mat", "board"].map(|key| step[key].as_u64().unwrap() as usize);
            let equal = mats[mat]["mats"].as_u64().unwrap();
            let facts = &mats[mat]["boards"][board];
            // Another board is in the cutter; of equal ones each comes anew for every step.
            if in_cutter.replace((mat, board)) != Some((mat, board)) || equal > 1 {
                state.stand.lies = None;
            }
            if equal > 1 {
                state.counted[2] += equal - step["changes"]["laid"].as_u64().unwrap();
                state.stand.lies = Some(lies(step));
            }
            made[mat][board].push(self.make(step, facts, rect_of(facts), state));
        }
        made
    }

    /// Does what a step says is to be changed, and complains where it does not say how the bench then stands.
    fn prepare(&self, step: &Value, state: &mut CutterState) {
        let (bench, changes) = (&step["bench"], &step["changes"]);
        let count = |key: &str| changes[key].as_u64().unwrap();
        let wanted = |key: &str| match bench[key].as_str().unwrap() {
            "off" | "away" | "none" => Stands::Away,
            number => Stands::At(length::parse(number, None).unwrap()),
        };
        let before = state.stand.clone();
        let stand = &mut state.stand;
        let mut complain = |what: &str| state.impossible.push(format!("step {}: {what}", step["step"]));
        if count("guide") > 0 {
            stand.guide = wanted("guide");
        }
        if count("stops") > 0 || !self.has_stops {
            (stand.near, stand.far) = (wanted("near_stop"), wanted("far_stop"));
        }
        if count("blade") > 0 {
            stand.head = bench["head"].as_str().map(str::to_owned);
        }
        if count("laid") > 0 {
            stand.lies = Some(lies(step));
        }
        if stand.guide != wanted("guide")
            || self.has_stops && [stand.near, stand.far] != [wanted("near_stop"), wanted("far_stop")]
        {
            complain("the bench does not stand as the step says");
        }
        if stand.head.as_deref() != bench["head"].as_str() {
            complain("another head is on the rail");
        }
        let moved = u64::from(before.near != stand.near) + u64::from(before.far != stand.far);
        let moved = if self.has_stops { moved } else { 0 };
        if count("guide") != u64::from(before.guide != stand.guide) || count("stops") != moved {
            complain("what changes is not counted as it is");
        }
        for (at, key) in ["guide", "stops", "laid"].into_iter().enumerate() {
            state.counted[at] += count(key);
        }
    }

    fn make(&self, step: &Value, board: &Value, edges: Rect, state: &mut CutterState) -> Made {
        self.prepare(step, state);
        let bevel =
            board["bevels"].as_array().unwrap().iter().find(|bevel| bevel["opening"] == step["opening"]).unwrap();
        // A straight head stands upright.
        let width = if bevel["direction"] == "straight" { 0.0 } else { bevel["width"].as_f64().unwrap() };
        let (top, toward_guide) = match step["by"].as_str().unwrap() {
            "pencil_line" => self.along_pencil_line(step, edges, state),
            by => self.along_rail(step, by, edges, state),
        };
        let shift = if self.leans_to_the_guide { toward_guide } else { -toward_guide } * width;
        let below = top.map(|point| point + shift);
        let face_up = step["facing"] == "up";
        let (back, face) = if face_up { (below, top) } else { (top, below) };
        let number = |key: &str| step[key].as_u64().unwrap();
        Made { opening: number("opening"), side: number("side"), back, face, face_up }
    }

    fn along_rail(&self, step: &Value, by: &str, edges: Rect, state: &mut CutterState) -> ([Point; 2], Vec2) {
        let complain = |state: &mut CutterState, what: String| {
            state.impossible.push(format!("step {}, {}: {what}", step["step"], step["name"]));
        };
        let Some([edge, facing, _]) = state.stand.lies.clone() else {
            complain(state, "no board is in the cutter".to_owned());
            return ([Point::ZERO; 2], Vec2::ZERO);
        };
        if edge != step["edge"].as_str().unwrap() || facing != step["facing"].as_str().unwrap() {
            complain(state, format!("the board lies with {edge} at the guide, face {facing}"));
        }
        let toward_guide = outward(&edge);
        let laid = Laid::new(edges, toward_guide, self.guide_on_the_left, facing == "up");
        let length = laid.bounds.height();
        let pencil = step["guide"]["how"] == "pencil";
        let distance = match state.stand.guide {
            Stands::At(number) if !pencil => {
                if !(-1e-6..=self.guide_reach + 1e-6).contains(&number) {
                    complain(state, format!("the guide does not reach {number} mm"));
                }
                self.guide.distance(number)
            }
            // The board has to go under the rail as far as the pencil line.
            Stands::At(number) if self.guide.distance(number) < mm(&step["guide"]) => {
                complain(state, "the guide is in the way of the board".to_owned());
                mm(&step["guide"])
            }
            Stands::Unknown => {
                complain(state, "the guide stands nobody knows where".to_owned());
                mm(&step["guide"])
            }
            _ => mm(&step["guide"]),
        };
        let near_lead = if self.starts_far { self.lead_exit } else { self.lead_entry };
        let far_lead = if self.starts_far { self.lead_entry } else { self.lead_exit };
        // Where the mark on the head stands, from the near edge.
        let (near, far) = if by == "stops" {
            let stop =
                |stands: Stands, reach: f64, scale: TrueScale, key: &str, from_near: bool| -> Result<f64, String> {
                    let printed = &step[key];
                    let along = |distance: f64| if key == "near" || from_near { distance } else { length - distance };
                    match (stands, printed["how"] == "pencil") {
                        (Stands::At(number), false) if (-1e-6..=reach + 1e-6).contains(&number) => {
                            Ok(along(scale.distance(number)))
                        }
                        // A pencil mark counts from the edge at its own end, and nothing may stand before it.
                        (Stands::Away, true) => Ok(if key == "near" { mm(printed) } else { length - mm(printed) }),
                        (stands, _) => Err(format!("the {key} stop stands {stands:?} for {printed}")),
                    }
                };
            let ends = [
                stop(state.stand.near, self.near_reach, self.near, "near", true),
                stop(state.stand.far, self.far_reach, self.far, "far", step["far_from"] == "near"),
            ];
            let [near, far] = ends.map(|end| {
                end.unwrap_or_else(|what| {
                    complain(state, what);
                    0.0
                })
            });
            if step["far"]["how"] == "scale" && (step["far_from"] == "near") != self.far_from_near {
                complain(state, "the far stop counts from the other edge".to_owned());
            }
            (near, far)
        } else {
            (mm(&step["near"]), mm(&step["far"]))
        };
        let along_rail = !pencil && (by == "rail" || self.far_from_near && self.has_stops);
        let way = far - if along_rail { near.min(0.0) } else { near };
        self.check_rail(step, way, state);
        let (low, high) = (laid.bounds.y0 + near - near_lead, laid.bounds.y0 + far + far_lead);
        let u = if self.guide_on_the_left { laid.bounds.x0 + distance } else { laid.bounds.x1 - distance };
        ([laid.to_mat(u, low), laid.to_mat(u, high)], toward_guide)
    }

    /// The head does not go farther than the rail unless the step says that the board has to be moved along.
    fn check_rail(&self, step: &Value, way: f64, state: &mut CutterState) {
        let told = step["beyond_rail"].as_f64().unwrap();
        // Scales that are off move the ends a little.
        if (told - (way - self.rail).max(0.0)).abs() > 8.0 {
            state.impossible.push(format!("step {}: {way} mm along the rail, told {told} beyond it", step["step"]));
        }
    }

    fn along_pencil_line(&self, step: &Value, edges: Rect, state: &mut CutterState) -> ([Point; 2], Vec2) {
        if state.stand.guide != Stands::Away
            || self.has_stops && [state.stand.near, state.stand.far] != [Stands::Away; 2]
        {
            state.impossible.push(format!("step {}: {:?} is in the way of the pencil line", step["step"], state.stand));
        }
        let point = |key: &str| marked(&step[key], edges);
        let (from, to) = (point("from"), point("to"));
        let along = (to - from).normalize();
        // The sides of an opening are listed clockwise, so that the border is on the left of a side, y down.
        let border = Vec2::new(along.y, -along.x);
        let toward_guide = if step["at_guide"] == "border" { border } else { -border };
        let laid = Laid::new(Rect::ZERO, toward_guide, self.guide_on_the_left, step["facing"] == "up");
        let from_is_far = from.to_vec2().dot(laid.y) > to.to_vec2().dot(laid.y);
        let lead = |far: bool| if far == self.starts_far { self.lead_entry } else { self.lead_exit };
        let told = |end: usize| step["beyond"][end].as_f64().unwrap();
        let beyond = |end: usize, far: bool| told(end) + lead(far);
        let top = [from - along * beyond(0, from_is_far), to + along * beyond(1, !from_is_far)];
        self.check_rail(step, (to - from).hypot() + told(0) + told(1), state);
        (top, toward_guide)
    }
}

impl TrueScale {
    fn distance(self, number: f64) -> f64 {
        self.offset + (1.0 + self.stretch) * number
    }
}

/// How a step says that the board lies: edge, face and, on pencil lines, which one.
fn lies(step: &Value) -> [String; 3] {
    let line = if step["by"] == "pencil_line" { format!("{} {}", step["from"], step["to"]) } else { String::new() };
    let text = |key: &str| step[key].as_str().unwrap().to_owned();
    [text("edge"), text("facing"), line]
}

/// Reads what is printed.
pub(crate) fn mm(number: &Value) -> f64 {
    length::parse_signed(number["reads"].as_str().unwrap(), None).unwrap()
}

/// A point that is marked from the left and the top edge.
pub(crate) fn marked(marks: &Value, edges: Rect) -> Point {
    edges.origin() + Vec2::new(mm(&marks[0]), mm(&marks[1]))
}

/// The rectangle whose edges lie against the guide, in the frame of the mat.
pub(crate) fn rect_of(board: &Value) -> Rect {
    let number = |key: &str, index: usize| board[key][index].as_f64().unwrap();
    Rect::from_origin_size((number("edges_at", 0), number("edges_at", 1)), (number("edges", 0), number("edges", 1)))
}

fn outward(edge: &str) -> Vec2 {
    match edge {
        "left" => Vec2::new(-1.0, 0.0),
        "right" => Vec2::new(1.0, 0.0),
        "top" => Vec2::new(0.0, -1.0),
        _ => Vec2::new(0.0, 1.0),
    }
}
