//! A chain of straight strokes.

use kurbo::Point;

/// A chain of straight strokes.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Polyline {
    /// Its points in millimetres on the sheet, x to the right and y down; a closed one does not repeat its first point.
    pub points: Vec<Point>,
    /// Whether a last stroke runs from the last point to the first.
    pub closed: bool,
    /// Number of the opening that it belongs to, counted from one.
    pub opening: Option<usize>,
}
