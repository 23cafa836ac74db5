//! The pieces of an order by what they are, whoever ordered them: equal ones are one kind.

use std::collections::BTreeMap;

use super::table::Position;
use super::task::{StockSheet, Task, Units};

/// Pieces of one size that may lie the same ways.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct PieceKind {
    /// Width and height of each way that it may lie, kerfs added; the first is straight where it may be turned on some stock only.
    pub(super) ways: Vec<[Units; 2]>,
    /// How many are ordered.
    pub(super) quantity: u32,
    /// Places in the task of the pieces of this kind.
    pub(super) pieces: Vec<usize>,
}

impl PieceKind {
    /// The area of one, its kerf added.
    pub(super) fn area(&self) -> i64 {
        self.ways.first().map_or(0, |[width, height]| width * height)
    }

    /// Takes one of the pieces in the task that are left, to lie in a size that has its kerf added; none if none is left.
    pub(super) fn take(&self, task: &Task, left: &mut [u32], size: [Units; 2]) -> Option<Position> {
        let piece = *self.pieces.iter().find(|piece| left.get(**piece).is_some_and(|left| *left > 0))?;
        *left.get_mut(piece)? -= 1;
        let straight = task.pieces.get(piece)?.size.along().map(|side| side + task.rules.kerf);
        Some(Position { piece, turned: straight != size, size, value: 0 })
    }
}

/// The kinds as they may lie on stock that allows turning, or on stock that does not.
pub(super) fn lying(kinds: &[PieceKind], stock_turnable: bool) -> Vec<PieceKind> {
    let mut kinds = kinds.to_vec();
    if !stock_turnable {
        kinds.iter_mut().for_each(|kind| kind.ways.truncate(1));
    }
    kinds
}

/// Whether the stocks of a task allow turning: all of them, or, in a simplified task, some and then the others do not.
pub(super) fn turnings(task: &Task) -> &'static [bool] {
    if task.stock.iter().all(|stock| stock.turnable) { &[true] } else { &[true, false] }
}

/// The place in [`turnings`] of what a stock allows.
pub(super) fn turning_of(stock: &StockSheet) -> usize {
    usize::from(!stock.turnable)
}

/// The kinds that are ordered, the largest first.
pub(super) fn kinds(task: &Task) -> Vec<PieceKind> {
    let mixed = turnings(task).len() > 1;
    let mut kinds: BTreeMap<Vec<[Units; 2]>, PieceKind> = BTreeMap::new();
    for (at, piece) in task.pieces.iter().enumerate().filter(|(_, piece)| piece.quantity > 0) {
        let size = piece.size.along().map(|side| side + task.rules.kerf);
        let mut ways = vec![size];
        if piece.turnable && size[0] != size[1] {
            ways.push([size[1], size[0]]);
        }
        // What is the same either way round on one sheet is not on another that allows one way only.
        if !mixed {
            ways.sort_unstable();
        }
        let kind = kinds.entry(ways.clone()).or_insert(PieceKind { ways, quantity: 0, pieces: Vec::new() });
        kind.quantity = kind.quantity.saturating_add(piece.quantity);
        kind.pieces.push(at);
    }
    let mut kinds: Vec<PieceKind> = kinds.into_values().collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(kind.area()));
    kinds
}

/// The sizes of the sheets of a task, kerfs added.
pub(super) fn sheets(task: &Task) -> Vec<[Units; 2]> {
    task.stock.iter().map(|stock| stock.size.along().map(|side| side + task.rules.kerf)).collect()
}

#[cfg(test)]
mod tests {
    use super::kinds;
    use crate::sheets::cutting::{Piece, Rules, SizeInUnits, Task};

    #[test]
    fn equal_pieces_are_one_kind() {
        let piece = |width, height, quantity, turnable| Piece {
            size: SizeInUnits { width, height },
            quantity,
            turnable,
            value: None,
        };
        let pieces = vec![
            piece(3, 4, 2, true),
            piece(5, 5, 1, true),
            piece(4, 3, 1, true),
            piece(3, 4, 7, false),
            piece(5, 5, 1, false),
        ];
        let rules = Rules { kerf: 1, ..Rules::default() };
        let found: Vec<_> = kinds(&Task { pieces, stock: Vec::new(), rules })
            .into_iter()
            .map(|kind| (kind.ways.len(), kind.quantity, kind.pieces))
            .collect();
        assert_eq!(found, [(1, 2, vec![1, 4]), (1, 7, vec![3]), (2, 3, vec![0, 2])]);
    }
}
