//! Why the outline of an opening cannot be moved sideways for its bevel or its reveal.

use super::given_opening::GivenOpening;
use crate::geometry::OffsetError;
use crate::length::exact_mm;
use crate::problem::Problem;

/// Explains why an outline cannot be moved by `distance` millimetres.
pub(super) fn no_bevel(item: &GivenOpening<'_>, error: &OffsetError, distance: f64, what: &str) -> Problem {
    // Numbers that decide are not rounded to a ruler: they would look equal.
    let show = exact_mm;
    let at = |mm| item.scope.ruler().show(mm);
    let (x, y) = (at(error.place().x), at(error.place().y));
    let opening = item.title_words();
    let (message, help) = match error {
        OffsetError::ArcVanishes { radius, .. } => (
            format!(
                "{opening} has a curve of radius {} at x {x}, y {y}, too tight to be moved by {} for {what}",
                show(*radius),
                show(distance)
            ),
            format!("make the radius larger than {}, or use thinner board or a steeper bevel", show(distance)),
        ),
        OffsetError::SideVanishes { length, .. } => (
            format!(
                "{opening} has a side of only {} at x {x}, y {y}, which {what} of {} swallows",
                show(*length),
                show(distance)
            ),
            "make the side longer or leave it out, or use thinner board or a steeper bevel".to_owned(),
        ),
        OffsetError::CornerOpens { .. } => (
            format!(
                "the two sides that meet at x {x}, y {y} in {opening} no longer meet when moved by {} for {what}",
                show(distance)
            ),
            "make the corner less sharp, or use thinner board or a steeper bevel".to_owned(),
        ),
        OffsetError::Crosses { .. } => (
            format!("{what} of {} makes {opening} cross itself at x {x}, y {y}", show(distance)),
            "widen the opening there, or use thinner board or a steeper bevel".to_owned(),
        ),
        OffsetError::NotFinite { .. } => {
            (format!("{what} of {opening} is no length"), "give a finite number".to_owned())
        }
    };
    let (name, needed) = match error {
        OffsetError::ArcVanishes { radius, .. } => ("radius", Some(*radius)),
        OffsetError::SideVanishes { length, .. } => ("side", Some(*length)),
        OffsetError::CornerOpens { .. } | OffsetError::Crosses { .. } | OffsetError::NotFinite { .. } => ("", None),
    };
    let place = error.place();
    let problem = item.scope.error("no-bevel", message, help).with_mm(name, needed);
    problem.with_mm("distance", distance).with_mm("x", place.x).with_mm("y", place.y)
}
