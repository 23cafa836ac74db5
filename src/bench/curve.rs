//! The curves of an opening: ovals for an oval cutter, and arcs that neither it nor a straight head can cut.

use kurbo::{Point, Vec2};

use super::Setting;
use super::course::OpeningSetup;
use super::cut::measured;
use crate::geometry::Arc;

/// A whole ellipse or circle, as it is marked on the back of the board for an oval cutter.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Oval {
    /// Number of the opening.
    pub opening: usize,
    /// The centre: its distances from the left and the top edge.
    pub centre: [Setting; 2],
    /// Length of the long axis.
    pub long: Setting,
    /// Length of the short axis.
    pub short: Setting,
    /// How much longer the long axis is: zero for a circle.
    pub difference: Setting,
    /// Angle of the long axis, anticlockwise from level as seen from the back with the top up, in degrees from 0 to 180.
    pub angle_deg: f64,
    /// Largest distance in millimetres between the line that the opening should have and the ellipse with these axes: the
    /// parallel curve of an ellipse is not an ellipse.
    pub deviation: f64,
}

/// A curved piece of an outline that has other pieces too.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Bend {
    /// Number of the opening.
    pub opening: usize,
    /// Number of the side among the straight and curved pieces of the opening, counted from one.
    pub side: usize,
    /// The centre: its distances from the left and the top edge.
    pub centre: [Setting; 2],
    /// Its radius if it is an arc of a circle.
    pub radius: Option<Setting>,
    /// Its two ends: distances from the left and the top edge.
    pub ends: [[Setting; 2]; 2],
}

impl Oval {
    /// Measures a whole closed arc on the back.
    pub(super) fn new(opened: &OpeningSetup<'_>, opening: usize, arc: &Arc) -> Self {
        let (rx, ry) = (arc.rx + arc.distance, arc.ry + arc.distance);
        let length = |length: f64| measured(length, opened.ruler);
        let axis = if rx >= ry { arc.axis } else { Vec2::new(-arc.axis.y, arc.axis.x) };
        let turn = axis.y.atan2(axis.x).to_degrees().rem_euclid(180.0);
        Self {
            opening,
            centre: opened.marks(arc.center),
            long: length(2.0 * rx.max(ry)),
            short: length(2.0 * rx.min(ry)),
            difference: length(2.0 * (rx - ry).abs()),
            angle_deg: if arc.circle_radius().is_some() { 0.0 } else { turn },
            deviation: deviation(arc),
        }
    }

    /// Tells whether it is a circle.
    #[must_use]
    pub fn is_circle(&self) -> bool {
        self.difference.wanted.abs() <= crate::tolerance::SAME_LENGTH_MM
    }
}

impl Bend {
    /// Measures an arc on the back.
    pub(super) fn new(opened: &OpeningSetup<'_>, opening: usize, side: usize, arc: &Arc) -> Self {
        let ends = [arc.start, arc.end()].map(|angle| arc.point(angle)).map(|point: Point| opened.marks(point));
        let radius = arc.circle_radius().map(|radius| measured(radius.abs(), opened.ruler));
        Self { opening, side, centre: opened.marks(arc.center), radius, ends }
    }
}

/// Returns the largest distance between a closed parallel curve of an ellipse and the ellipse with the same axes.
///
/// The distance between two convex curves is the largest difference of their support functions. That of the two here is
/// zero on the axes and has one hump between them, which is found by golden section.
fn deviation(arc: &Arc) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let support = |rx: f64, ry: f64, angle: f64| (rx * angle.cos()).hypot(ry * angle.sin());
    let (rx, ry, d) = (arc.rx, arc.ry, arc.distance);
    let apart = |angle: f64| (support(rx + d, ry + d, angle) - support(rx, ry, angle) - d).abs();
    let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_2);
    for _ in 0..60 {
        let (a, b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        if apart(a) > apart(b) { high = b } else { low = a }
    }
    apart(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, TAU};

    use kurbo::Point;

    use super::deviation;
    use crate::geometry::{Arc, Outline};

    #[test]
    fn an_ellipse_is_itself() {
        let ellipse = Arc::elliptical(Point::ZERO, 203.2, 50.8, 0.0, 0.0, TAU);
        assert!(deviation(&ellipse) < 1e-9);
    }

    #[test]
    fn the_parallel_of_an_ellipse_is_off_by_what_its_points_say() {
        let parallel = Arc::elliptical(Point::ZERO, 203.2, 50.8, 0.0, 0.0, TAU).grown(3.175);
        let ellipse = Outline::ellipse(Point::ZERO, 206.375, 53.975, 0.0).unwrap();
        let points = (0..=2000).map(|step| parallel.point(FRAC_PI_2 * f64::from(step) / 2000.0));
        let farthest = points.map(|point| ellipse.nearest(point).distance(point)).fold(0.0, f64::max);
        assert!((deviation(&parallel) - farthest).abs() < 1e-4, "{} {farthest}", deviation(&parallel));
        assert!((farthest / 3.175 - 0.1946).abs() < 1e-3, "{farthest}");
    }
}
