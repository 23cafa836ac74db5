//! A drawing reduced to polylines, for the formats that know nothing else.

use kurbo::Size;

use super::{Drawing, Mark, Polyline, Role, Text};
use crate::geometry::Flattening;

/// A drawing in which every curve is flattened; its words stay words.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FlattenedDrawing<'a> {
    /// Width and height of the sheet in millimetres.
    pub sheet: Size,
    /// Layers in the order of the drawing, without those that hold neither polylines nor words.
    pub layers: Vec<PolylineLayer<'a>>,
}

/// The polylines and words of one role.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PolylineLayer<'a> {
    /// What they are for.
    pub role: Role,
    /// The polylines in the order in which they are drawn.
    pub polylines: Vec<Polyline>,
    /// The lines of text in the order in which they are drawn.
    pub texts: Vec<&'a Text>,
}

impl Drawing {
    /// Reduces the drawing to polylines that stay within `tolerance` millimetres of its curves.
    #[must_use]
    pub fn to_polylines(&self, tolerance: f64, flattening: Flattening) -> FlattenedDrawing<'_> {
        let layers = self.layers.iter().filter(|layer| !layer.marks.is_empty());
        let layers = layers.map(|layer| {
            let (mut polylines, mut texts) = (Vec::with_capacity(layer.marks.len()), Vec::new());
            for mark in &layer.marks {
                match mark {
                    Mark::Outline { outline, opening } => {
                        polylines.push(Polyline {
                            points: outline.flatten_by(tolerance, flattening),
                            closed: true,
                            opening: *opening,
                        });
                    }
                    Mark::Line { points, .. } => {
                        polylines.push(Polyline { points: points.clone(), closed: false, opening: None });
                    }
                    Mark::Text(text) => texts.push(text),
                    // Nothing that a stroke could show.
                    Mark::Area(_) | Mark::Image(_) => {}
                }
            }
            PolylineLayer { role: layer.role, polylines, texts }
        });
        FlattenedDrawing { sheet: self.sheet, layers: layers.collect() }
    }
}
