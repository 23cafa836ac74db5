//! A hand cutter that does what printed settings say, and knows nothing else of the program.
//!
//! It works in a plane of its own: the framer stands at the origin and looks along the rail toward y; x runs to the right.
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
}

/// A cut in the frame of reference of the mat, with the line that the tip of the blade leaves on the face.
#[derive(Debug, Clone)]
pub(crate) struct Made {
    pub(crate) opening: u64,
    pub(crate) side: u64,
    /// On the back, from one end of the cut to the other.
    pub(crate) back: [Point; 2],
    /// On the face.
    pub(crate) face: [Point; 2],
}

/// How the cutter is set and how the board lies in it.
#[derive(Debug, Default)]
struct Stand {
    guide: Option<f64>,
    near: Option<f64>,
    far: Option<f64>,
    edge: Option<String>,
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
    fn new(board: Rect, toward_guide: Vec2, guide_on_the_left: bool) -> Self {
        let x = if guide_on_the_left { -toward_guide } else { toward_guide };
        // Face up, with x to the right and y down, "away from the framer" would be x turned a quarter against the clock:
        // (x.y, -x.x). Face down everything is mirrored.
        let y = Vec2::new(-x.y, x.x);
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

impl HandCutter {
    /// Cuts what the settings of one board say, step by step; nothing is set or laid unless the step says so.
    pub(crate) fn follow(&self, board: &Value, stand: &mut Option<CutterState>) -> Vec<Made> {
        let state = &mut stand.get_or_insert_with(CutterState::default).0;
        // Another board is in the cutter.
        state.edge = None;
        let edges = rect_of(board);
        board["steps"].as_array().unwrap().iter().map(|step| self.make(step, board, edges, state)).collect()
    }

    fn make(&self, step: &Value, board: &Value, edges: Rect, stand: &mut Stand) -> Made {
        let bevel =
            board["bevels"].as_array().unwrap().iter().find(|bevel| bevel["opening"] == step["opening"]).unwrap();
        // A straight head stands upright.
        let width = if bevel["direction"] == "straight" { 0.0 } else { bevel["width"].as_f64().unwrap() };
        let (back, toward_guide) = match step["by"].as_str().unwrap() {
            "pencil_line" => self.along_pencil_line(step, edges),
            by => self.along_rail(step, by, edges, stand),
        };
        let shift = if self.leans_to_the_guide { toward_guide } else { -toward_guide } * width;
        let number = |key: &str| step[key].as_u64().unwrap();
        Made { opening: number("opening"), side: number("side"), back, face: back.map(|point| point + shift) }
    }

    fn along_rail(&self, step: &Value, by: &str, edges: Rect, stand: &mut Stand) -> ([Point; 2], Vec2) {
        let edge = step["edge"].as_str().unwrap();
        if step["lay"].as_bool().unwrap() {
            stand.edge = Some(edge.to_owned());
        }
        let toward_guide = outward(stand.edge.as_deref().unwrap());
        let laid = Laid::new(edges, toward_guide, self.guide_on_the_left);
        let distance = read_place(&step["guide"], &mut stand.guide, self.guide);
        let near_lead = if self.starts_far { self.lead_exit } else { self.lead_entry };
        let far_lead = if self.starts_far { self.lead_entry } else { self.lead_exit };
        let (low, high) = if by == "stops" {
            let near = read_place(&step["near"], &mut stand.near, self.near);
            let far = read_place(&step["far"], &mut stand.far, self.far);
            (laid.bounds.y0 + near - near_lead, laid.bounds.y1 - far + far_lead)
        } else {
            let along = |key: &str| laid.bounds.y0 + mm(&step[key]);
            (along("near") - near_lead, along("far") + far_lead)
        };
        let u = if self.guide_on_the_left { laid.bounds.x0 + distance } else { laid.bounds.x1 - distance };
        ([laid.to_mat(u, low), laid.to_mat(u, high)], toward_guide)
    }

    fn along_pencil_line(&self, step: &Value, edges: Rect) -> ([Point; 2], Vec2) {
        let point = |key: &str| marked(&step[key], edges);
        let (from, to) = (point("from"), point("to"));
        let along = (to - from).normalize();
        // The sides of an opening are listed clockwise, so that the border is on the left of a side, y down.
        let border = Vec2::new(along.y, -along.x);
        let toward_guide = if step["at_guide"] == "border" { border } else { -border };
        let laid = Laid::new(Rect::ZERO, toward_guide, self.guide_on_the_left);
        let from_is_far = from.to_vec2().dot(laid.y) > to.to_vec2().dot(laid.y);
        let lead = |far: bool| if far == self.starts_far { self.lead_entry } else { self.lead_exit };
        let beyond = |end: usize, far: bool| step["beyond"][end].as_f64().unwrap() + lead(far);
        let back = [from - along * beyond(0, from_is_far), to + along * beyond(1, !from_is_far)];
        (back, toward_guide)
    }
}

/// How the cutter stands between two boards.
#[derive(Debug, Default)]
pub(crate) struct CutterState(Stand);

/// Sets a scale if the step says so, and returns the distance that it really gives; a pencil mark is exact.
fn read_place(place: &Value, state: &mut Option<f64>, scale: TrueScale) -> f64 {
    if place["how"] == "pencil" {
        if place["set_anew"].as_bool().unwrap() {
            *state = None;
        }
        return mm(place);
    }
    if place["set_anew"].as_bool().unwrap() {
        *state = Some(mm(place));
    }
    scale.offset + (1.0 + scale.stretch) * state.unwrap()
}

/// Reads what is printed.
pub(crate) fn mm(number: &Value) -> f64 {
    length::parse(number["reads"].as_str().unwrap(), None).unwrap()
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
