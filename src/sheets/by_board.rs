//! The blanks of an order sorted by the boards that they are of.

use super::{Blank, BoardName};
use crate::problem::{KeyPath, Problem};

/// A board, with all that its blanks say of it, and the places of its blanks in the order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BoardBlanks {
    pub(super) board: BoardName,
    pub(super) blanks: Vec<usize>,
}

/// Sorts blanks by board, the boards in the order in which blanks first name them.
///
/// A blank of which less is said goes with the one board of the order that it may be; if it may be several, that is a problem.
pub(super) fn by_board(blanks: &[Blank], problems: &mut Vec<Problem>) -> Vec<BoardBlanks> {
    let mut wanted: Vec<(usize, &Blank)> = blanks.iter().enumerate().filter(|(_, blank)| blank.quantity > 0).collect();
    // Those of which most is said come first; the sort keeps the order of equals.
    wanted.sort_by_key(|(_, blank)| std::cmp::Reverse(blank.board.known_facts()));
    let mut boards: Vec<BoardBlanks> = Vec::new();
    for (index, blank) in wanted {
        let mut fitting: Vec<&mut BoardBlanks> = boards.iter_mut().filter(|of| of.board.agrees(&blank.board)).collect();
        problems.extend(ambiguous(blank, &fitting).filter(|problem| !problems.contains(problem)));
        match fitting.first_mut() {
            Some(of) => {
                of.board.learn(&blank.board);
                of.blanks.push(index);
            }
            None => boards.push(BoardBlanks { board: blank.board.clone(), blanks: vec![index] }),
        }
    }
    boards.iter_mut().for_each(|of| of.blanks.sort_unstable());
    boards.sort_by_key(|of| of.blanks.first().copied());
    boards
}

fn ambiguous(blank: &Blank, fitting: &[&mut BoardBlanks]) -> Option<Problem> {
    let [one, other, ..] = fitting else { return None };
    let (one, other) = (one.board.describe(), other.board.describe());
    let message = format!("\"{}\" is of {}, which may be {one} or {other}", blank.name, blank.board.describe());
    Some(Problem::error("board", KeyPath::root(), message, "say more about the board: its thickness or its colour"))
}

#[cfg(test)]
mod tests {
    use super::{BoardBlanks, by_board};
    use crate::length::Ratio;
    use crate::sheets::{Blank, BoardName};

    fn sorted(boards: &[&str]) -> (Vec<BoardBlanks>, usize) {
        let blank = |board: &&str| Blank {
            name: (*board).to_owned(),
            customer: String::new(),
            size: [Ratio::ONE; 2],
            unit: None,
            quantity: 1,
            board: BoardName::named(board),
            turnable: true,
        };
        let blanks: Vec<Blank> = boards.iter().map(blank).collect();
        let mut problems = Vec::new();
        (by_board(&blanks, &mut problems), problems.len())
    }

    #[test]
    fn every_blank_is_of_one_board() {
        let (boards, problems) = sorted(&["white", "grey", "white 8-ply", "8 ply white"]);
        assert_eq!(problems, 0);
        let places: Vec<_> = boards.iter().map(|of| of.blanks.clone()).collect();
        assert_eq!(places, [vec![0, 2, 3], vec![1]]);
        assert_eq!(boards.first().and_then(|of| of.board.thickness.plies), Some(8));
    }

    #[test]
    fn a_blank_that_may_be_of_two_boards_is_not_planned_twice() {
        let (boards, problems) = sorted(&["8-ply white", "4-ply white", "white"]);
        assert_eq!(problems, 1);
        assert_eq!(boards.iter().map(|of| of.blanks.len()).sum::<usize>(), 3);
    }
}
