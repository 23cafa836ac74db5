//! The entities that both releases write.

use kurbo::{Point, Vec2};

/// Takes entities on the layer at hand; coordinates are millimetres, y up.
pub(super) trait Entities {
    /// Chooses the layer of the entities that follow.
    fn set_layer(&mut self, name: &str);

    /// Adds a polyline of vertices, each with the bulge of the piece after it.
    fn polyline(&mut self, vertices: impl ExactSizeIterator<Item = (Point, f64)>, closed: bool);

    /// Adds a line.
    fn line(&mut self, from: Point, to: Point);

    /// Adds a circle.
    fn circle(&mut self, center: Point, radius: f64);

    /// Adds an arc of a circle that runs against the clock between two angles in radians.
    fn arc(&mut self, center: Point, radius: f64, angles: [f64; 2]);

    /// Adds a whole ellipse by its longer half axis and the ratio of its axes.
    ///
    /// Returns `false`, and adds nothing, if the release has no such entity.
    fn ellipse(&mut self, center: Point, major: Vec2, ratio: f64) -> bool;
}
