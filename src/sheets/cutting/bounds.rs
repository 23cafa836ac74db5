//! Lower bounds: how little an order can cost, and how few sheets it can take.

use super::task::Task;

/// What no plan can undercut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bounds {
    /// Cost in the smallest unit of money.
    pub(super) cost: i64,
    /// Sheets and offcuts together.
    pub(super) sheets: u32,
}

impl Bounds {
    /// Bounds for an order whose pieces can all be cut from some stock.
    pub(super) fn of(task: &Task) -> Self {
        let area = task.pieces.iter().map(|piece| i128::from(piece.size.area()) * i128::from(piece.quantity)).sum();
        let mut stock: Vec<Lot> = task
            .stock
            .iter()
            .map(|stock| Lot {
                capacity: i128::from(stock.size.area()),
                price: i128::from(stock.price),
                on_hand: stock.on_hand.map_or(i128::MAX, i128::from),
            })
            .collect();
        stock.sort_by(|one, other| (one.price * other.capacity).cmp(&(other.price * one.capacity)));
        let cost = cheapest(&stock, area);
        stock.sort_by_key(|lot| -lot.capacity);
        for lot in &mut stock {
            lot.price = 1;
        }
        Self { cost: cost as i64, sheets: cheapest(&stock, area) as u32 }
    }
}

/// Equal sheets, as far as a bound is concerned.
#[derive(Clone, Copy, Debug)]
struct Lot {
    capacity: i128,
    price: i128,
    on_hand: i128,
}

/// The least price at which lots in the order of price for capacity hold a volume, if sheets could be bought in parts.
fn cheapest(lots: &[Lot], volume: i128) -> i128 {
    let mut left = volume;
    let mut cost = 0;
    for lot in lots {
        let all = lot.capacity.saturating_mul(lot.on_hand);
        if lot.capacity > 0 && left <= all {
            let sheets = if lots.len() == 1 {
                lot.price * ceil(left, lot.capacity)
            } else {
                ceil(lot.price * left, lot.capacity)
            };
            return cost + sheets;
        }
        left -= all;
        cost += lot.price * lot.on_hand;
    }
    cost
}

fn ceil(over: i128, under: i128) -> i128 {
    (over + under - 1) / under
}
