//! Cuts a placed opening through a board, and explains why a bevel cannot be cut.

use super::group::Placed;
use super::item::Item;
use crate::geometry::OffsetError;
use crate::length::exact_mm;
use crate::mat::{Board, Opening};
use crate::problem::Problem;

/// Cuts an opening through one board of its group, counted within the group.
pub(super) fn cut(placed: &Placed<'_>, layer: usize, board: &Board) -> Result<Opening, Problem> {
    let item = &placed.item;
    let bevel = item.bevel(layer);
    let outside = item.sight_outside(layer);
    let shape = item.shape.word();
    let cut = Opening::around(&placed.outline, outside, bevel, board.thickness, item.number, shape);
    cut.map(|opening| Opening { name: item.name.to_owned(), ..opening }).map_err(|error| {
        let width = bevel.width(board.thickness);
        let what = if width > 0.0 { "its bevel or reveal" } else { "its reveal" };
        no_bevel(item, &error, width.max(outside.abs()), what)
    })
}

/// Explains why an outline cannot be moved by `distance` millimetres.
pub(super) fn no_bevel(item: &Item<'_>, error: &OffsetError, distance: f64, what: &str) -> Problem {
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
    };
    let (name, needed) = match error {
        OffsetError::ArcVanishes { radius, .. } => ("radius", Some(*radius)),
        OffsetError::SideVanishes { length, .. } => ("side", Some(*length)),
        OffsetError::CornerOpens { .. } | OffsetError::Crosses { .. } => ("", None),
    };
    let place = error.place();
    let problem = item.scope.error("no-bevel", message, help).with_mm(name, needed);
    problem.with_mm("distance", distance).with_mm("x", place.x).with_mm("y", place.y)
}
