//! What every plan must obey: needs of the order that the sheets taken must meet, and the cheapest numbers of sheets that do.

#![allow(clippy::indexing_slicing, reason = "needs have a capacity for every stock")]

use super::task::Task;

/// Choices of sheets looked at before the search gives up.
const MOST_CHOICES: u64 = 20_000;

/// So much of each sheet, and so much for the order: all sheets of a plan together must give no less.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Need {
    /// How much a sheet of each stock gives at most.
    pub(super) capacities: Vec<i128>,
    /// How much the order takes.
    pub(super) volume: i128,
}

impl Need {
    /// Whether numbers of sheets meet it.
    pub(super) fn is_met(&self, numbers: &[u32]) -> bool {
        let room: i128 = self.capacities.iter().zip(numbers).map(|(room, number)| room * i128::from(*number)).sum();
        room >= self.volume
    }
}

/// Numbers of sheets of each stock, and their price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct SheetNumbers {
    pub(super) numbers: Vec<u32>,
    pub(super) price: i128,
}

/// A stock by what it costs and how many there are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lot {
    pub(super) price: i128,
    pub(super) on_hand: Option<u32>,
}

impl Lot {
    /// The stocks of a task, at their prices.
    pub(super) fn all(task: &Task) -> Vec<Self> {
        task.stock.iter().map(|stock| Self { price: stock.price.into(), on_hand: stock.on_hand }).collect()
    }
}

/// The cheapest numbers of sheets that meet all needs; none where none do, or too many would have to be looked at, or it takes more
/// than so many steps of arithmetic.
pub(super) fn cheapest(lots: &[Lot], needs: &[Need], work: &mut u64) -> Option<SheetNumbers> {
    let steps = 4 * (lots.len() * needs.len()) as u64 + 1;
    let most = (*work / steps).min(MOST_CHOICES);
    let mut search = Cheapest { lots, needs, numbers: vec![0; lots.len()], best: None, looked: 0, most };
    let left: Vec<i128> = needs.iter().map(|need| need.volume).collect();
    search.extend(0, &left, 0);
    *work = work.saturating_sub(search.looked * steps);
    search.best.filter(|_| search.looked < most)
}

struct Cheapest<'a> {
    lots: &'a [Lot],
    needs: &'a [Need],
    numbers: Vec<u32>,
    best: Option<SheetNumbers>,
    looked: u64,
    most: u64,
}

impl Cheapest<'_> {
    /// Decides on the numbers of the stocks from one on, with what is left of each need.
    fn extend(&mut self, at: usize, left: &[i128], price: i128) {
        self.looked += 1;
        if self.looked >= self.most || self.best.as_ref().is_some_and(|best| price + self.least(at, left) >= best.price)
        {
            return;
        }
        if left.iter().all(|left| *left <= 0) {
            self.best = Some(SheetNumbers { numbers: self.numbers.clone(), price });
            return;
        }
        let Some(lot) = self.lots.get(at) else { return };
        let useful = |need: &Need, left: i128| match need.capacities[at] {
            room if room > 0 && left > 0 => (left + room - 1) / room,
            _ => 0,
        };
        let most = self.needs.iter().zip(left.iter()).map(|(need, left)| useful(need, *left)).max().unwrap_or(0);
        let most = most.min(lot.on_hand.map_or(i128::from(u32::MAX), i128::from));
        for number in (0..=most).rev() {
            self.numbers[at] = number as u32;
            let after: Vec<i128> =
                self.needs.iter().zip(left.iter()).map(|(need, left)| left - number * need.capacities[at]).collect();
            self.extend(at + 1, &after, price + number * lot.price);
            if self.looked >= self.most {
                break;
            }
        }
        self.numbers[at] = 0;
    }

    /// The least that the stocks from one on must still cost, if sheets could be bought in parts.
    fn least(&self, from: usize, left: &[i128]) -> i128 {
        let needs = self.needs.iter().zip(left);
        needs.map(|(need, left)| least_in_parts(&self.lots[from..], &need.capacities[from..], *left)).max().unwrap_or(0)
    }
}

/// The least price of sheets that give a volume, if those that cost something could be bought in parts, in any number.
pub(super) fn least_in_parts(lots: &[Lot], capacities: &[i128], volume: i128) -> i128 {
    let mut left = volume;
    let mut cheapest: Option<(i128, i128)> = None;
    for (lot, room) in lots.iter().zip(capacities).filter(|(_, room)| **room > 0) {
        match (lot.price, lot.on_hand) {
            (0, Some(on_hand)) => left -= room * i128::from(on_hand),
            (0, None) => return 0,
            (price, _) if cheapest.is_none_or(|(best, by)| price * by < best * room) => cheapest = Some((price, *room)),
            _ => {}
        }
    }
    match cheapest {
        Some((price, room)) if left > 0 => (left * price + room - 1) / room,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::{Lot, Need, SheetNumbers, cheapest};

    fn all(lots: &[Lot], needs: &[Need]) -> Option<SheetNumbers> {
        cheapest(lots, needs, &mut { u64::MAX })
    }

    fn lot(price: i128, on_hand: Option<u32>) -> Lot {
        Lot { price, on_hand }
    }

    #[test]
    fn the_cheapest_numbers_meet_all_needs() {
        let lots = [lot(12, None), lot(25, None)];
        let area = Need { capacities: vec![10, 20], volume: 50 };
        let pieces = Need { capacities: vec![2, 5], volume: 12 };
        assert_eq!(all(&lots, std::slice::from_ref(&area)).map(|found| found.price), Some(60));
        let found = all(&lots, &[area, pieces]).map(|found| (found.price, found.numbers));
        assert_eq!(found, Some((62, vec![1, 2])));
    }

    #[test]
    fn what_is_paid_for_comes_first_and_may_not_be_enough() {
        let need = Need { capacities: vec![10, 4], volume: 25 };
        let offcuts = [lot(12, None), lot(0, Some(2))];
        assert_eq!(all(&offcuts, std::slice::from_ref(&need)).map(|found| found.price), Some(24));
        assert_eq!(all(&[lot(12, Some(1)), lot(0, Some(2))], &[need]), None);
    }
}
