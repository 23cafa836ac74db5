//! A test piece by which a cutter is measured: the mirror image of a blank with its window, and what to set for each side.

use kurbo::{Point, Rect};

use super::TestPiece;
use crate::checked::Checked;
use crate::dimensions::Side;
use crate::drawing::{Anchor, Drawing, Mark, Role, StrokeFont, letter_height};
use crate::page::{LEADING, TEMPLATE_CAUTION, in_drawing_order};
use crate::view::{BoardDrawing, guide_lines};

/// How the drawing of a test piece is named.
const VIEW: &str = "from the back";

/// Height of capitals in millimetres where there is room enough.
const CAP: f64 = letter_height::TEXT;
/// Space in millimetres between the words and the lines round them.
const SPACE: f64 = 1.5;

/// Draws a test piece as seen from its back: the blank, the cuts if the cutter said the truth, and the settings.
///
/// Problems are those of the mat that it is, such as a border that a changed plan leaves no room for.
pub fn draw_test_piece(piece: &TestPiece) -> Checked<Drawing> {
    let resolved = piece.job().resolve();
    let Some((mat, layer)) = resolved.sound().and_then(|mat| Some((mat, mat.layers.first()?))) else {
        return Checked::wrong(resolved.problems);
    };
    let mut page = BoardDrawing::new(VIEW, mat, layer, true, &notes(piece));
    let outlines: Vec<_> = layer.openings.iter().map(|opening| page.outline(&opening.back)).collect();
    for guide in guide_lines(&outlines, page.board(), 0.0) {
        page.add(Role::Guide, Mark::line(vec![guide.p0, guide.p1]));
    }
    for outline in outlines {
        write_settings(piece, outline.bounds(), &mut page);
        page.add(Role::Cut, Mark::Outline { outline, opening: Some(1) });
    }
    in_drawing_order(&mut page.drawing);
    Checked { value: Some(page.drawing), problems: resolved.problems }
}

fn notes(piece: &TestPiece) -> Vec<String> {
    let ends = if piece.by_eye {
        "Pencil the lines, and cut by eye: the blade goes in and comes out with the mark on its head on the line."
    } else {
        "Set guide and both stops to the numbers at each side, and cut from stop to stop, whatever comes out."
    };
    let size = format!(
        "Cut the blank with the arm at {} for its width and {} for its height, and mark the corner that first lay between arm \
         and blade. Then cut the window, face down: each side against the guide.",
        piece.read(piece.width),
        piece.read(piece.height)
    );
    let measure = "Then measure and write down: both sides and both diagonals of the blank; each border on the back at both ends of \
                   the cut; on the other side, how far the cuts run past the corners or fall short of them; the width of the bevels.";
    let seen = "SEEN FROM THE BACK (mirrored); sides are named as seen from the front.";
    [seen, &size, ends, measure, TEMPLATE_CAUTION].map(str::to_owned).to_vec()
}

/// Writes what to set into the border of each side.
fn write_settings(piece: &TestPiece, window: Rect, page: &mut BoardDrawing) {
    let board = page.board();
    for side in &piece.sides {
        // Seen from the back, the left side lies on the right.
        let room = match side.side {
            Side::Left => Rect::new(window.x1, window.y0, board.x1, window.y1),
            Side::Right => Rect::new(board.x0, window.y0, window.x0, window.y1),
            Side::Top => Rect::new(window.x0, board.y0, window.x1, window.y0),
            Side::Bottom => Rect::new(window.x0, window.y1, window.x1, board.y1),
        };
        let [guide, far, near] = piece.settings(side);
        write_lines(&[side.side.name().to_uppercase(), guide, far, near], room, page);
    }
}

/// Height of capitals below which lines are broken before their brackets.
const SMALL: f64 = letter_height::FINE;

/// Returns the height of capitals with which lines fit into a room.
fn cap_of(lines: &[String], room: Rect) -> f64 {
    let widest = lines.iter().map(|line| StrokeFont::width(line, 1.0)).fold(1.0, f64::max);
    let high = LEADING * lines.len() as f64;
    let most = CAP.min((room.width() - 2.0 * SPACE) / widest).min((room.height() - 2.0 * SPACE) / high);
    letter_height::fitting(most).unwrap_or(letter_height::LEAST)
}

fn write_lines(lines: &[String], room: Rect, page: &mut BoardDrawing) {
    let broken: Vec<String> =
        lines.iter().flat_map(|line| line.split(" (")).map(|part| part.trim_end_matches(')').to_owned()).collect();
    let lines = if cap_of(lines, room) < SMALL { broken.as_slice() } else { lines };
    let cap = cap_of(lines, room);
    let Point { x, y } = room.center();
    for (index, line) in lines.iter().enumerate() {
        let baseline = y + cap * (LEADING * (index as f64 + 0.5 - 0.5 * lines.len() as f64) + 0.5);
        page.label(line.as_str(), Point::new(x, baseline), cap, Anchor::Middle);
    }
}
