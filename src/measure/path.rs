//! A chain of strokes in a file, and the pen that draws chains while a file is read.

use kurbo::{Affine, Line, Point, Rect, Size};

use super::piece::{ConjugateArc, Piece};

/// Strokes that follow each other, on one layer or with one pen.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Name of the layer or group, or `pen 2`, `tool 1`; empty if the file says nothing.
    pub layer: String,
    /// Whether it ends where it started.
    pub closed: bool,
    /// The strokes; at least one.
    pub pieces: Vec<Piece>,
}

impl Path {
    /// Returns the smallest upright rectangle round it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        union(self.pieces.iter().map(Piece::bounds)).unwrap_or_default()
    }

    /// Returns width and height in millimetres.
    #[must_use]
    pub fn size(&self) -> Size {
        self.bounds().size()
    }

    /// Returns the points of chords that stay within `tolerance` millimetres of it, first and last included.
    #[must_use]
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        let mut points: Vec<Point> = self.pieces.first().map(Piece::start).into_iter().collect();
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
        Self { pieces: self.pieces.iter().rev().map(Piece::reversed).collect(), ..self.clone() }
    }

    /// Changes its coordinates.
    pub fn transform(&mut self, by: Affine) {
        self.pieces.iter_mut().for_each(|piece| *piece = piece.transformed(by));
    }
}

/// Returns the smallest rectangle round all of some; `None` round nothing.
pub(super) fn union(rects: impl IntoIterator<Item = Rect>) -> Option<Rect> {
    rects.into_iter().reduce(|all, rect| all.union(rect))
}

/// Points that are no farther apart, in the unit of the file, are the same: the sum of many steps is never quite exact.
const SAME_PLACE: f64 = 1e-6;

/// A pen that draws chains.
#[derive(Debug, Default)]
pub(super) struct Pen {
    /// The layer of what is drawn from now on.
    pub(super) layer: String,
    pub(super) at: Point,
    pub(super) paths: Vec<Path>,
    pieces: Vec<Piece>,
}

impl Pen {
    /// Lifts the pen and moves to a point; what was drawn is a path of its own.
    pub(super) fn move_to(&mut self, to: Point) {
        self.lift();
        self.at = to;
    }

    pub(super) fn line_to(&mut self, to: Point) {
        self.pieces.push(Piece::Line(Line::new(self.at, to)));
        self.at = to;
    }

    /// Draws an arc that starts where the pen is.
    pub(super) fn arc(&mut self, arc: ConjugateArc) {
        let piece = Piece::Arc(arc);
        self.at = piece.end();
        self.pieces.push(piece);
    }

    /// Draws any stroke that starts where the pen is.
    pub(super) fn draw(&mut self, piece: Piece) {
        self.at = piece.end();
        self.pieces.push(piece);
    }

    /// Draws an arc to a point by its bulge; a line for none.
    pub(super) fn bulge_to(&mut self, to: Point, bulge: f64) {
        match ConjugateArc::bulged(self.at, to, bulge) {
            Some(arc) => self.pieces.push(Piece::Arc(arc)),
            None => self.pieces.push(Piece::Line(Line::new(self.at, to))),
        }
        self.at = to;
    }

    /// Returns where the chain at hand started.
    pub(super) fn start(&self) -> Option<Point> {
        self.pieces.first().map(Piece::start)
    }

    /// Closes the chain at hand, with a line if it has not come back yet.
    pub(super) fn close(&mut self) {
        let Some(start) = self.start() else {
            return;
        };
        if self.at.distance(start) > SAME_PLACE {
            self.line_to(start);
        }
        self.finish(true);
        self.at = start;
    }

    /// Ends the chain at hand; it is closed if it has come back to its start.
    pub(super) fn lift(&mut self) {
        let Some(start) = self.start() else {
            return;
        };
        // There and back along one line encloses nothing.
        let back = self.at.distance(start) <= SAME_PLACE;
        let encloses = self.pieces.len() > 2 || self.pieces.iter().any(|piece| !matches!(piece, Piece::Line(_)));
        self.finish(back && encloses);
    }

    fn finish(&mut self, closed: bool) {
        let pieces = std::mem::take(&mut self.pieces);
        self.paths.push(Path { layer: self.layer.clone(), closed, pieces });
    }

    /// Returns everything that was drawn.
    pub(super) fn into_paths(mut self) -> Vec<Path> {
        self.lift();
        self.paths
    }
}
