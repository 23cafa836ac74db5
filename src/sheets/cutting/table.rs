//! What a rectangle can yield if every piece may be taken as often as wanted: exact by dynamic programming, and a bound
//! for orders with quantities.
//!
//! After Gilmore and Gomory, "The theory and computation of knapsack functions", Operations Research 14 (1966), and, for what lies
//! outside a rectangle, Viswanathan and Bagchi, "Best-first search methods for constrained two-dimensional cutting stock problems",
//! Operations Research 41 (1993).

#![allow(clippy::indexing_slicing, reason = "cells are looked up by places of the two axes")]

use super::discretisation::DiscretisationPoints;
use super::task::Units;

/// Steps of arithmetic that a table may take.
const MOST_STEPS: usize = 700_000_000;
/// Longest axis in units.
const LONGEST: Units = 4_000_000;

/// A piece in one of its positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Position {
    pub(super) piece: usize,
    pub(super) turned: bool,
    /// The size with a kerf added.
    pub(super) size: [Units; 2],
    pub(super) value: i64,
}

/// How the best of a rectangle is made.
#[derive(Clone, Copy, Debug)]
enum RectangleConstruction {
    Nothing,
    Position(u32),
    /// Divided along an axis, the first part at a place of that axis.
    Cut(usize, u32),
}

/// Best values of all rectangles of a sheet.
#[derive(Debug)]
pub(super) struct ValueTable {
    axes: [DiscretisationPoints; 2],
    inside: Vec<i64>,
    best: Vec<RectangleConstruction>,
    outside: Vec<i64>,
}

impl ValueTable {
    /// Works out a sheet, its kerf added; none where that would take too long.
    pub(super) fn new(whole: [Units; 2], positions: &[Position]) -> Option<Self> {
        if whole.into_iter().any(|side| side > LONGEST) {
            return None;
        }
        let axes = [0, 1].map(|axis| {
            let fitting =
                positions.iter().filter(|position| position.size[0] <= whole[0] && position.size[1] <= whole[1]);
            DiscretisationPoints::new(whole[axis], fitting.map(|position| position.size[axis]))
        });
        let [across, down] = [axes[0].lengths.len(), axes[1].lengths.len()];
        if across * down * (across + down) > MOST_STEPS {
            return None;
        }
        let mut table = Self {
            inside: vec![0; across * down],
            best: vec![RectangleConstruction::Nothing; across * down],
            outside: vec![0; across * down],
            axes,
        };
        table.seed(positions);
        table.fill_inside();
        table.fill_outside();
        Some(table)
    }

    fn cell(&self, across: usize, down: usize) -> usize {
        across * self.axes[1].lengths.len() + down
    }

    fn seed(&mut self, positions: &[Position]) {
        for (at, position) in positions.iter().enumerate() {
            for (across, width) in self.axes[0].lengths.iter().enumerate() {
                for (down, height) in self.axes[1].lengths.iter().enumerate() {
                    let cell = across * self.axes[1].lengths.len() + down;
                    if position.size[0] <= *width && position.size[1] <= *height && self.inside[cell] < position.value {
                        self.inside[cell] = position.value;
                        self.best[cell] = RectangleConstruction::Position(at as u32);
                    }
                }
            }
        }
    }

    fn fill_inside(&mut self) {
        let [columns, rows] = [self.axes[0].lengths.len(), self.axes[1].lengths.len()];
        for across in 0..columns {
            // Parts side by side: whole columns of the table are added.
            for first in 1..across {
                let rest = self.axes[0].place(self.axes[0].lengths[across] - self.axes[0].lengths[first]);
                if rest < first {
                    break;
                }
                for down in 0..rows {
                    let sum = self.inside[first * rows + down] + self.inside[rest * rows + down];
                    if sum > self.inside[across * rows + down] {
                        self.inside[across * rows + down] = sum;
                        self.best[across * rows + down] = RectangleConstruction::Cut(0, first as u32);
                    }
                }
            }
            let column = &mut self.inside[across * rows..(across + 1) * rows];
            for down in 0..rows {
                for first in 1..down {
                    let rest = self.axes[1].place(self.axes[1].lengths[down] - self.axes[1].lengths[first]);
                    if rest < first {
                        break;
                    }
                    let sum = column[first] + column[rest];
                    if sum > column[down] {
                        column[down] = sum;
                        self.best[across * rows + down] = RectangleConstruction::Cut(1, first as u32);
                    }
                }
            }
        }
    }

    fn fill_outside(&mut self) {
        let [columns, rows] = [self.axes[0].lengths.len(), self.axes[1].lengths.len()];
        let whole = [0, 1].map(|axis: usize| self.axes[axis].places.len() as Units - 1);
        for across in (0..columns).rev() {
            if across + 1 < columns {
                self.outside.copy_within((across + 1) * rows..(across + 2) * rows, across * rows);
            }
            for part in 1..columns {
                let sum = self.axes[0].lengths[across] + self.axes[0].lengths[part];
                if sum > whole[0] {
                    break;
                }
                let wider = self.axes[0].place(sum);
                for down in 0..rows {
                    let value = self.inside[part * rows + down] + self.outside[wider * rows + down];
                    if value > self.outside[across * rows + down] {
                        self.outside[across * rows + down] = value;
                    }
                }
            }
            for down in (0..rows).rev() {
                let mut best = self.outside[across * rows + down];
                if down + 1 < rows {
                    best = best.max(self.outside[across * rows + down + 1]);
                }
                for part in 1..rows {
                    let sum = self.axes[1].lengths[down] + self.axes[1].lengths[part];
                    if sum > whole[1] {
                        break;
                    }
                    let higher = self.axes[1].place(sum);
                    best = best.max(self.inside[across * rows + part] + self.outside[across * rows + higher]);
                }
                self.outside[across * rows + down] = best;
            }
        }
    }

    /// The value of the whole sheet.
    pub(super) fn whole(&self) -> i64 {
        self.inside.last().copied().unwrap_or(0)
    }

    /// The most that the rest of the sheet yields beside a block of this size, which lies in a corner.
    pub(super) fn beside(&self, size: [Units; 2]) -> i64 {
        self.outside[self.cell(self.axes[0].place(size[0]), self.axes[1].place(size[1]))]
    }

    /// Calls `see` with every cut and position of the best way, the cut before its parts.
    pub(super) fn best_way(&self, see: &mut dyn FnMut(TableStep)) {
        let [columns, rows] = [self.axes[0].lengths.len(), self.axes[1].lengths.len()];
        self.step(columns - 1, rows - 1, see);
    }

    fn step(&self, across: usize, down: usize, see: &mut dyn FnMut(TableStep)) {
        match self.best[self.cell(across, down)] {
            RectangleConstruction::Nothing => see(TableStep::Nothing),
            RectangleConstruction::Position(at) => see(TableStep::Position(at as usize)),
            RectangleConstruction::Cut(axis, first) => {
                see(TableStep::Cut(axis));
                let first = first as usize;
                let place = if axis == 0 { across } else { down };
                let lengths = &self.axes[axis].lengths;
                let rest = self.axes[axis].place(lengths[place] - lengths[first]);
                for part in [first, rest] {
                    if axis == 0 { self.step(part, down, see) } else { self.step(across, part, see) }
                }
            }
        }
    }
}

/// A step of a way of cutting, told in the order of a tree from its root.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TableStep {
    /// Nothing comes from this part.
    Nothing,
    /// One piece does.
    Position(usize),
    /// It is cut in two along an axis; the steps of both parts follow.
    Cut(usize),
}
