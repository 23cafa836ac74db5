//! The cuts of a sheet in its figure: each a line with its number, and the letters of the parts that it makes on both sides.

use kurbo::{Point, Rect, Size, Vec2};

use crate::drawing::letter_height::{FINE, LEAST, TEXT, from_to};
use crate::drawing::{Anchor, Drawing, Lettering, Mark, Role};
use crate::geometry::Outline;
use crate::page::{add_line, add_text};
use crate::sheets::{HeldCut, Outcome, SheetEdge};

/// Height of the letter of a part in millimetres.
const LETTER: f64 = TEXT;
/// Where along its line the number of a cut may stand, in the order of preference.
const PLACES: [f64; 9] = [0.5, 0.25, 0.75, 0.12, 0.88, 0.37, 0.63, 0.06, 0.94];

/// A cut on the page.
pub(super) struct CutLine {
    number: usize,
    from: Point,
    to: Point,
    /// Letters of the part to the left of the line or above it, and of the one on the other side.
    letters: [Option<String>; 2],
}

impl CutLine {
    /// Makes the line of a cut, whose last one leaves a part with a new letter or not; `at` places units of the sheet on the page.
    pub(super) fn new(cut: &HeldCut, left: Option<Outcome>, at: impl Fn((i64, i64)) -> Point) -> Self {
        let [from, to] = cut.line().map(at);
        let letter = |outcome: Outcome| match outcome {
            Outcome::Again(part) if part.0 > 0 => Some(part.name()),
            _ => None,
        };
        let (off, left) = (letter(cut.off), left.and_then(letter));
        let letters = match cut.edge {
            SheetEdge::Left | SheetEdge::Top => [off, left],
            SheetEdge::Right | SheetEdge::Bottom => [left, off],
        };
        Self { number: cut.number, from, to, letters }
    }

    /// Returns its length on the page in millimetres.
    pub(super) fn length(&self) -> f64 {
        (self.to - self.from).hypot()
    }

    /// Draws it, its number where it covers nothing of `taken`, to which it is added.
    pub(super) fn draw(&self, taken: &mut Vec<Rect>, drawing: &mut Drawing) {
        let along = self.to - self.from;
        let length = along.hypot();
        let number = self.number.to_string();
        let radius = |cap: &f64| 0.5 * Lettering::width(&number, *cap).max(*cap) + 0.35 * cap;
        let Some(cap) = from_to(FINE, LEAST).find(|cap| 2.0 * radius(cap) + 1.0 < length) else {
            add_line(drawing, Role::Cut, self.from, self.to);
            return;
        };
        let radius = radius(&cap);
        let unit = along / length;
        let places = PLACES.map(|share| self.from + unit * (share * length).clamp(radius + 0.3, length - radius - 0.3));
        let covers = |middle: &Point| {
            let bounds = self.bounds(*middle, radius, unit);
            taken.iter().filter(|other| other.intersect(bounds).area() > 0.0).count()
        };
        // The first of the best places.
        let Some(middle) = places.into_iter().min_by_key(covers) else { return };
        add_line(drawing, Role::Cut, self.from, middle - unit * radius);
        add_line(drawing, Role::Cut, middle + unit * radius, self.to);
        if let Some(outline) = Outline::ellipse(middle, radius, radius, 0.0) {
            drawing.add(Role::Form, Mark::Outline { outline, opening: None });
        }
        add_text(drawing, number, middle + Vec2::new(0.0, 0.5 * cap), cap, Anchor::Middle);
        for (letter, place) in self.letters.iter().zip(self.letter_places(middle, radius, unit)) {
            if let Some(letter) = letter {
                add_text(drawing, letter.clone(), place + Vec2::new(0.0, 0.5 * LETTER), LETTER, Anchor::Middle);
            }
        }
        taken.push(self.bounds(middle, radius, unit));
    }

    /// Returns the middles of both letters.
    fn letter_places(&self, middle: Point, radius: f64, unit: Vec2) -> [Point; 2] {
        let widest = self.letters.iter().flatten().map(|letter| Lettering::width(letter, LETTER)).fold(0.0, f64::max);
        let away = if unit.y.abs() > unit.x.abs() {
            Vec2::new(radius + 0.5 * widest + 0.6, 0.0)
        } else {
            Vec2::new(0.0, radius + 0.5 * LETTER + 0.6)
        };
        [middle - away, middle + away]
    }

    /// Returns the room that number and letters take.
    fn bounds(&self, middle: Point, radius: f64, unit: Vec2) -> Rect {
        let circle = Rect::from_center_size(middle, Size::new(2.0 * radius, 2.0 * radius));
        let places = self.letter_places(middle, radius, unit);
        let letters = self.letters.iter().zip(places).filter_map(|(letter, place)| {
            let width = Lettering::width(letter.as_ref()?, LETTER);
            Some(Rect::from_center_size(place, Size::new(width, LETTER)))
        });
        letters.fold(circle, |all, letter| all.union(letter))
    }
}
