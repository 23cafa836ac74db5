//! What a drawing leaves on paper, as strokes and boxes, to find the pages on which there is something.

use kurbo::{Line, Rect, Vec2};

use crate::drawing::{Drawing, Lettering, Mark, Text};
use crate::pairs::pairs;

/// Largest distance in millimetres between a curve and the strokes that stand for it here; pages are found with more room
/// than that.
const CURVE: f64 = 0.1;
/// Ink so near a rectangle, in millimetres, is in it: more than half of the widest line.
pub(super) const LINE_REACH: f64 = 0.5;
/// Letters reach so far above the baseline and below it, as multiples of the height of capitals.
const ABOVE: f64 = 1.4;
const BELOW: f64 = 0.4;

/// A piece of what is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Ink {
    /// A straight stroke.
    Stroke(Line),
    /// The box round a line of text, a coloured region or a photograph.
    Box(Rect),
}

impl Ink {
    /// Returns the pieces of a drawing that lie in one of the regions.
    pub(super) fn of(drawing: &Drawing, regions: &[Rect]) -> Vec<Self> {
        let mut pieces = Vec::new();
        for mark in drawing.layers.iter().flat_map(|layer| &layer.marks) {
            for piece in Self::of_mark(mark) {
                pieces.extend(regions.iter().filter_map(|region| piece.within(*region)));
            }
        }
        pieces
    }

    /// Returns the pieces of a mark.
    pub(super) fn of_mark(mark: &Mark) -> Vec<Self> {
        match mark {
            Mark::Outline { outline, .. } => {
                let points = outline.flatten(CURVE);
                let following = points.iter().cycle().skip(1);
                points.iter().zip(following).map(|(&a, &b)| Self::Stroke(Line::new(a, b))).collect()
            }
            Mark::Line { points, .. } => {
                pairs(points).map(|(&start, &end)| Self::Stroke(Line::new(start, end))).collect()
            }
            Mark::Text(text) => vec![Self::Box(words(text))],
            Mark::Area(area) => area.outlines.iter().map(|outline| Self::Box(outline.bounds())).collect(),
            Mark::Image(image) => vec![Self::Box(image.rect.intersect(image.seen))],
        }
    }

    /// Returns the part of the piece in a rectangle, edges and all; of a box all or nothing.
    pub(super) fn within(&self, rect: Rect) -> Option<Self> {
        match self {
            Self::Stroke(line) => clipped(*line, rect).map(Self::Stroke),
            Self::Box(own) => overlaps(*own, rect).then_some(*self),
        }
    }

    /// Returns the smallest upright rectangle round it.
    pub(super) fn bounds(&self) -> Rect {
        match self {
            Self::Stroke(line) => Rect::from_points(line.p0, line.p1),
            Self::Box(rect) => *rect,
        }
    }

    /// Returns the smallest upright rectangle round many pieces; `None` if there are none.
    pub(super) fn bounds_of(pieces: &[Self]) -> Option<Rect> {
        pieces.iter().map(Self::bounds).reduce(|a, b| a.union(b))
    }
}

/// Returns the box round a line of text, in millimetres on the sheet; wide enough for every font in use.
pub(super) fn words(text: &Text) -> Rect {
    let width = Lettering::width(&text.content, text.cap_height);
    let left = text.at.x - width * text.anchor.share();
    Rect::new(left, text.at.y - ABOVE * text.cap_height, left + width, text.at.y + BELOW * text.cap_height)
}

/// Tells whether two rectangles have a point in common.
pub(super) fn overlaps(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// Returns the part of a line in a rectangle (the method of Liang and Barsky).
fn clipped(line: Line, rect: Rect) -> Option<Line> {
    let along: Vec2 = line.p1 - line.p0;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-along.x, line.p0.x - rect.x0),
        (along.x, rect.x1 - line.p0.x),
        (-along.y, line.p0.y - rect.y0),
        (along.y, rect.y1 - line.p0.y),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            from = from.max(room / step);
        } else {
            to = to.min(room / step);
        }
    }
    (from <= to).then(|| Line::new(line.p0 + along * from, line.p0 + along * to))
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Point, Rect};

    use super::{Ink, clipped, words};
    use crate::drawing::{Anchor, Text};

    const BOX: Rect = Rect::new(0.0, 0.0, 10.0, 10.0);

    #[test]
    fn a_line_is_cut_at_the_edges() {
        let line = |a: (f64, f64), b: (f64, f64)| Line::new(a, b);
        for (given, kept) in [
            (line((-5.0, 5.0), (15.0, 5.0)), Some(line((0.0, 5.0), (10.0, 5.0)))),
            (line((2.0, 2.0), (8.0, 4.0)), Some(line((2.0, 2.0), (8.0, 4.0)))),
            (line((-5.0, -5.0), (15.0, 15.0)), Some(line((0.0, 0.0), (10.0, 10.0)))),
            (line((10.0, 0.0), (10.0, 10.0)), Some(line((10.0, 0.0), (10.0, 10.0)))),
            (line((11.0, 0.0), (11.0, 10.0)), None),
            (line((-5.0, 5.0), (3.0, 15.0)), None),
            (line((3.0, 3.0), (3.0, 3.0)), Some(line((3.0, 3.0), (3.0, 3.0)))),
        ] {
            assert_eq!(clipped(given, BOX), kept, "{given:?}");
        }
    }

    #[test]
    fn words_have_a_box_and_are_kept_whole() {
        let text = Text::new("H", Point::new(0.0, 0.0), 2.0, Anchor::Middle);
        let rect = words(&text);
        assert!((rect.center().x).abs() < 1e-9 && rect.y0 < -2.0 && rect.y1 > 0.0);
        let piece = Ink::Box(rect);
        assert_eq!(piece.within(BOX), Some(piece));
        assert_eq!(piece.within(Rect::new(5.0, 5.0, 6.0, 6.0)), None);
    }
}
