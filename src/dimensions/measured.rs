//! A size as it is measured on the mat, before anything is known of the keys that set it.

use kurbo::{Point, Rect};

use super::dimension::{Axis, DimensionKind, Side};
use crate::tolerance::SAME_STOP_MM;

/// A size as it is measured on the mat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MeasuredSize {
    pub(crate) kind: DimensionKind,
    /// The left or upper end and the other one, on the mat as it hangs.
    pub(crate) ends: [Point; 2],
    pub(crate) mm: f64,
}

impl MeasuredSize {
    /// Measures the distance between two points.
    pub(super) fn new(kind: DimensionKind, ends: [Point; 2]) -> Self {
        let [from, to] = ends;
        Self { kind, ends, mm: from.distance(to) }
    }

    /// Measures a rectangle in a direction.
    pub(super) fn across(kind: DimensionKind, axis: Axis, rect: Rect) -> Self {
        Self::new(kind, axis.ends(rect))
    }

    /// Measures from a side of a rectangle to that of one round it; below zero where the one reaches beyond the other.
    pub(super) fn between(kind: DimensionKind, side: Side, [inner, outer]: [Rect; 2]) -> Self {
        let mm = match side {
            Side::Left => inner.x0 - outer.x0,
            Side::Right => outer.x1 - inner.x1,
            Side::Top => inner.y0 - outer.y0,
            Side::Bottom => outer.y1 - inner.y1,
        };
        Self { mm, ..Self::new(kind, side.between(inner, outer)) }
    }

    /// Returns where it begins in the direction in which it is longer: its x, or its y.
    pub(crate) fn start(&self) -> f64 {
        let [from, to] = self.ends;
        if (to.x - from.x).abs() >= (to.y - from.y).abs() { from.x } else { from.y }
    }

    /// Tells whether it is measured in a direction from one place to another, in millimetres on the mat.
    pub(crate) fn lies(&self, axis: Axis, from: f64, to: f64) -> bool {
        let same = |a: f64, b: f64| (a - b).abs() < SAME_STOP_MM;
        let [start, end] = self.ends;
        let level = same(axis.other().of(start), axis.other().of(end));
        level && same(axis.of(start), from) && same(axis.of(end), to)
    }
}
