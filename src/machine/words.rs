//! Strokes that are read rather than cut: labels in the pieces that fall out, and the reference line.

use kurbo::{Point, Size, Vec2};

use crate::drawing::{Anchor, StrokeFont, Text, letter_height};
use crate::geometry::Outline;
use crate::length::exact_mm;
use crate::program::{DatumPoint, Origin};
use crate::tolerance::ROUNDING_COUNT;

/// Lower capitals in millimetres are hard to read when drawn by a pen.
const SMALLEST_CAP_HEIGHT: f64 = letter_height::TEXT;
/// Distance of one baseline from the next, in heights of capitals.
const LINE_SPACING: f64 = 1.8;
/// Distance in millimetres of the reference line from the board.
const FROM_BOARD: f64 = 10.0;
/// Half the length in millimetres of the marks at the ends of the reference line.
const END_MARK: f64 = 2.0;

/// Writes lines into the middle of an outline, as large as they fit; letters that the font lacks are added to `missing`.
///
/// `None` if they do not fit.
pub(super) fn inside(outline: &Outline, lines: &[String], missing: &mut String) -> Option<Vec<Vec<Point>>> {
    let centre = outline.bounds().center();
    for cap_height in letter_height::from_to(letter_height::ON_BOARD, SMALLEST_CAP_HEIGHT) {
        let width = lines.iter().map(|line| StrokeFont::width(line, cap_height)).fold(0.0, f64::max) + cap_height;
        let height = (LINE_SPACING * (lines.len() as f64 - 1.0) + 2.0) * cap_height;
        let half = Vec2::new(0.5 * width, 0.5 * height);
        let corners = [half, -half, Vec2::new(half.x, -half.y), Vec2::new(-half.x, half.y)];
        if corners.into_iter().chain([Vec2::ZERO]).all(|corner| outline.contains(centre + corner)) {
            let first = centre.y - 0.5 * LINE_SPACING * (lines.len() as f64 - 1.0) * cap_height + 0.5 * cap_height;
            let texts = lines.iter().enumerate().map(|(row, line)| {
                Text::new(
                    line.clone(),
                    Point::new(centre.x, first + row as f64 * LINE_SPACING * cap_height),
                    cap_height,
                    Anchor::Middle,
                )
            });
            return Some(strokes(texts.collect(), missing));
        }
    }
    None
}

/// Returns the strokes of a line of a length in millimetres beside a board, with its length in words, on the sheet.
///
/// It lies on the side of the board away from the zero of the machine.
pub(super) fn reference_line(length: f64, origin: &Origin, board: Size, turned: bool) -> Vec<Vec<Point>> {
    let seen = |direction: Vec2| if turned { Vec2::new(direction.y, -direction.x) } else { direction };
    let (right, up) = (seen(Vec2::new(1.0, 0.0)), seen(Vec2::new(0.0, -1.0)));
    let away = away_from_zero(origin);
    // The left corner of the board on that side, as it lies on the bed.
    let from_centre = (up * away - right) * 0.5;
    let corner = Point::new((0.5 + from_centre.x) * board.width, (0.5 + from_centre.y) * board.height);
    let base = corner + up * away * FROM_BOARD;
    let local = |point: Point| base + right * point.x + up * point.y;
    let mark = |x: f64| vec![local(Point::new(x, -END_MARK)), local(Point::new(x, END_MARK))];
    let mut lines = vec![mark(0.0), vec![local(Point::ORIGIN), local(Point::new(length, 0.0))], mark(length)];
    let text = Text::new(in_words(length), Point::new(0.5 * length, -END_MARK), letter_height::TITLE, Anchor::Middle);
    let letters = strokes(vec![text], &mut String::new());
    lines.extend(
        letters
            .into_iter()
            .map(|letter| letter.into_iter().map(|point| local(Point::new(point.x, -point.y))).collect()),
    );
    lines
}

/// Returns the direction on the sheet in which the reference line lies beside a board.
pub(super) fn reference_side(origin: &Origin, turned: bool) -> Vec2 {
    let up = if turned { Vec2::new(-1.0, 0.0) } else { Vec2::new(0.0, -1.0) };
    up * away_from_zero(origin)
}

/// Returns 1 if the side of a board away from the zero of the machine lies up on the bed, −1 if it lies down.
const fn away_from_zero(origin: &Origin) -> f64 {
    if matches!(origin.at, DatumPoint::TopLeft | DatumPoint::TopRight) { -1.0 } else { 1.0 }
}

/// Says a length in inches if it is a whole number of them.
fn in_words(length: f64) -> String {
    let inches = length / 25.4;
    if (inches - inches.round()).abs() < ROUNDING_COUNT { format!("{} in", inches.round()) } else { exact_mm(length) }
}

fn strokes(texts: Vec<Text>, missing: &mut String) -> Vec<Vec<Point>> {
    texts.iter().flat_map(|text| StrokeFont::strokes(text, missing)).map(|polyline| polyline.points).collect()
}
