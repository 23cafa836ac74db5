//! What a rectangle can yield at given prices of pieces, each taken as often as wanted: exact by dynamic programming.
//!
//! After Gilmore and Gomory, "The theory and computation of knapsack functions", Operations Research 14 (1966), on the normal
//! positions of Herz, "Recursive computational procedure for two-dimensional stock cutting", IBM Journal of Research and
//! Development 16 (1972).

#![allow(clippy::indexing_slicing, reason = "cells are looked up by places of the two axes")]

use super::axis::Axis;
use super::task::Units;

/// Places of an axis at most, whose divisions are all listed.
const MOST_PLACES: u64 = 3_000;

/// A piece in one of its positions, by the places of its sides.
#[derive(Clone, Copy, Debug)]
struct Place {
    piece: usize,
    across: usize,
    down: usize,
}

/// The ways to cut each length of an axis in two, by the places of both parts.
#[derive(Debug)]
struct Divisions {
    pairs: Vec<(u32, u32)>,
    /// Where the pairs of each length start.
    starts: Vec<usize>,
}

impl Divisions {
    /// Of several first parts that leave the same rest, only the longest can matter.
    fn new(axis: &Axis) -> Self {
        let mut pairs: Vec<(u32, u32)> = Vec::new();
        let mut starts = vec![0];
        for of in 0..axis.lengths.len() {
            let start = pairs.len();
            for first in 1..of {
                let rest = axis.rest(of, first);
                if rest < first {
                    break;
                }
                let pair = (first as u32, rest as u32);
                match pairs[start..].last_mut() {
                    Some(last) if last.1 == pair.1 => *last = pair,
                    _ => pairs.push(pair),
                }
            }
            starts.push(pairs.len());
        }
        Self { pairs, starts }
    }

    fn of(&self, place: usize) -> &[(u32, u32)] {
        &self.pairs[self.starts[place]..self.starts[place + 1]]
    }
}

/// The rectangles of a grid and what they are worth.
#[derive(Debug)]
pub(super) struct PriceTable {
    axes: [Axis; 2],
    divisions: [Divisions; 2],
    places: Vec<Place>,
    worth: Vec<i32>,
}

impl PriceTable {
    /// A table for sheets up to a size, and pieces of these sizes in all their positions; kerfs are added to both. None where filling
    /// it would take more than so many steps of arithmetic.
    pub(super) fn new(largest: [Units; 2], sizes: &[(usize, [Units; 2])], most_steps: u64) -> Option<Self> {
        let fits = |size: &[Units; 2]| size[0] <= largest[0] && size[1] <= largest[1];
        let fitting: Vec<(usize, [Units; 2])> = sizes.iter().filter(|(_, size)| fits(size)).copied().collect();
        let axes = [0, 1].map(|axis| Axis::new(largest[axis], fitting.iter().map(|(_, size)| size[axis])));
        let [columns, rows] = axes.each_ref().map(|axis| axis.lengths.len() as u64);
        // No length has more divisions than places below its half.
        if columns.max(rows) > MOST_PLACES
            || columns.saturating_mul(rows).saturating_mul(columns / 16 + rows / 4 + 1) > most_steps
        {
            return None;
        }
        let mut places: Vec<Place> = fitting
            .iter()
            .map(|&(piece, size)| Place { piece, across: axes[0].place(size[0]), down: axes[1].place(size[1]) })
            .collect();
        places.sort_by_key(|place| (place.across, place.down, place.piece));
        let worth = vec![0; axes[0].lengths.len() * axes[1].lengths.len()];
        let divisions = axes.each_ref().map(Divisions::new);
        Some(Self { axes, divisions, places, worth })
    }

    /// About how many steps of arithmetic it takes to fill the table once.
    pub(super) fn steps(&self) -> u64 {
        let [columns, rows] = self.axes.each_ref().map(|axis| axis.lengths.len() as u64);
        let [across, down] = self.divisions.each_ref().map(|divisions| divisions.pairs.len() as u64);
        // Whole columns are added at a time, which is quicker.
        across * rows / 4 + columns * (down + rows)
    }

    /// Works out what all rectangles are worth at these prices, which are not below zero.
    pub(super) fn fill(&mut self, prices: &[i32]) {
        let [columns, rows] = self.axes.each_ref().map(|axis| axis.lengths.len());
        let mut seeds = self.places.iter().peekable();
        for across in 0..columns {
            let (done, rest) = self.worth.split_at_mut(across * rows);
            let column = &mut rest[..rows];
            match across.checked_sub(1) {
                Some(before) => column.copy_from_slice(&done[before * rows..]),
                None => column.fill(0),
            }
            while let Some(place) = seeds.next_if(|place| place.across == across) {
                column[place.down] = column[place.down].max(prices[place.piece]);
            }
            for &(first, rest) in self.divisions[0].of(across) {
                let [one, other] = [first, rest].map(|part| part as usize * rows);
                let parts = done[one..one + rows].iter().zip(&done[other..other + rows]);
                for (cell, (one, other)) in column.iter_mut().zip(parts) {
                    *cell = (*cell).max(one + other);
                }
            }
            for down in 1..rows {
                let mut best = column[down].max(column[down - 1]);
                for &(first, rest) in self.divisions[1].of(down) {
                    best = best.max(column[first as usize] + column[rest as usize]);
                }
                column[down] = best;
            }
        }
    }

    fn at(&self, across: usize, down: usize) -> i32 {
        self.worth[across * self.axes[1].lengths.len() + down]
    }

    /// What a sheet is worth, no larger than the largest.
    pub(super) fn worth(&self, sheet: [Units; 2]) -> i32 {
        self.at(self.axes[0].place(sheet[0]), self.axes[1].place(sheet[1]))
    }

    /// Counts the pieces of a best way to cut a sheet at these prices.
    pub(super) fn count(&self, sheet: [Units; 2], prices: &[i32], counts: &mut [u32]) {
        self.count_in(self.axes[0].place(sheet[0]), self.axes[1].place(sheet[1]), prices, counts);
    }

    fn count_in(&self, mut across: usize, mut down: usize, prices: &[i32], counts: &mut [u32]) {
        let worth = self.at(across, down);
        if worth == 0 {
            return;
        }
        while across > 0 && self.at(across - 1, down) == worth {
            across -= 1;
        }
        while down > 0 && self.at(across, down - 1) == worth {
            down -= 1;
        }
        let here = |place: &&Place| place.across == across && place.down == down && prices[place.piece] == worth;
        if let Some(place) = self.places.iter().find(here) {
            counts[place.piece] += 1;
            return;
        }
        for &(first, rest) in self.divisions[0].of(across) {
            let (first, rest) = (first as usize, rest as usize);
            if self.at(first, down) + self.at(rest, down) == worth {
                self.count_in(first, down, prices, counts);
                self.count_in(rest, down, prices, counts);
                return;
            }
        }
        for &(first, rest) in self.divisions[1].of(down) {
            let (first, rest) = (first as usize, rest as usize);
            if self.at(across, first) + self.at(across, rest) == worth {
                self.count_in(across, first, prices, counts);
                self.count_in(across, rest, prices, counts);
                return;
            }
        }
    }
}
