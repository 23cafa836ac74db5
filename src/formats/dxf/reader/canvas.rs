//! What is drawn of a DXF file while it is read.

use std::collections::BTreeMap;

use kurbo::Point;

use crate::formats::reading::{Pen, ReadText};
use crate::pairs::pairs;

/// What is drawn so far, in the unit and frame of the file, y up.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    pub(super) pen: Pen,
    pub(super) texts: Vec<ReadText>,
    pub(super) left_out: BTreeMap<String, usize>,
    /// The polyline whose vertices are being read.
    pub(super) polyline: Option<VertexPolyline>,
    /// How many strokes inserted blocks have brought, into other blocks too.
    pub(super) inserted: usize,
    /// In how many blocks it lies.
    pub(super) depth: usize,
    /// How many curves splines have brought.
    pub(super) curves: usize,
}

/// A polyline whose vertices are records of their own.
#[derive(Debug)]
pub(super) struct VertexPolyline {
    pub(super) closed: bool,
    pub(super) mirrored: bool,
    pub(super) vertices: Vec<(Point, f64)>,
}

impl Canvas {
    pub(super) fn leave_out(&mut self, what: &str) {
        if self.left_out.len() < 100 || self.left_out.contains_key(what) {
            *self.left_out.entry(what.to_owned()).or_default() += 1;
        }
    }

    /// Draws the polyline whose vertices have all been read.
    pub(super) fn end_polyline(&mut self) {
        let Some(VertexPolyline { closed, mirrored, vertices }) = self.polyline.take() else {
            return;
        };
        let (Some(&(first, _)), Some(&(_, last_bulge))) = (vertices.first(), vertices.last()) else {
            return;
        };
        let side = if mirrored { -1.0 } else { 1.0 };
        let seen = |point: Point| Point::new(side * point.x, point.y);
        self.pen.move_to(seen(first));
        for ((_, bulge), (to, _)) in pairs(&vertices) {
            self.pen.bulge_to(seen(*to), side * bulge);
        }
        match vertices.len() {
            // A single place is a dot.
            1 => self.pen.line_to(seen(first)),
            _ if closed => {
                if last_bulge != 0.0 {
                    self.pen.bulge_to(seen(first), side * last_bulge);
                }
                self.pen.close();
            }
            _ => {}
        }
        self.pen.lift();
    }
}
