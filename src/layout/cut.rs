//! Cuts a placed opening through a board.

use super::no_bevel::no_bevel;
use super::placed_opening::PlacedOpening;
use crate::mat::{Board, Opening};
use crate::problem::Problem;

/// Cuts an opening through one board of its group, counted within the group.
pub(super) fn cut(placed: &PlacedOpening<'_>, layer: usize, board: &Board) -> Result<Opening, Problem> {
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
