//! Whose board goes where: the plan knows sizes only, and boards of one size wait in line for its places.

use std::collections::VecDeque;

use kurbo::Point;

use super::sheet::NestedBoard;
use crate::fault::Certain;
use crate::mat::Mat;
use crate::sheets::cutting::SizeInUnits;
use crate::sheets::{Blank, PreparedRequest, Reason};

/// A board of a mat that found no place so many times.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unplaced {
    /// The place of the mat in the order, counted from zero.
    pub mat: usize,
    /// The place of the board in the mat, counted from zero from the top.
    pub layer: usize,
    /// How many.
    pub quantity: u32,
    /// Why.
    pub reason: Reason,
}

/// A place for a board on a sheet: the item of the plan, the corner in millimetres, and whether the item lies turned.
pub(super) type Spot = (usize, Point, bool);

/// The boards that wait for places of each item.
pub(super) struct Queues<'m>(Vec<VecDeque<Waiting<'m>>>);

/// A board of which so many wait.
struct Waiting<'m> {
    board: NestedBoard<'m>,
    layer: usize,
    /// Whether the width of the board is the height of the item.
    across: bool,
    count: u32,
}

impl<'m> Queues<'m> {
    /// Lines the boards up in the order of the mats.
    pub(super) fn new(mats: &'m [Mat], blanks: &[(usize, usize, Blank)], sheets: &PreparedRequest) -> Self {
        let mut queues: Vec<VecDeque<Waiting<'m>>> = sheets.items.iter().map(|_| VecDeque::new()).collect();
        for (place, layer, blank) in blanks {
            let mat = mats.get(*place).certain("mat of this blank");
            let own = mat.layers.get(*layer).certain("board of this blank");
            let (item, across) = item_of(blank, sheets).certain("item of this blank");
            let board = NestedBoard { mat, layer: own, place: *place, corner: kurbo::Point::ORIGIN, turned: false };
            let queue = queues.get_mut(item).certain("queue of this item");
            queue.push_back(Waiting { board, layer: *layer, across, count: blank.quantity });
        }
        Self(queues)
    }

    /// Fills the places of sheets that are planned alike.
    ///
    /// The same place is filled on every sheet before the next one, so that as many sheets as can be get the same boards.
    pub(super) fn fill(&mut self, places: &[Spot], copies: usize) -> Vec<Vec<NestedBoard<'m>>> {
        let mut sheets: Vec<Vec<NestedBoard<'m>>> = vec![Vec::with_capacity(places.len()); copies];
        for &(item, corner, turned) in places {
            for sheet in &mut sheets {
                sheet.extend(self.next(item).map(|(board, across)| NestedBoard {
                    corner,
                    turned: turned != across,
                    ..board
                }));
            }
        }
        sheets
    }

    fn next(&mut self, item: usize) -> Option<(NestedBoard<'m>, bool)> {
        let queue = self.0.get_mut(item)?;
        while queue.front().is_some_and(|first| first.count == 0) {
            queue.pop_front();
        }
        let first = queue.front_mut()?;
        first.count -= 1;
        Some((first.board, first.across))
    }

    /// Returns the boards that still wait, each for the reason that the plan gives for its item.
    pub(super) fn rest(self, reasons: &[(usize, Reason)]) -> Vec<Unplaced> {
        let mut rest = Vec::new();
        for (item, queue) in self.0.into_iter().enumerate() {
            let reason =
                reasons.iter().find(|(other, _)| *other == item).map_or(Reason::NoStock, |(_, reason)| *reason);
            let waiting = queue.into_iter().filter(|waiting| waiting.count > 0);
            rest.extend(waiting.map(|Waiting { board, layer, count, .. }| Unplaced {
                mat: board.place,
                layer,
                quantity: count,
                reason,
            }));
        }
        rest.sort_by_key(|unplaced| (unplaced.mat, unplaced.layer));
        rest
    }
}

/// Returns the item that a blank is part of, and whether its width is the height of the item.
pub(super) fn item_of(blank: &Blank, sheets: &PreparedRequest) -> Option<(usize, bool)> {
    let [width, height] = blank.size.map(|side| sheets.grid.up(side));
    let size = SizeInUnits { width, height };
    let task = sheets.boards.iter().find(|task| task.board.agrees(&blank.board))?;
    task.items.iter().find_map(|&index| {
        let item = sheets.items.get(index)?;
        let across = item.turnable && item.size == size.turned() && item.size != size;
        (item.size == size || across).then_some((index, across))
    })
}
