//! A rectangular opening, with square or worked corners.

use kurbo::{Line, Point, Size};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size, simple};
use super::corner::{Corners, WorkedCorner};
use crate::geometry::{Outline, Segment};
use crate::job::{Measure, Scope};
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// A rectangle.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Rectangle {
    /// Radius of all four corners; square corners if it is left out.
    pub corner_radius: Option<Measure>,
    /// Corners that are rounded, clipped, scooped or stepped, all alike or each in its own way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corners: Option<Corners>,
}

impl Shape for Rectangle {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        match (&self.corner_radius, &self.corners) {
            (Some(_), Some(_)) => Err(scope.key("corners").error(
                "contradiction",
                "`corner_radius` and `corners` both say how the corners are worked",
                "keep one of the two; `corners = { all = { rounded = … } }` is the same as `corner_radius`",
            )),
            (None, Some(corners)) => worked(corners, fit, &scope.key("corners")),
            (radius, None) => rounded(radius.as_ref(), fit, &scope.key("corner_radius")),
        }
    }
}

fn rounded(radius: Option<&Measure>, fit: Size, scope: &Scope) -> Result<Outline, Problem> {
    let radius = radius.map_or(Ok(0.0), |radius| scope.mm(radius))?;
    Outline::rounded_rectangle(fit.to_rect(), radius).ok_or_else(|| {
        let shorter = fit.width.min(fit.height);
        let show = |mm| scope.ruler().tell(mm);
        scope
            .error(
                "corner-radius",
                format!(
                    "corners of radius {} do not fit: the shorter side of the opening is {}",
                    show(radius),
                    show(shorter)
                ),
                format!("make `corner_radius` at most half of that, {}", show(0.5 * shorter)),
            )
            .with_mm("radius", radius)
            .with_mm("shorter_side", shorter)
            .with_mm("most", 0.5 * shorter)
    })
}

fn worked(corners: &Corners, fit: Size, scope: &Scope) -> Result<Outline, Problem> {
    let [top_left, top_right, bottom_right, bottom_left] = corners.worked(scope)?;
    let level = |corner: &WorkedCorner| corner.size.width;
    let upright = |corner: &WorkedCorner| corner.size.height;
    for (side, length, first, second, along) in [
        ("top", fit.width, top_left, top_right, level as fn(&WorkedCorner) -> f64),
        ("right", fit.height, top_right, bottom_right, upright),
        ("bottom", fit.width, bottom_right, bottom_left, level),
        ("left", fit.height, bottom_left, top_left, upright),
    ] {
        let left_over = length - along(&first) - along(&second);
        let slit = first.goes_inwards() && second.goes_inwards() && left_over <= SAME_LENGTH_MM;
        if left_over < -SAME_LENGTH_MM || slit {
            let show = |mm| scope.ruler().tell(mm);
            let (one, other) = (show(along(&first)), show(along(&second)));
            let message = format!("corners of {one} and {other} do not fit on the {side} side of {}", show(length));
            return Err(scope
                .error("corner", message, "make the corners smaller or the opening larger")
                .with_mm("first_corner", along(&first))
                .with_mm("second_corner", along(&second))
                .with_mm("side", length));
        }
    }
    let mut pieces = Vec::new();
    let mut from: Option<Point> = None;
    let mut first = None;
    let places = [(fit.width, 0.0), (fit.width, fit.height), (0.0, fit.height), (0.0, 0.0)];
    for ((corner, place), quarter) in [top_right, bottom_right, bottom_left, top_left].iter().zip(places).zip(0..) {
        let (start, own, end) = corner.pieces(place.into(), quarter);
        first.get_or_insert(start);
        pieces.extend(from.and_then(|from| side(from, start)));
        pieces.extend(own);
        from = Some(end);
    }
    pieces.extend(from.zip(first).and_then(|(from, to)| side(from, to)));
    simple(Outline::new(pieces), scope, "make the corners smaller: two of them meet across the opening")
}

/// Returns the straight side between two corners, if anything is left of it.
fn side(from: Point, to: Point) -> Option<Segment> {
    (from.distance(to) > SAME_LENGTH_MM).then_some(Segment::Line(Line::new(from, to)))
}
