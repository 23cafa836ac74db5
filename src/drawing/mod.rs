//! What is drawn, without any trace of mats: a sheet with layers of outlines, open lines and text.
//!
//! A [`Drawing`] is the small form that every exporter reads. All its numbers are millimetres on the sheet, the
//! origin at the sheet's top left corner, x to the right and y down. Nothing on it depends on a format: dimensions,
//! ticks and scale bars are already lines and text, and everything is already placed and, where the view asks for
//! it, mirrored. Text is never mirrored.
//!
//! ```
//! use backline::Format;
//! use backline::drawing::{Anchor, Drawing, Mark, Role, Text};
//! use backline::kurbo::{Point, Size};
//!
//! let mut drawing = Drawing::new("One cut", "example", Size::new(100.0, 50.0));
//! drawing.add(Role::Cut, Mark::line(vec![Point::new(10.0, 25.0), Point::new(90.0, 25.0)]));
//! drawing.add(Role::Label, Mark::Text(Text::new("80 mm", Point::new(50.0, 20.0), 3.0, Anchor::Middle)));
//! let svg = Format::SVG.write(&drawing)?;
//! assert!(String::from_utf8_lossy(&svg.bytes).contains("80 mm"));
//! # Ok::<(), backline::formats::ExportError>(())
//! ```

mod dejavu_widths;
mod dimension;
mod flattened;
mod helvetica;
pub mod letter_height;
mod lettering;
mod paint;
mod polyline;
mod role;
mod stroke_font;
mod text;

pub use dimension::{Chain, ChainSide};
pub use flattened::{FlattenedDrawing, PolylineLayer};
pub use helvetica::Helvetica;
pub use lettering::{ABOVE_CAPS, BELOW_BASELINE, Lettering, wrap};
pub use paint::{Area, Image};
pub use polyline::Polyline;
pub use role::{Role, Style};
pub use stroke_font::StrokeFont;
pub use text::{Anchor, Text};

use std::sync::Arc;

use kurbo::{Point, Size, Vec2};

use crate::dimensions::DimensionKind;
use crate::geometry::Outline;

/// A finished drawing at full scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What the drawing shows, in words: job, layer and view. Used as the document title.
    pub title: String,
    /// Name of the view, for example `back template`.
    pub view: &'static str,
    /// Width and height of the sheet in millimetres.
    pub sheet: Size,
    /// Layers from the first drawn to the last; at most one of each role.
    pub layers: Vec<DrawingLayer>,
}

/// All marks of one role.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingLayer {
    /// What the marks are for; colour, pen and layer name follow from it.
    pub role: Role,
    /// The marks in the order in which they are drawn.
    pub marks: Vec<Mark>,
}

impl DrawingLayer {
    /// Makes a layer without marks.
    #[must_use]
    pub const fn new(role: Role) -> Self {
        Self { role, marks: Vec::new() }
    }
}

/// One thing on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A closed outline.
    Outline {
        /// The outline, exact.
        outline: Outline,
        /// Number of the opening that it belongs to, counted from one; `None` for what belongs to none, such as the edge.
        opening: Option<usize>,
    },
    /// An open line.
    Line {
        /// The points that it runs through.
        points: Vec<Point>,
        /// The sizes that it stands for; most lines stand for none.
        dimensions: Vec<DimensionKind>,
    },
    /// A line of text.
    Text(Text),
    /// A region of one colour.
    Area(Area),
    /// A photograph.
    Image(Image),
}

impl Drawing {
    /// Makes a sheet with nothing on it; width and height are millimetres.
    #[must_use]
    pub fn new(title: impl Into<String>, view: &'static str, sheet: Size) -> Self {
        Self { title: title.into(), view, sheet, layers: Vec::new() }
    }

    /// Adds a mark to the layer of a role; a role that has no layer yet gets one at the end.
    pub fn add(&mut self, role: Role, mark: Mark) {
        match self.layers.iter_mut().find(|layer| layer.role == role) {
            Some(layer) => layer.marks.push(mark),
            None => self.layers.push(DrawingLayer { role, marks: vec![mark] }),
        }
    }

    /// Returns the drawing with strokes instead of letters, and the letters that the stroke font does not have.
    ///
    /// A line is no wider than [`Lettering::width`], for which room was kept.
    #[must_use]
    pub fn with_stroked_letters(&self) -> (Self, String) {
        let mut missing = String::new();
        let mut stroked = self.clone();
        for layer in &mut stroked.layers {
            let mut marks = Vec::with_capacity(layer.marks.len());
            for mark in layer.marks.drain(..) {
                let Mark::Text(text) = &mark else {
                    marks.push(mark);
                    continue;
                };
                let strokes = StrokeFont::narrow_strokes(text, &mut missing);
                marks.extend(strokes.into_iter().map(|stroke| Mark::line(stroke.points)));
            }
            layer.marks = marks;
        }
        (stroked, missing)
    }

    /// Tells whether all its numbers are finite, so that every format can hold them.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        let mut marks = self.layers.iter().flat_map(|layer| &layer.marks);
        self.sheet.is_finite() && marks.all(Mark::is_finite)
    }

    /// Adds everything that another drawing shows, moved by a vector in millimetres.
    pub fn add_drawing(&mut self, other: &Self, by: Vec2) {
        for layer in &other.layers {
            layer.marks.iter().for_each(|mark| self.add(layer.role, mark.translated(by)));
        }
    }
}

impl Mark {
    /// Makes an open line that stands for no size.
    #[must_use]
    pub const fn line(points: Vec<Point>) -> Self {
        Self::Line { points, dimensions: Vec::new() }
    }

    fn is_finite(&self) -> bool {
        let outlines_are = |outlines: &[Outline]| {
            outlines.iter().all(|outline| outline.segments().iter().all(crate::geometry::Segment::is_finite))
        };
        match self {
            Self::Outline { outline, .. } => outlines_are(std::slice::from_ref(outline)),
            Self::Line { points, .. } => points.iter().all(|point| point.is_finite()),
            Self::Text(text) => text.at.is_finite() && text.cap_height.is_finite(),
            Self::Area(area) => outlines_are(&area.outlines),
            Self::Image(image) => image.rect.is_finite() && image.seen.is_finite(),
        }
    }

    /// Returns the mark moved by a vector in millimetres.
    #[must_use]
    pub fn translated(&self, by: Vec2) -> Self {
        match self {
            Self::Outline { outline, opening } => Self::Outline { outline: outline.translated(by), opening: *opening },
            Self::Line { points, dimensions } => {
                Self::Line { points: points.iter().map(|point| *point + by).collect(), dimensions: dimensions.clone() }
            }
            Self::Text(text) => Self::Text(Text { at: text.at + by, ..text.clone() }),
            Self::Area(Area { outlines, colour }) => Self::Area(Area {
                outlines: outlines.iter().map(|outline| outline.translated(by)).collect(),
                colour: *colour,
            }),
            Self::Image(image) => {
                Self::Image(Image { rect: image.rect + by, seen: image.seen + by, raster: Arc::clone(&image.raster) })
            }
        }
    }
}
