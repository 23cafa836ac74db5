//! Of offcuts that cost the same the least useful is cut: the smallest that will do, and of equal ones the oldest.

use super::cutting::{CutDirection, CutSheet, Plan, PlanNode, PlanPart, Rules, SizeInUnits, Task};
use super::tightening::{least_size, moved_to};

/// Moves what a plan cuts from offcuts to smaller ones at the same price that are still free, or to older ones of the same size.
///
/// The stock lists the oldest offcuts first. Nothing becomes dearer, and the rules of the bench hold for the new cuts too.
pub(super) fn with_handy_offcuts(mut plan: Plan, task: &Task) -> Plan {
    let mut free: Vec<u32> = task.stock.iter().map(|stock| stock.on_hand.unwrap_or(0)).collect();
    for sheet in &plan.sheets {
        if let Some(free) = free.get_mut(sheet.stock) {
            *free = free.saturating_sub(1);
        }
    }
    // Each move makes an offcut of less use busy and frees another, so that this ends.
    while let Some((at, moved)) =
        plan.sheets.iter().enumerate().find_map(|(at, sheet)| Some((at, handier(sheet, task, &free)?)))
    {
        let Some(sheet) = plan.sheets.get_mut(at) else { break };
        for (stock, change) in [(sheet.stock, 1), (moved.stock, -1)] {
            if let Some(free) = free.get_mut(stock) {
                *free = free.saturating_add_signed(change);
            }
        }
        *sheet = moved;
    }
    plan
}

/// Returns a sheet cut from the least useful offcut that is free and will do, if that is of less use than its own.
fn handier(sheet: &CutSheet, task: &Task, free: &[u32]) -> Option<CutSheet> {
    let own = task.stock.get(sheet.stock).filter(|stock| stock.offcut)?;
    let least = least_size(&sheet.root, task.rules.kerf)?;
    let has_turned = has_turned(&sheet.root);
    let usefulness = |at: usize| Some((task.stock.get(at)?.size.area(), at));
    let mut others: Vec<usize> = (0..task.stock.len())
        .filter(|at| {
            let is_free = free.get(*at).is_some_and(|free| *free > 0);
            let does = |stock: &super::cutting::StockSheet| {
                stock.offcut && stock.price == own.price && least.fits(stock.size) && (stock.turnable || !has_turned)
            };
            is_free && task.stock.get(*at).is_some_and(does) && usefulness(*at) < usefulness(sheet.stock)
        })
        .collect();
    others.sort_by_key(|at| usefulness(*at));
    others.into_iter().find_map(|stock| {
        let root = moved_to(&sheet.root, task.stock.get(stock)?.size, &task.rules)?;
        obeys(&root, &task.rules).then_some(CutSheet { stock, root })
    })
}

fn has_turned(sheet: &PlanNode) -> bool {
    let mut found = false;
    sheet.walk(&mut |node| found |= matches!(node.part, PlanPart::Piece { turned: true, .. }));
    found
}

/// Tells whether the cuts of a sheet are no longer than the arm and of no more levels than are allowed.
fn obeys(sheet: &PlanNode, rules: &Rules) -> bool {
    let mut longest = 0;
    sheet.walk(&mut |node| {
        if let PlanPart::Cut { direction, .. } = &node.part {
            longest = longest.max(length(node.size, *direction));
        }
    });
    rules.longest_cut.is_none_or(|most| longest <= most) && rules.stages.is_none_or(|most| sheet.stages() <= most)
}

/// Returns how long a cut is that divides a rectangle in a direction.
fn length(size: SizeInUnits, direction: CutDirection) -> i64 {
    direction.other().of(size)
}
