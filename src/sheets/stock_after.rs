//! The stock as it will be when a plan has been cut.

use super::cutting::Size;
use super::shelf::{Entry, Origin};
use super::{BoardPlan, SheetPlan, Stock, WrittenOffcut};
use crate::job::{Measure, SizeMeasure, reported_unit};
use crate::length::{Ratio, Unit, write_exact};

impl SheetPlan {
    /// Returns a stock without the sheets and offcuts that the plan uses, and with the offcuts that it leaves.
    ///
    /// `stock` must be the one that was planned with. Sizes of new offcuts are exact, in the unit of the stock.
    #[must_use]
    pub fn stock_after(&self, stock: &Stock) -> Stock {
        let mut after = stock.clone();
        for (_, pattern) in self.patterns() {
            let used = u32::try_from(pattern.copies()).unwrap_or(u32::MAX);
            match self.entry(pattern).map(|entry| &entry.origin) {
                Some(Origin::Sheet(index)) => {
                    if let Some(on_hand) = after.sheet.get_mut(*index).and_then(|sheet| sheet.on_hand.as_mut()) {
                        *on_hand = on_hand.saturating_sub(used);
                    }
                }
                Some(Origin::Offcut(index)) => {
                    if let Some(offcut) = after.offcut.get_mut(*index) {
                        offcut.quantity = offcut.quantity.saturating_sub(used);
                    }
                }
                Some(Origin::BuiltIn | Origin::Fallout(_)) | None => {}
            }
        }
        after.offcut.retain(|offcut| offcut.quantity > 0);
        let is_empty = stock.sheet.is_empty() && stock.offcut.is_empty();
        let unit = if is_empty { self.prepared.ruler.unit() } else { reported_unit(stock.unit, stock) };
        for (board, pattern) in self.patterns() {
            let Some(entry) = self.entry(pattern) else { continue };
            let copies = u32::try_from(pattern.copies()).unwrap_or(u32::MAX);
            for size in pattern.offcuts() {
                let offcut = self.offcut(board, entry, size, copies, unit);
                add(&mut after.offcut, offcut);
            }
        }
        after
    }

    fn offcut(&self, board: &BoardPlan, entry: &Entry, size: Size, quantity: u32, unit: Unit) -> WrittenOffcut {
        let side = |units: i64| {
            let exact = self.prepared.grid.exact(units).unwrap_or(Ratio::ZERO);
            Measure::Text(write_exact(exact, unit))
        };
        WrittenOffcut {
            board: board.board.name.clone(),
            size: SizeMeasure::Pair([side(size.width), side(size.height)]),
            quantity,
            price: None,
            turnable: entry.turnable,
        }
    }
}

/// Adds offcuts to those of the same board and size, or as new ones.
fn add(offcuts: &mut Vec<WrittenOffcut>, new: WrittenOffcut) {
    let same = |old: &&mut WrittenOffcut| {
        old.board == new.board && old.size == new.size && old.turnable == new.turnable && old.price == new.price
    };
    match offcuts.iter_mut().find(same) {
        Some(old) => old.quantity = old.quantity.saturating_add(new.quantity),
        None => offcuts.push(new),
    }
}
