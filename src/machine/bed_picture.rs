//! A picture of the bed: where zero is and which way x and y run, where a board lies, and the strokes in their order.

use kurbo::{Point, Rect, Vec2};

use super::profile::Machine;
use crate::drawing::{Anchor, Drawing, Mark, Role, Text};
use crate::fault::Certain;
use crate::geometry::{Flattening, Outline};
use crate::job::{Syntax, WrittenJob};
use crate::length::exact_mm;
use crate::mat::Mat;
use crate::pairs::pairs;
use crate::program::Program;

/// Jobs by which a machine shows what it does: the first that it can cut is taken.
const SAMPLES: [&str; 4] = [
    "name = 'Sample'\nunit = 'mm'\nouter = [400, 300]\n[[opening]]\nsize = [100, 150]\nat = { left = 50, top = 70 }\n\
     [[opening]]\nshape = 'ellipse'\nsize = [120, 160]\nat = { left = 220, top = 65 }\n[[groove]]\ndistance = 10\n[[ruled]]\nlines = [16, 20]\n",
    "name = 'Sample'\nunit = 'mm'\nouter = [400, 300]\nopening.size = [200, 150]\n[[groove]]\ndistance = 10\n",
    "name = 'Sample'\nunit = 'mm'\nouter = [400, 300]\nbevel = 'straight'\nopening.size = [200, 150]\n",
    "name = 'Sample'\nunit = 'mm'\nouter = [90, 60]\nbevel = 'straight'\nopening.size = [40, 30]\n",
];

/// Whoever looks at the bed is about to run a file.
const CAUTION: &str = "Blades cut people: run every new file above the board first, then on scrap. The manual of the machine comes first.";

/// Height of letters as a share of the longer side of what is shown.
const LETTERS: f64 = 1.0 / 70.0;
/// Length of the arrows at zero, and room round everything, in heights of letters.
const ARROW: f64 = 6.0;
const MARGIN: f64 = 4.0;
/// So many strokes are numbered: more numbers would lie on each other.
const MOST_NUMBERS: usize = 60;
/// Length in millimetres of the longer side of the bed on the picture.
const LONGER_SIDE_MM: f64 = 260.0;
/// How far in millimetres the chords of curves may lie from them on the picture.
const CHORDS_MM: f64 = 0.1;

impl Machine {
    /// Plans a sample job that the machine can do; `None` if it can do none of a few. Returns the mat with the program.
    #[must_use]
    pub fn sample(&self) -> Option<(Mat, Program)> {
        SAMPLES.iter().find_map(|text| {
            let job = WrittenJob::read(text, Syntax::Toml).certain("sample job that can be read");
            let mat = job.resolve().value.certain("mat of this sample job");
            let layer = mat.layers.first().certain("board of this sample job");
            let program = self.plan(&mat, layer).value.filter(|program| !program.passes.is_empty())?;
            Some((mat, program))
        })
    }

    /// Draws the bed as it is seen from above, with a program on it: strokes in the colours of their work, numbered at their starts in
    /// their order, thin dashed lines where the tool travels above the board, and arrows along x and y at zero.
    #[must_use]
    pub fn bed_picture(&self, program: &Program) -> Drawing {
        let origin = &self.controller.origin;
        let shown = self.bed_rect().map_or(program.extent, |bed| bed.union(program.extent));
        // Lines have the width of those on a page, so that the picture has its size, too.
        let scale = LONGER_SIDE_MM / shown.width().max(shown.height());
        let seen = |point: Point| ((origin.x.vector() * point.x + origin.y.vector() * point.y) * scale).to_point();
        let rect = |rect: Rect| Rect::from_points(seen(rect.origin()), seen(Point::new(rect.x1, rect.y1)));
        let shown = rect(shown).union(Rect::from_points(Point::ORIGIN, Point::ORIGIN));
        let letters = LETTERS * shown.width().max(shown.height());
        let room = MARGIN * letters;
        let lines = 4.0 * 1.8 * letters;
        let sheet = Rect::new(shown.x0 - room, shown.y0 - room - lines, shown.x1 + room, shown.y1 + room);
        let by = -sheet.origin().to_vec2();
        let place = |point: Point| seen(point) + by;
        let title = format!("The bed of {}, seen from above", self.name);
        let mut drawing = Drawing { title: title.clone(), view: "bed", sheet: sheet.size(), layers: Vec::new() };
        let mut picture = Picture { drawing: &mut drawing, letters };
        if let Some(bed) = self.bed_rect() {
            picture.outline(Role::Form, rect(bed) + by);
        }
        picture.outline(Role::Edge, rect(program.board) + by);
        let mut at = place(Point::ORIGIN);
        let strokes = program.passes.iter().flat_map(|pass| pass.strokes.iter().map(move |stroke| (pass, stroke)));
        for (number, (pass, stroke)) in strokes.enumerate() {
            let mut points: Vec<Point> =
                stroke.as_points(CHORDS_MM, Flattening::Inside, 0.0).points.into_iter().map(place).collect();
            if stroke.closed {
                points.extend(points.first().copied());
            }
            let (Some(&start), Some(&end)) = (points.first(), points.last()) else { continue };
            picture.line(Role::Guide, vec![at, start]);
            picture.line(pass.tool.work.role(), points);
            if number < MOST_NUMBERS {
                picture.text((number + 1).to_string(), start + Vec2::new(0.3, -0.3) * letters, 0.8);
            }
            at = end;
        }
        let zero = place(Point::ORIGIN);
        for (axis, name) in [(origin.x.vector(), "x"), (origin.y.vector(), "y")] {
            picture.arrow(zero, axis * ARROW * letters, name);
        }
        let bed =
            self.bed.map_or_else(String::new, |bed| format!(", {} × {}", exact_mm(bed.width), exact_mm(bed.height)));
        let below = "Numbers are the order of the strokes; dashed lines are travel above the board. Zero is where the arrows start.";
        let top = sheet.y0 + by.y + 2.0 * letters;
        for (row, words) in [format!("{title}{bed}"), below.to_owned(), CAUTION.to_owned()].into_iter().enumerate() {
            picture.text(words, Point::new(room, top + 1.8 * letters * row as f64), 1.0);
        }
        drawing
    }
}

struct Picture<'d> {
    drawing: &'d mut Drawing,
    /// Height of letters in millimetres.
    letters: f64,
}

impl Picture<'_> {
    fn line(&mut self, role: Role, points: Vec<Point>) {
        if pairs(&points).any(|(a, b)| a != b) {
            self.drawing.add(role, Mark::line(points));
        }
    }

    fn outline(&mut self, role: Role, rect: Rect) {
        if let Some(outline) = Outline::rectangle(rect) {
            self.drawing.add(role, Mark::Outline { outline, opening: None });
        }
    }

    fn text(&mut self, words: impl Into<String>, at: Point, share: f64) {
        let text = Text::new(words, at, share * self.letters, Anchor::Start);
        self.drawing.add(Role::Label, Mark::Text(text));
    }

    fn arrow(&mut self, from: Point, along: Vec2, name: &str) {
        let (tip, side) = (from + along, Vec2::new(-along.y, along.x));
        self.line(Role::Dimension, vec![from, tip]);
        let barb = |sign: f64| tip - along * 0.2 + side * (0.1 * sign);
        self.line(Role::Dimension, vec![barb(1.0), tip, barb(-1.0)]);
        self.text(name, tip + along * 0.1 + side * 0.1, 1.0);
    }
}
