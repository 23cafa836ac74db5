//! Cuts a placed opening through a board.

use super::no_bevel::no_bevel;
use super::placed_opening::PlacedOpening;
use super::trims::{left_out, runs_straight};
use crate::mat::{Board, Opening};
use crate::problem::Problem;

/// Cuts an opening through one board of its group, counted within the group; `name` is that of the board.
pub(super) fn cut(
    placed: &PlacedOpening<'_>,
    layer: usize,
    (name, board): (&str, &Board),
    problems: &mut Vec<Problem>,
) -> Result<Opening, Problem> {
    let item = &placed.item;
    let bevel = item.bevel(layer);
    let outside = item.sight_outside(layer);
    let shape = item.shape.word();
    let cut = Opening::around(&placed.outline, outside, bevel, board.thickness, item.number, shape, placed.trims);
    let opening = cut.map_err(|error| {
        let width = bevel.width(board.thickness);
        // The farther of its outlines.
        let distance = if outside + width > -outside { outside + width } else { outside };
        no_bevel(item, &error, distance, None)
    })?;
    problems.extend(left_out(item, &opening, name));
    problems.extend(runs_straight(item, &opening, name));
    Ok(Opening { name: item.name.to_owned(), turn_deg: item.turn, ..opening })
}
