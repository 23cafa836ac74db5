//! A chain of strokes in a file.

use std::sync::Arc;

use kurbo::{Affine, Point, Rect, Size};

use super::piece::ReadSegment;
use super::run::RunSettings;

/// Strokes that follow each other, on one layer or with one pen.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ReadPath {
    /// Name of the layer or group, or `pen 2`, `tool 1`; empty if the file says nothing.
    pub layer: Arc<str>,
    /// Whether it ends where it started.
    pub closed: bool,
    /// The strokes; at least one.
    pub pieces: Vec<ReadSegment>,
    /// Number of the line of the file, counted from one, where it starts; 0 if it is not known.
    pub line: usize,
    /// How a machine runs it, as far as the file says so.
    pub run: Arc<RunSettings>,
}

impl ReadPath {
    /// Returns the smallest upright rectangle round it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        union(self.pieces.iter().map(ReadSegment::bounds)).unwrap_or_default()
    }

    /// Returns width and height in millimetres.
    #[must_use]
    pub fn size(&self) -> Size {
        self.bounds().size()
    }

    /// Returns the points of chords that stay within `tolerance` millimetres of it, first and last included.
    #[must_use]
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        let mut points: Vec<Point> = self.pieces.first().map(ReadSegment::start).into_iter().collect();
        self.pieces.iter().for_each(|piece| piece.flatten_into(tolerance, &mut points));
        points
    }

    /// Returns the distance in millimetres between its ends.
    #[must_use]
    pub fn gap(&self) -> f64 {
        match (self.pieces.first(), self.pieces.last()) {
            (Some(first), Some(last)) => first.start().distance(last.end()),
            _ => 0.0,
        }
    }

    /// Returns the same strokes drawn the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { pieces: self.pieces.iter().rev().map(ReadSegment::reversed).collect(), ..self.clone() }
    }

    /// Changes its coordinates.
    pub fn transform(&mut self, by: Affine) {
        self.pieces.iter_mut().for_each(|piece| *piece = piece.transformed(by));
    }
}

/// Returns the smallest rectangle round all of some; `None` round nothing.
pub(crate) fn union(rects: impl IntoIterator<Item = Rect>) -> Option<Rect> {
    rects.into_iter().reduce(|all, rect| all.union(rect))
}
