//! The sheet of a view: margins round the board, its edge, which side is up, a caption and a bar to check the scale.

use kurbo::{Point, Rect, Size};

use super::board_view::title_of;
use crate::drawing::{Anchor, Drawing, Mark, Role, StrokeFont, Text, letter_height, wrap};
use crate::geometry::Outline;
use crate::mat::{Layer, Mat, Placement};
use crate::page::{MARGIN, WIDE, add_text, draw_bar};

/// Height of capitals in the margins and the caption, in millimetres.
const CAP: f64 = letter_height::HEADING;
/// Height of capitals of the names of the sides.
const SIDE_CAP: f64 = letter_height::TEXT;
/// Distance between the lines of the caption in millimetres.
const LINE: f64 = WIDE * CAP;
/// Width in millimetres of the narrowest sheet: a caption needs it, however small the board.
const NARROWEST: f64 = 140.0;
/// Height in millimetres that the scale bars take.
const BARS: f64 = 20.0;

/// A drawing of a board in the making.
pub(crate) struct BoardDrawing {
    /// How the board lies on the sheet.
    pub(crate) placement: Placement,
    pub(crate) drawing: Drawing,
}

impl BoardDrawing {
    /// Lays out the sheet of a view, which has a title, of a board; `notes` are lines for the caption.
    pub(crate) fn new(view: &'static str, mat: &Mat, layer: &Layer, mirrored: bool, notes: &[String]) -> Self {
        let title = title_of(view, mat, layer);
        let placement = Placement::new(mat, layer, mirrored).at(Point::new(MARGIN, MARGIN));
        let extent = mat.extent(layer);
        let board_line = board_line(mat, layer);
        let caption = Caption::new(&title, notes.iter().chain([&board_line]), extent.size());
        let drawing = Drawing { title, view, sheet: caption.sheet(), layers: Vec::new() };
        let mut page = Self { placement, drawing };
        page.draw_edge();
        page.draw_sides();
        caption.write(&mut page.drawing);
        page
    }

    /// Returns the rectangle of the board on the sheet.
    pub(crate) fn board(&self) -> Rect {
        self.placement.board()
    }

    /// Brings an outline of the mat to the sheet, mirrored if the view is from the back.
    pub(crate) fn outline(&self, outline: &Outline) -> Outline {
        self.placement.outline(outline)
    }

    /// Adds a mark to the layer of a role.
    pub(crate) fn add(&mut self, role: Role, mark: Mark) {
        self.drawing.add(role, mark);
    }

    /// Adds a label.
    pub(crate) fn label(&mut self, content: impl Into<String>, at: Point, cap_height: f64, anchor: Anchor) {
        add_text(&mut self.drawing, content, at, cap_height, anchor);
    }

    fn draw_edge(&mut self) {
        if let Some(outline) = Outline::rectangle(self.board()) {
            self.add(Role::Edge, Mark::Outline { outline, opening: None });
        }
    }

    /// Names the sides, and marks the corner that is top left from the front by a triangle: the sheet has no symmetry.
    fn draw_sides(&mut self) {
        let board = self.board();
        let baseline = board.y0 - 0.5 * (MARGIN - CAP);
        let mirrored = self.placement.is_from_back();
        let (left, right) = if mirrored { ("front right", "front left") } else { ("front left", "front right") };
        self.label("TOP", Point::new(board.center().x, baseline), letter_height::TITLE, Anchor::Middle);
        // Only where there is room for all three.
        if board.width() > 4.0 * StrokeFont::width(right, SIDE_CAP) {
            self.label(left, Point::new(board.x0, baseline), SIDE_CAP, Anchor::Start);
            self.label(right, Point::new(board.x1, baseline), SIDE_CAP, Anchor::End);
        }
        mark_front_corner(&self.placement, &mut self.drawing);
    }
}

/// What stands below the board on a page: a heading, sentences, and bars to check the scale.
pub(crate) struct Caption {
    heading: Vec<String>,
    notes: Vec<String>,
    /// Of the board, in millimetres.
    size: Size,
}

impl Caption {
    /// Breaks heading and notes into lines below a board of a size.
    pub(crate) fn new<'n>(title: &str, notes: impl Iterator<Item = &'n String>, size: Size) -> Self {
        let mut caption = Self { heading: Vec::new(), notes: Vec::new(), size };
        let width = caption.width() - 2.0 * MARGIN;
        caption.heading = wrapped(title, width);
        caption.notes = notes.flat_map(|note| wrapped(note, width)).collect();
        caption
    }

    /// Returns the size of the page with its margins, in millimetres.
    pub(crate) fn sheet(&self) -> Size {
        let height = LINE * (self.heading.len() + self.notes.len()) as f64 + BARS;
        Size::new(self.width(), self.size.height + 2.0 * MARGIN + height)
    }

    fn width(&self) -> f64 {
        (self.size.width + 2.0 * MARGIN).max(NARROWEST)
    }

    /// Writes the words, and draws one bar in millimetres and one in inches; every page is wide enough for them.
    pub(crate) fn write(&self, drawing: &mut Drawing) {
        self.write_lines(Role::Label, 0, &self.heading, drawing);
        self.write_lines(Role::Note, self.heading.len(), &self.notes, drawing);
        let top = self.sheet().height - MARGIN - 9.0;
        draw_bar(top, 100.0, 10.0, "100 mm", drawing);
        draw_bar(top + 9.0, 101.6, 25.4, "4 in", drawing);
    }

    /// Writes lines below the board, after the given number of lines.
    fn write_lines(&self, role: Role, after: usize, lines: &[String], drawing: &mut Drawing) {
        let first = MARGIN + self.size.height + 0.5 * MARGIN + LINE * (after as f64 + 1.0);
        for (index, line) in lines.iter().enumerate() {
            let at = Point::new(MARGIN, first + LINE * index as f64);
            drawing.add(role, Mark::Text(Text::new(line.clone(), at, CAP, Anchor::Start)));
        }
    }
}

/// Marks the corner of a board that is top left from the front by a triangle.
pub(crate) fn mark_front_corner(placement: &Placement, drawing: &mut Drawing) {
    let board = placement.turned(false).board().size();
    let (corner, inwards) = if placement.is_from_back() { (board.width, -1.0) } else { (0.0, 1.0) };
    let leg = 6.0;
    let ends = [Point::new(corner + inwards * leg, 0.0), Point::new(corner, leg)];
    drawing.add(Role::Tick, Mark::line(ends.map(|end| placement.point_from_board(end)).to_vec()));
}

/// Says what the board is and how it is cut.
fn board_line(mat: &Mat, layer: &Layer) -> String {
    let size = |size: Size| mat.ruler.show_size(size.width, size.height);
    let bevel = bevel_line(layer);
    let board = layer.board.describe();
    let outer = size(mat.outer);
    let make = if mat.quantity == 1 { String::new() } else { format!("MAKE {}. ", mat.quantity) };
    let rounding = format!("Lines are exact; sizes are rounded to 1/{} {}.", mat.ruler.parts(), mat.ruler.unit());
    if layer.inset == 0.0 {
        return format!("{make}Mat {outer}. Board: {board}; {bevel}. {rounding}");
    }
    let (own, inset) = (size(mat.extent(layer).size()), mat.ruler.show(layer.inset));
    format!(
        "{make}Mat {outer}. THIS BOARD IS SMALLER: {own}, {inset} less on every side. Board: {board}; {bevel}. {rounding}"
    )
}

/// Describes the bevel that the openings of a board share, or says that they differ.
fn bevel_line(layer: &Layer) -> String {
    let bevel = layer.openings.first().map_or(layer.bevel, |opening| opening.bevel);
    let words = bevel.describe(layer.board.thickness);
    if layer.openings.iter().all(|opening| opening.bevel == bevel) {
        words
    } else {
        "BEVELS DIFFER, see each opening".to_owned()
    }
}

/// Breaks a text into lines that fit into a width in millimetres.
fn wrapped(text: &str, width: f64) -> Vec<String> {
    wrap(text, width, |part| StrokeFont::width(part, CAP))
}
