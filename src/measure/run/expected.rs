//! The strokes that a program asks for, made ready to be found in a file.

use kurbo::{Point, Rect};

use super::super::deviation::{Chord, Chords};
use super::super::effort;
use super::super::wanted::push_stroke;
use super::near::{bounds_of, length_of};
use crate::program::{Program, Stroke, Tool, ToolKind};
use crate::tolerance::SAME_WAY_ROUND_SHARE;

/// All strokes of a program.
pub(super) struct ExpectedRun<'p> {
    pub(super) strokes: Vec<ExpectedStroke<'p>>,
}

/// A stroke of a program.
pub(super) struct ExpectedStroke<'p> {
    pub(super) tool: &'p Tool,
    /// Number of its pass.
    pub(super) pass: usize,
    pub(super) stroke: &'p Stroke,
    pub(super) chords: Vec<Chord>,
    pub(super) lines: Chords,
    pub(super) bounds: Rect,
    pub(super) length: f64,
}

impl<'p> ExpectedRun<'p> {
    pub(super) fn new(program: &'p Program) -> Self {
        let strokes = program.passes.iter().enumerate().flat_map(|(pass, of)| {
            of.strokes.iter().map(move |stroke| {
                let mut chords = Vec::new();
                push_stroke(stroke, &mut chords);
                let (bounds, length) = (bounds_of(&chords), length_of(&chords));
                ExpectedStroke {
                    tool: &of.tool,
                    pass,
                    stroke,
                    lines: Chords::new(chords.clone()),
                    chords,
                    bounds,
                    length,
                }
            })
        });
        Self { strokes: strokes.collect() }
    }
}

impl ExpectedStroke<'_> {
    /// Says what it is.
    pub(super) fn words(&self) -> String {
        let work = self.tool.work.name();
        match self.stroke.opening {
            Some(opening) if self.tool.work.cuts_openings() => format!("the {work} of opening {opening}"),
            Some(opening) => format!("the {work} at opening {opening}"),
            None => format!("the {work}"),
        }
    }

    /// Tells whether it makes no difference which way it is travelled, how often it is lifted, and when it comes.
    pub(super) fn is_free(&self) -> bool {
        matches!(self.tool.kind, ToolKind::Line | ToolKind::Pen)
    }

    /// Tells whether it comes back to where it starts, or runs on beyond that.
    pub(super) fn goes_round(&self, bound: f64) -> bool {
        self.stroke.closed || self.lines_without_ends(bound)
    }

    fn lines_without_ends(&self, bound: f64) -> bool {
        // Its end lies on its own beginning.
        let (start, end) = (self.stroke.start(), self.stroke.end());
        let begins = self.chords.first().map_or(0.0, |first| first.length());
        start.distance(end) <= bound.max(begins)
    }

    /// Returns how far two strokes of one outline may differ in length.
    pub(super) fn length_room(&self, bound: f64) -> f64 {
        2.0 * bound + SAME_WAY_ROUND_SHARE * self.length
    }

    /// Tells whether a chain with these ends and this length is the stroke, so that nothing more can belong to it.
    pub(super) fn ends_with(&self, [first, last]: [Point; 2], length: f64, bound: f64) -> bool {
        effort::step();
        let near = |a: Point, b: Point| a.distance(b) <= bound;
        let (start, end) = (self.stroke.start(), self.stroke.end());
        (length - self.length).abs() <= self.length_room(bound)
            && ((near(first, start) && near(last, end)) || (near(first, end) && near(last, start)))
    }
}
