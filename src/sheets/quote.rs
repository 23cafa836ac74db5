//! What a plan costs in all, and what each job has of that: for quotes.

use super::cutting::PlanPart;
use super::shelf::Price;
use super::{BlankUser, BoardPlan, PreparedRequest, SheetPlan, ShelfEntry};
use crate::fault::Certain;

/// What stands for those blanks that no customer is named for.
const NO_CUSTOMER: &str = "no customer";

/// The totals of all boards of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct GrandTotal {
    /// Whole sheets used.
    pub sheets: usize,
    /// Offcuts and fallout used.
    pub offcuts: usize,
    /// Price of the sheets; `None` if that of a board is not known.
    pub price: Option<Price>,
    /// Area of all sheets and offcuts used, in square millimetres.
    pub stock_area: f64,
    /// Area of the pieces, in square millimetres.
    pub piece_area: f64,
    /// Area of the remainders worth keeping, in square millimetres.
    pub offcut_area: f64,
}

/// What a job, or a blank of an order, has of a plan.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Share {
    /// Whose it is.
    pub name: String,
    /// Who ordered it; empty if nobody says.
    pub customer: String,
    /// How many pieces it gets.
    pub pieces: u32,
    /// Their area in square millimetres.
    pub area: f64,
    /// Its share of the price of the boards that it is cut from, by area; all shares together are the price of the plan. `None` if
    /// that of a board is not known.
    pub price: Option<Price>,
    /// Its share of the waste of these boards in square millimetres, by area.
    pub waste: f64,
}

/// Sheets of one kind that a plan takes beyond those on hand.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Purchase<'p> {
    /// The sheet.
    pub entry: &'p ShelfEntry,
    /// The board that it is for, in short.
    pub board: String,
    /// How many.
    pub quantity: u32,
    /// What they cost; `None` if no price is known.
    pub price: Option<Price>,
}

impl PreparedRequest {
    /// Lets the plan take more sheets than are on hand, at their prices: what is missing is bought.
    #[must_use]
    pub fn with_purchases(mut self) -> Self {
        for stock in self.boards.iter_mut().flat_map(|board| &mut board.task.stock).filter(|stock| !stock.offcut) {
            stock.on_hand = None;
        }
        self
    }
}

impl SheetPlan {
    /// Lists the sheets to buy: those of which more are taken than there are, or no number is known.
    #[must_use]
    pub fn purchases(&self) -> Vec<Purchase<'_>> {
        let mut purchases = Vec::new();
        for board in &self.boards {
            let mut taken: std::collections::BTreeMap<usize, u32> = std::collections::BTreeMap::new();
            for pattern in &board.patterns {
                *taken.entry(pattern.entry).or_default() += u32::try_from(pattern.copies()).unwrap_or(u32::MAX);
            }
            for (index, taken) in taken {
                let entry = self.prepared.shelf.entries.get(index).certain("stock of this pattern");
                if entry.is_offcut() {
                    continue;
                }
                let quantity = taken.saturating_sub(entry.on_hand.unwrap_or(0));
                if quantity > 0 {
                    let price = entry.price.map(|price| Price(price.0.saturating_mul(quantity.into())));
                    purchases.push(Purchase { entry, board: board.board.short(), quantity, price });
                }
            }
        }
        purchases
    }

    /// Sums up all boards.
    #[must_use]
    pub fn grand_total(&self) -> GrandTotal {
        let nothing = GrandTotal {
            sheets: 0,
            offcuts: 0,
            price: Some(Price(0)),
            stock_area: 0.0,
            piece_area: 0.0,
            offcut_area: 0.0,
        };
        self.boards.iter().fold(nothing, |sum, board| {
            let totals = &board.totals;
            let both = sum.price.zip(totals.price);
            GrandTotal {
                sheets: sum.sheets + totals.sheets,
                offcuts: sum.offcuts + totals.offcuts,
                price: both.map(|(one, other)| Price(one.0.saturating_add(other.0))),
                stock_area: sum.stock_area + totals.stock_area,
                piece_area: sum.piece_area + totals.piece_area,
                offcut_area: sum.offcut_area + totals.offcut_area,
            }
        })
    }

    /// Divides cost and waste of every board among those whose pieces are cut from it, by the area of these pieces.
    ///
    /// Where not all pieces of an item have a place, those who are named first get theirs. Shares are in the order in which they are
    /// first named.
    #[must_use]
    pub fn shares(&self) -> Vec<Share> {
        let mut shares: Vec<Share> = Vec::new();
        for board in &self.boards {
            let users = self.users(board);
            let total: i128 = users.iter().map(|(_, area)| area).sum();
            let square = self.prepared.grid.step_mm().powi(2);
            let waste = board.totals.waste() * board.totals.stock_area;
            // In hundredths, as far as the price is; what rounding leaves goes to whoever comes next, so that the sum is exact.
            let (mut seen, mut given) = (0, 0);
            let step = board.totals.price.map_or(1, |price| if price.0 % 100 == 0 { 100 } else { 1 });
            for (user, area) in users {
                seen += area;
                let price = board.totals.price.map(|price| {
                    let until = i128::from(price.0) * seen / total.max(1) / step * step;
                    let own = until - given;
                    given = until;
                    Price(i64::try_from(own).unwrap_or(i64::MAX))
                });
                let waste = if total > 0 { waste * area as f64 / total as f64 } else { 0.0 };
                let BlankUser { name, customer, quantity: pieces } = user;
                let share = Share { name, customer, pieces, area: area as f64 * square, price, waste };
                let same = |other: &&mut Share| other.name == share.name && other.customer == share.customer;
                match shares.iter_mut().find(same) {
                    Some(other) => other.add(&share),
                    None => shares.push(share),
                }
            }
        }
        shares
    }

    /// Sums up the shares of each customer, in the order in which they are first named; empty if no blank has one.
    #[must_use]
    pub fn customers(&self) -> Vec<Share> {
        let mut customers: Vec<Share> = Vec::new();
        for share in self.shares() {
            let name = if share.customer.is_empty() { NO_CUSTOMER.to_owned() } else { share.customer.clone() };
            match customers.iter_mut().find(|other| other.customer == share.customer) {
                Some(other) => other.add(&share),
                None => customers.push(Share { name, ..share }),
            }
        }
        if customers.iter().all(|share| share.customer.is_empty()) { Vec::new() } else { customers }
    }

    /// Lists whose pieces a board yields, how many, and their area in square units.
    fn users(&self, board: &BoardPlan) -> Vec<(BlankUser, i128)> {
        let mut placed: std::collections::BTreeMap<usize, u32> = std::collections::BTreeMap::new();
        for pattern in &board.patterns {
            let copies = u32::try_from(pattern.copies()).unwrap_or(u32::MAX);
            pattern.root.walk(&mut |node| {
                if let PlanPart::Piece { piece, .. } = node.part {
                    *placed.entry(piece).or_default() += copies;
                }
            });
        }
        let mut users: Vec<(BlankUser, i128)> = Vec::new();
        for (index, mut count) in placed {
            let item = self.item(index).certain("blank of this piece");
            for user in &item.users {
                let own = count.min(user.quantity);
                count -= own;
                let area = i128::from(own) * i128::from(item.size.area());
                let same =
                    |(other, _): &&mut (BlankUser, i128)| other.name == user.name && other.customer == user.customer;
                match users.iter_mut().find(same) {
                    Some((other, sum)) => (other.quantity, *sum) = (other.quantity + own, *sum + area),
                    None => users.push((BlankUser { quantity: own, ..user.clone() }, area)),
                }
            }
        }
        users
    }
}

impl Share {
    fn add(&mut self, other: &Self) {
        self.pieces += other.pieces;
        self.area += other.area;
        self.waste += other.waste;
        self.price = self.price.zip(other.price).map(|(one, other)| Price(one.0.saturating_add(other.0)));
    }
}
