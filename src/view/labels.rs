//! The words inside an opening: its number, its sizes and how far its cut lines lie from the edges.

use kurbo::{Point, Rect, Vec2};

use crate::drawing::{Anchor, Drawing, StrokeFont, letter_height};
use crate::geometry::Outline;
use crate::mat::{Borders, Mat, Opening, Placement};
use crate::page::add_text as label;

/// Height of capitals in millimetres where there is room enough.
const CAP: f64 = letter_height::TITLE;
/// Distance between lines as a multiple of the height of capitals.
const LINE: f64 = 1.8;

/// Height of capitals in millimetres below which only the number of the opening is written.
const SMALLEST_CAP: f64 = letter_height::LEAST;
/// A side lies at the middle of the bounds if it is no farther from there than this many millimetres.
const AT_SIDE: f64 = 0.5;

/// The rooms for labels that are tried, as shares of the bounds, from the largest to the smallest.
const SHARES: [f64; 9] = [0.92, 0.85, 0.75, 0.66, 0.55, 0.45, 0.35, 0.25, SMALLEST_SHARE];
/// The share that is taken where none is inside the outline.
const SMALLEST_SHARE: f64 = 0.15;

/// What is written in an opening.
pub(super) struct Labels {
    /// What the framer calls the opening; may be empty.
    name: String,
    /// Lines in the middle, the number first.
    pub(super) middle: Vec<String>,
    /// Near the left, right, top and bottom side.
    pub(super) sides: [String; 4],
}

impl Labels {
    /// Makes the labels of an opening, with its bevel where the openings of a board differ; its borders are given as they are seen
    /// on the sheet.
    pub(super) fn new(mat: &Mat, opening: &Opening, placement: &Placement, seen: Borders, names_bevel: bool) -> Self {
        let size = placement.as_it_lies(opening.sight.size());
        let sides = [seen.left, seen.right, seen.top, seen.bottom];
        let mut middle = vec![format!("opening {}", opening.number), mat.ruler.show_size(size.width, size.height)];
        if names_bevel {
            middle.push(opening.bevel.name());
        }
        Self { name: opening.name.clone(), middle, sides: sides.map(|border| mat.ruler.read(border).text) }
    }
}

impl Labels {
    /// Writes the labels into an outline that is already on the sheet, as large as fits.
    pub(super) fn write(&self, outline: &Outline, drawing: &mut Drawing) {
        let rooms = Rooms::of(outline);
        if rooms.reach_middles() {
            self.write_in(rooms.around(rooms.bounds.center()), drawing);
        } else {
            self.in_words().write_in(rooms.largest(), drawing);
        }
    }

    /// Returns labels that tell the borders in words, for outlines at whose sides numbers would stand beside other cuts.
    fn in_words(&self) -> Self {
        let [left, right, top, bottom] = &self.sides;
        let mut middle = self.middle.clone();
        middle.push(format!("left {left}, right {right}"));
        middle.push(format!("top {top}, bottom {bottom}"));
        Self { name: self.name.clone(), middle, sides: Default::default() }
    }

    /// Returns labels with the name in the line below the number, unless it is so long that nothing could be read.
    fn with_name(&self, room: Rect) -> Option<Self> {
        let (number, rest) = self.middle.split_first()?;
        let middle = [number, &self.name].into_iter().chain(rest).cloned().collect();
        let named = Self { name: String::new(), middle, sides: self.sides.clone() };
        let fits = named.stacked_cap(room).max(named.flat_cap(room)) >= SMALLEST_CAP;
        (fits && !self.name.is_empty()).then_some(named)
    }

    fn write_in(&self, room: Rect, drawing: &mut Drawing) {
        if let Some(named) = self.with_name(room) {
            return named.write_in(room, drawing);
        }
        let (stacked, flat) = (self.stacked_cap(room), self.flat_cap(room));
        if stacked.max(flat) < SMALLEST_CAP {
            self.write_number(room, drawing);
        } else if stacked < CAP && flat > stacked {
            self.write_flat(room, flat, drawing);
        } else {
            self.write_stacked(room, stacked, drawing);
        }
    }

    /// Only the number, where nothing else could be read.
    fn write_number(&self, room: Rect, drawing: &mut Drawing) {
        let Some(number) = self.middle.first().and_then(|line| line.rsplit(' ').next()) else {
            return;
        };
        let cap = (room.width() / StrokeFont::width(number, 1.0)).min(room.height()).clamp(SMALLEST_CAP, 0.5 * CAP);
        label(drawing, number, room.center() + Vec2::new(0.0, 0.5 * cap), cap, Anchor::Middle);
    }

    /// Line under line in the middle, and the left and right numbers one line below.
    fn write_stacked(&self, room: Rect, cap: f64, drawing: &mut Drawing) {
        let center = room.center();
        let first = center.y - 0.5 * LINE * cap * self.middle.len() as f64 + 0.86 * cap;
        let baseline = |line: usize| first + LINE * cap * line as f64;
        for (line, content) in self.middle.iter().enumerate() {
            label(drawing, content.as_str(), Point::new(center.x, baseline(line)), cap, Anchor::Middle);
        }
        self.write_sides(room, cap, baseline(self.middle.len()), drawing);
    }

    /// Everything in one line, between the left and the right number: for low, wide openings.
    fn write_flat(&self, room: Rect, cap: f64, drawing: &mut Drawing) {
        let center = room.center();
        let baseline = center.y + 0.5 * cap;
        label(drawing, self.middle.join(": "), Point::new(center.x, baseline), cap, Anchor::Middle);
        self.write_sides(room, cap, baseline, drawing);
    }

    fn write_sides(&self, room: Rect, cap: f64, baseline: f64, drawing: &mut Drawing) {
        let middle = room.center().x;
        let [left, right, upper, lower] = &self.sides;
        if self.sides.iter().all(String::is_empty) {
            return;
        }
        label(drawing, left.as_str(), Point::new(room.x0, baseline), cap, Anchor::Start);
        label(drawing, right.as_str(), Point::new(room.x1, baseline), cap, Anchor::End);
        label(drawing, upper.as_str(), Point::new(middle, room.y0 + 1.15 * cap), cap, Anchor::Middle);
        label(drawing, lower.as_str(), Point::new(middle, room.y1 - 0.15 * cap), cap, Anchor::Middle);
    }

    /// Returns the height of capitals with which the stacked lines fit into the room.
    fn stacked_cap(&self, room: Rect) -> f64 {
        let [left, right, ..] = &self.sides;
        let widest = self.middle.iter().map(|line| StrokeFont::width(line, 1.0)).fold(0.0, f64::max);
        let sides = StrokeFont::width(left, 1.0) + StrokeFont::width(right, 1.0) + 2.0;
        // The middle, a line below it on the one side and as much above it, and a line at the top and at the bottom.
        let lines = LINE * (self.middle.len() as f64 + 2.0) + 3.0;
        CAP.min(room.width() / widest.max(sides)).min(room.height() / lines)
    }

    /// Returns the height of capitals with which the one line fits into the room.
    fn flat_cap(&self, room: Rect) -> f64 {
        let [left, right, ..] = &self.sides;
        let width =
            [left, right, &self.middle.join(": ")].into_iter().map(|line| StrokeFont::width(line, 1.0)).sum::<f64>();
        CAP.min(room.width() / (width + 4.0)).min(room.height() / 5.0)
    }
}

/// Where in an outline there is room for text, with what the search needs again and again.
struct Rooms<'a> {
    outline: &'a Outline,
    bounds: Rect,
    convex: bool,
}

impl<'a> Rooms<'a> {
    fn of(outline: &'a Outline) -> Self {
        Self { outline, bounds: outline.bounds(), convex: outline.is_convex() }
    }

    /// Tells whether the outline reaches its bounds at the middle of all four sides, where the numbers are written.
    fn reach_middles(&self) -> bool {
        let Rect { x0, y0, x1, y1 } = self.bounds;
        let Point { x, y } = self.bounds.center();
        let at_side = |point: Point| self.outline.nearest(point).distance(point) < AT_SIDE;
        self.convex && [(x0, y), (x1, y), (x, y0), (x, y1)].into_iter().map(Point::from).all(at_side)
    }

    /// Returns the largest room found: the middle of the bounds may lie outside the outline or in a narrow place.
    fn largest(&self) -> Rect {
        // From the middle outwards, so that of equal rooms the one nearest to the middle is taken.
        const EIGHTHS: [f64; 7] = [4.0, 3.0, 5.0, 2.0, 6.0, 1.0, 7.0];
        let bounds = self.bounds;
        let at = |column: f64, row: f64| {
            Point::new(bounds.x0 + bounds.width() * column / 8.0, bounds.y0 + bounds.height() * row / 8.0)
        };
        let centers = EIGHTHS.into_iter().flat_map(|row| EIGHTHS.map(|column| at(column, row)));
        let mut largest = None;
        // Most centres are done with after one look, at the smallest room that would be larger than the largest so far.
        let mut larger = SHARES.len();
        for center in centers.filter(|&center| self.outline.contains(center)) {
            while let Some(room) = larger.checked_sub(1).and_then(|next| self.room(center, next)) {
                largest = Some(room);
                larger -= 1;
            }
        }
        largest.unwrap_or_else(|| self.around(bounds.center()))
    }

    /// Returns the largest rectangle of a few that have the given centre and lie inside the outline.
    fn around(&self, center: Point) -> Rect {
        let rooms = (0..SHARES.len()).find_map(|size| self.room(center, size));
        rooms.unwrap_or_else(|| Rect::from_center_size(center, self.bounds.size() * SMALLEST_SHARE))
    }

    /// Returns the rectangle of one of the [`SHARES`] round a centre if it lies inside the outline.
    fn room(&self, center: Point, size: usize) -> Option<Rect> {
        let rect = Rect::from_center_size(center, self.bounds.size() * *SHARES.get(size)?);
        let Rect { x0, y0, x1, y1 } = rect;
        let corners = [(x0, y0), (x1, y0), (x0, y1), (x1, y1)];
        let middles = [(center.x, y0), (center.x, y1), (x0, center.y), (x1, center.y)];
        // A convex outline that holds the corners holds the rest.
        let held = |points: [(f64, f64); 4]| points.into_iter().all(|point| self.outline.contains(point.into()));
        (held(corners) && (self.convex || held(middles))).then_some(rect)
    }
}
