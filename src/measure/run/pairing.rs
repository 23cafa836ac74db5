//! Which stroke of a file is which stroke of a program, and what is left on either side.

use kurbo::{Point, Rect};

use super::super::deviation::{Chord, Chords, Farthest, farthest_beyond};
use super::super::effort;
use super::difference::{RunCheck, RunFault};
use super::expected::{ExpectedRun, ExpectedStroke};
use super::found::FoundStroke;
use super::mark::has_mark;
use super::near::{apart, length_of, same_bounds, same_way};
use crate::formats::Facts;
use crate::tolerance::{MEANT_MM, MEANT_SHARE};

/// Strokes of a program that a stroke of a file is compared with closely if it is none of them.
const MOST_LIKELY: usize = 6;

/// A stroke of a file that is one of a program.
pub(super) struct StrokePair<'a> {
    pub(super) found: &'a FoundStroke,
    pub(super) expected: &'a ExpectedStroke<'a>,
    /// Place of the stroke in the program.
    pub(super) place: usize,
    /// Whether it is travelled the other way.
    pub(super) is_reversed: bool,
}

/// What belongs together, and what does not.
pub(super) struct Pairing<'a> {
    /// In the order of the file.
    pub(super) pairs: Vec<StrokePair<'a>>,
    expected: &'a ExpectedRun<'a>,
    /// Whether each stroke of the program has a counterpart.
    is_made: Vec<bool>,
    /// Strokes of the file without a counterpart.
    strays: Vec<&'a FoundStroke>,
    format: &'static Facts,
    bound: f64,
}

impl<'a> Pairing<'a> {
    pub(super) fn new(
        found: &'a [FoundStroke],
        expected: &'a ExpectedRun<'a>,
        format: &'static Facts,
        bound: f64,
    ) -> Self {
        let is_made = vec![false; expected.strokes.len()];
        let mut pairing = Self { pairs: Vec::new(), expected, is_made, strays: Vec::new(), format, bound };
        for stroke in found {
            match pairing.counterpart(stroke) {
                Some(pair) => pairing.take(pair),
                None => pairing.strays.push(stroke),
            }
        }
        pairing.pair_freely();
        pairing
    }

    fn take(&mut self, pair: StrokePair<'a>) {
        if let Some(made) = self.is_made.get_mut(pair.place) {
            *made = true;
        }
        self.pairs.push(pair);
    }

    fn is_open(&self, place: usize) -> bool {
        self.is_made.get(place).is_some_and(|made| !made)
    }

    /// Finds the stroke of the program that one of the file is, none of those that were found before.
    fn counterpart(&self, found: &'a FoundStroke) -> Option<StrokePair<'a>> {
        let mut likely: Vec<(usize, &'a ExpectedStroke<'a>)> = self
            .expected
            .strokes
            .iter()
            .enumerate()
            .filter(|(place, expected)| self.is_open(*place) && same_bounds(expected.bounds, found.bounds, self.bound))
            .collect();
        // Of several that lie on each other, the one with the tool and the depth of the file.
        likely.sort_by(|(_, a), (_, b)| {
            let mark = |stroke: &ExpectedStroke<'_>| !has_mark(found, stroke.tool, self.format);
            let off = |stroke: &ExpectedStroke<'_>| match (found.run.depth, stroke.stroke.depth) {
                (Some([_, deepest]), Some(depth)) => (deepest - depth).abs(),
                _ => 0.0,
            };
            (mark(a), a.tool.layer != *found.layer)
                .cmp(&(mark(b), b.tool.layer != *found.layer))
                .then(off(a).total_cmp(&off(b)))
        });
        likely.into_iter().find_map(|(place, expected)| {
            let is_reversed = self.is_same(found, expected)?;
            Some(StrokePair { found, expected, place, is_reversed })
        })
    }

    /// Tells whether a stroke is travelled the other way than one of the program; `None` if it is not the same line.
    fn is_same(&self, found: &FoundStroke, expected: &ExpectedStroke<'_>) -> Option<bool> {
        if !same_bounds(expected.bounds, found.bounds, self.bound) {
            return None;
        }
        let bound = self.bound;
        let near = |a: Point, b: Point| a.distance(b) <= bound;
        let [first, last] = found.ends();
        let (start, end) = (expected.stroke.start(), expected.stroke.end());
        let differs = (found.length - expected.length).abs();
        let ends_too = match (near(first, start), near(first, end)) {
            // It starts where it should, so that it must end there, too.
            (true, to_end) => near(last, end) || (to_end && near(last, start)),
            (false, true) => near(last, start),
            (false, false) => expected.goes_round(bound) && differs <= expected.length_room(bound),
        };
        let is_once = differs <= expected.length_room(bound).max(0.5 * expected.length);
        if !ends_too || !is_once || self.off(&found.chords, &expected.lines).is_some() {
            return None;
        }
        if self.off(&expected.chords, &found.lines()).is_some() {
            return None;
        }
        Some(same_way(&found.chords, &expected.lines) < 0.0)
    }

    /// Returns the farthest place of chords from lines, if it is beyond the bound.
    fn off(&self, chords: &[Chord], lines: &Chords) -> Option<Farthest> {
        farthest_beyond(self.bound, chords, lines).filter(|farthest| farthest.distance > self.bound)
    }

    /// Takes lines for another program, and those of pens, in whatever pieces they are drawn, so long as none is drawn twice.
    fn pair_freely(&mut self) {
        let passes: Vec<usize> = self.expected.strokes.iter().map(|stroke| stroke.pass).collect();
        for pass in 0..passes.iter().max().map_or(0, |last| last + 1) {
            let open: Vec<usize> =
                (0..passes.len()).filter(|place| passes.get(*place) == Some(&pass) && self.is_open(*place)).collect();
            let strokes: Vec<&ExpectedStroke<'_>> =
                open.iter().filter_map(|place| self.expected.strokes.get(*place)).collect();
            let Some(first) = strokes.first().filter(|first| first.is_free()) else { continue };
            let asked: Vec<Chord> = strokes.iter().flat_map(|stroke| stroke.chords.iter().copied()).collect();
            let lines = Chords::new(asked.clone());
            let is_mine = |found: &&FoundStroke| {
                has_mark(found, first.tool, self.format) && self.off(&found.chords, &lines).is_none()
            };
            let (mine, others): (Vec<&FoundStroke>, Vec<&FoundStroke>) = self.strays.iter().copied().partition(is_mine);
            let drawn: Vec<Chord> = mine.iter().flat_map(|found| found.chords.iter().copied()).collect();
            let room: f64 = strokes.iter().map(|stroke| stroke.length_room(self.bound)).sum();
            if length_of(&drawn) <= length_of(&asked) + room && self.off(&asked, &Chords::new(drawn)).is_none() {
                self.strays = others;
                for place in open {
                    if let Some(made) = self.is_made.get_mut(place) {
                        *made = true;
                    }
                }
            }
        }
    }

    /// Reports what is left on either side.
    pub(super) fn report(&self, check: &mut RunCheck) {
        let mut is_explained = self.is_made.clone();
        for stray in &self.strays {
            let explained = self.explain(stray, check);
            if let Some(made) = explained.and_then(|place| is_explained.get_mut(place)) {
                *made = true;
            }
        }
        for (stroke, _) in self.expected.strokes.iter().zip(is_explained).filter(|(_, explained)| !explained) {
            let at = stroke.stroke.start();
            let message = format!("{} is missing, a stroke {} long", stroke.words(), shown(stroke.length));
            check.add(RunFault::Missing, None, Some(at), message);
        }
    }

    /// Says what a stroke of the file is that is none of the program; returns the one that it was meant to be.
    fn explain(&self, found: &FoundStroke, check: &mut RunCheck) -> Option<usize> {
        let line = Some(found.line);
        if found.run.is_rapid {
            let deep = found.run.depth.map_or(0.0, |[_, deepest]| deepest);
            let message = format!("a rapid move cuts {} through the board, {} deep", shown(found.length), shown(deep));
            check.add(RunFault::Rapid, line, Some(found.ends()[0]), message);
            return None;
        }
        let around = found.bounds.inflate(MEANT_MM, MEANT_MM);
        let near = |stroke: &ExpectedStroke<'_>| touches(around, stroke.bounds);
        let mut likely: Vec<(f64, usize, &ExpectedStroke<'_>)> = self
            .expected
            .strokes
            .iter()
            .enumerate()
            .filter(|(_, stroke)| near(stroke))
            .map(|(place, stroke)| (apart(stroke.bounds, found.bounds), place, stroke))
            .collect();
        likely.sort_by(|a, b| a.0.total_cmp(&b.0));
        likely.truncate(MOST_LIKELY);
        if let Some((_, _, stroke)) = likely.iter().find(|(_, _, stroke)| self.is_same(found, stroke).is_some()) {
            let [at, _] = found.ends();
            check.add(RunFault::Twice, line, Some(at), format!("{} is there twice", stroke.words()));
            return None;
        }
        let measured = likely.iter().filter(|(_, place, _)| self.is_open(*place)).map(|(_, place, stroke)| {
            let strays = farthest_beyond(self.bound, &found.chords, &stroke.lines);
            let lacks = farthest_beyond(self.bound, &stroke.chords, &found.lines());
            (strays, lacks, *place, *stroke)
        });
        let distance = |farthest: &Option<Farthest>| farthest.map_or(0.0, |farthest| farthest.distance);
        let best = measured.min_by(|a, b| {
            let least = |one: &(Option<Farthest>, Option<Farthest>, usize, &ExpectedStroke<'_>)| {
                distance(&one.0).min(distance(&one.1))
            };
            least(a).total_cmp(&least(b)).then(distance(&a.0).total_cmp(&distance(&b.0)))
        });
        match best {
            Some((Some(strays), Some(lacks), place, stroke)) if self.is_like(&strays, &lacks, found, stroke) => {
                self.compare_ways(found, stroke, strays, lacks, check);
                Some(place)
            }
            _ => {
                let all = Chords::new(likely.iter().flat_map(|(_, _, stroke)| stroke.chords.iter().copied()).collect());
                match self.off(&found.chords, &all) {
                    None if !likely.is_empty() => {
                        let [at, _] = found.ends();
                        let message = "it repeats strokes that are already there".to_owned();
                        check.add(RunFault::Twice, line, Some(at), message);
                    }
                    off => {
                        let at = off.map(|off| off.at).filter(|at| at.is_finite()).unwrap_or(found.ends()[0]);
                        let length = shown(found.length);
                        let message = format!("a stroke {length} long is not in the program");
                        check.add(RunFault::Surplus, line, Some(at), message);
                    }
                }
                None
            }
        }
    }

    /// Tells whether a stroke is one of the program but for a part of it.
    fn is_like(&self, strays: &Farthest, lacks: &Farthest, found: &FoundStroke, stroke: &ExpectedStroke<'_>) -> bool {
        let size = stroke.bounds.width().max(stroke.bounds.height());
        strays.distance.min(lacks.distance) <= self.bound.max(MEANT_SHARE * size)
            && found.length > MEANT_SHARE * stroke.length
    }

    fn compare_ways(
        &self,
        found: &FoundStroke,
        stroke: &ExpectedStroke<'_>,
        strays: Farthest,
        lacks: Farthest,
        check: &mut RunCheck,
    ) {
        let (line, words) = (Some(found.line), stroke.words());
        let far = |one: &Farthest| shown(one.distance);
        match (strays.distance > self.bound, lacks.distance > self.bound) {
            (false, true) => {
                let ends = [stroke.stroke.start(), stroke.stroke.end()];
                let is_end = ends.iter().any(|end| end.distance(lacks.at) <= self.bound);
                let (fault, message) = if is_end && !stroke.stroke.closed {
                    let [first, last] = found.ends();
                    let starts_late = first.distance(lacks.at) < last.distance(lacks.at);
                    let what = if starts_late { "starts too late by" } else { "stops short by" };
                    (RunFault::OverRun, format!("{words} {what} {}", far(&lacks)))
                } else {
                    (RunFault::Incomplete, format!("{words} is incomplete: up to {} is missing", far(&lacks)))
                };
                check.add(fault, line, Some(lacks.at), message);
            }
            (true, false) => {
                let message = format!("{words} runs {} too far", far(&strays));
                check.add(RunFault::OverRun, line, Some(strays.at), message);
            }
            (true, true) => {
                let message = format!("{words} is up to {} out of place", far(&strays));
                check.add(RunFault::Place, line, Some(strays.at), message);
            }
            (false, false) => {
                let differs = found.length - stroke.length;
                let [_, at] = found.ends();
                let message = if differs < 0.0 {
                    format!("{words} overlaps its start by {} too little", shown(-differs))
                } else {
                    format!("{words} overlaps its start by {} too much", shown(differs))
                };
                check.add(RunFault::OverRun, line, Some(at), message);
            }
        }
    }
}

fn shown(length: f64) -> String {
    if length.is_finite() { format!("{} mm", (length * 1e3).round() / 1e3) } else { "all".to_owned() }
}

/// Tells whether rectangles touch, those without area too.
fn touches(a: Rect, b: Rect) -> bool {
    effort::step();
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}
