//! What rectangles yield at given prices if no piece is taken more often than ordered: good choices, not always the best.
//!
//! The recursion of Gilmore and Gomory, "The theory and computation of knapsack functions", Operations Research 14 (1966), in which
//! every rectangle keeps a few choices of pieces instead of a value, so that both parts of a cut seldom want the same piece.

#![allow(
    clippy::indexing_slicing,
    reason = "cells are looked up by places of the two axes, choices by the number of them"
)]

use super::discretisation::{DiscretisationPoints, greatest_divisor};
use super::slicing_tree::SlicingTree;
use super::table::Position;
use super::tally::{Tally, TallyLimits};
use super::task::Units;

/// Choices kept of each rectangle.
const KEPT: usize = 3;
/// Longest side of a sheet in steps of the grid.
const LONGEST: Units = 50_000;
/// Places of an axis at most.
const MOST_PLACES: usize = 2_000;
/// Steps of arithmetic that looking at two parts of a rectangle takes.
const STEPS: u64 = 8;

/// A choice: its rectangle, and which of the choices kept of that.
type Name = (u32, u8);

/// How a choice is made.
#[derive(Clone, Copy, Debug)]
enum ChoiceConstruction {
    Nothing,
    /// It is a piece in a position.
    Position(u32),
    /// Two choices in a row along an axis.
    Joined(u8, Name, Name),
}

#[derive(Clone, Copy, Debug)]
struct Choice {
    tally: Tally,
    made: ChoiceConstruction,
}

/// The best choices of a rectangle, with falling worth; no two are worth the same, for these mostly are the same.
#[derive(Clone, Copy, Debug)]
struct BestChoices {
    worth: [i32; KEPT],
    choices: [Choice; KEPT],
}

impl BestChoices {
    const NONE: Self =
        Self { worth: [0; KEPT], choices: [Choice { tally: Tally::NONE, made: ChoiceConstruction::Nothing }; KEPT] };

    /// What a choice must be worth more than, to be kept.
    #[inline]
    fn least(&self) -> i32 {
        self.worth[KEPT - 1]
    }

    /// Takes in a choice that is worth more than the least.
    #[inline]
    fn keep(&mut self, worth: i32, choice: Choice) {
        if self.worth.contains(&worth) {
            return;
        }
        let mut place = KEPT - 1;
        while place > 0 && self.worth[place - 1] < worth {
            (self.worth[place], self.choices[place]) = (self.worth[place - 1], self.choices[place - 1]);
            place -= 1;
        }
        (self.worth[place], self.choices[place]) = (worth, choice);
    }
}

/// The rectangles of a grid and the choices kept of them.
#[derive(Debug)]
pub(super) struct ChoiceTable {
    /// So many units are a step of the grid.
    unit: Units,
    axes: [DiscretisationPoints; 2],
    positions: Vec<Position>,
    /// The places of the sides of each position, and the position.
    seeds: Vec<(usize, usize, usize)>,
    limits: TallyLimits,
    worth: Vec<[i32; KEPT]>,
    choices: Vec<[Choice; KEPT]>,
}

impl ChoiceTable {
    /// A table for sheets up to a size, and pieces in these positions, numbered by their kind; kerfs are added to both. None where
    /// filling it would take more than so many steps of arithmetic.
    pub(super) fn new(largest: [Units; 2], positions: Vec<Position>, most_steps: u64) -> Option<Self> {
        let sides = positions.iter().flat_map(|position| position.size);
        // All that lies side by side is a multiple of what divides every side.
        let unit = sides.fold(0, greatest_divisor).max(1);
        let largest = largest.map(|side| side / unit);
        if largest.into_iter().any(|side| side > LONGEST) {
            return None;
        }
        let side = |position: &Position, axis: usize| position.size[axis] / unit;
        let axes = [0, 1].map(|axis| {
            DiscretisationPoints::new(largest[axis], positions.iter().map(|position| side(position, axis)))
        });
        if axes.iter().any(|axis| axis.lengths.len() > MOST_PLACES) {
            return None;
        }
        let place = |position: &Position, axis: usize| axes[axis].place(side(position, axis));
        let places = positions.iter().enumerate();
        let mut seeds: Vec<(usize, usize, usize)> =
            places.map(|(at, position)| (place(position, 0), place(position, 1), at)).collect();
        seeds.sort_unstable();
        let cells = axes[0].lengths.len() * axes[1].lengths.len();
        let mut table = Self {
            unit,
            axes,
            positions,
            seeds,
            limits: TallyLimits::new(&[]),
            worth: Vec::new(),
            choices: Vec::new(),
        };
        if table.most_steps() > most_steps {
            return None;
        }
        table.worth = vec![BestChoices::NONE.worth; cells];
        table.choices = vec![BestChoices::NONE.choices; cells];
        Some(table)
    }

    /// How many steps of arithmetic it may take to fill the table once.
    fn most_steps(&self) -> u64 {
        let [columns, rows] = self.axes.each_ref().map(|axis| axis.lengths.len() as u64);
        STEPS * columns * rows * (columns + rows) / 4
    }

    /// Says how often each kind may be taken.
    pub(super) fn limit(&mut self, quantities: &[u32]) {
        self.limits = TallyLimits::new(quantities);
    }

    /// Works out choices of all rectangles at these prices of the kinds, which are not below zero; gives about how many steps of
    /// arithmetic that took.
    pub(super) fn fill(&mut self, prices: &[i32]) -> u64 {
        let [columns, rows] = self.axes.each_ref().map(|axis| axis.lengths.len());
        let mut seeds = self.seeds.iter().peekable();
        // Places whose rectangles yield more than the one before: others need not be looked at as parts.
        let mut wider: Vec<Vec<usize>> = vec![Vec::new(); rows];
        let mut higher: Vec<usize> = Vec::new();
        let mut looks = self.worth.len() as u64;
        for across in 0..columns {
            higher.clear();
            for (down, wider) in wider.iter_mut().enumerate() {
                let cell = across * rows + down;
                let mut best = BestChoices::NONE;
                let narrower = if across > 0 { self.worth[cell - rows] } else { BestChoices::NONE.worth };
                let lower = if down > 0 { self.worth[cell - 1] } else { BestChoices::NONE.worth };
                if across > 0 {
                    (best.worth, best.choices) = (narrower, self.choices[cell - rows]);
                }
                if down > 0 {
                    self.keep_all(cell - 1, &mut best);
                }
                while let Some((.., at)) = seeds.next_if(|seed| (seed.0, seed.1) == (across, down)) {
                    let kind = self.positions[*at].piece;
                    if prices[kind] > best.least() {
                        let made = ChoiceConstruction::Position(*at as u32);
                        best.keep(prices[kind], Choice { tally: self.limits.one(kind), made });
                    }
                }
                for (first, rest) in self.parts(0, across, wider) {
                    looks += 1;
                    self.join(0, [first * rows + down, rest * rows + down], &mut best);
                }
                for (first, rest) in self.parts(1, down, &higher) {
                    looks += 1;
                    self.join(1, [across * rows + first, across * rows + rest], &mut best);
                }
                (self.worth[cell], self.choices[cell]) = (best.worth, best.choices);
                if best.worth != narrower {
                    wider.push(across);
                }
                if best.worth != lower {
                    higher.push(down);
                }
            }
        }
        STEPS * looks
    }

    /// The ways to divide the length at a place in two, the shorter part being one of some, by the places of both parts.
    fn parts(&self, axis: usize, of: usize, shorter: &[usize]) -> impl Iterator<Item = (usize, usize)> {
        let axis = &self.axes[axis];
        shorter.iter().map(move |first| (*first, axis.rest(of, *first))).take_while(|(first, rest)| first <= rest)
    }

    /// Keeps the choices of a smaller rectangle.
    fn keep_all(&self, cell: usize, best: &mut BestChoices) {
        for (worth, choice) in self.worth[cell].iter().zip(&self.choices[cell]) {
            if *worth <= best.least() {
                return;
            }
            best.keep(*worth, *choice);
        }
    }

    /// Keeps what two parts in a row yield together.
    #[inline]
    fn join(&self, axis: u8, [one, other]: [usize; 2], best: &mut BestChoices) {
        let (ones, others) = (&self.worth[one], &self.worth[other]);
        if ones[0] + others[0] <= best.least() {
            return;
        }
        for (i, first) in ones.iter().enumerate() {
            for (j, second) in others.iter().enumerate() {
                let worth = first + second;
                // One part alone is kept as a smaller rectangle.
                if worth <= best.least() || *first == 0 || *second == 0 {
                    break;
                }
                if best.worth.contains(&worth) {
                    continue;
                }
                if let Some(tally) = self.limits.sum(&self.choices[one][i].tally, &self.choices[other][j].tally) {
                    let made = ChoiceConstruction::Joined(axis, (one as u32, i as u8), (other as u32, j as u8));
                    best.keep(worth, Choice { tally, made });
                }
            }
        }
    }

    /// The choices of a sheet, no larger than the largest.
    pub(super) fn best(&self, sheet: [Units; 2]) -> Vec<SlicingTree> {
        let [across, down] = [0, 1].map(|axis: usize| self.axes[axis].place(sheet[axis] / self.unit));
        let cell = (across * self.axes[1].lengths.len() + down) as u32;
        (0..KEPT).filter_map(|at| self.assembly((cell, at as u8))).collect()
    }

    fn assembly(&self, (cell, at): Name) -> Option<SlicingTree> {
        match self.choices[cell as usize][usize::from(at)].made {
            ChoiceConstruction::Nothing => None,
            ChoiceConstruction::Position(at) => Some(SlicingTree::Piece(self.positions[at as usize])),
            ChoiceConstruction::Joined(axis, one, other) => {
                Some(SlicingTree::row(axis.into(), self.assembly(one)?, self.assembly(other)?))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ChoiceTable, Position};

    fn table(sheet: [i64; 2], pieces: &[(i64, i64)], quantities: &[u32]) -> ChoiceTable {
        let positions = pieces.iter().enumerate();
        let positions = positions
            .map(|(piece, &(width, height))| Position { piece, turned: false, size: [width, height], value: 0 })
            .collect();
        let mut table = ChoiceTable::new(sheet, positions, u64::MAX).unwrap_or_else(|| panic!("small enough"));
        table.limit(quantities);
        table
    }

    fn counts(table: &ChoiceTable, sheet: [i64; 2], kinds: usize) -> Vec<Vec<u32>> {
        let choices = table.best(sheet);
        let count = |assembly: &super::SlicingTree| {
            let mut counts = vec![0; kinds];
            assembly.pieces(&mut |position| {
                if let Some(count) = counts.get_mut(position.piece) {
                    *count += 1;
                }
            });
            counts
        };
        choices.iter().map(count).collect()
    }

    #[test]
    fn takes_no_piece_too_often() {
        let mut table = table([10, 10], &[(5, 5), (4, 5)], &[3, 9]);
        table.fill(&[100, 60]);
        assert_eq!(counts(&table, [10, 10], 2).first(), Some(&vec![3, 1]));
        table.limit(&[1, 1]);
        table.fill(&[100, 60]);
        assert_eq!(counts(&table, [10, 10], 2).first(), Some(&vec![1, 1]));
    }

    #[test]
    fn choices_differ_and_smaller_sheets_yield_less() {
        let mut table = table([1000, 1000], &[(600, 1000), (400, 500), (400, 500)], &[1, 1, 1]);
        table.fill(&[8, 4, 3]);
        assert_eq!(counts(&table, [1000, 1000], 3), [vec![1, 1, 1], vec![1, 1, 0], vec![1, 0, 1]]);
        assert_eq!(counts(&table, [999, 1000], 3).first(), Some(&vec![1, 0, 0]));
        assert_eq!(counts(&table, [500, 999], 3).first(), Some(&vec![0, 1, 0]));
    }
}
