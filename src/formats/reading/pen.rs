//! The pen that draws chains of strokes while a file is read.

use std::collections::BTreeSet;
use std::sync::Arc;

#[cfg(feature = "svg-import")]
use kurbo::Affine;
use kurbo::{Line, Point};

use super::path::ReadPath;
use super::piece::{ConjugateArc, ReadSegment};
use super::run::{RunSettings, SharedRuns};
use crate::tolerance::SAME_PLACE_IN_FILE;

/// A pen that draws chains.
#[derive(Debug, Default)]
pub(in crate::formats) struct Pen {
    /// The layer of what is drawn from now on.
    pub(in crate::formats) layer: String,
    /// The line of the file that is being read.
    pub(in crate::formats) line: usize,
    /// How the machine runs what is drawn from now on.
    pub(in crate::formats) run: RunSettings,
    pub(in crate::formats) at: Point,
    pub(in crate::formats) paths: Vec<ReadPath>,
    pieces: Vec<ReadSegment>,
    /// How the machine runs the chain at hand, and the line of the file where it starts.
    chain: RunSettings,
    chain_line: usize,
    runs: SharedRuns,
    names: BTreeSet<Arc<str>>,
}

impl Pen {
    /// Lifts the pen and moves to a point; what was drawn is a path of its own.
    pub(in crate::formats) fn move_to(&mut self, to: Point) {
        self.lift();
        self.at = to;
    }

    pub(in crate::formats) fn line_to(&mut self, to: Point) {
        self.push(ReadSegment::Line(Line::new(self.at, to)));
        self.at = to;
    }

    fn push(&mut self, piece: ReadSegment) {
        if self.pieces.is_empty() {
            (self.chain, self.chain_line) = (self.run, self.line);
        } else {
            self.chain.widen(&self.run);
        }
        self.pieces.push(piece);
    }

    /// Draws an arc that starts where the pen is, as only SVG has them.
    #[cfg(feature = "svg-import")]
    pub(in crate::formats) fn arc(&mut self, arc: ConjugateArc) {
        let piece = ReadSegment::from(arc);
        self.at = piece.end();
        self.push(piece);
    }

    /// Draws any stroke that starts where the pen is.
    pub(in crate::formats) fn draw(&mut self, piece: ReadSegment) {
        self.at = piece.end();
        self.push(piece);
    }

    /// Draws an arc to a point by its bulge; a line for none.
    pub(in crate::formats) fn bulge_to(&mut self, to: Point, bulge: f64) {
        match ConjugateArc::bulged(self.at, to, bulge) {
            Some(arc) => self.push(arc.into()),
            None => self.push(ReadSegment::Line(Line::new(self.at, to))),
        }
        self.at = to;
    }

    /// Returns where the chain at hand started.
    pub(in crate::formats) fn start(&self) -> Option<Point> {
        self.pieces.first().map(ReadSegment::start)
    }

    /// Closes the chain at hand, with a line if it has not come back yet.
    pub(in crate::formats) fn close(&mut self) {
        let Some(start) = self.start() else {
            return;
        };
        if self.at.distance(start) > SAME_PLACE_IN_FILE {
            self.line_to(start);
        }
        self.finish(true);
        self.at = start;
    }

    /// Ends the chain at hand; it is closed if it has come back to its start.
    pub(in crate::formats) fn lift(&mut self) {
        let Some(start) = self.start() else {
            return;
        };
        // There and back along one line encloses nothing.
        let back = self.at.distance(start) <= SAME_PLACE_IN_FILE;
        let encloses = self.pieces.len() > 2 || self.pieces.iter().any(|piece| !matches!(piece, ReadSegment::Line(_)));
        self.finish(back && encloses);
    }

    fn finish(&mut self, closed: bool) {
        // Room that is just enough, and the larger one for the next chain: files of single lines would need four times as much.
        let pieces = self.pieces.drain(..).collect::<Box<[ReadSegment]>>().into_vec();
        let (layer, run) = (self.shared_layer(), self.runs.share(self.chain));
        self.paths.push(ReadPath { layer, closed, pieces, line: self.chain_line, run });
    }

    /// Returns the layer of what is drawn from now on; its name is kept once for all chains.
    pub(in crate::formats) fn shared_layer(&mut self) -> Arc<str> {
        if let Some(known) = self.names.get(self.layer.as_str()) {
            return Arc::clone(known);
        }
        let name: Arc<str> = self.layer.as_str().into();
        self.names.insert(Arc::clone(&name));
        name
    }

    /// Takes over what another pen has drawn, on the layer of this one.
    #[cfg(feature = "svg-import")]
    pub(in crate::formats) fn adopt(&mut self, other: Self, way: Affine) {
        for mut path in other.into_paths() {
            path.transform(way);
            path.layer = self.shared_layer();
            path.run = self.runs.share(*path.run);
            self.paths.push(path);
        }
    }

    /// Returns everything that was drawn.
    pub(in crate::formats) fn into_paths(mut self) -> Vec<ReadPath> {
        self.lift();
        self.paths
    }
}
