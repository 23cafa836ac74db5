//! Every choice of pieces that a sheet yields, by putting blocks together: for orders of few kinds.
//!
//! After Wang, "Two algorithms for constrained two-dimensional cutting stock problems", Operations Research 31 (1983): a block is two
//! smaller ones side by side or one above the other. Of all blocks with the same pieces only those are kept that no other
//! undercuts in both width and height.

#![allow(clippy::indexing_slicing, reason = "choices are numbered by their pieces")]

use std::ops::ControlFlow;

use super::kinds::PieceKind;
use super::slicing_tree::SlicingTree;
use super::table::Position;
use super::task::Units;

/// Choices of pieces that are looked at, at most.
const MOST_CHOICES: usize = 200_000;
/// Pieces at most, so that nothing is nested too deeply.
const MOST_PIECES: u64 = 2_000;
/// Steps of arithmetic that looking at a block takes.
const STEPS: u64 = 4;
/// Choices between two questions to the watcher.
const ASK_EVERY: usize = 64;

/// The width and height of a block.
pub(super) type BlockSize = [Units; 2];

/// How the pieces of an order are counted by one number.
///
/// A choice has a digit for each kind; its base is one more than the quantity ordered. Less of any kind is a smaller number.
#[derive(Clone, Debug)]
pub(super) struct Numbering {
    /// How many of each kind are ordered.
    pub(super) quantities: Vec<u32>,
    /// What one of each kind adds to the number.
    pub(super) steps: Vec<usize>,
    /// How many choices there are.
    pub(super) count: usize,
}

impl Numbering {
    /// None where there are more choices than allowed.
    pub(super) fn new(quantities: Vec<u32>, most: usize) -> Option<Self> {
        let mut steps = Vec::with_capacity(quantities.len());
        let mut count = 1_usize;
        for quantity in &quantities {
            steps.push(count);
            count = count.checked_mul(*quantity as usize + 1).filter(|count| *count <= most)?;
        }
        Some(Self { quantities, steps, count })
    }

    /// How many of a kind a choice has.
    pub(super) fn digit(&self, choice: usize, kind: usize) -> u32 {
        (choice / self.steps[kind] % (self.quantities[kind] as usize + 1)) as u32
    }

    /// How many of each kind a choice has.
    pub(super) fn digits(&self, choice: usize) -> Vec<u32> {
        (0..self.steps.len()).map(|kind| self.digit(choice, kind)).collect()
    }

    /// Calls `see` with every smaller choice within a choice, but with one half of each division only, until it gives none.
    fn for_each_half(&self, digits: &[u32], choice: usize, see: &mut dyn FnMut(usize) -> Option<()>) -> Option<()> {
        let mut part = vec![0_u32; digits.len()];
        let mut number = 0;
        loop {
            let kind = (0..digits.len()).find(|kind| part[*kind] < digits[*kind]);
            let Some(kind) = kind else { return Some(()) };
            for (digit, step) in part.iter_mut().zip(&self.steps).take(kind) {
                number -= std::mem::take(digit) as usize * step;
            }
            part[kind] += 1;
            number += self.steps[kind];
            if 2 * number > choice {
                return Some(());
            }
            see(number)?;
        }
    }
}

/// Blocks by their pieces.
#[derive(Debug)]
pub(super) struct Yields {
    pub(super) numbering: Numbering,
    kinds: Vec<PieceKind>,
    /// For each choice its blocks from the narrowest to the lowest, kerfs added.
    blocks: Vec<Vec<BlockSize>>,
}

impl Yields {
    /// Puts together all blocks that fit one of the sheets; none where there are too many choices, or it takes more than so many
    /// steps, or `ask` says stop.
    pub(super) fn new(
        kinds: &[PieceKind],
        sheets: &[BlockSize],
        work: &mut u64,
        ask: &mut dyn FnMut() -> ControlFlow<()>,
    ) -> Option<Self> {
        let pieces: u64 = kinds.iter().map(|kind| u64::from(kind.quantity)).sum();
        if pieces > MOST_PIECES {
            return None;
        }
        let numbering = Numbering::new(kinds.iter().map(|kind| kind.quantity).collect(), MOST_CHOICES)?;
        let blocks = vec![Vec::new(); numbering.count];
        let mut yields = Self { numbering, kinds: kinds.to_vec(), blocks };
        let mut found = Vec::new();
        for choice in 1..yields.numbering.count {
            if choice.is_multiple_of(ASK_EVERY) && ask().is_break() {
                return None;
            }
            yields.join_all(choice, sheets, &mut found, work)?;
            yields.blocks[choice] = found.as_slice().to_vec();
        }
        Some(yields)
    }

    /// Finds the blocks of a choice that fit a sheet from those of smaller choices; none if that takes too much work.
    fn join_all(&self, choice: usize, sheets: &[BlockSize], found: &mut Vec<BlockSize>, work: &mut u64) -> Option<()> {
        let numbering = &self.numbering;
        *work = work.checked_sub(STEPS * self.kinds.len() as u64)?;
        found.clear();
        let digits = numbering.digits(choice);
        let area: i128 =
            digits.iter().zip(&self.kinds).map(|(digit, kind)| i128::from(*digit) * i128::from(kind.area())).sum();
        let with_one_less = |(kind, digit): (usize, &u32)| {
            *digit == 0 || choice == numbering.steps[kind] || !self.blocks[choice - numbering.steps[kind]].is_empty()
        };
        if area > sheets.iter().map(|[width, height]| i128::from(width * height)).max().unwrap_or(0)
            || !digits.iter().enumerate().all(with_one_less)
        {
            return Some(());
        }
        if let Some(kind) = numbering.steps.iter().position(|step| *step == choice) {
            self.kinds[kind].ways.iter().for_each(|way| keep(found, *way));
        }
        let most = [0, 1].map(|axis: usize| sheets.iter().map(|sheet| sheet[axis]).max().unwrap_or(0));
        numbering.for_each_half(&digits, choice, &mut |part| {
            let (one, other) = (&self.blocks[part], &self.blocks[choice - part]);
            *work = work.checked_sub(STEPS * (1 + one.len() + other.len()) as u64)?;
            join(one, other, 0, most[0], found);
            join(one, other, 1, most[1], found);
            Some(())
        })?;
        found.retain(|extent| sheets.iter().any(|sheet| fits(*extent, *sheet)));
        Some(())
    }

    /// Whether a sheet yields a choice of pieces.
    pub(super) fn has(&self, sheet: BlockSize, choice: usize) -> bool {
        choice == 0 || self.blocks[choice].iter().any(|extent| fits(*extent, sheet))
    }

    /// The choices that a sheet yields and to which nothing can be added.
    pub(super) fn largest(&self, sheet: BlockSize) -> Vec<usize> {
        let numbering = &self.numbering;
        let full = |choice: usize| {
            (0..numbering.steps.len()).all(|kind| {
                numbering.digit(choice, kind) == numbering.quantities[kind]
                    || !self.has(sheet, choice + numbering.steps[kind])
            })
        };
        (1..numbering.count).filter(|choice| self.has(sheet, *choice) && full(*choice)).collect()
    }

    /// How a sheet yields a choice; `piece` names a piece of a kind each time that one is needed. None where it does not.
    pub(super) fn assembly(
        &self,
        sheet: BlockSize,
        choice: usize,
        piece: &mut dyn FnMut(usize, BlockSize) -> Option<Position>,
    ) -> Option<SlicingTree> {
        let block = *self.blocks[choice].iter().find(|extent| fits(**extent, sheet))?;
        if let Some(kind) = self.numbering.steps.iter().position(|step| *step == choice) {
            return piece(kind, block).map(SlicingTree::Piece);
        }
        let (axis, part, room) = self.division(choice, block)?;
        let one = self.assembly(room[0], part, piece)?;
        let other = self.assembly(room[1], choice - part, piece)?;
        Some(SlicingTree::row(axis, one, other))
    }

    /// A way to cut a block in two: the axis, what the first part has, and the sizes of both.
    fn division(&self, choice: usize, block: BlockSize) -> Option<(usize, usize, [BlockSize; 2])> {
        let mut found = None;
        let digits = self.numbering.digits(choice);
        self.numbering.for_each_half(&digits, choice, &mut |part| {
            for axis in [0, 1] {
                for first in self.blocks[part].iter().filter(|first| fits(**first, block)) {
                    let (mut one, mut other) = (block, block);
                    one[axis] = first[axis];
                    other[axis] = block[axis] - first[axis];
                    if self.has(other, choice - part) {
                        found = Some((axis, part, [one, other]));
                        return None;
                    }
                }
            }
            Some(())
        });
        found
    }
}

fn fits(extent: BlockSize, sheet: BlockSize) -> bool {
    extent[0] <= sheet[0] && extent[1] <= sheet[1]
}

/// Joins blocks along an axis that is so long: for every measure across it the shortest of both.
fn join(one: &[BlockSize], other: &[BlockSize], axis: usize, most: Units, found: &mut Vec<BlockSize>) {
    // From the longest along the axis, which is the least across it, to the shortest.
    let at = |list: &[BlockSize], place: usize| if axis == 0 { list[list.len() - 1 - place] } else { list[place] };
    if one.is_empty() || other.is_empty() {
        return;
    }
    if at(one, one.len() - 1)[axis] + at(other, other.len() - 1)[axis] > most {
        return;
    }
    let across = 1 - axis;
    let (mut first, mut second) = (0, 0);
    loop {
        let (a, b) = (at(one, first), at(other, second));
        if a[axis] + b[axis] <= most {
            let mut extent = [a[0].max(b[0]), a[1].max(b[1])];
            extent[axis] = a[axis] + b[axis];
            keep(found, extent);
        }
        let next = [(one, first + 1), (other, second + 1)]
            .map(|(list, place)| if place < list.len() { at(list, place)[across] } else { Units::MAX });
        if next == [Units::MAX; 2] {
            return;
        }
        first += usize::from(next[0] <= next[1]);
        second += usize::from(next[1] <= next[0]);
    }
}

/// Takes a block in unless another undercuts it, and leaves out those that it undercuts.
fn keep(kept: &mut Vec<BlockSize>, extent: BlockSize) {
    let after = kept.partition_point(|other| other[0] <= extent[0]);
    if after.checked_sub(1).is_some_and(|before| kept[before][1] <= extent[1]) {
        return;
    }
    let first = kept.partition_point(|other| other[0] < extent[0]);
    let last = first + kept[first..].partition_point(|other| other[1] >= extent[1]);
    kept.splice(first..last, [extent]);
}
