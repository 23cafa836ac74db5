//! A page in the making: its heading, its closing lines, and the room that is left between them.

use kurbo::{Point, Rect, Size, Vec2};

use super::Letterhead;
use crate::drawing::{Anchor, Drawing, Lettering, Mark, Role, Text};
use crate::geometry::Outline;

/// Height in millimetres of the capitals of ordinary text.
pub(super) const CAP: f64 = 2.1;
/// Distance in millimetres between lines of ordinary text: enough for accents over letters with tails.
pub(super) const LINE: f64 = 3.7;
/// Height in millimetres of the capitals of a job's name.
const NAME_CAP: f64 = 3.8;
/// Distance in millimetres between lines of a name.
const NAME_LINE: f64 = 6.4;
/// Space in millimetres between the name and what stands beside it.
const BESIDE: f64 = 6.0;

/// The usual cautions of the trade; what a person takes to the bench carries them.
const CAUTION: &str = "Blades cut people. Cut away from the body, keep the free hand behind the blade, retract or park it before you \
    move the board, change blades with the holder locked and put old ones into a sharps box. Test on scrap first. The manual of \
    your cutter and local rules come first; for art of value ask a conservator.";

/// A page in the making.
pub(super) struct Sheet {
    drawing: Drawing,
    room: Rect,
    margin: f64,
}

impl Sheet {
    pub(super) fn new(name: &str, letterhead: &Letterhead) -> Self {
        let Letterhead { paper, margin } = *letterhead;
        let drawing = Drawing {
            title: format!("{name} - workshop sheet"),
            view: "workshop sheet",
            sheet: paper,
            layers: Vec::new(),
        };
        // The page number stands in a line of its own at the bottom.
        let room = Rect::new(margin, margin, paper.width - margin, paper.height - margin - LINE);
        Self { drawing, room, margin }
    }

    /// Returns what is left of the page.
    pub(super) const fn room(&self) -> Rect {
        self.room
    }

    pub(super) const fn drawing(&mut self) -> &mut Drawing {
        &mut self.drawing
    }

    /// Writes a line of ordinary text.
    pub(super) fn text(&mut self, content: &str, at: Point, anchor: Anchor) {
        self.text_of(content, at, CAP, anchor);
    }

    pub(super) fn text_of(&mut self, content: &str, at: Point, cap_height: f64, anchor: Anchor) {
        let text = Text { content: content.to_owned(), at, cap_height, anchor };
        self.drawing.add(Role::Note, Mark::Text(text));
    }

    pub(super) fn rule(&mut self, from: Point, to: Point) {
        self.drawing.add(Role::Form, Mark::Line(vec![from, to]));
    }

    /// Draws a box to tick, whose foot stands on a baseline.
    pub(super) fn tick_box(&mut self, foot: Point) {
        let side = CAP + 0.6;
        let square = Rect::from_origin_size(foot - Vec2::new(0.0, side - 0.3), Size::new(side, side));
        if let Some(outline) = Outline::rectangle(square) {
            self.drawing.add(Role::Form, Mark::Outline { outline, opening: None });
        }
    }

    /// Writes the name at the top, and something short at its right.
    pub(super) fn heading(&mut self, name: &str, beside: &str) {
        let beside_width = Lettering::width(beside, NAME_CAP);
        let lines = Lettering::wrap(name, self.room.width() - beside_width - BESIDE, NAME_CAP);
        let first = self.room.y0 + NAME_CAP + 1.2;
        for (index, line) in lines.iter().enumerate() {
            self.text_of(line, Point::new(self.room.x0, first + NAME_LINE * index as f64), NAME_CAP, Anchor::Start);
        }
        self.text_of(beside, Point::new(self.room.x1, first), NAME_CAP, Anchor::End);
        self.room.y0 = first + NAME_LINE * (lines.len() as f64 - 1.0) + 2.4;
        self.rule(self.room.origin(), Point::new(self.room.x1, self.room.y0));
        self.room.y0 += 3.0;
    }

    /// Writes boxes to tick and the cautions at the bottom.
    pub(super) fn closing(&mut self, steps: &[String]) {
        let width = self.room.width();
        let cautions = Lettering::wrap(CAUTION, width, CAP);
        let rows = rows_of(steps, width);
        let height = LINE * cautions.len() as f64 + 5.0 * rows.len() as f64 + 3.0;
        let mut y = self.room.y1 - height;
        self.room.y1 = y - 3.0;
        self.rule(Point::new(self.room.x0, y), Point::new(self.room.x1, y));
        y += 1.0;
        for row in rows {
            y += 5.0;
            for (x, step) in row {
                let at = Point::new(self.room.x0 + x, y);
                self.tick_box(at);
                self.text(step, at + Vec2::new(BOX, 0.0), Anchor::Start);
            }
        }
        y += 1.0;
        for line in cautions {
            y += LINE;
            self.text(&line, Point::new(self.room.x0, y), Anchor::Start);
        }
    }

    /// Numbers the page.
    pub(super) fn finish(mut self, number: usize, count: usize) -> Drawing {
        let y = self.drawing.sheet.height - self.margin - 0.4 * CAP;
        let (left, right) = (self.margin, self.drawing.sheet.width - self.margin);
        self.text("Workshop sheet", Point::new(left, y), Anchor::Start);
        self.text(&format!("page {number} of {count}"), Point::new(right, y), Anchor::End);
        self.drawing
    }
}

/// Width in millimetres of a box to tick and the space after it.
pub(super) const BOX: f64 = CAP + 2.0;

/// Arranges boxes with their words in rows; with each comes its distance from the left.
fn rows_of(steps: &[String], width: f64) -> Vec<Vec<(f64, &str)>> {
    let mut rows: Vec<Vec<(f64, &str)>> = Vec::new();
    let mut x = f64::INFINITY;
    for step in steps {
        let needed = BOX + Lettering::width(step, CAP);
        if x + needed > width {
            rows.push(Vec::new());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((x, step));
        }
        x += needed + 5.0;
    }
    rows
}
