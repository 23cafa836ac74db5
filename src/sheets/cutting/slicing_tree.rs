//! Pieces put together to a block, and the tree of cuts that takes it apart.

use super::block::{BlockConstruction, PieceBlocks};
use super::hole::{Id, NONE};
use super::table::{Position, TableStep, ValueTable};
use super::task::Units;
use super::tree::{HolePlacement, Tree};

/// Pieces put together.
#[derive(Clone, Debug)]
pub(super) enum SlicingTree {
    /// One piece.
    Piece(Position),
    /// Parts in a row along an axis, none of them a row along the same one.
    Row(usize, Vec<SlicingTree>),
}

impl SlicingTree {
    /// The best of a table; none where nothing fits.
    pub(super) fn of_table(table: &ValueTable, positions: &[Position]) -> Option<Self> {
        let mut steps = Vec::new();
        table.best_way(&mut |step| steps.push(step));
        Self::of_steps(&mut steps.into_iter(), positions)
    }

    fn of_steps(steps: &mut impl Iterator<Item = TableStep>, positions: &[Position]) -> Option<Self> {
        match steps.next()? {
            TableStep::Nothing => None,
            TableStep::Position(at) => positions.get(at).map(|position| Self::Piece(*position)),
            TableStep::Cut(axis) => {
                let first = Self::of_steps(steps, positions);
                let second = Self::of_steps(steps, positions);
                match (first, second) {
                    (Some(first), Some(second)) => Some(Self::row(axis, first, second)),
                    (first, second) => first.or(second),
                }
            }
        }
    }

    /// A block with all its pieces.
    pub(super) fn of_block(blocks: &PieceBlocks<'_>, id: u32, positions: &[Position]) -> Option<Self> {
        match blocks.made(id) {
            BlockConstruction::Position(at) => positions.get(at).map(|position| Self::Piece(*position)),
            BlockConstruction::Joined(axis, one, other) => {
                let first = Self::of_block(blocks, one, positions)?;
                let second = Self::of_block(blocks, other, positions)?;
                Some(Self::row(axis, first, second))
            }
        }
    }

    /// Two parts side by side along an axis.
    pub(super) fn row(axis: usize, first: Self, second: Self) -> Self {
        let mut parts = Vec::new();
        for part in [first, second] {
            match part {
                Self::Row(other, more) if other == axis => parts.extend(more),
                part => parts.push(part),
            }
        }
        Self::Row(axis, parts)
    }

    /// Its size with a kerf added.
    fn size(&self) -> [Units; 2] {
        match self {
            Self::Piece(position) => position.size,
            Self::Row(axis, parts) => {
                let sizes = parts.iter().map(Self::size);
                sizes.fold([0, 0], |sum, size| {
                    let add = |of: usize, sum: Units, side: Units| if *axis == of { sum + side } else { sum.max(side) };
                    let ([width, height], [w, h]) = (sum, size);
                    [add(0, width, w), add(1, height, h)]
                })
            }
        }
    }

    /// Calls `see` with every piece.
    pub(super) fn pieces(&self, see: &mut dyn FnMut(&Position)) {
        match self {
            Self::Piece(position) => see(position),
            Self::Row(_, parts) => parts.iter().for_each(|part| part.pieces(see)),
        }
    }

    /// Calls `change` with every piece.
    pub(super) fn pieces_mut(&mut self, change: &mut dyn FnMut(&mut Position)) {
        match self {
            Self::Piece(position) => change(position),
            Self::Row(_, parts) => parts.iter_mut().for_each(|part| part.pieces_mut(change)),
        }
    }

    /// The sum of the values of its pieces.
    pub(super) fn value(&self) -> i64 {
        let mut sum = 0;
        self.pieces(&mut |position| sum += position.value);
        sum
    }

    /// Cuts it from a hole of a tree, which it fits.
    pub(super) fn cut_from(&self, tree: &mut Tree, hole: Id, kerf: Units) {
        match self {
            Self::Piece(position) => {
                let size = position.size.map(|side| side - kerf);
                tree.insert(
                    &HolePlacement { hole, size, turned: position.turned, first_axis: 0 },
                    position.piece as u32,
                );
            }
            Self::Row(axis, parts) => {
                let mut rest = hole;
                for part in parts {
                    if rest == NONE {
                        return;
                    }
                    let measure = (if *axis == 0 { part.size()[0] } else { part.size()[1] }) - kerf;
                    let (here, after) = tree.part_off(rest, *axis, measure);
                    part.cut_from(tree, here, kerf);
                    rest = after;
                }
            }
        }
    }
}
