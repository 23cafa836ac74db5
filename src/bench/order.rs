//! The order of cuts that sets the guide, then the stops, then turns the board as rarely as possible.

use std::collections::{BTreeMap, BTreeSet};

use super::order_exact::ExactOrders;
use super::order_search::search;
use super::order_task::{ChangeWeight, CutOrderTask, gathered};
use super::{Changes, Setup};
use crate::fault::Certain;
use crate::tour::Cost;

/// An order of cuts, and how good it is.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct CutOrder {
    /// For each board the cuts in order, as positions in its list.
    pub sequence: Vec<Vec<usize>>,
    /// What the order takes.
    pub changes: Changes,
    /// What every order takes at least; equal to `changes` where the order is proven to be the best.
    pub at_least: Changes,
}

/// One way to come out of a board: its last setup, what it took so far, and the order of its setups.
struct BoardExit {
    last: Option<Setup>,
    weight: ChangeWeight,
    /// Setups in order, and the position of the exit of the board before.
    path: Vec<usize>,
    before: usize,
}

impl CutOrder {
    /// Finds the best order of the cuts of several boards, which are cut one after the other.
    ///
    /// On each board the guide is set once for each of its numbers; among these orders the one with the fewest settings
    /// of stops, and among those the one with the fewest turns, is found exactly as long as a board has not too many
    /// different settings. Beyond, the order is searched for, and [`CutOrder::at_least`] says how much better any
    /// order could be. Cuts to pencil lines, for which the guide is off, are one of these groups. No two boards may lie in the
    /// same way.
    #[must_use]
    pub fn best(boards: &[Vec<Setup>]) -> Self {
        let mut exits =
            vec![vec![BoardExit { last: None, weight: ChangeWeight::default(), path: Vec::new(), before: 0 }]];
        let mut bound = ChangeWeight::default();
        let mut exact = true;
        for board in boards {
            let entries = exits.last().certain("way into the first board");
            let task = CutOrderTask::new(board, entries.iter().map(|exit| (exit.last, exit.weight)));
            bound = bound.plus(task.bound(entries.iter().map(|exit| exit.last)));
            let (next, is_exact) = leave(&task, entries);
            exact &= is_exact;
            exits.push(next);
        }
        let paths = trace(&exits);
        let sequence: Vec<Vec<usize>> = boards.iter().zip(&paths).map(|(board, path)| expand(board, path)).collect();
        let ordered = boards.iter().zip(&sequence);
        let changes = Changes::along(
            ordered.flat_map(|(board, order)| order.iter().map(|&cut| board.get(cut).certain("cut of this number"))),
        );
        let at_least = if exact { changes } else { bound.changes() + more_layings(boards) };
        Self { sequence, changes, at_least }
    }

    /// Tells whether no order takes less.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.changes == self.at_least
    }
}

/// Works out all ways out of a board that could be part of the best order, and whether they are exact.
fn leave(task: &CutOrderTask, entries: &[BoardExit]) -> (Vec<BoardExit>, bool) {
    if task.setups.is_empty() {
        let through = entries.iter().enumerate();
        let through =
            through.map(|(before, exit)| BoardExit { last: exit.last, weight: exit.weight, path: Vec::new(), before });
        return (through.collect(), true);
    }
    let exit = |weight: ChangeWeight, path: Vec<usize>| {
        let before = path.first().and_then(|&first| task.enter.get(first)).certain("way into this board").1;
        let last = path.last().and_then(|&last| task.setups.get(last)).copied();
        BoardExit { last, weight, path, before }
    };
    if let Some(exact) = ExactOrders::solve(task) {
        let ways = (0..task.setups.len()).filter_map(|last| Some(exit(exact.weight(last)?, exact.path(last))));
        return (ways.collect(), true);
    }
    let path = search(task);
    (vec![exit(task.weight_of(&path), path)], false)
}

/// Follows the best way out of the last board back to the first board.
fn trace(exits: &[Vec<BoardExit>]) -> Vec<Vec<usize>> {
    let last = exits.last().certain("way into the first board");
    let mut at = (0..last.len()).min_by_key(|&way| last.get(way).map(|exit| exit.weight)).certain("way out of a board");
    let mut paths = Vec::new();
    for board in exits.iter().skip(1).rev() {
        let exit = board.get(at).certain("way out of this board");
        paths.push(exit.path.clone());
        at = exit.before;
    }
    paths.reverse();
    paths
}

/// Replaces setups by the cuts made with them, in the order of the list, line after line.
fn expand(board: &[Setup], path: &[usize]) -> Vec<usize> {
    let mut cuts: BTreeMap<Setup, Vec<usize>> = BTreeMap::new();
    for (cut, setup) in gathered(board).into_iter().enumerate() {
        cuts.entry(setup).or_default().push(cut);
    }
    let mut cuts: Vec<Vec<usize>> = cuts.into_values().collect();
    cuts.iter_mut().for_each(|cuts| cuts.sort_by_key(|&cut| board.get(cut).map(|setup| setup.lie)));
    path.iter().flat_map(|&setup| cuts.get(setup).certain("cuts with this setting")).copied().collect()
}

/// Counts how often boards are laid on pencil lines beyond once for each blade, which no order changes.
fn more_layings(boards: &[Vec<Setup>]) -> Changes {
    let free = |setups: &[Setup]| setups.iter().filter(|setup| setup.is_free()).collect::<BTreeSet<_>>().len();
    let more = boards.iter().map(|board| free(board) - free(&gathered(board))).sum::<usize>();
    Changes { laid: u32::try_from(more).unwrap_or(u32::MAX), ..Changes::default() }
}

#[cfg(test)]
mod tests {
    use super::CutOrder;
    use crate::bench::{Changes, Guide, Setup, Stop};

    fn setup(guide: i64, near: i64, far: i64, lie: usize) -> Setup {
        Setup { guide: Guide::At(guide), stops: [Stop::At(near), Stop::At(far)], lie, blade: 0 }
    }

    fn changes(guide: u32, stops: u32, laid: u32) -> Changes {
        Changes { guide, stops, laid, blade: 1 }
    }

    #[test]
    fn equal_settings_are_cut_together() {
        let board = vec![setup(48, 48, 64, 0), setup(64, 48, 48, 1), setup(48, 64, 48, 2), setup(48, 48, 48, 3)];
        let order = CutOrder::best(std::slice::from_ref(&board));
        assert_eq!(order.changes, changes(2, 5, 4));
        assert!(order.is_proven());
        assert_eq!(Changes::along(&board), changes(3, 5, 4));
    }

    #[test]
    fn the_second_board_begins_where_the_first_one_ends() {
        let boards = [vec![setup(1, 1, 1, 0), setup(2, 1, 1, 1)], vec![setup(3, 1, 1, 10), setup(1, 1, 1, 11)]];
        let order = CutOrder::best(&boards);
        assert_eq!(order.sequence, [vec![1, 0], vec![1, 0]]);
        assert_eq!(order.changes, changes(3, 2, 4));
    }

    #[test]
    fn nothing_to_cut_takes_nothing() {
        assert_eq!(CutOrder::best(&[]).changes, Changes::default());
        let order = CutOrder::best(&[vec![], vec![setup(1, 2, 3, 0)]]);
        assert_eq!(order.sequence, [vec![], vec![0]]);
        assert!(order.is_proven());
    }

    #[test]
    fn the_guide_comes_off_once_for_all_pencil_lines_of_two_boards() {
        let pencil = |lie| Setup { guide: Guide::Off, stops: [Stop::Away; 2], lie, blade: 0 };
        let boards = [vec![pencil(5), setup(1, 2, 3, 0), pencil(6)], vec![setup(1, 2, 3, 10), pencil(15)]];
        let order = CutOrder::best(&boards);
        // Off, 1 for both boards, off again, or the other way round; the stops are moved with it.
        assert_eq!(order.changes, changes(3, 6, 5));
        assert!(order.is_proven());
    }
}
