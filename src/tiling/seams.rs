//! What helps to join pages: lines to cut along, and marks that must meet.

use kurbo::{Point, Rect, Vec2};

use super::grid::TileGrid;
use super::ink::{self, Ink};
use crate::drawing::{Anchor, Drawing, Mark, Role, Text, letter_height};

/// Half the width of the diamond of a register mark, and half the length of the line across it, in millimetres.
const DIAMOND: f64 = 3.0;
const ACROSS: f64 = 5.0;
/// Height of capitals of its number.
const CAP: f64 = letter_height::FINE;
/// A seam longer than this many millimetres has two marks, a shorter one has one.
const TWO_MARKS: f64 = 60.0;
/// Places along the seam, from where a mark ought to be, of which the first with nothing drawn in it is taken.
const ASIDE: [f64; 9] = [0.0, 8.0, -8.0, 16.0, -16.0, 24.0, -24.0, 32.0, -32.0];
/// The line is drawn beside the seam, by half its width and a little, so that nothing of it lies on the tile.
const BESIDE: f64 = 0.1;
/// The line runs so far beyond the drawing at both ends.
const BEYOND: f64 = 3.0;

/// A diamond across a seam, of which each page has a half.
pub(super) struct RegisterMark {
    number: usize,
    at: Point,
    /// Whether the seam runs up and down.
    upright: bool,
    /// What it takes up on the drawing.
    pub(super) room: Rect,
}

impl RegisterMark {
    fn new(number: usize, at: Point, upright: bool) -> Self {
        Self { number, at, upright, room: room(at) }
    }

    /// Draws it on the whole drawing, across the seam.
    pub(super) fn draw(&self, whole: &mut Drawing) {
        let across = if self.upright { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) };
        let along = Vec2::new(across.y, across.x);
        let corners = [across, along, -across, -along, across];
        whole.add(Role::Register, Mark::line(corners.map(|corner| self.at + corner * DIAMOND).to_vec()));
        whole.add(Role::Register, Mark::line(vec![self.at - across * ACROSS, self.at + across * ACROSS]));
        // The number stands on both sides of the seam.
        let places = if self.upright {
            [(Vec2::new(-DIAMOND - 0.5, -0.7), Anchor::End), (Vec2::new(DIAMOND + 0.5, -0.7), Anchor::Start)]
        } else {
            [(Vec2::new(0.7, -DIAMOND - 0.5), Anchor::Start), (Vec2::new(0.7, DIAMOND + 0.5 + CAP), Anchor::Start)]
        };
        for (beside, anchor) in places {
            let text = Text::new(self.number.to_string(), self.at + beside, CAP, anchor);
            whole.add(Role::Register, Mark::Text(text));
        }
    }
}

fn room(at: Point) -> Rect {
    Rect::from_center_size(at, (4.0 * ACROSS, 4.0 * ACROSS))
}

/// Returns the marks on all seams between pages that are printed, numbered from one.
pub(super) fn register_marks(grid: &TileGrid, inked: &[bool], ink: &[Ink]) -> Vec<RegisterMark> {
    let mut marks = Vec::new();
    let printed = |row: usize, column: usize| {
        column < grid.columns() && inked.get(row * grid.columns() + column).is_some_and(|inked| *inked)
    };
    for row in 0..grid.rows() {
        for column in (0..grid.columns()).filter(|column| printed(row, *column)) {
            let tile = grid.tile(row, column);
            if printed(row, column + 1) {
                let seam = [Point::new(tile.x1, tile.y0), Point::new(tile.x1, tile.y1)];
                add_marks(seam, true, ink, &mut marks);
            }
            if printed(row + 1, column) {
                let seam = [Point::new(tile.x0, tile.y1), Point::new(tile.x1, tile.y1)];
                add_marks(seam, false, ink, &mut marks);
            }
        }
    }
    marks
}

/// Adds one or two marks on a seam, beside what is drawn where there is room.
fn add_marks([start, end]: [Point; 2], upright: bool, ink: &[Ink], marks: &mut Vec<RegisterMark>) {
    let length = start.distance(end);
    let shares: &[f64] = if length > TWO_MARKS { &[0.25, 0.75] } else { &[0.5] };
    let along = (end - start) / length;
    let near = Rect::from_points(start, end).inflate(2.0 * ACROSS, 2.0 * ACROSS);
    let near: Vec<&Ink> = ink.iter().filter(|piece| ink::overlaps(piece.bounds(), near)).collect();
    for share in shares {
        let wanted = start.lerp(end, *share);
        // Not so far aside that two marks could meet, or one leave the seam.
        let places = ASIDE.iter().filter(|aside| aside.abs() <= 0.15 * length).map(|aside| wanted + along * *aside);
        let free = |at: &Point| !near.iter().any(|piece| piece.within(room(*at)).is_some());
        marks.push(RegisterMark::new(marks.len() + 1, places.clone().find(free).unwrap_or(wanted), upright));
    }
}

/// Which sides of a page lie against another page.
#[derive(Debug, Clone, Copy)]
pub(super) struct JoinedSides {
    pub(super) left: bool,
    pub(super) right: bool,
    pub(super) above: bool,
    pub(super) below: bool,
}

/// Draws the lines to cut along round a tile, where another page follows: `tile` and `shown` on the page.
pub(super) fn draw_cut_lines(tile: Rect, shown: Rect, joined: JoinedSides, page: &mut Drawing) {
    let shown = shown.inflate(BEYOND, BEYOND);
    let tile = tile.inflate(BESIDE, BESIDE);
    for (is_joined, ends) in [
        (joined.left, [(tile.x0, shown.y0), (tile.x0, shown.y1)]),
        (joined.right, [(tile.x1, shown.y0), (tile.x1, shown.y1)]),
        (joined.above, [(shown.x0, tile.y0), (shown.x1, tile.y0)]),
        (joined.below, [(shown.x0, tile.y1), (shown.x1, tile.y1)]),
    ] {
        if is_joined {
            page.add(Role::Seam, Mark::line(ends.map(Point::from).to_vec()));
        }
    }
}
