//! A line of text in a file, which is not made of strokes, and about the room that it takes.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use crate::drawing::{Helvetica, StrokeFont};

/// A line of text that is text, not strokes.
///
/// Its height is that of the capitals. How wide the letters are is up to whoever shows them: HP-GL says it, for other
/// formats it is reckoned with those of Helvetica.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadText {
    /// What it says.
    pub words: String,
    /// The corners of its room in the frame of the reading; none where the file does not tell its place or size.
    corners: Vec<Point>,
}

impl ReadText {
    /// Makes a label of some size; `place` brings its point of reference to the drawing, with y up along the letters, and
    /// `share` says where in the label that point lies, from 0 to 1 of its width and height.
    pub(in crate::formats) fn new(words: impl Into<String>, size: Size, share: Vec2, place: Affine) -> Self {
        let corner = |x: f64, y: f64| place * Point::new((x - share.x) * size.width, (y - share.y) * size.height);
        let corners = vec![corner(0.0, 0.0), corner(1.0, 0.0), corner(1.0, 1.0), corner(0.0, 1.0)];
        Self { words: words.into(), corners }
    }

    /// Makes a label of letters as wide as those of Helvetica.
    pub(in crate::formats) fn lettered(words: impl Into<String>, cap_height: f64, share: Vec2, place: Affine) -> Self {
        let words = words.into();
        let width = Helvetica::width(&words)
            .map_or_else(|| StrokeFont::width(&words, cap_height), |width| width * cap_height / Helvetica::CAP_SHARE);
        Self::new(words, Size::new(width, cap_height), share, place)
    }

    /// Makes a label of which only the words are known.
    pub(in crate::formats) fn somewhere(words: impl Into<String>) -> Self {
        Self { words: words.into(), corners: Vec::new() }
    }

    /// Returns the smallest upright rectangle round it; `None` where its place or size is not known.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let (first, rest) = self.corners.split_first()?;
        Some(rest.iter().fold(Rect::from_points(*first, *first), |bounds, corner| bounds.union_pt(*corner)))
    }

    /// Changes its coordinates.
    pub fn transform(&mut self, by: Affine) {
        self.corners.iter_mut().for_each(|corner| *corner = by * *corner);
    }
}
