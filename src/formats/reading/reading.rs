//! What is found in a file: strokes in millimetres, lines of text, and what was left out.

use std::collections::BTreeMap;

use kurbo::{Affine, Rect};

use super::label::ReadText;
use super::path::{ReadPath, union};
use super::run::SharedRuns;
use super::unit::FoundUnit;
use crate::formats::facts::Facts;

/// More sentences are not said of a file.
const MOST_SENTENCES: usize = 20;

/// A drawing as it was read from a file, in millimetres, x to the right and y down.
///
/// The origin is that of the file; in formats whose y axis runs up, everything lies above it, at y below zero.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ReadDrawing {
    /// What the format of the file is.
    pub format: &'static Facts,
    /// The unit of its numbers.
    pub unit: FoundUnit,
    /// The strokes in the order of the file.
    pub paths: Vec<ReadPath>,
    /// Lines of text that are text, not strokes.
    pub texts: Vec<ReadText>,
    /// What is in the file and was not measured, with its number: `SPLINE`, `image`.
    pub left_out: BTreeMap<String, usize>,
    /// Whatever is odd about the file, a sentence each.
    pub remarks: Vec<String>,
    /// Why a part of the file may be missing in what was read, or may be read that is not shown, a sentence each.
    pub doubts: Vec<String>,
}

impl ReadDrawing {
    pub(in crate::formats) fn new(format: &'static Facts, unit: FoundUnit) -> Self {
        Self {
            format,
            unit,
            paths: Vec::new(),
            texts: Vec::new(),
            left_out: BTreeMap::new(),
            remarks: Vec::new(),
            doubts: Vec::new(),
        }
    }

    /// Tells whether all of the file was read, and something is drawn in it.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.left_out.is_empty() && self.doubts.is_empty() && !self.paths.is_empty()
    }

    /// Adds once why the file may not have been read whole.
    pub(in crate::formats) fn doubt(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.doubts.contains(&sentence) && self.doubts.len() < MOST_SENTENCES {
            self.doubts.push(sentence.clone());
        }
        self.remark(sentence);
    }

    /// Returns the smallest upright rectangle round all strokes; `None` if there are none.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        union(self.paths.iter().map(ReadPath::bounds))
    }

    /// Returns the smallest upright rectangle round all strokes and the lines of text whose place is known; `None` if
    /// there are none.
    #[must_use]
    pub fn bounds_with_texts(&self) -> Option<Rect> {
        union(self.bounds().into_iter().chain(self.texts.iter().filter_map(ReadText::bounds)))
    }

    /// Changes the coordinates of all strokes and lines of text.
    pub fn transform(&mut self, by: Affine) {
        self.paths.iter_mut().for_each(|path| path.transform(by));
        self.texts.iter_mut().for_each(|text| text.transform(by));
    }

    /// Changes the unit of depths and speeds.
    pub(crate) fn scale_runs(&mut self, by: f64) {
        let mut shared = SharedRuns::default();
        for path in &mut self.paths {
            let mut run = *path.run;
            run.scale(by);
            path.run = shared.share(run);
        }
    }

    /// Counts something that is not measured.
    pub(in crate::formats) fn leave_out(&mut self, what: &str) {
        // Names in files of others may be anything.
        let short: String = what.chars().filter(|letter| !letter.is_control()).take(20).collect();
        if self.left_out.len() < 100 || self.left_out.contains_key(&short) {
            *self.left_out.entry(short).or_default() += 1;
        }
    }

    /// Adds a remark once.
    pub(in crate::formats) fn remark(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.remarks.contains(&sentence) && self.remarks.len() < MOST_SENTENCES {
            self.remarks.push(sentence);
        }
    }
}
