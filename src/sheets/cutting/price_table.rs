//! What a rectangle can yield at given prices of pieces, each taken as often as wanted: exact by dynamic programming.
//!
//! After Gilmore and Gomory, "The theory and computation of knapsack functions", Operations Research 14 (1966), on the normal
//! positions of Herz, "Recursive computational procedure for two-dimensional stock cutting", IBM Journal of Research and
//! Development 16 (1972).

#![allow(clippy::indexing_slicing, reason = "cells are looked up by places of the two axes")]

use super::discretisation::DiscretisationPoints;
use super::task::Units;

/// Places of an axis at most, whose divisions are all listed.
const MOST_PLACES: u64 = 3_000;

/// A piece in one of its positions, by the places of its sides.
#[derive(Clone, Copy, Debug)]
struct PricedPosition {
    piece: usize,
    across: usize,
    down: usize,
}

/// Neighbouring lengths that, each with the same other one, make neighbouring lengths.
#[derive(Clone, Copy, Debug)]
struct LengthRun {
    /// The place of the shortest.
    part: u32,
    /// The place of what it makes with the other.
    whole: u32,
    count: u32,
}

/// For each length of an axis all that is no longer, and what both make.
#[derive(Debug)]
struct Joins {
    runs: Vec<LengthRun>,
    /// Where the runs of each length start.
    starts: Vec<usize>,
}

impl Joins {
    fn new(axis: &DiscretisationPoints) -> Self {
        let longest = axis.lengths.last().copied().unwrap_or(0);
        let mut joins = Self { runs: Vec::new(), starts: vec![0] };
        for other in 0..axis.lengths.len() {
            let start = joins.runs.len();
            for part in 1..=other {
                let length = axis.lengths[part] + axis.lengths[other];
                if length > longest {
                    break;
                }
                let (part, whole) = (part as u32, axis.place(length) as u32);
                match joins.runs[start..].last_mut() {
                    Some(run) if run.whole + run.count == whole => run.count += 1,
                    _ => joins.runs.push(LengthRun { part, whole, count: 1 }),
                }
            }
            joins.starts.push(joins.runs.len());
        }
        joins
    }

    fn of(&self, place: usize) -> &[LengthRun] {
        &self.runs[self.starts[place]..self.starts[place + 1]]
    }
}

/// The ways to cut the length at a place in two, by the places of both parts, the shorter one first; without those that leave
/// something over, as a shorter length has them too.
fn divisions(axis: &DiscretisationPoints, of: usize) -> impl Iterator<Item = (usize, usize)> {
    let parts = (1..of).map(move |first| (first, axis.rest(of, first)));
    let all = parts.take_while(|(first, rest)| first <= rest);
    all.filter(move |(first, rest)| axis.lengths[*first] + axis.lengths[*rest] == axis.lengths[of])
}

/// How many lengths can be left of each length of an axis where the first part is no longer, in all.
fn count_rests(axis: &DiscretisationPoints) -> u64 {
    let rests = |of: usize| {
        let rests = (1..of).map(move |first| (first, axis.rest(of, first))).take_while(|(first, rest)| first <= rest);
        let mut last = usize::MAX;
        rests.filter(|(_, rest)| std::mem::replace(&mut last, *rest) != *rest).count() as u64
    };
    (0..axis.lengths.len()).map(rests).sum()
}

/// The rectangles of a grid and what they are worth.
#[derive(Debug)]
pub(super) struct PriceTable {
    axes: [DiscretisationPoints; 2],
    /// What lengths down make.
    joins: Joins,
    steps: u64,
    places: Vec<PricedPosition>,
    worth: Vec<i32>,
}

impl PriceTable {
    /// A table for sheets up to a size, and pieces of these sizes in all their positions; kerfs are added to both. None where filling
    /// it would take more than so many steps of arithmetic.
    pub(super) fn new(largest: [Units; 2], sizes: &[(usize, [Units; 2])], most_steps: u64) -> Option<Self> {
        let fits = |size: &[Units; 2]| size[0] <= largest[0] && size[1] <= largest[1];
        let fitting: Vec<(usize, [Units; 2])> = sizes.iter().filter(|(_, size)| fits(size)).copied().collect();
        let axes =
            [0, 1].map(|axis| DiscretisationPoints::new(largest[axis], fitting.iter().map(|(_, size)| size[axis])));
        let [columns, rows] = axes.each_ref().map(|axis| axis.lengths.len() as u64);
        // No length has more divisions than places below its half.
        if columns.max(rows) > MOST_PLACES
            || columns.saturating_mul(rows).saturating_mul(columns / 16 + rows / 4 + 1) > most_steps
        {
            return None;
        }
        let mut places: Vec<PricedPosition> = fitting
            .iter()
            .map(|&(piece, size)| PricedPosition {
                piece,
                across: axes[0].place(size[0]),
                down: axes[1].place(size[1]),
            })
            .collect();
        places.sort_by_key(|place| (place.across, place.down, place.piece));
        let worth = vec![0; axes[0].lengths.len() * axes[1].lengths.len()];
        let joins = Joins::new(&axes[1]);
        // Whole columns are added at a time, which is quicker.
        let [across, down] = axes.each_ref().map(count_rests);
        let steps = across * rows / 4 + columns * (down + rows);
        Some(Self { axes, joins, places, worth, steps })
    }

    /// About how many steps of arithmetic it takes to fill the table once.
    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// Works out what all rectangles are worth at these prices, which are not below zero.
    pub(super) fn fill(&mut self, prices: &[i32]) {
        let [columns, rows] = self.axes.each_ref().map(|axis| axis.lengths.len());
        // Columns worth more than the one before; of others the one before makes as much of less.
        let mut counts = vec![true; columns];
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
            for (first, rest) in
                divisions(&self.axes[0], across).filter(|(first, rest)| counts[*first] && counts[*rest])
            {
                let [one, other] = [first, rest].map(|part| part * rows);
                let parts = done[one..one + rows].iter().zip(&done[other..other + rows]);
                for (cell, (one, other)) in column.iter_mut().zip(parts) {
                    *cell = (*cell).max(one + other);
                }
            }
            for down in 1..rows {
                let (shorter, longer) = column.split_at_mut(down + 1);
                let here = shorter[down].max(shorter[down - 1]);
                shorter[down] = here;
                // What a shorter part is worth as well, that makes of shorter lengths.
                if here == shorter[down - 1] {
                    continue;
                }
                for run in self.joins.of(down) {
                    let [part, whole, count] = [run.part, run.whole, run.count].map(|place| place as usize);
                    let cells = longer[whole - down - 1..][..count].iter_mut();
                    for (cell, part) in cells.zip(&shorter[part..part + count]) {
                        *cell = (*cell).max(here + part);
                    }
                }
            }
            if let Some(before) = across.checked_sub(1) {
                counts[across] = done[before * rows..] != *column;
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
        let first = self.places.partition_point(|place| (place.across, place.down) < (across, down));
        let mut here = self.places[first..].iter().take_while(|place| place.across == across && place.down == down);
        if let Some(place) = here.find(|place| prices[place.piece] == worth) {
            counts[place.piece] += 1;
            return;
        }
        for (first, rest) in divisions(&self.axes[0], across) {
            if self.at(first, down) + self.at(rest, down) == worth {
                self.count_in(first, down, prices, counts);
                self.count_in(rest, down, prices, counts);
                return;
            }
        }
        for (first, rest) in divisions(&self.axes[1], down) {
            if self.at(across, first) + self.at(across, rest) == worth {
                self.count_in(across, first, prices, counts);
                self.count_in(across, rest, prices, counts);
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

    use super::super::random::Random;
    use super::*;

    /// What a rectangle is worth, by trying every cut at every whole length.
    fn tried(sizes: &[(usize, [Units; 2])], prices: &[i32], whole: [Units; 2]) -> Vec<Vec<i32>> {
        let [columns, rows] = whole.map(|side| side as usize + 1);
        let mut worth = vec![vec![0; rows]; columns];
        for (width, height) in (0..columns).flat_map(|width| (0..rows).map(move |height| (width, height))) {
            let fits = |size: &[Units; 2]| size[0] <= width as Units && size[1] <= height as Units;
            let one = sizes.iter().filter(|(_, size)| fits(size)).map(|(piece, _)| prices[*piece]);
            let across = (1..width).map(|first| worth[first][height] + worth[width - first][height]);
            let down = (1..height).map(|first| worth[width][first] + worth[width][height - first]);
            worth[width][height] = one.chain(across).chain(down).max().unwrap_or(0);
        }
        worth
    }

    #[test]
    fn tables_say_what_trying_every_cut_says() {
        let mut random = Random::new(3);
        for _ in 0..60 {
            let least = 1 + random.below(9);
            let mut side = || (least + random.below(12)) as Units;
            let sizes: Vec<(usize, [Units; 2])> = (0..5).map(|piece| (piece, [side(), side()])).collect();
            let whole = [side() + 20, side() + 12];
            let mut table = PriceTable::new(whole, &sizes, u64::MAX).unwrap();
            for _ in 0..3 {
                let prices: Vec<i32> = (0..5).map(|_| (random.below(3) * random.below(100)) as i32).collect();
                table.fill(&prices);
                let tried = tried(&sizes, &prices, whole);
                for sheet in [whole, [whole[0] - 3, whole[1]], [whole[0] - 7, whole[1] - 5]] {
                    assert_eq!(table.worth(sheet), tried[sheet[0] as usize][sheet[1] as usize], "{sizes:?} {prices:?}");
                    let mut counts = vec![0; 5];
                    table.count(sheet, &prices, &mut counts);
                    let counted: i32 = counts.iter().zip(&prices).map(|(count, price)| *count as i32 * price).sum();
                    assert_eq!(counted, table.worth(sheet));
                }
            }
        }
    }
}
