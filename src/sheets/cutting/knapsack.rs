//! Filling one sheet with the most valuable pieces.

use std::ops::ControlFlow;

use super::acceptance::Acceptance;
use super::fill::{Manner, Order};
use super::packing::Packing;
use super::plan::CutSheet;
use super::progress::{Effort, Progress};
use super::random::Random;
use super::task::{Piece, Stock, Task};

/// How many in 1024 ways of placing are not seen.
const BLINK: u32 = 20;
/// How much more the value of waiting pieces counts than what holes are worth.
const WAITING: i64 = 8;
/// Rounds between two questions to the watcher.
const WATCH_EVERY: u64 = 256;

/// One sheet with valuable pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// The sheet and its cuts.
    pub sheet: CutSheet,
    /// The sum of the pieces' values.
    pub value: i64,
}

/// What a piece is worth: its area unless it says otherwise.
fn value(piece: &Piece) -> i64 {
    piece.value.unwrap_or_else(|| piece.size.area())
}

/// Chooses pieces for one sheet of the first stock so that their values sum to as much as it finds.
///
/// No piece is taken more often than its quantity. None where there is no stock or nothing fits.
pub fn knapsack(task: &Task, effort: &Effort, watch: &mut dyn FnMut(&Progress) -> ControlFlow<()>) -> Option<Filling> {
    let stock = *task.stock.first()?;
    let one = Task { stock: vec![Stock { on_hand: Some(1), price: 0, ..stock }], ..task.clone() };
    let values: Vec<i64> = one.pieces.iter().map(value).collect();
    let mut packing = Packing::new(&one);
    packing.weigh_by(&values);
    packing.forget_uncuttable();
    let all: i64 = packing.waiting.iter().filter_map(|piece| values.get(*piece as usize)).sum();
    let mut random = Random::new(effort.seed);
    let mut best = None;
    let mut most = 0;
    let mut acceptance = Acceptance::new(i64::MAX);
    for iteration in 1..=effort.iterations.max(1) {
        packing.start_round();
        packing.ruin(&mut random);
        let manner = Manner { order: Order::any(&mut random), blink: BLINK, budget: 0 };
        packing.fill(&manner, &mut random);
        if !acceptance.takes(packing.waiting_weight() * WAITING - packing.worth) {
            packing.undo();
        }
        let waiting: i64 = packing.waiting.iter().filter_map(|piece| values.get(*piece as usize)).sum();
        let sum = all - waiting;
        if sum > most
            && let Some(sheet) = packing.sheets().pop()
        {
            most = sum;
            best = Some(Filling { sheet, value: sum });
        }
        let told =
            Progress { iterations: iteration, of: effort.iterations, cost: 0, bound: 0, sheets: 1, left_over: 0 };
        if iteration.is_multiple_of(WATCH_EVERY) && watch(&told).is_break() {
            break;
        }
    }
    best
}
