//! Finding a cheap plan of edge-to-edge cuts for an order of rectangles.
//!
//! Everything is in whole [`Units`] of a grid that the caller chooses, so comparisons are exact. A [`Task`] names the
//! pieces, the stock and the rules of the bench; [`plan`] answers with a [`Plan`]: one tree of cuts per sheet.
//!
//! ```
//! use backline::sheets::cutting::{Effort, Piece, Rules, SizeInUnits, StockSheet, Task, plan};
//! use std::ops::ControlFlow;
//!
//! // Six mats of 16 × 20 in from sheets of 32 × 40 in at 12.00 each: four come from a sheet without waste.
//! let task = Task {
//!     pieces: vec![Piece { size: SizeInUnits { width: 16, height: 20 }, quantity: 6, turnable: true, value: None }],
//!     stock: vec![StockSheet { size: SizeInUnits { width: 32, height: 40 }, on_hand: None, price: 1200, offcut: false, turnable: true }],
//!     rules: Rules::default(),
//! };
//! let plan = plan(&task, &Effort::default(), &mut |_| ControlFlow::Continue(()));
//! assert_eq!((plan.sheets.len(), plan.cost, plan.bound), (2, 2400, 2400));
//! assert!(plan.left_over.is_empty());
//! ```

mod acceptance;
mod allowed;
mod block;
mod bounds;
mod choice_table;
mod combine;
mod composition;
mod covering;
mod discretisation;
mod dive;
mod exact;
mod fill;
mod halves;
mod hole;
mod kinds;
mod knapsack;
mod merit;
mod need;
mod offcut;
mod packing;
mod pattern_bound;
mod pattern_pool;
mod plan;
mod price_bound;
mod price_table;
mod progress;
mod proof;
mod random;
mod ruin;
mod runs;
mod scale;
mod search;
mod slicing_tree;
mod table;
mod tally;
mod task;
mod tree;
mod turns;
mod worth;
mod yields;

pub use knapsack::{Knapsack, knapsack};
pub use plan::{CutDirection, CutSheet, Plan, PlanNode, PlanPart};
pub(super) use price_bound::whole_sheets;
pub use progress::{Effort, Progress};
pub use task::{Piece, Rules, SizeInUnits, StockSheet, Task, Units};

use std::ops::ControlFlow;

use bounds::Bounds;
use packing::Packing;

/// Plans the cutting of an order; never fails: what cannot be placed is in [`Plan::left_over`].
///
/// `watch` is asked now and then; with [`ControlFlow::Break`] it ends the stage under way, lowering the cost or tidying, and is asked
/// at once whether the next is to be left out too ([`Progress::tidying`]). The best plan found is returned. The same task, effort and
/// answers of `watch` give the same plan.
pub fn plan(task: &Task, effort: &Effort, watch: &mut dyn FnMut(&Progress) -> ControlFlow<()>) -> Plan {
    let (possible, hopeless) = without_hopeless(task);
    let mut plan = runs::search(&possible, Bounds::of(&possible), effort, watch);
    plan.left_over.extend(hopeless);
    plan.left_over.sort_unstable();
    plan
}

/// The task without pieces that no stock yields, and those pieces with their quantities.
fn without_hopeless(task: &Task) -> (Task, Vec<(usize, u32)>) {
    let mut possible = task.simplified();
    let packing = Packing::new(task);
    let mut hopeless = Vec::new();
    for (at, piece) in possible.pieces.iter_mut().enumerate() {
        if piece.quantity > 0 && !(0..task.stock.len()).any(|stock| packing.can_cut(stock, at as u32)) {
            hopeless.push((at, std::mem::take(&mut piece.quantity)));
        }
    }
    (possible, hopeless)
}
