//! The strokes of a file, put together where a format parts them into lines and arcs.

use std::sync::Arc;

use kurbo::{Point, Rect};

use super::super::deviation::{Chord, Chords, push_chords};
use super::expected::ExpectedStroke;
use super::near::{bounds_of, length_of};
use crate::formats::reading::{ReadPath, RunSettings};
use crate::tolerance::{CHORDS_MM, JOINED_MM};

/// A stroke of a file.
pub(super) struct FoundStroke {
    pub(super) line: usize,
    pub(super) run: Arc<RunSettings>,
    pub(super) layer: Arc<str>,
    pub(super) chords: Vec<Chord>,
    pub(super) bounds: Rect,
    pub(super) length: f64,
}

impl FoundStroke {
    fn new(path: &ReadPath) -> Self {
        let mut chords = Vec::new();
        push_chords(&path.flatten(CHORDS_MM), &mut chords);
        let (bounds, length) = (bounds_of(&chords), length_of(&chords));
        let (line, run, layer) = (path.line, Arc::clone(&path.run), Arc::clone(&path.layer));
        Self { line, run, layer, chords, bounds, length }
    }

    /// Returns where it starts and ends.
    pub(super) fn ends(&self) -> [Point; 2] {
        let start = self.chords.first().map_or(Point::ORIGIN, |first| first.from);
        [start, self.chords.last().map_or(start, |last| last.to)]
    }

    pub(super) fn lines(&self) -> Chords {
        Chords::new(self.chords.clone())
    }

    fn reverse(&mut self) {
        self.chords.reverse();
        for chord in &mut self.chords {
            *chord = Chord { from: chord.to, to: chord.from };
        }
    }

    fn is_closed(&self) -> bool {
        let [start, end] = self.ends();
        self.chords.len() > 2 && start.distance(end) <= JOINED_MM
    }

    /// Goes on with another chain, if that starts where this one ends; returns it if it does not.
    fn go_on(&mut self, mut next: Self) -> Option<Self> {
        let same = RunSettings { is_undirected: self.run.is_undirected, ..*next.run } == *self.run;
        if !same || self.layer != next.layer || self.is_closed() || next.is_closed() {
            return Some(next);
        }
        let meets = |a: Point, b: Point| a.distance(b) <= JOINED_MM;
        let ([start, end], [from, to]) = (self.ends(), next.ends());
        match (self.run.is_undirected, next.run.is_undirected) {
            _ if meets(end, from) => {}
            (_, true) if meets(end, to) => next.reverse(),
            (true, _) if meets(start, from) => self.reverse(),
            (true, true) if meets(start, to) => {
                self.reverse();
                next.reverse();
            }
            _ => return Some(next),
        }
        if !next.run.is_undirected {
            Arc::make_mut(&mut self.run).is_undirected = false;
        }
        self.chords.extend(next.chords);
        self.bounds = self.bounds.union(next.bounds);
        self.length += next.length;
        None
    }
}

/// Joins strokes that go on from each other, until they are a stroke of the program.
pub(super) fn assemble(paths: &[ReadPath], expected: &[ExpectedStroke<'_>], bound: f64) -> Vec<FoundStroke> {
    let mut strokes: Vec<FoundStroke> = Vec::new();
    for path in paths {
        let next = FoundStroke::new(path);
        let chain = strokes
            .last_mut()
            .filter(|chain| !expected.iter().any(|stroke| stroke.ends_with(chain.ends(), chain.length, bound)));
        let left = match chain {
            Some(chain) => chain.go_on(next),
            None => Some(next),
        };
        strokes.extend(left);
    }
    strokes
}
