//! What is found in a file: strokes in millimetres, their layers, and the unit in which it was written.

use std::collections::BTreeMap;
use std::fmt;

use kurbo::{Affine, Rect};

use super::label::Label;
use super::path::{Path, union};

/// A drawing as it was read from a file, in millimetres, x to the right and y down.
///
/// The origin is that of the file; in formats whose y axis runs up, everything lies above it, at y below zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Name of the format, for example `dxf`.
    pub format: &'static str,
    /// The unit of its numbers.
    pub unit: FoundUnit,
    /// The strokes in the order of the file.
    pub paths: Vec<Path>,
    /// Lines of text that are text, not strokes.
    pub texts: Vec<Label>,
    /// What is in the file and was not measured, with its number: `SPLINE`, `image`.
    pub left_out: BTreeMap<String, usize>,
    /// Whatever is odd about the file, a sentence each.
    pub remarks: Vec<String>,
}

/// The unit of the numbers of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundUnit {
    /// How many millimetres one of it is.
    pub millimetres: f64,
    /// What it is and where that is said, for example `mm ($INSUNITS)`.
    pub words: String,
    /// Whether the file says it, or whoever asked; otherwise it was taken for granted.
    pub stated: bool,
}

/// Why a file cannot be measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// Number of the line, counted from one; `None` for the file as a whole.
    pub line: Option<usize>,
    /// What is wrong.
    pub message: String,
    /// What to do about it; may be empty.
    pub help: String,
}

/// Coordinates beyond this many units of a file are no drawing of a mat.
pub(super) const LARGEST: f64 = 1e9;

impl Reading {
    pub(super) fn new(format: &'static str, unit: FoundUnit) -> Self {
        Self { format, unit, paths: Vec::new(), texts: Vec::new(), left_out: BTreeMap::new(), remarks: Vec::new() }
    }

    /// Returns the smallest upright rectangle round all strokes; `None` if there are none.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        union(self.paths.iter().map(Path::bounds))
    }

    /// Returns the smallest upright rectangle round all strokes and the lines of text whose place is known; `None` if
    /// there are none.
    #[must_use]
    pub fn bounds_with_texts(&self) -> Option<Rect> {
        union(self.bounds().into_iter().chain(self.texts.iter().filter_map(Label::bounds)))
    }

    /// Changes the coordinates of all strokes and lines of text.
    pub fn transform(&mut self, by: Affine) {
        self.paths.iter_mut().for_each(|path| path.transform(by));
        self.texts.iter_mut().for_each(|text| text.transform(by));
    }

    /// Counts something that is not measured.
    pub(super) fn leave_out(&mut self, what: &str) {
        // Names in files of others may be anything.
        let short: String = what.chars().filter(|letter| !letter.is_control()).take(20).collect();
        if self.left_out.len() < 100 || self.left_out.contains_key(&short) {
            *self.left_out.entry(short).or_default() += 1;
        }
    }

    /// Adds a remark once.
    pub(super) fn remark(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.remarks.contains(&sentence) && self.remarks.len() < 20 {
            self.remarks.push(sentence);
        }
    }
}

impl FoundUnit {
    pub(super) fn stated(millimetres: f64, words: impl Into<String>) -> Self {
        Self { millimetres, words: words.into(), stated: true }
    }

    pub(super) fn assumed(millimetres: f64, words: impl Into<String>) -> Self {
        Self { millimetres, words: words.into(), stated: false }
    }
}

impl Unreadable {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: None, message: message.into(), help: help.into() }
    }

    pub(super) fn at(line: usize, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { line: Some(line), ..Self::new(message, help) }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        f.write_str(&self.message)?;
        if self.help.is_empty() { Ok(()) } else { write!(f, "; {}", self.help) }
    }
}

impl std::error::Error for Unreadable {}

/// Reads a number of a file; none that is not finite or beyond [`LARGEST`].
pub(super) fn number(text: &str) -> Option<f64> {
    text.trim().parse().ok().filter(|number: &f64| number.abs() <= LARGEST)
}

/// Shows a piece of a file in a message: short, without control characters.
pub(super) fn shown(text: &str) -> String {
    let text = text.trim();
    let mut short: String =
        text.chars().take(30).map(|letter| if letter.is_control() { '\u{FFFD}' } else { letter }).collect();
    if text.chars().count() > 30 {
        short.push('…');
    }
    short
}
