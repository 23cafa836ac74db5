//! The most valuable pieces for one sheet by building blocks from blocks, the most promising first.
//!
//! After Viswanathan and Bagchi, "Best-first search methods for constrained two-dimensional cutting stock problems",
//! Operations Research 41 (1993), and Cung, Hifi and Le Cun, "Constrained two-dimensional cutting stock problems: a
//! best-first branch-and-bound algorithm", International Transactions in Operational Research 7 (2000).

#![allow(clippy::indexing_slicing, reason = "blocks name earlier blocks and pieces of the task")]

use std::collections::{BTreeMap, BinaryHeap};

use super::random::Random;
use super::table::{Position, ValueTable};
use super::task::Units;

/// Blocks at most.
const MOST_BLOCKS: usize = 400_000;

/// How a block is made.
#[derive(Clone, Copy, Debug)]
pub(super) enum BlockConstruction {
    /// It is a piece.
    Position(usize),
    /// Two blocks side by side (0) or one above the other (1).
    Joined(usize, u32, u32),
}

#[derive(Clone, Copy, Debug)]
struct PieceBlock {
    size: [Units; 2],
    value: i64,
    /// A number for what pieces it has.
    mark: u64,
    made: BlockConstruction,
}

/// Blocks for a sheet.
pub(super) struct PieceBlocks<'a> {
    whole: [Units; 2],
    positions: &'a [Position],
    quantities: Vec<u16>,
    table: &'a ValueTable,
    blocks: Vec<PieceBlock>,
    /// How often each block has each piece.
    counts: Vec<u16>,
    by_mark: BTreeMap<u64, Vec<u32>>,
    marks: Vec<u64>,
    /// Pieces by falling value for area, with their areas and values.
    by_density: Vec<(usize, i64, i64)>,
    open: BinaryHeap<(i64, u32)>,
    /// No filling is worth more.
    pub(super) bound: i64,
    /// The best value known.
    best: i64,
    best_block: Option<u32>,
}

impl<'a> PieceBlocks<'a> {
    /// Starts with single pieces, to beat a value that is known; `whole` has a kerf added.
    pub(super) fn new(
        whole: [Units; 2],
        positions: &'a [Position],
        quantities: Vec<u16>,
        table: &'a ValueTable,
        known: i64,
    ) -> Self {
        let mut random = Random::new(1);
        let marks = quantities.iter().map(|_| random.next()).collect();
        let mut by_density: Vec<(usize, i64, i64)> = Vec::new();
        for position in positions {
            if by_density.iter().all(|(piece, ..)| *piece != position.piece) {
                by_density.push((position.piece, position.size[0] * position.size[1], position.value));
            }
        }
        by_density.sort_by(|one, other| {
            (i128::from(other.2) * i128::from(one.1)).cmp(&(i128::from(one.2) * i128::from(other.1)))
        });
        Self {
            whole,
            positions,
            quantities,
            table,
            blocks: Vec::new(),
            counts: Vec::new(),
            by_mark: BTreeMap::new(),
            marks,
            by_density,
            open: BinaryHeap::new(),
            bound: table.whole(),
            best: known,
            best_block: None,
        }
    }

    /// Joins blocks until none can be better than the best, or so many joins are tried; gives the best block if it beats what was known.
    pub(super) fn run(&mut self, joins: u64) -> Option<u32> {
        for (at, position) in self.positions.iter().enumerate() {
            if self.quantities[position.piece] > 0 {
                let mut counts = vec![0; self.quantities.len()];
                counts[position.piece] = 1;
                self.offer(
                    position.size,
                    position.value,
                    self.marks[position.piece],
                    BlockConstruction::Position(at),
                    &counts,
                );
            }
        }
        let mut closed: Vec<u32> = Vec::new();
        let mut tried = 0;
        let mut counts = vec![0; self.quantities.len()];
        while let Some((bound, id)) = self.open.pop() {
            self.bound = self.bound.min(bound);
            if bound <= self.best {
                break;
            }
            if tried >= joins || self.blocks.len() >= MOST_BLOCKS {
                return self.best_block;
            }
            closed.push(id);
            for &other in &closed {
                tried += 1;
                self.join(id, other, &mut counts);
            }
        }
        self.bound = self.best;
        self.best_block
    }

    fn join(&mut self, one: u32, other: u32, counts: &mut [u16]) {
        let (a, b) = (self.blocks[one as usize], self.blocks[other as usize]);
        let sizes = [0, 1].map(|axis| {
            let mut size = [a.size[0].max(b.size[0]), a.size[1].max(b.size[1])];
            size[axis] = a.size[axis] + b.size[axis];
            size
        });
        let value = a.value + b.value;
        let fits = sizes.map(|size| {
            size[0] <= self.whole[0] && size[1] <= self.whole[1] && value + self.table.beside(size) > self.best
        });
        if !fits[0] && !fits[1] {
            return;
        }
        let kinds = self.quantities.len();
        let [ones, others] = [one, other].map(|id| &self.counts[id as usize * kinds..(id as usize + 1) * kinds]);
        for (count, (a, b)) in counts.iter_mut().zip(ones.iter().zip(others)) {
            *count = a + b;
        }
        if counts.iter().zip(&self.quantities).any(|(count, quantity)| count > quantity) {
            return;
        }
        for axis in [0, 1] {
            if fits[axis] {
                let mark = a.mark.wrapping_add(b.mark);
                self.offer(sizes[axis], value, mark, BlockConstruction::Joined(axis, one, other), counts);
            }
        }
    }

    /// Takes a new block in unless it cannot lead to a better filling, or one with the same pieces is no larger.
    fn offer(&mut self, size: [Units; 2], value: i64, mark: u64, made: BlockConstruction, counts: &[u16]) {
        if size[0] > self.whole[0] || size[1] > self.whole[1] {
            return;
        }
        let free = self.whole[0] * self.whole[1] - size[0] * size[1];
        let bound = value + self.table.beside(size).min(self.by_area(free, counts));
        if bound <= self.best && value <= self.best {
            return;
        }
        let kinds = self.quantities.len();
        let alike = self.by_mark.entry(mark).or_default();
        let smaller = alike.iter().any(|id| {
            let block = &self.blocks[*id as usize];
            let row = *id as usize * kinds;
            block.size[0] <= size[0] && block.size[1] <= size[1] && self.counts[row..row + kinds] == *counts
        });
        if smaller {
            return;
        }
        let id = self.blocks.len() as u32;
        alike.push(id);
        self.blocks.push(PieceBlock { size, value, mark, made });
        self.counts.extend_from_slice(counts);
        if value > self.best {
            (self.best, self.best_block) = (value, Some(id));
        }
        self.open.push((bound, id));
    }

    /// The most value that pieces not yet taken can have in an area, if they could be cut into bits.
    fn by_area(&self, free: i64, counts: &[u16]) -> i64 {
        let mut free = free;
        let mut sum = 0;
        for &(piece, area, value) in &self.by_density {
            let left = i64::from(self.quantities[piece] - counts[piece]);
            let whole = (free / area).min(left);
            sum += whole * value;
            free -= whole * area;
            if whole < left {
                return sum + (i128::from(value) * i128::from(free) / i128::from(area)) as i64;
            }
        }
        sum
    }

    /// How a block is made.
    pub(super) fn made(&self, id: u32) -> BlockConstruction {
        self.blocks[id as usize].made
    }
}
