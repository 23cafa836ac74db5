//! Why the outline of an opening cannot be moved sideways for its bevel or its reveal.

use kurbo::Point;

use super::given_opening::GivenOpening;
use crate::geometry::OffsetError;
use crate::length::exact_mm;
use crate::problem::Problem;

/// Explains why an outline cannot be moved by `distance` millimetres; `origin` is the top left corner of an outline that has no
/// place on the mat yet.
pub(super) fn no_bevel(item: &GivenOpening<'_>, error: &OffsetError, distance: f64, origin: Option<Point>) -> Problem {
    // Numbers that decide are not rounded to a ruler: they would look equal.
    let show = exact_mm;
    let at = place(item, error.place(), origin);
    let opening = item.title_words();
    let what = if item.has_reveals() { "its reveals and bevels" } else { "its bevel" };
    let moved = format!("{} for {what}", way(distance));
    let less = less(item);
    let (message, help) = match error {
        OffsetError::ArcVanishes { radius, .. } => (
            format!("{opening} has a curve of radius {} at {at}, too tight to be moved {moved}", show(*radius)),
            format!("make the radius larger than {}, or {less}", show(distance.abs())),
        ),
        OffsetError::SideVanishes { length, .. } => (
            format!("{opening} has a side of only {} at {at}, which vanishes when it is moved {moved}", show(*length)),
            format!("make the side longer or leave it out, or {less}"),
        ),
        OffsetError::CornerOpens { .. } => (
            format!("the two sides that meet at {at} in {opening} no longer meet when moved {moved}"),
            format!("make the corner less sharp, or {less}"),
        ),
        OffsetError::Crosses { .. } => (
            format!("{opening} crosses itself at {at} when it is moved {moved}"),
            format!("widen the opening there, or {less}"),
        ),
        OffsetError::NothingLeft { .. } => (
            format!("nothing is left of {opening} when it is moved {moved}"),
            format!("make the opening larger, or {less}"),
        ),
        OffsetError::FallsApart { .. } => (
            format!("{opening} falls apart at {at} when it is moved {moved}: its neck there is too narrow"),
            format!("make the neck wider than {}, or {less}", show(2.0 * distance.abs())),
        ),
        OffsetError::ClosesRound { .. } => (
            format!("{opening} closes round a piece of board at {at} when it is moved {moved}: it would fall out"),
            format!("make the passage to it wider than {}, or {less}", show(2.0 * distance.abs())),
        ),
        OffsetError::NotFinite { .. } => {
            (format!("{what} of {opening} is not a length"), "give a finite number".to_owned())
        }
    };
    let (name, needed) = match error {
        OffsetError::ArcVanishes { radius, .. } => ("radius", Some(*radius)),
        OffsetError::SideVanishes { length, .. } => ("side", Some(*length)),
        OffsetError::CornerOpens { .. }
        | OffsetError::Crosses { .. }
        | OffsetError::NotFinite { .. }
        | OffsetError::NothingLeft { .. }
        | OffsetError::FallsApart { .. }
        | OffsetError::ClosesRound { .. } => ("", None),
    };
    let place = error.place();
    let problem = item.scope.error("no-bevel", message, help).with_mm(name, needed).of_openings([item.number]);
    problem.with_mm("distance", distance.abs()).with_mm("x", place.x).with_mm("y", place.y)
}

/// Says how far and where an outline is moved.
pub(super) fn way(distance: f64) -> String {
    format!("{} by {}", if distance > 0.0 { "outwards" } else { "inwards" }, exact_mm(distance.abs()))
}

/// Says where a place is: on the mat, or from the top left corner of an opening that has no place yet.
pub(super) fn place(item: &GivenOpening<'_>, at: Point, origin: Option<Point>) -> String {
    let show = |mm| item.scope.ruler().show(mm);
    match origin {
        Some(origin) => format!("x {}, y {} from its top left corner", show(at.x - origin.x), show(at.y - origin.y)),
        None => format!("x {}, y {}", show(at.x), show(at.y)),
    }
}

/// Says what makes a move less.
pub(super) fn less(item: &GivenOpening<'_>) -> &'static str {
    if item.has_reveals() {
        "make the reveal smaller, or use thinner board or a steeper bevel"
    } else {
        "use thinner board or a steeper bevel"
    }
}
