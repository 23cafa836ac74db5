//! The picture of a test of squareness: how the arm stands and which way it is moved, seen as the framer stands.

use kurbo::{Point, Rect, Size, Vec2};

use super::{Pivot, RailSide, SquareReport};
use crate::colour::Colour;
use crate::drawing::letter_height::{HEADING, TEXT};
use crate::drawing::{Anchor, Area, Drawing, Lettering, Mark, Role};
use crate::geometry::Outline;
use crate::length::Ruler;
use crate::page::{LEADING, MARGIN, add_area, add_line, add_rectangle, add_text, in_drawing_order};

/// Size in millimetres of the picture.
const SHEET: Size = Size::new(160.0, 150.0);
/// Length of the rail and of the arm, and the width of both, in millimetres.
const RAIL: f64 = 78.0;
const ARM: f64 = 105.0;
const WIDTH: f64 = 4.0;
/// The angle in degrees at which an arm is drawn that is out of square: the true one could not be seen.
const SHOWN_DEG: f64 = 5.0;
/// Length in millimetres of the arrow.
const ARROW: f64 = 14.0;

const METAL: Colour = Colour::new(110, 110, 110);
const BOARD: Colour = Colour::new(250, 244, 228);

/// Draws rail, arm and board as seen from above by a framer who has the arm near and the guide on one hand.
///
/// The error of the arm is drawn larger than it is. Below stands in words what [`SquareReport::describe`] says.
#[must_use]
pub fn square_picture(report: &SquareReport, guide: RailSide, ruler: Ruler) -> Drawing {
    let words = report.describe(ruler);
    let width = SHEET.width - 2.0 * MARGIN;
    let scale = "The picture shows which way the arm is off, and not how far.";
    let lines: Vec<String> = words.lines().chain([scale]).flat_map(|line| Lettering::wrap(line, width, TEXT)).collect();
    let picture = MARGIN + RAIL + 41.0;
    let height = (picture + LEADING * TEXT * lines.len() as f64 + MARGIN).max(SHEET.height);
    let sheet = Size::new(SHEET.width, height);
    let mut drawing =
        Drawing { title: "How square the arm stands".to_owned(), view: "squareness", sheet, layers: Vec::new() };
    // The board lies on the side of the guide.
    let side = if guide == RailSide::Left { -1.0 } else { 1.0 };
    let corner = Point::new(0.5 * SHEET.width - 0.5 * side * ARM, MARGIN + 8.0 + RAIL);
    draw_cutter(report, corner, side, &mut drawing);
    let foot = "YOU STAND HERE";
    add_text(&mut drawing, foot, Point::new(0.5 * SHEET.width, corner.y + 27.0), HEADING, Anchor::Middle);
    for (index, line) in lines.into_iter().enumerate() {
        let at = Point::new(MARGIN, picture + LEADING * TEXT * index as f64);
        add_text(&mut drawing, line, at, TEXT, Anchor::Start);
    }
    in_drawing_order(&mut drawing);
    drawing
}

fn draw_cutter(report: &SquareReport, corner: Point, side: f64, drawing: &mut Drawing) {
    let board = Rect::from_points(corner, corner + Vec2::new(side * 0.8 * ARM, -0.8 * RAIL));
    add_area(drawing, board, BOARD);
    add_rectangle(drawing, Role::Edge, board);
    add_text(drawing, "board", board.center(), TEXT, Anchor::Middle);
    let rail = Rect::from_points(corner + Vec2::new(0.0, WIDTH), corner + Vec2::new(-side * WIDTH, -RAIL));
    add_area(drawing, rail, METAL);
    add_text(drawing, "rail", Point::new(rail.center().x, rail.y0 - 1.5), TEXT, Anchor::Middle);
    // Where the corner is too wide, the arm falls away from the board with its distance from the rail.
    let tilt = side * report.error_sign() * SHOWN_DEG.to_radians();
    let (pivot, free, name) = match report.pivot() {
        Pivot::Rail => (corner, corner + Vec2::from_angle(tilt) * (side * ARM), "outer end"),
        Pivot::Outer => {
            let pivot = corner + Vec2::new(side * ARM, 0.0);
            (pivot, pivot - Vec2::from_angle(tilt) * (side * ARM), "end at the rail")
        }
    };
    let down = Vec2::new(0.0, WIDTH);
    let outlines: Vec<Outline> = Outline::polygon(&[pivot, free, free + down, pivot + down]).into_iter().collect();
    drawing.add(Role::Picture, Mark::Area(Area { outlines, colour: METAL }));
    add_line(drawing, Role::Guide, corner, corner + Vec2::new(side * ARM, 0.0));
    if let Some(outline) = Outline::ellipse(pivot + 0.5 * down, 1.6, 1.6, 0.0) {
        drawing.add(Role::Cut, Mark::Outline { outline, opening: None });
    }
    let below = |point: Point| {
        Point::new(point.x.clamp(MARGIN + 14.0, SHEET.width - MARGIN - 14.0), point.y.max(corner.y) + WIDTH + 4.5)
    };
    add_text(drawing, "pivot", below(pivot), TEXT, Anchor::Middle);
    let Some(toward_board) = report.moves_toward_board() else { return };
    let way = Vec2::new(0.0, if toward_board { -1.0 } else { 1.0 });
    let start = if toward_board { free } else { free + down };
    let tip = start + way * ARROW;
    add_line(drawing, Role::Cut, start, tip);
    for across in [-1.0, 1.0] {
        add_line(drawing, Role::Cut, tip, tip - way * 3.0 + Vec2::new(1.6 * across, 0.0));
    }
    let words = if toward_board { "move away from you" } else { "move towards you" };
    let words = format!("{name}: {words}");
    // Below the arm, where neither board nor arm nor the word for the pivot stands.
    let half = 0.5 * Lettering::width(&words, TEXT);
    let x = tip.x.clamp(MARGIN + half, SHEET.width - MARGIN - half);
    let y = free.y.max(tip.y).max(corner.y) + WIDTH + LEADING * TEXT + 1.5;
    add_text(drawing, words, Point::new(x, y), TEXT, Anchor::Middle);
}

#[cfg(test)]
mod tests {
    use kurbo::Size;

    use super::square_picture;
    use crate::bench::{Pivot, RailSide, SquareDemand, SquareReport, SquareTest};
    use crate::drawing::Mark;
    use crate::length::{Ruler, Unit};

    /// Returns what the picture says of the way the arm is moved, and what the words say.
    fn ways(first: f64, second: f64, pivot: Pivot, guide: RailSide) -> (Option<String>, String) {
        let demand = SquareDemand {
            largest: Size::new(800.0, 1000.0),
            tolerance: 0.8,
            reading: 0.1,
            bracket: None,
            pivot,
            ruler: Ruler::usual(Unit::Millimetre),
        };
        let test = SquareTest::Diagonals { width: 300.0, height: 400.0, first, second };
        let report = SquareReport::new(&test, &demand).unwrap();
        let ruler = Ruler::usual(Unit::Millimetre);
        let drawing = square_picture(&report, guide, ruler);
        let marks = drawing.layers.iter().flat_map(|layer| &layer.marks);
        let mut said = marks.filter_map(|mark| match mark {
            Mark::Text(text) if text.content.contains(": move ") => Some(text.content.clone()),
            _ => None,
        });
        (said.next_back(), report.describe(ruler))
    }

    #[test]
    fn the_arrow_points_as_the_words_say() {
        for guide in [RailSide::Left, RailSide::Right] {
            for (first, second, pivot, drawn, said) in [
                (500.0, 501.0, Pivot::Rail, "outer end: move away from you", "that is away from you"),
                (501.0, 500.0, Pivot::Rail, "outer end: move towards you", "that is towards you"),
                (500.0, 501.0, Pivot::Outer, "end at the rail: move towards you", "that is towards you"),
            ] {
                let (picture, words) = ways(first, second, pivot, guide);
                assert_eq!(picture.as_deref(), Some(drawn));
                assert!(words.contains(said), "{words}");
            }
            assert_eq!(ways(500.0, 500.0, Pivot::Rail, guide).0, None, "a square arm is left as it is");
        }
    }
}
