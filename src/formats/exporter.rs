//! The contract between a drawing and a format.

use std::cell::OnceCell;
use std::fmt;
use std::sync::Arc;

use serde::Serialize;

use crate::drawing::{Drawing, FlattenedDrawing};
use crate::geometry::Flattening;
use crate::limits;
use crate::tolerance::FLATTEN_MM;

/// One format that drawings can be written in.
pub trait Exporter: Sync {
    /// Returns the name by which the format is chosen: lower case ASCII.
    fn name(&self) -> &'static str;

    /// Returns the ending of its files, without a dot.
    fn extension(&self) -> &'static str;

    /// Returns what tells its files from those of another format with the same ending; empty if no other has it.
    fn tag(&self) -> &'static str {
        ""
    }

    /// Tells whether the numbers in its files are in the unit of the options.
    fn has_unit(&self) -> bool {
        false
    }

    /// Returns one line for the help text.
    fn summary(&self) -> &'static str;

    /// Writes a drawing at full scale.
    ///
    /// The bytes depend on nothing but the drawing and the options.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the drawing without harm to it.
    fn export(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        refuse_endless(source.drawing)?;
        self.encode(source)
    }

    /// Writes a drawing all of whose numbers are finite; see [`Exporter::export`], which makes sure of that.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the drawing without harm to it.
    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError>;
}

/// Refuses a drawing with numbers that are not finite: no format can hold them.
pub(in crate::formats) fn refuse_endless(drawing: &Drawing) -> Result<(), ExportError> {
    if drawing.is_finite() { Ok(()) } else { Err(ExportError::endless("the drawing")) }
}

/// Refuses a document without a page.
pub(in crate::formats) fn refuse_no_page(pages: &[&Drawing]) -> Result<(), ExportError> {
    if pages.is_empty() {
        return Err(ExportError {
            message: "there is no page to write".to_owned(),
            help: "give it a drawing".to_owned(),
        });
    }
    Ok(())
}

impl dyn Exporter {
    /// Returns the end of the names of its files after the name of what is drawn: `.dxf`, `-r2000-in.dxf`.
    ///
    /// Neither two formats nor two units share a name. Millimetres are not named.
    #[must_use]
    pub fn file_end(&self, options: &Options) -> String {
        let tag = if self.tag().is_empty() { String::new() } else { format!("-{}", self.tag()) };
        let unit = if self.has_unit() && options.unit == FileUnit::Inch { "-in" } else { "" };
        format!("{tag}{unit}.{}", self.extension())
    }
}

/// Choices that hold for every format.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Options {
    /// Largest distance in millimetres between a curve and the polyline drawn for it.
    pub tolerance: f64,
    /// On which side of the curve the chords of such polylines lie.
    pub flattening: Flattening,
    /// What outlines become in DXF; what suits the release best if `None`.
    pub dxf_figures: Option<DxfFigures>,
    /// Unit of the numbers in formats that leave the choice (DXF and polylines).
    pub unit: FileUnit,
    /// A TrueType or OpenType font file for letters outside the built-in fonts of PDF; `None` for the built-in DejaVu Sans.
    #[serde(skip)]
    pub font: Option<Arc<[u8]>>,
    /// Density of files that are made of pixels, in pixels to the inch.
    pub pixels_per_inch: f64,
}

/// Density at which small print can be read on a screen (common practice, no source).
const USUAL_PIXELS_PER_INCH: f64 = 150.0;

impl Default for Options {
    fn default() -> Self {
        Self {
            tolerance: FLATTEN_MM,
            flattening: Flattening::Inside,
            dxf_figures: None,
            unit: FileUnit::Millimetre,
            font: None,
            pixels_per_inch: USUAL_PIXELS_PER_INCH,
        }
    }
}

/// What outlines become in DXF.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub enum DxfFigures {
    /// Polylines of straight pieces.
    Polylines,
    /// Polylines whose vertices have bulges, which are arcs of circles; in release 2000 whole circles and ellipses are
    /// entities of their own.
    Bulges,
    /// Straight lines, each an entity of its own.
    Lines,
    /// Lines, arcs and circles, each an entity of its own, and in release 2000 whole ellipses.
    Arcs,
}

/// Unit of the numbers in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub enum FileUnit {
    /// Millimetres.
    Millimetre,
    /// Inches.
    Inch,
}

impl FileUnit {
    /// Returns its name as written in files: `mm` or `in`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// Returns how many millimetres it is.
    #[must_use]
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch => 25.4,
        }
    }

    /// Returns how many of it a millimetre is.
    #[must_use]
    pub const fn per_millimetre(self) -> f64 {
        1.0 / self.millimetres()
    }
}

/// A drawing on its way into one or more formats; what several formats need is worked out once.
#[derive(Debug)]
pub struct Source<'a> {
    /// The drawing.
    pub drawing: &'a Drawing,
    /// The choices.
    pub options: &'a Options,
    polylines: OnceCell<FlattenedDrawing<'a>>,
}

impl<'a> Source<'a> {
    /// Pairs a drawing with the choices for its files.
    #[must_use]
    pub fn new(drawing: &'a Drawing, options: &'a Options) -> Self {
        Self { drawing, options, polylines: OnceCell::new() }
    }

    /// Returns the drawing as polylines within the tolerance of the options.
    pub fn polylines(&self) -> &FlattenedDrawing<'a> {
        self.polylines.get_or_init(|| self.drawing.to_polylines(self.options.tolerance, self.options.flattening))
    }
}

/// A written drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Exported {
    /// The content of the file.
    pub bytes: Vec<u8>,
    /// What the user must know about this file, a sentence each: substituted letters, numbers that an old device clamps.
    pub notes: Vec<String>,
}

impl Exported {
    /// Makes a file of its content, which counts against the limits of work.
    pub(in crate::formats) fn new(bytes: Vec<u8>, notes: Vec<String>) -> Self {
        limits::spend_bytes(bytes.len() as u64);
        Self { bytes, notes }
    }
}

/// Why a format cannot hold a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ExportError {
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to change.
    pub help: String,
}

impl ExportError {
    /// Makes the error of numbers that are not finite.
    pub(in crate::formats) fn endless(what: &str) -> Self {
        Self {
            message: format!("{what} has a number that is not finite"),
            help: "make the drawing from a resolved mat, and keep all its numbers finite".to_owned(),
        }
    }
}

impl fmt::Display for ExportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for ExportError {}
