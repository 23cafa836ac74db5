//! What makes one plan better than another.
#![allow(clippy::indexing_slicing, reason = "plans number the pieces of their task")]

use std::cmp::Reverse;

use super::plan::Plan;
use super::task::{SizeInUnits, Task};

/// The area of the pieces of a plan that have no place.
pub(super) fn unplaced(plan: &Plan, task: &Task) -> i128 {
    plan.left_over.iter().map(|(piece, count)| i128::from(*count) * i128::from(task.pieces[*piece].size.area())).sum()
}

/// What makes a plan better than another: the less the better.
pub(super) fn merit(plan: &Plan, task: &Task) -> impl Ord + use<> {
    (unplaced(plan, task), plan.cost, Reverse(rank(plan)))
}

/// The area of the largest offcut, then how few sheets and settings it takes: higher is better.
pub(super) fn rank(plan: &Plan) -> (i64, Reverse<usize>, Reverse<usize>) {
    let largest = plan.largest_offcut().map_or(0, SizeInUnits::area);
    let settings = plan.sheets.iter().map(|sheet| sheet.root.settings()).sum();
    (largest, Reverse(plan.sheets.len()), Reverse(settings))
}
