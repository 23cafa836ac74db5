//! A drawing reduced to polylines, for the formats that know nothing else.

use kurbo::{Point, Size};

use super::{Drawing, Mark, Role, StrokeFont};

/// A drawing in which every curve is flattened and every letter is strokes.
#[derive(Debug, Clone, PartialEq)]
pub struct Polylines {
    /// Width and height of the sheet in millimetres.
    pub sheet: Size,
    /// Layers in the order of the drawing, without empty ones and without sentences for the reader ([`Role::Note`]).
    pub layers: Vec<PolylineLayer>,
    /// Letters that the stroke font does not have, once each, in order of appearance; each is drawn as a box.
    pub missing_letters: String,
}

/// The polylines of one role.
#[derive(Debug, Clone, PartialEq)]
pub struct PolylineLayer {
    /// What the polylines are for.
    pub role: Role,
    /// The polylines in the order in which they are drawn.
    pub polylines: Vec<Polyline>,
}

/// A chain of straight strokes.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    /// Its points in millimetres on the sheet, x to the right and y down; a closed one does not repeat its first point.
    pub points: Vec<Point>,
    /// Whether a last stroke runs from the last point to the first.
    pub closed: bool,
    /// Number of the opening that it belongs to, counted from one.
    pub opening: Option<usize>,
}

impl Drawing {
    /// Reduces the drawing to polylines that stay within `tolerance` millimetres of its curves.
    #[must_use]
    pub fn to_polylines(&self, tolerance: f64) -> Polylines {
        let mut missing_letters = String::new();
        let layers = self
            .layers
            .iter()
            .filter(|layer| !layer.marks.is_empty() && layer.role != Role::Note)
            .map(|layer| {
                let mut polylines = Vec::with_capacity(layer.marks.len());
                for mark in &layer.marks {
                    match mark {
                        Mark::Outline { outline, opening } => polylines.push(Polyline {
                            points: outline.flatten(tolerance),
                            closed: true,
                            opening: *opening,
                        }),
                        Mark::Line(points) => {
                            polylines.push(Polyline { points: points.clone(), closed: false, opening: None });
                        }
                        Mark::Text(text) => {
                            StrokeFont::draw(text, &mut missing_letters, &mut polylines);
                        }
                        // Nothing that a stroke could show.
                        Mark::Area(_) | Mark::Image(_) => {}
                    }
                }
                PolylineLayer { role: layer.role, polylines }
            })
            .collect();
        Polylines { sheet: self.sheet, layers, missing_letters }
    }
}
