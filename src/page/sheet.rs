//! A page in the making: its heading, its closing lines, its number, and the room that is left between them.

use kurbo::{Point, Rect, Size, Vec2};

use super::marks::{add_rectangle, in_drawing_order};
use super::{LEADING, MARGIN};
use crate::drawing::letter_height::{FINE, TEXT, TITLE};
use crate::drawing::{ABOVE_CAPS, Anchor, BELOW_BASELINE, Drawing, Lettering, Mark, Role, Text};

/// Space in millimetres between the name and what stands beside it.
const BESIDE: f64 = 6.0;
/// Side in millimetres of a box to tick.
const BOX: f64 = 2.8;
/// Space in millimetres above a row of boxes, between two of them, and between text and a rule.
const ROW: f64 = 5.0;
const GAP: f64 = 3.0;

/// What all pages of a document share.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Form {
    /// Title of the drawings.
    pub(crate) title: String,
    /// What a page calls itself, at its foot too: `workshop sheet`.
    pub(crate) view: &'static str,
    /// Width and height in millimetres.
    pub(crate) paper: Size,
    /// What stays blank on every side, in millimetres.
    pub(crate) margin: f64,
    /// Height of the capitals of small print and of the number of the page, in millimetres.
    pub(crate) small_print: f64,
}

impl Form {
    /// Returns the form of a document about something that has a name, with the usual margin.
    pub(crate) fn new(name: &str, view: &'static str, paper: Size) -> Self {
        Self { title: format!("{name} - {view}"), view, paper, margin: MARGIN, small_print: FINE }
    }
}

/// A page in the making.
pub(crate) struct Page {
    drawing: Drawing,
    room: Rect,
    margin: f64,
    small_print: f64,
}

impl Page {
    /// Width in millimetres of a box to tick and the space after it.
    pub(crate) const BOX: f64 = BOX + 1.4;

    pub(crate) fn new(form: &Form) -> Self {
        let Form { title, view, paper, margin, small_print } = form.clone();
        let drawing = Drawing { title, view, sheet: paper, layers: Vec::new() };
        // The number of the page stands in a line of its own at the bottom.
        let room = Rect::new(margin, margin, paper.width - margin, paper.height - margin - LEADING * small_print);
        Self { drawing, room, margin, small_print }
    }

    /// Returns what is left of the page.
    pub(crate) const fn room(&self) -> Rect {
        self.room
    }

    pub(crate) const fn drawing(&mut self) -> &mut Drawing {
        &mut self.drawing
    }

    /// Writes a line of ordinary text.
    pub(crate) fn text(&mut self, content: &str, at: Point, anchor: Anchor) {
        self.text_of(content, at, TEXT, anchor);
    }

    /// Writes a line of text with capitals of a height in millimetres.
    pub(crate) fn text_of(&mut self, content: &str, at: Point, cap_height: f64, anchor: Anchor) {
        self.write(Text::new(content, at, cap_height, anchor));
    }

    /// Writes a line of text.
    pub(crate) fn write(&mut self, text: Text) {
        self.drawing.add(Role::Note, Mark::Text(text));
    }

    /// Draws a thin line.
    pub(crate) fn rule(&mut self, from: Point, to: Point) {
        self.drawing.add(Role::Form, Mark::line(vec![from, to]));
    }

    /// Draws a box to tick, whose foot stands on a baseline.
    pub(crate) fn tick_box(&mut self, foot: Point) {
        let square = Rect::from_origin_size(foot - Vec2::new(0.0, BOX - 0.2), Size::new(BOX, BOX));
        add_rectangle(&mut self.drawing, Role::Form, square);
    }

    /// Writes the name at the top, and something short at its right.
    pub(crate) fn heading(&mut self, name: &str, beside: &str) {
        let beside_width = Lettering::width(beside, TITLE);
        let lines = Lettering::wrap(name, self.room.width() - beside_width - BESIDE, TITLE);
        let first = self.room.y0 + (1.0 + ABOVE_CAPS) * TITLE;
        for (index, line) in lines.iter().enumerate() {
            let at = Point::new(self.room.x0, first + LEADING * TITLE * index as f64);
            self.text_of(line, at, TITLE, Anchor::Start);
        }
        self.text_of(beside, Point::new(self.room.x1, first), TITLE, Anchor::End);
        self.room.y0 = first + LEADING * TITLE * (lines.len() as f64 - 1.0) + 2.0 * BELOW_BASELINE * TITLE;
        self.rule(self.room.origin(), Point::new(self.room.x1, self.room.y0));
        self.room.y0 += GAP;
    }

    /// Writes boxes to tick and small print at the bottom.
    pub(crate) fn closing(&mut self, steps: &[String], small_print: &str) {
        let width = self.room.width();
        let lines = Lettering::wrap(small_print, width, self.small_print);
        let rows = rows_of(steps, width);
        let height = LEADING * self.small_print * lines.len() as f64 + ROW * rows.len() as f64 + GAP;
        let mut y = self.room.y1 - height;
        self.room.y1 = y - GAP;
        self.rule(Point::new(self.room.x0, y), Point::new(self.room.x1, y));
        y += 1.0;
        for row in rows {
            y += ROW;
            for (x, step) in row {
                let at = Point::new(self.room.x0 + x, y);
                self.tick_box(at);
                self.text(step, at + Vec2::new(Self::BOX, 0.0), Anchor::Start);
            }
        }
        y += 1.0;
        for line in lines {
            y += LEADING * self.small_print;
            self.text_of(&line, Point::new(self.room.x0, y), self.small_print, Anchor::Start);
        }
    }

    /// Numbers the page and ends it.
    pub(crate) fn finish(mut self, number: usize, count: usize) -> Drawing {
        let y = self.drawing.sheet.height - self.margin - BELOW_BASELINE * self.small_print;
        let (left, right) = (self.margin, self.drawing.sheet.width - self.margin);
        let view = self.drawing.view;
        let mut letters = view.chars();
        let view: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
        self.text_of(&view, Point::new(left, y), self.small_print, Anchor::Start);
        self.text_of(&format!("page {number} of {count}"), Point::new(right, y), self.small_print, Anchor::End);
        in_drawing_order(&mut self.drawing);
        self.drawing
    }
}

/// Arranges boxes with their words in rows; with each comes its distance from the left.
fn rows_of(steps: &[String], width: f64) -> Vec<Vec<(f64, &str)>> {
    let mut rows: Vec<Vec<(f64, &str)>> = Vec::new();
    let mut x = f64::INFINITY;
    for step in steps {
        let needed = Page::BOX + Lettering::width(step, TEXT);
        if x + needed > width {
            rows.push(Vec::new());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((x, step));
        }
        x += needed + ROW;
    }
    rows
}
