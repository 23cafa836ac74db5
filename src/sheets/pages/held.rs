//! The small figure of a step: how a part lies at the cutter, seen from above, with the stop, the scale and the cuts.

use kurbo::{Point, Rect, Size};

use crate::colour::Colour;
use crate::drawing::letter_height::{SMALL, TITLE, from_to};
use crate::drawing::{Anchor, Drawing, Lettering, Role};
use crate::page::{add_area, add_line, add_rectangle, add_text, add_turned};
use crate::sheets::cutting::CutDirection;
use crate::sheets::{HeldCut, SheetEdge, SheetPlan, WorkLine};
use crate::tolerance::SAME_LENGTH_MM;

/// Width and height of the figure in millimetres.
pub(super) const SIZE: Size = Size::new(36.0, 21.0);
/// Height of capitals of measures and of the numbers of cuts, in millimetres.
const CAP: f64 = SMALL;
/// Room above the board for the scale, below it for its measure, and left of it for the stop.
const ABOVE: f64 = 5.2;
const BELOW: f64 = 3.4;
const LEFT: f64 = 2.4;
/// Distance between the lines of the scale in millimetres.
const TICK: f64 = 2.0;

const BOARD: Colour = Colour::new(250, 244, 228);
const STOP: Colour = Colour::new(90, 90, 90);

/// Draws how the first of the parts of a line lies, at a corner of the page.
pub(super) fn draw(plan: &SheetPlan, work: &WorkLine, corner: Point, drawing: &mut Drawing) {
    let Some(hold) = work.holds.first() else { return };
    let mm = |units: i64| plan.prepared.grid.mm(units);
    let lies = match hold.along {
        CutDirection::Across => hold.place.size,
        CutDirection::Down => hold.place.size.turned(),
    };
    let size = Size::new(mm(lies.width), mm(lies.height));
    let room = Size::new(SIZE.width - LEFT - 1.0, SIZE.height - ABOVE - BELOW);
    let scale = (room.width / size.width).min(room.height / size.height);
    let board = Rect::from_origin_size(corner + (LEFT + 0.8, ABOVE), size * scale);
    add_area(drawing, board, BOARD);
    add_rectangle(drawing, Role::Form, board);
    // The stop, against which the edge lies, and the scale that starts there.
    add_area(drawing, Rect::new(board.x0 - 1.6, board.y0 - 2.4, board.x0 - 0.2, board.y1 + 1.0), STOP);
    let scale_end = board.x1.max(board.x0 + 12.0);
    let scale_at = board.y0 - 0.9;
    add_line(drawing, Role::Form, Point::new(board.x0, scale_at), Point::new(scale_end, scale_at));
    let ticks = ((scale_end - board.x0) / TICK) as usize;
    for tick in 0..=ticks {
        let x = board.x0 + tick as f64 * TICK;
        add_line(drawing, Role::Form, Point::new(x, scale_at), Point::new(x, scale_at - 0.9));
    }
    // Cuts of the first edge from left to right; the other edges of a trimmed sheet where they are then.
    let (mut at, mut widest) = (board.x0, Rect { x1: board.x0, ..board });
    let kerf = mm(plan.prepared.kerf) * scale;
    let first = hold.cuts.first().map(|cut| cut.edge);
    for cut in &hold.cuts {
        let measure = match cut.edge.along() {
            CutDirection::Across => mm(cut.place.size.width),
            CutDirection::Down => mm(cut.place.size.height),
        } * scale;
        if Some(cut.edge) == first {
            widest = wider(widest, Rect { x0: at, x1: at + measure, ..board });
            at += measure;
            add_line(drawing, Role::Cut, Point::new(at, board.y0), Point::new(at, board.y1));
            let number = Point::new(at, board.y0 - 2.3);
            if at - board.x0 > 1.5 {
                add_text(drawing, cut.number.to_string(), number, CAP, Anchor::Middle);
            } else if hold.cuts.iter().any(|other| other.edge != cut.edge) {
                number_inside(cut, Point::new(at, board.y0), board, drawing);
            }
            at += kerf;
        } else {
            // Counted from the left edge, which is at the stop.
            let [from, to] = match cut.edge {
                SheetEdge::Top => [(board.x0, board.y0 + measure), (board.x1, board.y0 + measure)],
                SheetEdge::Right => [(board.x1 - measure, board.y0), (board.x1 - measure, board.y1)],
                SheetEdge::Bottom => [(board.x0, board.y1 - measure), (board.x1, board.y1 - measure)],
                SheetEdge::Left => continue,
            };
            add_line(drawing, Role::Cut, from.into(), to.into());
            number_inside(cut, from.into(), board, drawing);
        }
    }
    write(plan, work, board, wider(widest, Rect { x0: at, ..board }), drawing);
}

/// Writes the number of a cut that trims an edge on the inner side of its line, which starts at `from`, clear of the name in the middle.
fn number_inside(cut: &HeldCut, from: Point, board: Rect, drawing: &mut Drawing) {
    const APART: f64 = 0.5;
    let upper = board.y0 + 0.25 * board.height() + 0.5 * CAP;
    let (at, anchor) = match cut.edge {
        SheetEdge::Left => (Point::new(from.x + APART, upper), Anchor::Start),
        SheetEdge::Right => (Point::new(from.x - APART, upper), Anchor::End),
        SheetEdge::Top => (Point::new(board.center().x, from.y + APART + CAP), Anchor::Middle),
        SheetEdge::Bottom => (Point::new(board.center().x, from.y - APART), Anchor::Middle),
    };
    if board.width().min(board.height()) > 5.0 * CAP {
        add_text(drawing, cut.number.to_string(), at, CAP, anchor);
    }
}

/// Returns the wider one, the first if both are as wide.
fn wider(one: Rect, other: Rect) -> Rect {
    if other.width() > one.width() + SAME_LENGTH_MM { other } else { one }
}

/// Writes the letters of the parts, lying as the part does, into the widest room, and the measure of the side along the scale.
fn write(plan: &SheetPlan, work: &WorkLine, board: Rect, room: Rect, drawing: &mut Drawing) {
    let Some(hold) = work.holds.first() else { return };
    let quarters = u8::from(hold.along == CutDirection::Down);
    let names: Vec<String> = work.holds.iter().map(|hold| hold.part.name()).collect();
    let name = match names.as_slice() {
        [only] => only.clone(),
        [first, .., last] if names.len() > 3 => format!("{first} … {last}"),
        names => names.join(" "),
    };
    // Where no part of it has room, the name stands across the cuts.
    let fitting = [room, board].into_iter().find_map(|room| {
        let (long, high) = if quarters == 0 { (room.width(), room.height()) } else { (room.height(), room.width()) };
        let fits = |cap: &f64| Lettering::width(&name, *cap) < long - 0.8 && *cap < high - 0.8;
        Some((room, from_to(TITLE, SMALL).find(fits)?))
    });
    if let Some((room, cap)) = fitting {
        add_turned(drawing, &name, room.center(), cap, quarters);
    }
    let length = plan.prepared.ruler.show(plan.prepared.grid.mm(hold.along.of(hold.place.size)));
    let at = Point::new(board.x0, board.y1 + 1.0 + CAP);
    add_text(drawing, length, at, CAP, Anchor::Start);
}
