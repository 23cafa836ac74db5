//! Lower bounds: how little an order can cost, and how few sheets it can take.

#![allow(clippy::indexing_slicing, reason = "scales have a measure for every length and a capacity for every stock")]

use std::iter::Sum;
use std::ops::Mul;

use super::halves::{self, sheets_by_halves};
use super::scale::{ConservativeScale, scales, strongest};
use super::task::{Task, Units};

/// Choices of sheets that one bound may look at.
const MOST_CHOICES: u32 = 2_000;

/// What no plan can undercut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bounds {
    /// Cost in the smallest unit of money.
    pub(super) cost: i64,
    /// Sheets and offcuts together.
    pub(super) sheets: u32,
}

impl Bounds {
    /// Bounds for an order whose pieces can all be cut from some stock.
    ///
    /// On any two scales, one for widths and one for heights, the areas of the pieces must find room on the sheets.
    pub(super) fn of(task: &Task) -> Self {
        let lengths = distinct_lengths(task);
        let sides = |axis: usize| -> Vec<Units> {
            task.stock.iter().map(|stock| stock.size.along()[axis] + task.rules.kerf).collect()
        };
        let pieces = pieces(task, &lengths);
        // Where there are too few sheets on the strongest scales, weaker ones may still say something.
        let unlimited = task.stock.iter().all(|stock| stock.on_hand.is_none());
        let [across, down] = [0, 1].map(|axis| {
            let all = scales(&lengths, &sides(axis));
            if unlimited { strongest(all) } else { all }
        });
        let mut bounds = Self { cost: 0, sheets: 0 };
        let mut lots: Vec<CapacityLot> = task
            .stock
            .iter()
            .map(|stock| CapacityLot {
                capacity: 0,
                price: i128::from(stock.price),
                on_hand: stock.on_hand.map_or(i128::MAX, i128::from),
            })
            .collect();
        let mut counted: Vec<CapacityLot> = lots.iter().map(|lot| CapacityLot { price: 1, ..*lot }).collect();
        let mut raise = |one: &ConservativeScale, other: &ConservativeScale, volume: i128| {
            for (at, (lot, count)) in lots.iter_mut().zip(&mut counted).enumerate() {
                let capacity = i128::from(one.capacities[at]) * i128::from(other.capacities[at]);
                (lot.capacity, count.capacity) = (capacity, capacity);
            }
            bounds.cost = bounds.cost.max(cheapest(&lots, volume) as i64);
            bounds.sheets = bounds.sheets.max(cheapest(&counted, volume) as u32);
        };
        if is_small(&pieces, &across, &down) {
            for_each_volume::<i64>(&pieces, &across, &down, &mut raise);
        } else {
            for_each_volume::<i128>(&pieces, &across, &down, &mut raise);
        }
        if let [stock] = task.stock.as_slice() {
            let sheet = stock.size.along().map(|side| side + task.rules.kerf);
            let sheets = sheets_by_halves(&with_kerf(task), sheet).max(bounds.sheets);
            bounds = Self { cost: bounds.cost.max(i64::from(sheets) * stock.price), sheets };
        }
        bounds
    }
}

fn with_kerf(task: &Task) -> Vec<halves::PieceWithKerf> {
    let wanted = task.pieces.iter().filter(|piece| piece.quantity > 0);
    wanted
        .map(|piece| halves::PieceWithKerf {
            size: piece.size.along().map(|side| side + task.rules.kerf),
            quantity: piece.quantity,
            turnable: piece.turnable,
        })
        .collect()
}

/// A piece by the places of its sides among the lengths, with its kerf added.
struct PieceOnScales {
    width: usize,
    height: usize,
    quantity: i64,
    turnable: bool,
}

fn distinct_lengths(task: &Task) -> Vec<Units> {
    let wanted = task.pieces.iter().filter(|piece| piece.quantity > 0);
    let mut lengths: Vec<Units> =
        wanted.flat_map(|piece| piece.size.along()).map(|side| side + task.rules.kerf).collect();
    lengths.sort_unstable();
    lengths.dedup();
    lengths
}

fn pieces(task: &Task, lengths: &[Units]) -> Vec<PieceOnScales> {
    let place = |side: Units| lengths.partition_point(|length| *length < side + task.rules.kerf);
    let wanted = task.pieces.iter().filter(|piece| piece.quantity > 0);
    wanted
        .map(|piece| PieceOnScales {
            width: place(piece.size.width),
            height: place(piece.size.height),
            quantity: piece.quantity.into(),
            turnable: piece.turnable,
        })
        .collect()
}

/// Whether no area of all pieces on two of the scales can exceed 63 bits, as with reasonable grids.
fn is_small(pieces: &[PieceOnScales], across: &[ConservativeScale], down: &[ConservativeScale]) -> bool {
    let most =
        |scales: &[ConservativeScale]| scales.iter().flat_map(|scale| &scale.measures).copied().max().unwrap_or(0);
    let count: i64 = pieces.iter().map(|piece| piece.quantity).sum();
    most(across).checked_mul(most(down)).and_then(|area| area.checked_mul(count)).is_some()
}

/// Calls `see` with every two scales and the area of the pieces on them, each turned so that it is least.
fn for_each_volume<N>(
    pieces: &[PieceOnScales],
    across: &[ConservativeScale],
    down: &[ConservativeScale],
    see: &mut impl FnMut(&ConservativeScale, &ConservativeScale, i128),
) where
    N: From<i64> + Into<i128> + Copy + Ord + Mul<Output = N> + Sum,
{
    let measures =
        |scale: &ConservativeScale| -> Vec<N> { scale.measures.iter().map(|measure| N::from(*measure)).collect() };
    let down: Vec<(&ConservativeScale, Vec<N>)> = down.iter().map(|scale| (scale, measures(scale))).collect();
    let (either, upright): (Vec<&PieceOnScales>, Vec<&PieceOnScales>) = pieces.iter().partition(|piece| piece.turnable);
    for one in across {
        let taken = |piece: &PieceOnScales, side: usize| N::from(piece.quantity) * N::from(one.measures[side]);
        let upright: Vec<(N, usize)> = upright.iter().map(|piece| (taken(piece, piece.width), piece.height)).collect();
        let either: Vec<[(N, usize); 2]> = either
            .iter()
            .map(|piece| [(taken(piece, piece.width), piece.height), (taken(piece, piece.height), piece.width)])
            .collect();
        for (other, measures) in &down {
            let area = |(taken, side): &(N, usize)| *taken * measures[*side];
            let least = |[straight, turned]: &[(N, usize); 2]| area(straight).min(area(turned));
            let areas = [upright.iter().map(area).sum::<N>(), either.iter().map(least).sum()];
            see(one, other, areas.into_iter().map(Into::into).sum());
        }
    }
}

/// Equal sheets, as far as a bound is concerned.
#[derive(Clone, Copy, Debug)]
struct CapacityLot {
    capacity: i128,
    price: i128,
    on_hand: i128,
}

/// The least price of lots that hold a volume.
fn cheapest(lots: &[CapacityLot], volume: i128) -> i128 {
    if let [lot] = lots {
        return if lot.capacity > 0 { lot.price * ceil(volume, lot.capacity) } else { 0 };
    }
    let mut useful: Vec<CapacityLot> = lots.iter().filter(|lot| lot.capacity > 0 && lot.on_hand > 0).copied().collect();
    useful.sort_by(|one, other| (one.price * other.capacity).cmp(&(other.price * one.capacity)));
    let mut choice = CheapestNumbers { best: i128::MAX, looked: 0 };
    choice.extend(&useful, volume, 0);
    if choice.looked >= MOST_CHOICES {
        in_parts(&useful, volume)
    } else if choice.best == i128::MAX {
        0
    } else {
        choice.best
    }
}

/// The least price if sheets could be bought in parts, rounded up; lots are in the order of price for capacity.
fn in_parts(lots: &[CapacityLot], volume: i128) -> i128 {
    let mut left = volume;
    let mut cost = 0;
    for lot in lots {
        let all = lot.capacity.saturating_mul(lot.on_hand);
        if left <= all {
            return cost + ceil(lot.price * left, lot.capacity);
        }
        left -= all;
        cost += lot.price * lot.on_hand;
    }
    cost
}

/// A search for the cheapest numbers of sheets.
struct CheapestNumbers {
    best: i128,
    looked: u32,
}

impl CheapestNumbers {
    fn extend(&mut self, lots: &[CapacityLot], volume: i128, cost: i128) {
        if volume <= 0 {
            self.best = self.best.min(cost);
            return;
        }
        self.looked += 1;
        let Some((lot, rest)) = lots.split_first() else { return };
        if self.looked >= MOST_CHOICES || cost + in_parts(lots, volume) >= self.best {
            return;
        }
        let most = ceil(volume, lot.capacity).min(lot.on_hand);
        for count in (0..=most).rev() {
            self.extend(rest, volume - count * lot.capacity, cost + count * lot.price);
            if self.looked >= MOST_CHOICES {
                return;
            }
        }
    }
}

fn ceil(over: i128, under: i128) -> i128 {
    (over + under - 1) / under
}
