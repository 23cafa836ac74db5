//! The data of SVG paths, for drawings and for cutters: moves, lines, arcs of circles and ellipses, Bézier curves.

use kurbo::Point;

use crate::geometry::{Arc, Segment};
use crate::tolerance::CURVE_FIT_MM;

/// How the numbers of a file are written.
pub(super) trait PathNumbers {
    /// Appends a length in millimetres.
    fn push_length(&self, out: &mut Vec<u8>, millimetres: f64);

    /// Appends an angle in degrees.
    fn push_angle(&self, out: &mut Vec<u8>, degrees: f64);
}

/// The data of a path in the making.
pub(super) struct PathData<'o, N> {
    pub(super) out: &'o mut Vec<u8>,
    pub(super) numbers: N,
    /// Whether circles, ellipses and their arcs are written as cubic Bézier curves too.
    pub(super) only_cubics: bool,
}

impl<N: PathNumbers> PathData<'_, N> {
    /// Writes a chain of lines and arcs; nothing for an empty one.
    pub(super) fn chain(&mut self, segments: &[Segment], closed: bool) {
        let Some(first) = segments.first() else {
            return;
        };
        self.step("M", first.start());
        let drawn = match segments {
            // `Z` draws the last line.
            [first @ .., Segment::Line(_)] if closed => first,
            all => all,
        };
        drawn.iter().for_each(|segment| self.segment(segment));
        self.end(closed);
    }

    /// Writes straight lines from point to point.
    pub(super) fn lines(&mut self, points: impl IntoIterator<Item = Point>, closed: bool) {
        for (index, point) in points.into_iter().enumerate() {
            self.step(if index == 0 { "M" } else { "L" }, point);
        }
        self.end(closed);
    }

    fn end(&mut self, closed: bool) {
        self.raw(if closed { "Z" } else { "" });
    }

    fn segment(&mut self, segment: &Segment) {
        match segment {
            Segment::Line(line) => self.step("L", line.p1),
            Segment::Arc(arc) => match ellipse_axes(arc) {
                Some(axes) if !self.only_cubics => self.elliptical_arc(arc, axes),
                _ => self.cubics(arc),
            },
        }
    }

    /// Writes an arc in quarters: the centre of a half turn would hang on the last decimal of its ends.
    fn elliptical_arc(&mut self, arc: &Arc, (rx, ry): (f64, f64)) {
        let turn = if rx.to_bits() == ry.to_bits() { 0.0 } else { arc.axis.atan2().to_degrees() };
        for part in arc.split_at_axes() {
            self.raw("A");
            self.numbers.push_length(self.out, rx);
            self.raw(" ");
            self.numbers.push_length(self.out, ry);
            self.raw(" ");
            self.numbers.push_angle(self.out, turn);
            self.raw(if arc.sweep > 0.0 { " 0 1 " } else { " 0 0 " });
            self.point(part.point(part.end()));
        }
    }

    /// Writes an arc as cubic Bézier curves: SVG has no figure for the parallel curve of an ellipse.
    fn cubics(&mut self, arc: &Arc) {
        for [first, second, end] in arc.to_cubics(CURVE_FIT_MM) {
            self.step("C", first);
            self.step(" ", second);
            self.step(" ", end);
        }
    }

    fn step(&mut self, command: &str, to: Point) {
        self.raw(command);
        self.point(to);
    }

    fn point(&mut self, point: Point) {
        self.numbers.push_length(self.out, point.x);
        self.raw(" ");
        self.numbers.push_length(self.out, point.y);
    }

    fn raw(&mut self, markup: &str) {
        self.out.extend_from_slice(markup.as_bytes());
    }
}

/// Returns the semi-axes of an arc that is part of a true ellipse or circle.
pub(super) fn ellipse_axes(arc: &Arc) -> Option<(f64, f64)> {
    match arc.circle_radius() {
        Some(radius) => Some((radius, radius)),
        None => (arc.distance == 0.0).then_some((arc.rx, arc.ry)),
    }
}
