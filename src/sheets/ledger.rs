//! The ledger of a stock: orders that have reserved sheets and offcuts, and orders that have been cut.
//!
//! What an order reserves is taken off the numbers of the stock at once, so that they always say what is free. When it has been cut
//! its new offcuts join the stock, each with an identity of its own; when it is cancelled all that it took comes back.

use super::cutting::SizeInUnits;
use super::ledger_order::{LedgerOrder, LedgerPart, OrderState};
use super::shelf::{ShelfEntry, StockSource};
use super::{BoardTask, Item, PreparedRequest, SheetPlan, Stock, WrittenOffcut};
use crate::fault::Certain;
use crate::job::{BoardKey, Measure, SizeMeasure, reported_unit};
use crate::length::{Ratio, Unit, write_exact};
use crate::problem::KeyPath;

/// Why the ledger stays as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum LedgerRefusal {
    /// Nothing is left to do: the order has come as far as that already.
    AlreadyDone(OrderState),
    /// The identity belongs to an order of other blanks.
    OtherOrder,
    /// There is no such order.
    Unknown,
    /// It has been cut and cannot be cancelled.
    IsCut,
    /// Some blanks have no place.
    Incomplete,
    /// The stock no longer has what the plan takes.
    Gone,
    /// An identity is a word without spaces or control characters.
    BadIdentity,
}

/// What a year of the ledger comes to, in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct LedgerTotals {
    /// Orders that were cut.
    pub orders: usize,
    /// Sheets that they took.
    pub sheets: u32,
    /// Area of sheets, offcuts and fallout that they took.
    pub taken: f64,
    /// Area of their blanks.
    pub blanks: f64,
    /// Area of the offcuts that they left.
    pub kept: f64,
}

impl LedgerTotals {
    /// Returns the area that went into the bin.
    #[must_use]
    pub fn waste(&self) -> f64 {
        (self.taken - self.blanks - self.kept).max(0.0)
    }
}

/// The letter before the number of an offcut's identity.
const OFFCUT_LETTER: char = 'K';

impl Stock {
    /// Returns the order of an identity.
    #[must_use]
    pub fn order(&self, id: &str) -> Option<&LedgerOrder> {
        self.order.iter().find(|order| order.id == id)
    }

    /// Tells whether an order may be reserved under an identity.
    ///
    /// # Errors
    ///
    /// Returns why not: the identity is not a word or belongs to another order, or the order is there already.
    pub fn check_new(&self, id: &str, prepared: &PreparedRequest) -> Result<(), LedgerRefusal> {
        if id.is_empty() || id.chars().any(|letter| letter.is_whitespace() || letter.is_control()) {
            return Err(LedgerRefusal::BadIdentity);
        }
        let unit = self.unit.unwrap_or(prepared.ruler.unit());
        match self.order(id) {
            Some(order) if order.blank == blanks(prepared, unit) => Err(LedgerRefusal::AlreadyDone(order.state)),
            Some(_) => Err(LedgerRefusal::OtherOrder),
            None => Ok(()),
        }
    }

    /// Sets aside what a plan takes, under the identity of its order; `self` must be the stock that was planned with.
    ///
    /// # Errors
    ///
    /// Returns why nothing is taken, as [`Stock::check_new`] does, or because blanks have no place.
    pub fn reserve(&self, id: &str, plan: &SheetPlan) -> Result<Self, LedgerRefusal> {
        self.check_new(id, &plan.prepared)?;
        if !plan.is_complete() {
            return Err(LedgerRefusal::Incomplete);
        }
        let is_empty = self.sheet.is_empty() && self.offcut.is_empty();
        let unit = if is_empty { plan.prepared.ruler.unit() } else { reported_unit(self.unit, self) };
        let blank = blanks(&plan.prepared, unit);
        let mut after = self.clone();
        let mut order = LedgerOrder { blank, ..LedgerOrder::empty(id) };
        for (board, pattern) in plan.patterns() {
            let entry = plan.entry(pattern).certain("stock of this pattern");
            let quantity = u32::try_from(pattern.copies()).unwrap_or(u32::MAX);
            let part = LedgerPart { board: board.board.written(unit), size: written(entry.size, unit), quantity };
            match entry.origin {
                StockSource::BuiltIn => order.sheet.push(part),
                StockSource::Sheet(index) => {
                    let sheet = after.sheet.get_mut(index).ok_or(LedgerRefusal::Gone)?;
                    if let Some(on_hand) = &mut sheet.on_hand {
                        *on_hand = on_hand.checked_sub(quantity).ok_or(LedgerRefusal::Gone)?;
                    }
                    let (board, size) = (sheet.board.clone(), sheet.size.clone());
                    add(&mut order.sheet, LedgerPart { board, size, quantity });
                }
                StockSource::Offcut(index) => {
                    let offcut = after.offcut.get_mut(index).ok_or(LedgerRefusal::Gone)?;
                    offcut.quantity = offcut.quantity.checked_sub(quantity).ok_or(LedgerRefusal::Gone)?;
                    match order.taken.iter_mut().find(|taken| taken.is_same(offcut)) {
                        Some(taken) => taken.quantity += quantity,
                        None => order.taken.push(WrittenOffcut { quantity, ..offcut.clone() }),
                    }
                }
                StockSource::Fallout(_) => order.fallout.push(part),
            }
            for size in pattern.offcuts() {
                for _ in 0..quantity {
                    let number = after.next_number(&order);
                    order.kept.push(plan.new_offcut(
                        of_entry(self, entry).or_else(|| board.board.written(unit)),
                        entry,
                        size,
                        number,
                        unit,
                    ));
                }
            }
        }
        after.order.push(order);
        Ok(after)
    }

    /// Notes that an order has been cut on a day: its new offcuts join the stock, and offcuts that are used up leave it.
    ///
    /// They come to one place on the shelf, or where its name is empty each to that of [`Stock::place_for`].
    ///
    /// # Errors
    ///
    /// Returns why nothing changes: there is no such order, or it was cut before.
    pub fn cut(&self, id: &str, day: &str, place: &str) -> Result<Self, LedgerRefusal> {
        let mut after = self.clone();
        let order = after.order.iter_mut().find(|order| order.id == id).ok_or(LedgerRefusal::Unknown)?;
        if order.state == OrderState::Cut {
            return Err(LedgerRefusal::AlreadyDone(OrderState::Cut));
        }
        (order.state, order.cut_on) = (OrderState::Cut, day.to_owned());
        let (kept, taken) = (order.kept.clone(), order.taken.clone());
        let reserved = after.order.iter().filter(|order| order.state == OrderState::Reserved);
        let reserved: Vec<WrittenOffcut> = reserved.flat_map(|order| order.taken.iter().cloned()).collect();
        let is_used_up = |offcut: &WrittenOffcut| {
            let of = |list: &[WrittenOffcut]| list.iter().any(|other| other.is_same(offcut));
            offcut.quantity == 0 && of(&taken) && !of(&reserved)
        };
        after.offcut.retain(|offcut| !is_used_up(offcut));
        for offcut in kept {
            let place = if place.is_empty() { after.place_for(&offcut).unwrap_or_default() } else { place };
            let place = place.to_owned();
            after.offcut.push(WrittenOffcut { place, ..offcut });
        }
        Ok(after)
    }

    /// Gives back what an order has reserved, and forgets the order.
    ///
    /// # Errors
    ///
    /// Returns why nothing changes: there is no such order, or it has been cut.
    pub fn cancel(&self, id: &str) -> Result<Self, LedgerRefusal> {
        let mut after = self.clone();
        let place = after.order.iter().position(|order| order.id == id).ok_or(LedgerRefusal::Unknown)?;
        if after.order.get(place).is_some_and(|order| order.state == OrderState::Cut) {
            return Err(LedgerRefusal::IsCut);
        }
        let order = after.order.remove(place);
        for part in &order.sheet {
            let same = after.sheet.iter_mut().find(|sheet| sheet.board == part.board && sheet.size == part.size);
            if let Some(on_hand) = same.and_then(|sheet| sheet.on_hand.as_mut()) {
                *on_hand = on_hand.saturating_add(part.quantity);
            }
        }
        for taken in order.taken {
            match after.offcut.iter_mut().find(|offcut| offcut.is_same(&taken)) {
                Some(offcut) => offcut.quantity = offcut.quantity.saturating_add(taken.quantity),
                None => after.offcut.push(taken),
            }
        }
        Ok(after)
    }

    /// Sums up the orders that were cut on days that start so: `2026` for a year, `2026-11` for a month, nothing for all.
    #[must_use]
    pub fn totals(&self, days: &str) -> LedgerTotals {
        let mut totals = LedgerTotals::default();
        let cut = self.order.iter().filter(|order| order.state == OrderState::Cut && order.cut_on.starts_with(days));
        for order in cut {
            let area = |size: &SizeMeasure, quantity: u32| self.area(size) * f64::from(quantity);
            let parts = |list: &[LedgerPart]| list.iter().map(|part| area(&part.size, part.quantity)).sum::<f64>();
            let offcuts = |list: &[WrittenOffcut]| list.iter().map(|part| area(&part.size, part.quantity)).sum::<f64>();
            totals.orders += 1;
            totals.sheets += order.sheet.iter().map(|sheet| sheet.quantity).sum::<u32>();
            totals.taken += parts(&order.sheet) + parts(&order.fallout) + offcuts(&order.taken);
            totals.blanks += parts(&order.blank);
            totals.kept += offcuts(&order.kept);
        }
        totals
    }

    /// Returns the area of a size in square millimetres; nothing of one that is not a size.
    fn area(&self, size: &SizeMeasure) -> f64 {
        let exact = size.resolve_exact(self.unit, &KeyPath::root());
        exact.map_or(0.0, |[width, height]| width.to_f64() * height.to_f64())
    }

    /// Returns the next number for an offcut: one more than any that the stock, its ledger or this order has used.
    fn next_number(&self, order: &LedgerOrder) -> u64 {
        let known = self.order.iter().chain([order]).flat_map(|order| order.kept.iter().chain(&order.taken));
        let number = |offcut: &WrittenOffcut| offcut.id.strip_prefix(OFFCUT_LETTER)?.parse::<u64>().ok();
        self.offcut.iter().chain(known).filter_map(number).max().unwrap_or(0) + 1
    }
}

impl SheetPlan {
    fn new_offcut(
        &self,
        board: Option<BoardKey>,
        entry: &ShelfEntry,
        size: SizeInUnits,
        number: u64,
        unit: Unit,
    ) -> WrittenOffcut {
        WrittenOffcut {
            id: format!("{OFFCUT_LETTER}{number}"),
            place: String::new(),
            board,
            size: written_units(&self.prepared, size, unit),
            quantity: 1,
            price: None,
            turnable: entry.turnable,
        }
    }
}

/// Returns the board of a sheet or an offcut in the words of the stock.
fn of_entry(stock: &Stock, entry: &ShelfEntry) -> Option<BoardKey> {
    match entry.origin {
        StockSource::Sheet(index) => stock.sheet.get(index)?.board.clone(),
        StockSource::Offcut(index) => stock.offcut.get(index)?.board.clone(),
        StockSource::BuiltIn | StockSource::Fallout(_) => None,
    }
}

/// Lists what is ordered, by board and size.
fn blanks(prepared: &PreparedRequest, unit: Unit) -> Vec<LedgerPart> {
    let of = |(task, item): (&BoardTask, &Item)| LedgerPart {
        board: task.board.written(unit),
        size: written_units(prepared, item.size, unit),
        quantity: item.quantity,
    };
    let items = |task| move |index: &usize| (task, prepared.items.get(*index).certain("item of this number"));
    prepared.boards.iter().flat_map(|task| task.items.iter().map(items(task))).map(of).collect()
}

fn written_units(prepared: &PreparedRequest, size: SizeInUnits, unit: Unit) -> SizeMeasure {
    let exact = |units: i64| prepared.grid.exact(units).certain("exact length of these units");
    written([exact(size.width), exact(size.height)], unit)
}

/// Writes a size so that reading it gives the same again.
fn written(size: [Ratio; 2], unit: Unit) -> SizeMeasure {
    SizeMeasure::Pair(size.map(|side| Measure::Text(write_exact(side, unit))))
}

/// Adds to the number of what is the same, or as a new line.
fn add(parts: &mut Vec<LedgerPart>, new: LedgerPart) {
    match parts.iter_mut().find(|part| part.board == new.board && part.size == new.size) {
        Some(part) => part.quantity = part.quantity.saturating_add(new.quantity),
        None => parts.push(new),
    }
}
