//! How far a cut must run on beyond its corners, so that it meets its neighbour through the whole board.

use super::{Edge, Layer, Opening};
use crate::geometry::Segment;

/// Returns how far outside the back outline the face outline lies, in millimetres: the cuts of a standard bevel must
/// run on until they meet at the face. Those of a reverse bevel meet at the back.
pub(crate) fn outside_back(layer: &Layer, opening: &Opening) -> f64 {
    outside(Edge::Back, layer, opening)
}

/// Returns how far in millimetres the outline on the other side of the board lies outside the one on the side from which
/// the blade comes; zero if it lies inside.
pub(crate) fn outside(from: Edge, layer: &Layer, opening: &Opening) -> f64 {
    let outside = |edge| opening.bevel.outside_sight(edge, layer.board.thickness);
    let far = if from == Edge::Back { Edge::Face } else { Edge::Back };
    (outside(far) - outside(from)).max(0.0)
}

/// Returns the turn in radians from one cut to the next at the corner between them: π − α for an interior angle α.
pub(crate) fn turn(before: &Segment, after: &Segment) -> f64 {
    let (incoming, outgoing) = (before.end_direction(), after.start_direction());
    incoming.cross(outgoing).atan2(incoming.dot(outgoing))
}

/// Returns how far in millimetres the cuts run beyond a corner: `over / tan(α/2)`, which is `over · tan(turn/2)`; cuts
/// into an inward corner must not run on.
pub(crate) fn beyond(turn: f64, over: f64) -> f64 {
    over * (0.5 * turn).tan().max(0.0)
}
