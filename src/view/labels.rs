//! The words inside an opening: its number, its sizes and how far its cut lines lie from the edges.

use kurbo::{Point, Rect, Vec2};

use crate::dimensions::{Axis, BoardSizes, DimensionKind, Side};
use crate::drawing::{Anchor, Drawing, Mark, Role, StrokeFont, Text, letter_height};
use crate::geometry::Outline;
use crate::mat::{Borders, Edge, Layer, Mat, Opening, Placement};

/// Height of capitals in millimetres where there is room enough.
const CAP: f64 = letter_height::TITLE;
/// Distance between lines as a multiple of the height of capitals.
const LINE: f64 = 1.8;

/// Height of capitals of a number that stands alone, where nothing else can be read.
const LONE_NUMBER: f64 = letter_height::FINE;
/// A side lies at the middle of the bounds if it is no farther from there than this many millimetres.
const AT_SIDE: f64 = 0.5;

/// The rooms for labels that are tried, as shares of the bounds, from the largest to the smallest.
const SHARES: [f64; 9] = [0.92, 0.85, 0.75, 0.66, 0.55, 0.45, 0.35, 0.25, SMALLEST_SHARE];
/// The share that is taken where none is inside the outline.
const SMALLEST_SHARE: f64 = 0.15;

/// A few words of a label, with the sizes that they tell.
#[derive(Clone, Default)]
struct LabelWords {
    content: String,
    dimensions: Vec<DimensionKind>,
}

impl LabelWords {
    fn plain(content: impl Into<String>) -> Self {
        Self { content: content.into(), dimensions: Vec::new() }
    }

    /// Joins words to one line.
    fn joined<'w>(words: impl IntoIterator<Item = &'w Self>, between: &str) -> Self {
        let words: Vec<&Self> = words.into_iter().collect();
        let content: Vec<&str> = words.iter().map(|words| words.content.as_str()).collect();
        let dimensions = words.iter().flat_map(|words| words.dimensions.iter().copied()).collect();
        Self { content: content.join(between), dimensions }
    }

    fn width(&self) -> f64 {
        StrokeFont::width(&self.content, 1.0)
    }
}

/// What is written in an opening.
pub(super) struct OpeningLabels {
    /// What the framer calls the opening; may be empty.
    name: String,
    /// Lines in the middle, the number first.
    middle: Vec<LabelWords>,
    /// Near the left, right, top and bottom side.
    sides: [LabelWords; 4],
}

/// A board in which labels are written.
pub(super) struct LabelledBoard<'a> {
    mat: &'a Mat,
    placement: &'a Placement,
    sizes: BoardSizes<'a>,
    /// The outline whose distances from the edges of the board are told.
    edge: Edge,
    names_bevels: bool,
}

impl<'a> LabelledBoard<'a> {
    pub(super) fn new(mat: &'a Mat, layer: &'a Layer, placement: &'a Placement, edge: Edge) -> Self {
        let names_bevels = layer.has_several_bevels();
        Self { mat, placement, sizes: BoardSizes::new(mat, layer), edge, names_bevels }
    }
}

impl OpeningLabels {
    /// Makes the labels of an opening of a board, with its bevel where the openings of the board differ; its borders are those of
    /// an outline as it is seen on the sheet.
    pub(super) fn new(board: &LabelledBoard<'_>, opening: &Opening, seen: Rect) -> Self {
        let LabelledBoard { mat, placement, sizes, edge, names_bevels } = board;
        let size = placement.as_it_lies(opening.sight.size());
        let sizes = sizes.of_opening(opening);
        let both = Axis::ALL.into_iter().flat_map(|axis| sizes.across(axis, opening.sight.bounds()));
        let size = LabelWords { content: mat.ruler.show_size(size.width, size.height), dimensions: both.collect() };
        let mut middle = vec![LabelWords::plain(format!("opening {}", opening.number)), size];
        if *names_bevels {
            middle.push(LabelWords::plain(opening.bevel.name()));
        }
        let borders = Borders::around(seen, placement.board());
        let inner = opening.outline(*edge).bounds();
        let side = |side: Side, border: f64| {
            let on_mat = side_on_mat(side, placement);
            let dimensions = sizes.border(on_mat, inner, placement.extent());
            LabelWords { content: mat.ruler.read(border).text, dimensions }
        };
        let sides = [
            side(Side::Left, borders.left),
            side(Side::Right, borders.right),
            side(Side::Top, borders.top),
            side(Side::Bottom, borders.bottom),
        ];
        Self { name: opening.name.clone(), middle, sides }
    }
}

impl OpeningLabels {
    /// Writes the labels into an outline that is already on the sheet, as large as fits beside what is taken.
    pub(super) fn write(&self, outline: &Outline, taken: &[Rect], drawing: &mut Drawing) {
        let rooms = TextRooms::of(outline, taken);
        // Numbers stand at the sides, or all words together where the sides are not the place for them.
        let around = || TextRooms { taken: &[], ..rooms }.around(rooms.bounds.center());
        let at_sides = rooms.reach_middles().then(around);
        match at_sides.filter(|room| taken.iter().all(|taken| !taken.overlaps(*room))) {
            Some(room) => self.write_in(room, drawing),
            None => self.in_words().write_in(rooms.largest(), drawing),
        }
    }

    /// Returns labels that tell the borders in words, for outlines at whose sides numbers would stand beside other cuts.
    fn in_words(&self) -> Self {
        let [left, right, top, bottom] = &self.sides;
        let mut middle = self.middle.clone();
        let pair = |[a, first]: [&str; 2], [b, second]: [&LabelWords; 2]| {
            let content = format!("{a} {}, {first} {}", b.content, second.content);
            LabelWords { content, ..LabelWords::joined([b, second], "") }
        };
        middle.push(pair(["left", "right"], [left, right]));
        middle.push(pair(["top", "bottom"], [top, bottom]));
        Self { name: self.name.clone(), middle, sides: Default::default() }
    }

    /// Returns labels with the name in the line below the number, unless it is so long that nothing could be read.
    fn with_name(&self, room: Rect) -> Option<Self> {
        let (number, rest) = self.middle.split_first()?;
        let name = LabelWords::plain(self.name.as_str());
        let middle = [number, &name].into_iter().chain(rest).cloned().collect();
        let named = Self { name: String::new(), middle, sides: self.sides.clone() };
        let fits = named.stacked_cap(room).or_else(|| named.flat_cap(room)).is_some();
        (fits && !self.name.is_empty()).then_some(named)
    }

    fn write_in(&self, room: Rect, drawing: &mut Drawing) {
        if let Some(named) = self.with_name(room) {
            return named.write_in(room, drawing);
        }
        // What has no height is less than any height.
        match (self.stacked_cap(room), self.flat_cap(room)) {
            (stacked, Some(flat)) if Some(flat) > stacked => self.write_flat(room, flat, drawing),
            (Some(stacked), _) => self.write_stacked(room, stacked, drawing),
            (None, _) => self.write_number(room, drawing),
        }
    }

    /// Only the number, where nothing else could be read.
    fn write_number(&self, room: Rect, drawing: &mut Drawing) {
        let Some(number) = self.middle.first().and_then(|line| line.content.rsplit(' ').next()) else {
            return;
        };
        let most = (room.width() / StrokeFont::width(number, 1.0)).min(room.height());
        let cap = letter_height::fitting(most.min(LONE_NUMBER)).unwrap_or(letter_height::LEAST);
        let number = LabelWords::plain(number);
        label(drawing, &number, room.center() + Vec2::new(0.0, 0.5 * cap), cap, Anchor::Middle);
    }

    /// Line under line in the middle, and the left and right numbers one line below.
    fn write_stacked(&self, room: Rect, cap: f64, drawing: &mut Drawing) {
        let center = room.center();
        let first = center.y - 0.5 * LINE * cap * self.middle.len() as f64 + 0.86 * cap;
        let baseline = |line: usize| first + LINE * cap * line as f64;
        for (line, content) in self.middle.iter().enumerate() {
            label(drawing, content, Point::new(center.x, baseline(line)), cap, Anchor::Middle);
        }
        self.write_sides(room, cap, baseline(self.middle.len()), drawing);
    }

    /// Everything in one line, between the left and the right number: for low, wide openings.
    fn write_flat(&self, room: Rect, cap: f64, drawing: &mut Drawing) {
        let center = room.center();
        let baseline = center.y + 0.5 * cap;
        label(drawing, &LabelWords::joined(&self.middle, ": "), Point::new(center.x, baseline), cap, Anchor::Middle);
        self.write_sides(room, cap, baseline, drawing);
    }

    fn write_sides(&self, room: Rect, cap: f64, baseline: f64, drawing: &mut Drawing) {
        let middle = room.center().x;
        let [left, right, upper, lower] = &self.sides;
        if self.sides.iter().all(|side| side.content.is_empty()) {
            return;
        }
        label(drawing, left, Point::new(room.x0, baseline), cap, Anchor::Start);
        label(drawing, right, Point::new(room.x1, baseline), cap, Anchor::End);
        label(drawing, upper, Point::new(middle, room.y0 + 1.15 * cap), cap, Anchor::Middle);
        label(drawing, lower, Point::new(middle, room.y1 - 0.15 * cap), cap, Anchor::Middle);
    }

    /// Returns the height of capitals with which the stacked lines fit into the room; `None` if they cannot be read.
    fn stacked_cap(&self, room: Rect) -> Option<f64> {
        let [left, right, ..] = &self.sides;
        let widest = self.middle.iter().map(LabelWords::width).fold(0.0, f64::max);
        let sides = left.width() + right.width() + 2.0;
        // The middle, a line below it on the one side and as much above it, and a line at the top and at the bottom.
        let lines = LINE * (self.middle.len() as f64 + 2.0) + 3.0;
        letter_height::fitting(CAP.min(room.width() / widest.max(sides)).min(room.height() / lines))
    }

    /// Returns the height of capitals with which the one line fits into the room; `None` if it cannot be read.
    fn flat_cap(&self, room: Rect) -> Option<f64> {
        let [left, right, ..] = &self.sides;
        let width = left.width() + right.width() + LabelWords::joined(&self.middle, ": ").width();
        letter_height::fitting(CAP.min(room.width() / (width + 4.0)).min(room.height() / 5.0))
    }
}

/// Returns the side of the mat, as it hangs, that lies on a side of the sheet.
fn side_on_mat(on_sheet: Side, placement: &Placement) -> Side {
    // Seen from its face the board lies turned clockwise, seen from its back counterclockwise.
    let turned = match (placement.is_turned(), placement.is_from_back()) {
        (false, _) => on_sheet,
        (true, false) => on_sheet.turned(3),
        (true, true) => on_sheet.turned(1),
    };
    match turned {
        Side::Left if placement.is_from_back() => Side::Right,
        Side::Right if placement.is_from_back() => Side::Left,
        side => side,
    }
}

fn label(drawing: &mut Drawing, words: &LabelWords, at: Point, cap_height: f64, anchor: Anchor) {
    let text = Text::new(words.content.as_str(), at, cap_height, anchor).telling(words.dimensions.clone());
    drawing.add(Role::Label, Mark::Text(text));
}

/// Where in an outline there is room for text beside other marks, with what the search needs again and again.
#[derive(Clone, Copy)]
struct TextRooms<'a> {
    outline: &'a Outline,
    bounds: Rect,
    convex: bool,
    /// Where other marks stand.
    taken: &'a [Rect],
}

impl<'a> TextRooms<'a> {
    fn of(outline: &'a Outline, taken: &'a [Rect]) -> Self {
        Self { outline, bounds: outline.bounds(), convex: outline.is_convex(), taken }
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
        for center in centers {
            let mut is_inside = None;
            while let Some(room) = larger.checked_sub(1).and_then(|next| self.room(center, next))
                && *is_inside.get_or_insert_with(|| self.outline.contains(center))
            {
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

    /// Returns the rectangle of one of the [`SHARES`] round a centre if it lies inside the outline and holds nothing else.
    fn room(&self, center: Point, size: usize) -> Option<Rect> {
        let rect = Rect::from_center_size(center, self.bounds.size() * *SHARES.get(size)?);
        let Rect { x0, y0, x1, y1 } = rect;
        let Rect { x0: left, y0: top, x1: right, y1: bottom } = self.bounds;
        if x0 < left || y0 < top || x1 > right || y1 > bottom {
            return None;
        }
        let corners = [(x0, y0), (x1, y0), (x0, y1), (x1, y1)];
        let middles = [(center.x, y0), (center.x, y1), (x0, center.y), (x1, center.y)];
        // A convex outline that holds the corners holds the rest.
        let held = |points: [(f64, f64); 4]| points.into_iter().all(|point| self.outline.contains(point.into()));
        let is_free = self.taken.iter().all(|taken| !taken.overlaps(rect));
        (is_free && held(corners) && (self.convex || held(middles))).then_some(rect)
    }
}
