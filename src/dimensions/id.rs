//! The names of sizes, in JSON and in SVG.

use std::fmt;

use super::dimension::{Axis, DimensionKind};

/// A word or a number of a name.
enum Part {
    Word(&'static str),
    Number(usize),
}
use Part::{Number, Word};

impl DimensionKind {
    /// Appends the [`Dimension::id`](super::Dimension::id). Drawings have so many that they are put together by hand: `write!`
    /// takes ten times as long.
    pub(crate) fn push_id(&self, id: &mut String) {
        match *self {
            Self::Outer { axis } => push(id, [Word("outer"), Word(axis.name())]),
            Self::Board { axis, board } => push(id, [Word("board"), Number(board), Word(axis.name())]),
            Self::Rabbet { axis } => push(id, [Word("rabbet"), Word(axis.name())]),
            Self::FrameSight { axis } => push(id, [Word("frame-sight"), Word(axis.name())]),
            Self::FrameOutside { axis } => push(id, [Word("frame-outside"), Word(axis.name())]),
            Self::Lip => push(id, [Word("lip")]),
            Self::Moulding => push(id, [Word("moulding")]),
            Self::Border { side, opening: Some(opening), .. } => {
                push(id, [Word("opening"), Number(opening), Word(side.name())]);
            }
            Self::Border { side, opening: None, board } => {
                push_lower_board(id, board);
                push(id, [Word("border"), Word(side.name())]);
            }
            Self::Opening { axis, opening } => push(id, [Word("opening"), Number(opening), Word(axis.name())]),
            Self::Art { axis, opening } => push(id, [Word("art"), Number(opening), Word(axis.name())]),
            Self::Overlap { side, opening } => push(id, [Word("overlap"), Number(opening), Word(side.name())]),
            Self::Bar { axis, between, board } => {
                push_lower_board(id, board);
                push_bar(id, axis, between);
            }
            Self::Reveal { board } => push(id, [Word("reveal"), Number(board)]),
            Self::Sight { axis, opening, board } => {
                push_board(id, board);
                push(id, [Word("opening"), Number(opening), Word("sight"), Word(axis.name())]);
            }
            Self::SightBorder { side, opening, board } => {
                push_board(id, board);
                if let Some(opening) = opening {
                    push(id, [Word("opening"), Number(opening)]);
                    id.push('-');
                }
                push(id, [Word("sight"), Word(side.name())]);
            }
            Self::CutBorder { side, opening, board } => {
                push_board(id, board);
                push(id, [Word("opening"), Number(opening), Word("cut"), Word(side.name())]);
            }
            Self::SightBar { axis, between, board } => {
                push_board(id, board);
                push(id, [Word("sight-")]);
                push_bar(id, axis, between);
            }
            Self::SightGroup { axis, board } => {
                push(id, [Word("board"), Number(board), Word("sight"), Word(axis.name())])
            }
            Self::Section { from: (left, edge), to: (right, other) } => {
                push(id, [Word("section"), Number(left), Word(edge.name()), Number(right), Word(other.name())]);
            }
        }
    }
}

impl fmt::Display for DimensionKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut id = String::new();
        self.push_id(&mut id);
        f.write_str(&id)
    }
}

fn push<const N: usize>(id: &mut String, parts: [Part; N]) {
    for (index, part) in parts.into_iter().enumerate() {
        if index > 0 {
            id.push('-');
        }
        match part {
            Word(word) => id.push_str(word),
            Number(number) => id.push_str(itoa::Buffer::new().format(number)),
        }
    }
}

fn push_board(id: &mut String, board: usize) {
    push(id, [Word("board"), Number(board)]);
    id.push('-');
}

/// Names the board of a group of openings that does not start in the top board.
fn push_lower_board(id: &mut String, board: usize) {
    if board > 1 {
        push_board(id, board);
    }
}

fn push_bar(id: &mut String, axis: Axis, [before, after]: [usize; 2]) {
    let word = match axis {
        Axis::Width => "bar",
        Axis::Height => "bar-down",
    };
    push(id, [Word(word), Number(before), Number(after)]);
}
