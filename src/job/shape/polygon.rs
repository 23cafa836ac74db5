//! A polygon given by its corners, convex or not.

use kurbo::{Point, Size};
use serde::{Deserialize, Serialize};

use super::contract::Shape;
use crate::geometry::{Outline, crossing_chords};
use crate::job::{Measure, Scope};
use crate::problem::Problem;

/// A polygon given by its corners in order, at its true size.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Polygon {
    /// Corners in order, each `[x, y]`: x to the right and y down from any point, seen from the front.
    pub corners: Vec<[Measure; 2]>,
}

/// Most corners that a polygon may have: far more than a hand could cut.
const MOST_CORNERS: usize = 10_000;

impl Polygon {
    fn points(&self, scope: &Scope) -> Result<Vec<Point>, Problem> {
        let read = |corner: usize, axis: usize, measure: &Measure| scope.index(corner).index(axis).signed_mm(measure);
        self.corners
            .iter()
            .enumerate()
            .map(|(corner, [x, y])| Ok(Point::new(read(corner, 0, x)?, read(corner, 1, y)?)))
            .collect()
    }
}

/// Complains of two sides that cross, at the corner where the later one starts.
fn crossing(points: &[Point], scope: &Scope) -> Option<Problem> {
    // A corner that is given twice is one.
    let mut corners: Vec<(usize, Point)> = points.iter().copied().enumerate().collect();
    corners.dedup_by_key(|(_, point)| *point);
    if corners.len() > 1 && corners.first().map(|(_, first)| first) == corners.last().map(|(_, last)| last) {
        corners.pop();
    }
    let distinct: Vec<Point> = corners.iter().map(|(_, point)| *point).collect();
    let ([first, second], at) = crossing_chords(&distinct)?;
    let number = |side: usize| corners.get(side % corners.len()).map_or(0, |(index, _)| index + 1);
    let side = |side: usize| format!("from corner {} to corner {}", number(side), number(side + 1));
    let (x, y) = (scope.ruler().show(at.x), scope.ruler().show(at.y));
    let message = format!("the side {} crosses or touches the side {}, at x {x}, y {y}", side(second), side(first));
    let place = scope.index(number(second).saturating_sub(1));
    Some(
        place
            .error("polygon", message, "list the corners in order round the opening, as you would cut them")
            .with_mm("x", at.x)
            .with_mm("y", at.y),
    )
}

impl Shape for Polygon {
    fn outline(&self, _fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let scope = scope.key("corners");
        if self.corners.len() > MOST_CORNERS {
            let message = format!("a polygon cannot have {} corners", self.corners.len());
            return Err(scope
                .error("polygon", message, format!("give it at most {MOST_CORNERS} corners"))
                .with_count("corners", self.corners.len())
                .with_count("most", MOST_CORNERS));
        }
        let points = self.points(&scope)?;
        if let Some(problem) = crossing(&points, &scope) {
            return Err(problem);
        }
        Outline::polygon(&points).ok_or_else(|| {
            let help = "give at least three corners that do not lie on one line, in order round the opening, as you would cut them";
            scope.error("polygon", "the corners enclose no area", help)
        })
    }

    fn has_own_size(&self) -> bool {
        true
    }
}
