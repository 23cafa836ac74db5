//! The bars of a page that are checked with a ruler: millimetres on one side, inches on the other.

use kurbo::{Point, Vec2};

use super::MARGIN;
use super::marks::add_text;
use crate::drawing::letter_height::{FINE, TEXT};
use crate::drawing::{Anchor, Drawing, Mark, Role, Text};

const MM_PER_INCH: f64 = 25.4;
/// Lengths of bars in centimetres and in inches: the longer one is measured, the less a misreading counts.
const LENGTHS: [(u32, u32); 5] = [(25, 10), (20, 8), (15, 6), (10, 4), (5, 2)];
/// Length of a tick at the ends, and of one between them, in millimetres.
const END: f64 = 2.4;
const BETWEEN: f64 = 1.2;
/// Height of capitals of its words.
const CAP: f64 = FINE;

/// A bar with two scales.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ScaleBar {
    centimetres: u32,
    inches: u32,
}

impl ScaleBar {
    /// Millimetres to either side of its line that it needs.
    pub(crate) const REACH: f64 = END;

    /// Returns the longest bar that has room in a length in millimetres.
    pub(crate) fn longest(room: f64) -> Option<Self> {
        let bars = LENGTHS.iter().map(|&(centimetres, inches)| Self { centimetres, inches });
        bars.into_iter().find(|bar| bar.length() <= room)
    }

    /// Returns the longest bar of whole centimetres that has room in a length in millimetres, if that is 5 cm or more;
    /// its inches end where the next one would be longer.
    pub(crate) fn metric(room: f64) -> Option<Self> {
        let centimetres = (room / 10.0).floor() as u32;
        let inches = (10.0 * f64::from(centimetres) / MM_PER_INCH).floor() as u32;
        (centimetres >= 5).then_some(Self { centimetres, inches })
    }

    /// Returns its length in millimetres.
    pub(crate) fn length(self) -> f64 {
        (f64::from(self.inches) * MM_PER_INCH).max(f64::from(self.centimetres) * 10.0)
    }

    /// Returns `150 mm and 6 in`.
    pub(crate) fn words(self) -> String {
        format!("{} and {} in", self.millimetres(), self.inches)
    }

    fn millimetres(self) -> String {
        format!("{} mm", 10 * self.centimetres)
    }

    /// Draws it from its left end: millimetres above, inches below.
    pub(crate) fn draw_level(self, left: Point, drawing: &mut Drawing) {
        self.draw(left, Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0), drawing);
        let end = left + Vec2::new(self.length() + 1.5, 0.0);
        for (words, down) in [(self.millimetres(), -0.5), (format!("{} in", self.inches), 0.5 + CAP)] {
            let at = end + Vec2::new(0.0, down);
            let text = Text::new(words, at, CAP, Anchor::Start);
            drawing.add(Role::Label, Mark::Text(text));
        }
    }

    /// Draws it from its foot upwards: millimetres on the left, inches on the right.
    pub(crate) fn draw_upright(self, foot: Point, drawing: &mut Drawing) {
        self.draw(foot, Vec2::new(0.0, -1.0), Vec2::new(-1.0, 0.0), drawing);
    }

    /// Draws its line and its ticks, those of the millimetres to one side.
    pub(crate) fn draw(self, start: Point, along: Vec2, metric: Vec2, drawing: &mut Drawing) {
        drawing.add(Role::Scale, Mark::line(vec![start, start + along * self.length()]));
        for (steps, step, side) in [(self.centimetres, 10.0, metric), (self.inches, MM_PER_INCH, -metric)] {
            for tick in 0..=steps {
                let at = start + along * (step * f64::from(tick));
                let length = if tick == 0 || tick == steps { END } else { BETWEEN };
                drawing.add(Role::Scale, Mark::line(vec![at, at + side * length]));
            }
        }
    }
}

/// Draws a bar at the left margin with a scale of its own and its length beside it, `y` millimetres from the top.
pub(crate) fn draw_bar(y: f64, length: f64, step: f64, name: &str, drawing: &mut Drawing) {
    let end = MARGIN + length;
    drawing.add(Role::Scale, Mark::line(vec![Point::new(MARGIN, y), Point::new(end, y)]));
    let steps = (length / step).round() as usize;
    for tick in 0..=steps {
        let x = MARGIN + step * tick as f64;
        let height = if tick == 0 || tick == steps { 3.0 } else { 1.5 };
        drawing.add(Role::Scale, Mark::line(vec![Point::new(x, y), Point::new(x, y - height)]));
    }
    add_text(drawing, name, Point::new(end + 2.0, y), TEXT, Anchor::Start);
}

#[cfg(test)]
mod tests {
    use super::ScaleBar;

    #[test]
    fn the_longest_bar_that_fits_is_taken() {
        for (room, words) in [
            (300.0, Some("250 mm and 10 in")),
            (254.0, Some("250 mm and 10 in")),
            (253.9, Some("200 mm and 8 in")),
            (187.0, Some("150 mm and 6 in")),
            (50.8, Some("50 mm and 2 in")),
            (50.7, None),
        ] {
            assert_eq!(ScaleBar::longest(room).map(ScaleBar::words).as_deref(), words, "{room}");
        }
    }
}
