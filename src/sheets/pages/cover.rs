//! The first page of a plan: what to pull, what it costs, how good the plan is, and the list of pieces.

use crate::page::{ColumnWidth, Flow, PageTable, Paragraph, TableRow};
use crate::sheets::{Item, SheetPlan};

/// Writes the totals of every board, what is left over, and all items.
pub(super) fn write(plan: &SheetPlan, flow: &mut Flow) {
    flow.write(&Paragraph::Heading(plan.headline()));
    for board in &plan.boards {
        flow.gap(2.0);
        // The first line names the board and what to pull; the others are about the plan.
        for (index, line) in plan.describe_board(board).lines().enumerate() {
            let line = line.trim().to_owned();
            flow.write(&if index == 0 { Paragraph::Words(line) } else { Paragraph::Inner(line.into()) });
        }
    }
    for line in plan.describe_shares() {
        flow.gap(2.0);
        flow.write(&Paragraph::Words(line));
    }
    flow.gap(3.0);
    flow.write(&Paragraph::Heading("Pieces".to_owned()));
    let row = |item: &Item| {
        let turned = if item.turnable { "" } else { ", not to be turned" };
        let size = format!("{}{turned}", plan.item_size(item));
        TableRow::new(true, [format!("piece {}", item.number), item.quantity.to_string(), size, item.names()])
    };
    let columns = vec![ColumnWidth::Fitting, ColumnWidth::AtEnd, ColumnWidth::Fitting, ColumnWidth::Share(1.0)];
    flow.table(&PageTable { columns, rows: plan.prepared.items.iter().map(row).collect() });
}
