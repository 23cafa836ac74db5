//! The first page of a plan: what to pull, what it costs, how good the plan is, and the list of pieces.

use super::flow::Flow;
use crate::sheets::SheetPlan;

/// Writes the totals of every board, what is left over, and all items.
pub(super) fn write(plan: &SheetPlan, flow: &mut Flow) {
    flow.heading(&format!("{}: {}", plan.prepared.name, plan.headline()));
    for board in &plan.boards {
        flow.gap(2.0);
        // The first line names the board and what to pull; the others are about the plan.
        for (index, line) in plan.describe_board(board).lines().enumerate() {
            flow.line(line.trim(), if index == 0 { 0.0 } else { 5.0 });
        }
    }
    for line in plan.describe_shares() {
        flow.gap(2.0);
        flow.line(&line, 0.0);
    }
    flow.gap(3.0);
    flow.heading("Pieces");
    for item in &plan.prepared.items {
        let turned = if item.turnable { "" } else { ", not to be turned" };
        let size = plan.show_size(item.size);
        flow.line(&format!("piece {}: {} of {size}{turned}, {}", item.number, item.quantity, item.names()), 0.0);
    }
}
