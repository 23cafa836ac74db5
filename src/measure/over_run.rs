//! Cuts that run on straight beyond the corners of an outline.

use std::collections::BTreeMap;

use kurbo::{Point, Vec2};

use super::crossing::LONGEST_OVER_RUN_MM;
use super::deviation::{Chord, Farthest};
use crate::geometry::Outline;
use crate::tolerance::{BESIDE_MM, CORNER_RAD, LEAST_OVER_RUN_MM};

/// The least cosine between a stroke and the side that it runs on.
const SAME_WAY: f64 = 0.98;

/// The corners of outlines, and the ways in which cuts run on beyond them.
#[derive(Debug, Default)]
pub(super) struct OutlineCorners {
    rays: BTreeMap<(i64, i64), Vec<Ray>>,
}

/// The way from a corner in which a side would run on.
#[derive(Debug, Clone, Copy)]
struct Ray {
    corner: Point,
    /// A unit vector.
    way: Vec2,
}

/// A cut that runs on beyond a corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct OverRunningCut {
    /// How far it runs on, and where it ends.
    pub(super) end: Farthest,
    /// The line on which it ought to run on.
    pub(super) line: Chord,
}

impl OutlineCorners {
    /// Adds the corners of an outline.
    pub(super) fn add(&mut self, outline: &Outline) {
        for (before, after) in outline.corners() {
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            if incoming.cross(outgoing).abs() > CORNER_RAD || incoming.dot(outgoing) < 0.0 {
                for way in [incoming, -outgoing] {
                    let ray = Ray { corner: after.start(), way };
                    self.rays.entry(cell(ray.corner)).or_default().push(ray);
                }
            }
        }
    }

    /// Tells how the end of an open stroke runs on beyond a corner; `inner` is where its last straight piece starts.
    pub(super) fn runs_on(&self, inner: Point, end: Point) -> Option<OverRunningCut> {
        let stroke = end - inner;
        let (x, y) = cell(end);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy))));
        around
            .filter_map(|cell| self.rays.get(&cell))
            .flatten()
            .filter_map(|ray| {
                let beyond = end - ray.corner;
                let length = beyond.dot(ray.way);
                let is_beyond = (LEAST_OVER_RUN_MM..=LONGEST_OVER_RUN_MM).contains(&length);
                let is_beside = beyond.cross(ray.way).abs() > BESIDE_MM;
                let same_way = stroke.dot(ray.way) >= SAME_WAY * stroke.hypot();
                // It must come from the corner, or from before it.
                let comes_from = (inner - ray.corner).dot(ray.way) <= LEAST_OVER_RUN_MM;
                (is_beyond && !is_beside && same_way && comes_from).then(|| OverRunningCut {
                    end: Farthest { distance: length, at: end },
                    line: Chord { from: ray.corner, to: ray.corner + ray.way * length },
                })
            })
            .min_by(|a, b| a.end.distance.total_cmp(&b.end.distance))
    }
}

fn cell(point: Point) -> (i64, i64) {
    let number = |length: f64| (length / LONGEST_OVER_RUN_MM).floor() as i64;
    (number(point.x), number(point.y))
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect};

    use super::OutlineCorners;
    use crate::geometry::Outline;

    #[test]
    fn only_what_comes_straight_from_a_corner_runs_on() {
        let mut corners = OutlineCorners::default();
        corners.add(&Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 50.0)).expect("it has an area"));
        let length = |inner: (f64, f64), end: (f64, f64)| {
            corners.runs_on(Point::from(inner), Point::from(end)).map(|runs_on| runs_on.end.distance)
        };
        assert_eq!(length((0.0, 0.0), (103.0, 0.0)), Some(3.0));
        assert_eq!(length((100.0, 50.0), (100.0, -4.0)), Some(4.0));
        // A little beside the line it runs on all the same, and what is beside is a deviation.
        assert_eq!(length((0.0, 0.2), (103.0, 0.2)), Some(3.0));
        for (inner, end) in [
            // Beside, slanting, from beyond the corner, too far, and not beyond at all.
            ((0.0, 2.0), (103.0, 2.0)),
            ((100.0, 0.0), (103.0, 3.0)),
            ((101.0, 0.0), (103.0, 0.0)),
            ((0.0, 0.0), (130.0, 0.0)),
            ((0.0, 0.0), (100.0, 0.0)),
        ] {
            assert_eq!(length(inner, end), None, "{inner:?} {end:?}");
        }
    }
}
