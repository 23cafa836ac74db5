//! The figure of a sheet: its pieces with number, size and name, what is kept, what is waste, and the numbered cuts.

use kurbo::{Point, Rect, Size, Vec2};

use super::cuts::CutLine;
use crate::colour::Colour;
use crate::drawing::letter_height::{SMALL, TEXT, TITLE, from_to};
use crate::drawing::{ABOVE_CAPS, Anchor, Drawing, Lettering, Role};
use crate::page::{TIGHT, add_area, add_line, add_rectangle, add_text};
use crate::sheets::cutting::{PlanNode, PlanPart, SizeInUnits};
use crate::sheets::{Outcome, Pattern, SheetPlan};

/// Room in millimetres for the measures of the sheet, above and to the left of it.
const MEASURES: f64 = 5.0;
/// Height of capitals of the measures of the sheet, in millimetres.
const CAP: f64 = TEXT;
/// Distance in millimetres between the lines of a hatch.
const HATCH: f64 = 2.0;
/// Height of the capitals below the number, as a share of its own and never more than this many millimetres.
const WORDS: (f64, f64) = (0.7, TEXT);
/// The smallest words, in millimetres.
const SMALLEST_WORDS: f64 = SMALL;
/// Distance of words from the edge of their piece in millimetres.
const INSET: f64 = 0.8;

const PIECE: Colour = Colour::new(250, 244, 228);
const KEPT: Colour = Colour::new(226, 240, 226);
const BOARD_EDGE: Colour = Colour::new(150, 150, 150);
/// Width of the band round the sheet in millimetres.
const EDGE: f64 = 0.9;

/// Draws a sheet into a part of the page, as large as fits.
pub(super) fn draw(plan: &SheetPlan, pattern: &Pattern, area: Rect, drawing: &mut Drawing) {
    let Some(entry) = plan.entry(pattern) else { return };
    let [width, height] = entry.size.map(crate::length::Ratio::to_f64);
    let left = MEASURES + Lettering::width(&plan.prepared.ruler.show(height), CAP);
    let room = Size::new(area.width() - 2.0 * left, area.height() - MEASURES);
    let scale = (room.width / width).min(room.height / height);
    if scale <= 0.0 {
        return;
    }
    let origin = Point::new(area.center().x - 0.5 * width * scale, area.y0 + MEASURES);
    let sheet = Rect::from_origin_size(origin, Size::new(width, height) * scale);
    let mut figure = PatternFigure { plan, pattern, origin, scale, drawing, taken: Vec::new() };
    figure.edge(sheet);
    figure.hatch_trim(sheet);
    figure.cuts();
    pattern.root.walk(&mut |node| figure.part(node));
    let ruler = plan.prepared.ruler;
    let middle = sheet.center();
    figure.text(ruler.show(width), Point::new(middle.x, sheet.y0 - EDGE - 0.6 * CAP), CAP, Anchor::Middle);
    figure.text(ruler.show(height), Point::new(sheet.x0 - 2.0, middle.y + 0.5 * CAP), CAP, Anchor::End);
}

struct PatternFigure<'f> {
    plan: &'f SheetPlan,
    pattern: &'f Pattern,
    origin: Point,
    scale: f64,
    drawing: &'f mut Drawing,
    /// Where numbers of cuts and letters of parts stand.
    taken: Vec<Rect>,
}

impl PatternFigure<'_> {
    fn part(&mut self, node: &PlanNode) {
        let rect = self.rect(node);
        match node.part {
            PlanPart::Piece { piece, .. } => {
                self.fill(rect, PIECE);
                self.piece_words(piece, node.size, rect);
            }
            PlanPart::Offcut => {
                self.fill(rect, KEPT);
                if rect.width().min(rect.height()) > 4.0 {
                    self.outline(rect.inset(-1.0), Role::Guide);
                }
                let size = self.plan.show_size(node.size);
                self.words(&["keep".to_owned(), size], rect);
            }
            PlanPart::Waste => self.hatch(rect),
            PlanPart::Cut { .. } => {}
        }
    }

    /// Draws the edge of the sheet as a band, which is not taken for a cut in grey either.
    fn edge(&mut self, sheet: Rect) {
        let outer = sheet.inset(EDGE);
        for band in [
            Rect::new(outer.x0, outer.y0, outer.x1, sheet.y0),
            Rect::new(outer.x0, sheet.y1, outer.x1, outer.y1),
            Rect::new(outer.x0, sheet.y0, sheet.x0, sheet.y1),
            Rect::new(sheet.x1, sheet.y0, outer.x1, sheet.y1),
        ] {
            self.fill(band, BOARD_EDGE);
        }
    }

    /// Draws the cuts in the order in which they are made.
    fn cuts(&mut self) {
        let grid = self.plan.prepared.grid;
        let at = |(x, y): (i64, i64)| self.origin + Vec2::new(grid.mm(x), grid.mm(y)) * self.scale;
        let mut lines = Vec::new();
        for hold in self.plan.settings(self.pattern).iter().flat_map(|setting| &setting.holds) {
            for (index, cut) in hold.cuts.iter().enumerate() {
                // What is left gets a letter of its own only where it is another part than the one held.
                let new = hold.left != Outcome::Again(hold.part) && index + 1 == hold.cuts.len();
                lines.push(CutLine::new(cut, new.then_some(hold.left), at));
            }
        }
        // The shortest first, for they have the least room for their numbers.
        lines.sort_by(|one, other| one.length().total_cmp(&other.length()));
        for line in &lines {
            line.draw(&mut self.taken, self.drawing);
        }
    }

    fn rect(&self, node: &PlanNode) -> Rect {
        let grid = self.plan.prepared.grid;
        let at = |units: i64| grid.mm(units + self.pattern.trim) * self.scale;
        let corner = self.origin + Vec2::new(at(node.origin.0), at(node.origin.1));
        Rect::from_origin_size(corner, Size::new(grid.mm(node.size.width), grid.mm(node.size.height)) * self.scale)
    }

    /// Names a piece, with its size as it lies.
    fn piece_words(&mut self, index: usize, size: SizeInUnits, rect: Rect) {
        let Some(item) = self.plan.item(index) else { return };
        let names: Vec<&str> = item.users.iter().map(|user| user.name.as_str()).collect();
        self.words(&[item.number.to_string(), self.plan.show_as_written(item, size), names.join(", ")], rect);
    }

    /// Writes a large first line and smaller ones below it, as many and as large as fit.
    fn words(&mut self, lines: &[String], rect: Rect) {
        let Some((first, others)) = lines.split_first() else { return };
        let room = rect.inset(-INSET);
        for keep in (0..=others.len()).rev() {
            for number in from_to(TITLE, SMALL) {
                let cap = (number * WORDS.0).min(WORDS.1);
                let below: Vec<String> =
                    others.iter().take(keep).flat_map(|line| Lettering::wrap(line, room.width(), cap)).collect();
                // A name that would be broken into many short lines is better left out.
                if keep > 0 && (cap < SMALLEST_WORDS || below.len() > keep + 2) {
                    continue;
                }
                let widest = Lettering::width(first, number);
                let height = line_height(number) + line_height(cap) * below.len() as f64;
                let widest = below.iter().map(|line| Lettering::width(line, cap)).fold(widest, f64::max);
                if widest > room.width() || height > room.height() {
                    continue;
                }
                // Words stand clear of numbers of cuts, unless there is no room but for the smallest.
                let smallest = (keep == 0 && number == SMALL).then(|| room.center());
                let Some(center) = self.clear_place(room, Size::new(widest, height)).or(smallest) else { continue };
                let mut top = center.y - 0.5 * height;
                let middle = center.x;
                for (line, cap) in std::iter::once((first, number)).chain(below.iter().map(|line| (line, cap))) {
                    let baseline = top + (1.0 + ABOVE_CAPS) * cap;
                    self.text(line.clone(), Point::new(middle, baseline), cap, Anchor::Middle);
                    top += line_height(cap);
                }
                return;
            }
        }
    }

    /// Returns where the middle of a block in a room may be, clear of numbers of cuts: best in the middle.
    fn clear_place(&self, room: Rect, block: Size) -> Option<Point> {
        let slack = Vec2::new(room.width() - block.width, room.height() - block.height) * 0.5;
        let moves = [
            (0.0, 0.0),
            (0.0, -1.0),
            (0.0, 1.0),
            (-1.0, 0.0),
            (1.0, 0.0),
            (-1.0, -1.0),
            (1.0, -1.0),
            (-1.0, 1.0),
            (1.0, 1.0),
        ];
        let centers = moves.map(|(x, y)| room.center() + Vec2::new(x * slack.x, y * slack.y));
        let is_clear = |center: &Point| {
            let bounds = Rect::from_center_size(*center, block);
            self.taken.iter().all(|other| other.intersect(bounds).area() <= 0.0)
        };
        centers.into_iter().find(is_clear)
    }

    /// Hatches what is trimmed off the edges of the sheet.
    fn hatch_trim(&mut self, sheet: Rect) {
        let trim = self.plan.prepared.grid.mm(self.pattern.trim) * self.scale;
        if trim <= 0.0 {
            return;
        }
        let inner = sheet.inset(-trim);
        for strip in [
            Rect::new(sheet.x0, sheet.y0, sheet.x1, inner.y0),
            Rect::new(sheet.x0, inner.y1, sheet.x1, sheet.y1),
            Rect::new(sheet.x0, inner.y0, inner.x0, inner.y1),
            Rect::new(inner.x1, inner.y0, sheet.x1, inner.y1),
        ] {
            self.hatch(strip);
        }
    }

    /// Fills a rectangle with slanting lines.
    fn hatch(&mut self, rect: Rect) {
        // Along a line from the lower left to the upper right, x + y is the same; lines of all hatches fall together.
        let (first, last) = (rect.x0 + rect.y0, rect.x1 + rect.y1);
        let mut sum = (first / HATCH).floor() * HATCH + HATCH;
        while sum < last {
            let start_x = rect.x0.max(sum - rect.y1);
            let end_x = rect.x1.min(sum - rect.y0);
            if end_x > start_x {
                let ends = [Point::new(start_x, sum - start_x), Point::new(end_x, sum - end_x)];
                add_line(self.drawing, Role::Form, ends[0], ends[1]);
            }
            sum += HATCH;
        }
    }

    fn fill(&mut self, rect: Rect, colour: Colour) {
        add_area(self.drawing, rect, colour);
    }

    fn outline(&mut self, rect: Rect, role: Role) {
        add_rectangle(self.drawing, role, rect);
    }

    fn text(&mut self, content: String, at: Point, cap_height: f64, anchor: Anchor) {
        add_text(self.drawing, content, at, cap_height, anchor);
    }
}

/// Height that a line of text takes in millimetres.
fn line_height(cap: f64) -> f64 {
    TIGHT * cap
}
