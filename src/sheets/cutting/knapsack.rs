//! Filling one sheet with the most valuable pieces.

use std::ops::ControlFlow;

use super::acceptance::Acceptance;
use super::block::PieceBlocks;
use super::fill::{FillRules, SortKey};
use super::packing::Packing;
use super::plan::CutSheet;
use super::progress::{Effort, Progress};
use super::random::Random;
use super::slicing_tree::SlicingTree;
use super::table::{Position, ValueTable};
use super::task::{Piece, StockSheet, Task};

/// How many in 1024 ways of placing are not seen.
const BLINK: u32 = 20;
/// How much more the value of waiting pieces counts than what holes are worth.
const WAITING: i64 = 8;
/// Rounds between two questions to the watcher.
const WATCH_EVERY: u64 = 256;

/// Joins of blocks that are tried for a round of the search.
const JOINS: u64 = 200;

/// One sheet with valuable pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Knapsack {
    /// The sheet and its cuts.
    pub sheet: CutSheet,
    /// The sum of the pieces' values.
    pub value: i64,
    /// No filling is worth more.
    pub bound: i64,
}

/// Chooses pieces for one sheet of the first stock so that their values sum to as much as it finds.
///
/// No piece is taken more often than its quantity. None where there is no stock or nothing fits. Without limits on stages and on the
/// length of cuts, a dynamic programme answers at once where quantities do not bind, and otherwise a search of blocks built
/// from blocks follows on the search that [`plan`](super::plan) does, and often proves the best.
///
/// ```
/// use backline::sheets::cutting::{Effort, Piece, Rules, SizeInUnits, StockSheet, Task, knapsack};
/// use std::ops::ControlFlow;
///
/// // How many mats of 11 × 14 in come from a sheet of 32 × 40 in?
/// let task = Task {
///     pieces: vec![Piece { size: SizeInUnits { width: 11, height: 14 }, quantity: 99, turnable: true, value: Some(1) }],
///     stock: vec![StockSheet { size: SizeInUnits { width: 32, height: 40 }, on_hand: None, price: 1200, offcut: false, turnable: true }],
///     rules: Rules::default(),
/// };
/// let filling = knapsack(&task, &Effort::default(), &mut |_| ControlFlow::Continue(()));
/// assert_eq!(filling.map(|filling| (filling.value, filling.bound)), Some((6, 6)));
/// ```
pub fn knapsack(task: &Task, effort: &Effort, watch: &mut dyn FnMut(&Progress) -> ControlFlow<()>) -> Option<Knapsack> {
    let stock = *task.stock.first()?;
    let one = Task { stock: vec![StockSheet { on_hand: Some(1), price: 0, ..stock }], ..task.clone() }.simplified();
    let positions = positions(&one);
    let whole = stock.size.along().map(|side| side + one.rules.kerf);
    let free_of_rules = one.rules.longest_cut.is_none() && one.rules.stages.is_none();
    let table = ValueTable::new(whole, &positions);
    let bound = table.as_ref().map_or(i64::MAX, ValueTable::whole).min(by_quantity(&one));
    let packing = Packing::new(&one);
    if let Some(table) = table.as_ref().filter(|_| free_of_rules)
        && let Some(assembly) = SlicingTree::of_table(table, &positions)
        && within_quantities(&assembly, &one)
    {
        let value = assembly.value();
        return Some(Knapsack { sheet: packing.sheet_of(0, &assembly), value, bound: value });
    }
    let mut best = ruin_and_recreate(&one, effort, bound, watch);
    if let (Some(table), true) = (&table, free_of_rules) {
        let known = best.as_ref().map_or(0, |filling| filling.value);
        let quantities = one.pieces.iter().map(|piece| piece.quantity.min(u32::from(u16::MAX / 2)) as u16).collect();
        let mut blocks = PieceBlocks::new(whole, &positions, quantities, table, known);
        if let Some(id) = blocks.run(effort.iterations.saturating_mul(JOINS))
            && let Some(assembly) = SlicingTree::of_block(&blocks, id, &positions)
        {
            best = Some(Knapsack { sheet: packing.sheet_of(0, &assembly), value: assembly.value(), bound });
        }
        if let Some(filling) = &mut best {
            filling.bound = bound.min(blocks.bound);
        }
    }
    best
}

/// What a piece is worth: its area unless it says otherwise.
fn value(piece: &Piece) -> i64 {
    piece.value.unwrap_or_else(|| piece.size.area())
}

/// Every piece that fits the sheet, in every position that it may have.
fn positions(task: &Task) -> Vec<Position> {
    let mut positions = Vec::new();
    for (at, piece) in task.pieces.iter().enumerate().filter(|(_, piece)| piece.quantity > 0) {
        let turns = piece.turnable && piece.size.width != piece.size.height;
        for (turned, size) in [(false, piece.size), (true, piece.size.turned())] {
            if (!turned || turns) && task.stock.iter().any(|stock| size.fits(stock.size)) {
                let size = size.along().map(|side| side + task.rules.kerf);
                positions.push(Position { piece: at, turned, size, value: value(piece) });
            }
        }
    }
    positions
}

/// The value of everything ordered.
fn by_quantity(task: &Task) -> i64 {
    task.pieces.iter().fold(0, |sum: i64, piece| sum.saturating_add(value(piece).saturating_mul(piece.quantity.into())))
}

fn within_quantities(assembly: &SlicingTree, task: &Task) -> bool {
    let mut left: Vec<i64> = task.pieces.iter().map(|piece| piece.quantity.into()).collect();
    assembly.pieces(&mut |position| {
        if let Some(left) = left.get_mut(position.piece) {
            *left -= 1;
        }
    });
    left.iter().all(|left| *left >= 0)
}

/// The best filling that taking out and putting back finds.
fn ruin_and_recreate(
    task: &Task,
    effort: &Effort,
    bound: i64,
    watch: &mut dyn FnMut(&Progress) -> ControlFlow<()>,
) -> Option<Knapsack> {
    let values: Vec<i64> = task.pieces.iter().map(value).collect();
    let sum = |pieces: &[u32]| -> i64 { pieces.iter().filter_map(|piece| values.get(*piece as usize)).sum() };
    let mut packing = Packing::new(task);
    packing.weigh_by(&values);
    packing.forget_uncuttable();
    let all = sum(&packing.waiting);
    let mut random = Random::new(effort.seed);
    let mut best: Option<Knapsack> = None;
    let mut acceptance = Acceptance::new(i64::MAX);
    for iterations in 1..=effort.iterations.max(1) {
        packing.start_round();
        packing.ruin(&mut random);
        let manner = FillRules { order: SortKey::any(&mut random), blink: BLINK, budget: 0 };
        packing.fill(&manner, &mut random);
        if !acceptance.takes(packing.waiting_weight() * WAITING - packing.worth) {
            packing.undo();
        }
        let value = all - sum(&packing.waiting);
        let better = value > best.as_ref().map_or(0, |filling| filling.value);
        if better && let Some(sheet) = packing.sheets().pop() {
            best = Some(Knapsack { sheet, value, bound });
        }
        let progress =
            Progress { iterations, of: effort.iterations, cost: 0, bound: 0, sheets: 1, left_over: 0, tidying: false };
        if value >= bound || (iterations.is_multiple_of(WATCH_EVERY) && watch(&progress).is_break()) {
            break;
        }
    }
    best
}
