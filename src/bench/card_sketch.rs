//! Small sketches for the bench card: how a board lies in the cutter, and which side is cut.

use kurbo::{Insets, Line, Point, Rect, Vec2};

use super::{BoardSettings, Cut, Cutter, End, Facing, OpeningCuts, Oval, RailSide};
use crate::colour::Colour;
use crate::drawing::letter_height::TEXT;
use crate::drawing::{Anchor, Area, Drawing, Lettering, Mark, Role};
use crate::geometry::Outline;
use crate::page::{LEADING, add_area, add_text};

/// Width in millimetres of the bar that stands for the guide.
const GUIDE: f64 = 1.5;
/// Half the width in millimetres of the stroke that stands for the cut.
const CUT: f64 = 0.4;
/// Length in millimetres of the arrow at the end of the cut; less at a short cut.
const ARROW: f64 = 2.4;
/// How far in millimetres the rail and the guide are drawn beyond the board.
const BEYOND: f64 = 1.5;
/// The word at the top edge, the height of its capitals and the space beside it, in millimetres.
const TOP: &str = "TOP";
const CAP: f64 = TEXT;
const GAP: f64 = 0.6;

const RED: Colour = Colour::new(190, 20, 20);
const DARK: Colour = Colour::new(70, 70, 70);
/// In the opening that is cut.
const FILLED: Colour = Colour::new(200, 206, 214);

/// A board turned and shrunk into a frame on the card.
struct Sketch<'d> {
    drawing: &'d mut Drawing,
    /// Turn of the board as it is seen from above, in radians, clockwise.
    turn: f64,
    /// -1 where it lies face down and is seen mirrored, 1 where it lies face up.
    hand: f64,
    scale: f64,
    /// Where the turned and shrunk origin of the mat lies on the card.
    shift: Vec2,
    /// Space round the board for guide and rail.
    beside: Insets,
}

/// Draws a board as it lies for a cut: the far end of the rail at the top.
pub(super) fn draw_cut(drawing: &mut Drawing, frame: Rect, board: &BoardSettings, cut: &Cut, cutter: &Cutter) {
    let toward_guide = cut.toward_guide();
    let wanted = if cutter.guide_side == RailSide::Left { Vec2::new(-1.0, 0.0) } else { Vec2::new(1.0, 0.0) };
    // Face down, what points right points left.
    let hand = if cut.facing == Facing::Down { -1.0 } else { 1.0 };
    let turn = wanted.atan2() - Vec2::new(hand * toward_guide.x, toward_guide.y).atan2();
    let (x0, x1) = if cutter.guide_side == RailSide::Left { (GUIDE, 0.0) } else { (0.0, GUIDE) };
    let beside = Insets { x0, y0: BEYOND, x1, y1: BEYOND };
    let frame = say_up(drawing, frame, cut.facing);
    let mut sketch = Sketch::new(drawing, frame, board, (turn, hand), beside);
    sketch.board(board, cut.opening);
    let cut_line = sketch.line(cut.line);
    let bounds = sketch.bounds(board.edges);
    let rail = |end: f64| Point::new(cut_line.p0.x, end);
    sketch.drawing.add(Role::Guide, Mark::line(vec![rail(bounds.y0 - BEYOND), rail(bounds.y1 + BEYOND)]));
    if !cut.is_to_pencil_line() {
        let x = if cutter.guide_side == RailSide::Left { bounds.x0 - GUIDE } else { bounds.x1 };
        sketch.area(Rect::new(x, bounds.y0 - BEYOND, x + GUIDE, bounds.y1 + BEYOND), DARK);
    }
    let far_first = cutter.starts == End::Far;
    sketch.arrow(cut_line, far_first);
}

/// Draws a board as seen from the back with its top up, with an oval and its axes.
pub(super) fn draw_oval(drawing: &mut Drawing, frame: Rect, board: &BoardSettings, opening: &OpeningCuts, oval: &Oval) {
    let back = &opening.back;
    let frame = say_up(drawing, frame, Facing::Down);
    let mut sketch = Sketch::new(drawing, frame, board, (0.0, -1.0), Insets::ZERO);
    sketch.board(board, opening.number);
    let centre = back.bounds().center();
    let angle = oval.angle_deg.to_radians();
    for (length, direction) in [
        (oval.long.wanted, Vec2::from_angle(angle)),
        (oval.short.wanted, Vec2::from_angle(angle + std::f64::consts::FRAC_PI_2)),
    ] {
        let half = direction * (0.5 * length);
        let axis = sketch.line(Line::new(centre - half, centre + half));
        sketch.drawing.add(Role::Tick, Mark::line(vec![axis.p0, axis.p1]));
    }
    let outline = sketch.outline(back);
    sketch.drawing.add(Role::Cut, Mark::Outline { outline, opening: Some(oval.opening) });
}

/// Says at the foot of a frame which side of the board lies up, and returns what is left of the frame.
fn say_up(drawing: &mut Drawing, frame: Rect, facing: Facing) -> Rect {
    let words = if facing == Facing::Down { "BACK UP" } else { "FACE UP" };
    add_text(drawing, words, Point::new(frame.center().x, frame.y1 - GAP), CAP, Anchor::Middle);
    Rect { y1: frame.y1 - LEADING * CAP, ..frame }
}

impl<'d> Sketch<'d> {
    fn new(
        drawing: &'d mut Drawing,
        frame: Rect,
        board: &BoardSettings,
        (turn, hand): (f64, f64),
        beside: Insets,
    ) -> Self {
        let mut sketch = Self { drawing, turn, hand, scale: 1.0, shift: Vec2::ZERO, beside };
        let upwards = sketch.upwards();
        let (along, across) = (Lettering::width(TOP, CAP) + 2.0 * GAP, CAP + 2.0 * GAP);
        let word = |share: f64, room: f64| if share > 0.5 { room } else { 0.0 };
        let room = Rect::new(
            frame.x0 + beside.x0 + word(-upwards.x, along),
            frame.y0 + beside.y0 + word(-upwards.y, across),
            frame.x1 - beside.x1 - word(upwards.x, along),
            frame.y1 - beside.y1 - word(upwards.y, across),
        );
        let size = sketch.bounds(board.edges).size();
        sketch.scale = (room.width() / size.width).min(room.height() / size.height);
        let lies = sketch.bounds(board.edges);
        sketch.shift = room.center() - lies.center();
        sketch
    }

    /// Returns the direction on the card from the middle of the board to its top edge.
    fn upwards(&self) -> Vec2 {
        let (sin, cos) = self.turn.sin_cos();
        Vec2::new(sin, -cos)
    }

    /// Brings a point of the mat to the card.
    fn point(&self, point: Point) -> Point {
        let (sin, cos) = self.turn.sin_cos();
        let (x, y) = (self.hand * point.x * self.scale, point.y * self.scale);
        Point::new(cos * x - sin * y, sin * x + cos * y) + self.shift
    }

    fn line(&self, line: Line) -> Line {
        Line::new(self.point(line.p0), self.point(line.p1))
    }

    fn outline(&self, outline: &Outline) -> Outline {
        let seen = if self.hand < 0.0 { outline.mirrored(0.0) } else { outline.clone() };
        seen.scaled(self.scale).turned(self.turn, Point::ZERO).translated(self.shift)
    }

    fn bounds(&self, rect: Rect) -> Rect {
        let Rect { x0, y0, x1, y1 } = rect;
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|corner| self.point(corner.into()));
        Rect::from_points(corners[0], corners[2]).union(Rect::from_points(corners[1], corners[3]))
    }

    /// Draws the edges that lie against the guide, the openings, and the word at the top edge.
    fn board(&mut self, board: &BoardSettings, in_question: usize) {
        let edges = Outline::rectangle(board.edges).map(|outline| self.outline(&outline));
        if let Some(outline) = edges {
            self.drawing.add(Role::Edge, Mark::Outline { outline, opening: None });
        }
        for opening in &board.openings {
            let outline = self.outline(&opening.back);
            if opening.number == in_question {
                let area = Area { outlines: vec![outline.clone()], colour: FILLED };
                self.drawing.add(Role::Picture, Mark::Area(area));
            }
            self.drawing.add(Role::Sight, Mark::Outline { outline, opening: Some(opening.number) });
        }
        let upwards = self.upwards();
        let beside = Vec2::new(
            if upwards.x > 0.0 { self.beside.x1 } else { self.beside.x0 },
            if upwards.y > 0.0 { self.beside.y1 } else { self.beside.y0 },
        );
        let half = Vec2::new(0.5 * Lettering::width(TOP, CAP), 0.5 * CAP);
        let reach = (half.x + beside.x) * upwards.x.abs() + (half.y + beside.y) * upwards.y.abs() + GAP;
        let top = self.point(Point::new(board.edges.center().x, board.edges.y0));
        let at = top + upwards * reach + Vec2::new(0.0, half.y);
        add_text(self.drawing, TOP, at, CAP, Anchor::Middle);
    }

    fn area(&mut self, rect: Rect, colour: Colour) {
        add_area(self.drawing, rect, colour);
    }

    /// Draws an upright cut as a broad stroke with an arrow the way the blade goes: down the card if it starts far away.
    fn arrow(&mut self, cut: Line, down: bool) {
        let (x, low, high) = (cut.p0.x, cut.p0.y.min(cut.p1.y), cut.p0.y.max(cut.p1.y));
        let half = CUT.min(0.15 * (high - low));
        self.area(Rect::new(x - half, low, x + half, high), RED);
        let length = ARROW.min(0.6 * (high - low));
        let (tip, tail) = if down { (high, high - length) } else { (low, low + length) };
        let corners = [(x, tip), (x - 0.5 * length, tail), (x + 0.5 * length, tail)].map(Point::from);
        let outlines: Vec<Outline> = Outline::polygon(&corners).into_iter().collect();
        self.drawing.add(Role::Picture, Mark::Area(Area { outlines, colour: RED }));
    }
}
