//! Which sheets a search may use, when there are several to choose from.

#![allow(clippy::indexing_slicing, reason = "places of stock and sheets come from the lists they index")]

use super::packing::Packing;
use super::random::Random;

/// How often a choice of sheets is drawn anew because it is too small for the order.
const DRAWS: usize = 30;

impl Packing<'_> {
    /// Empties some sheets, or all, and draws others that may be opened instead within a budget.
    pub(super) fn recompose(&mut self, budget: i64, random: &mut Random) {
        self.recount();
        let all = random.chance(512);
        let drops = 1 + random.below(3);
        let mut dropped = 0;
        while self.cost > budget || ((all || dropped < drops) && self.slots.iter().any(|slot| slot.stock.is_some())) {
            self.drop_a_sheet(random);
            dropped += 1;
        }
        let mut on_hand = self.left.clone();
        // Sheets that yield nothing of what waits would only take the place of others.
        for (at, on_hand) in on_hand.iter_mut().enumerate() {
            if !self.waiting.iter().any(|piece| self.can_cut(at, *piece)) {
                *on_hand = 0;
            }
        }
        let waiting: i128 = self.waiting.iter().map(|piece| self.area_of(*piece)).sum();
        // The most room is the easiest to fill; now and then others are tried.
        let (mut most, mut chosen) = (-1, Vec::new());
        for draws in 0..DRAWS {
            let room = self.draw(&on_hand, budget, random);
            if room > most {
                (most, chosen) = (room, self.left.clone());
            }
            if most >= waiting && draws >= random.below(DRAWS) {
                break;
            }
        }
        self.left = chosen;
    }

    /// Draws sheets that may be opened until the budget allows no more, and gives their area.
    fn draw(&mut self, on_hand: &[u32], budget: i64, random: &mut Random) -> i128 {
        let mut cost = self.cost;
        let mut area = 0;
        // What costs nothing may always be opened.
        for (at, stock) in self.task.stock.iter().enumerate() {
            self.left[at] = if stock.price == 0 { on_hand[at] } else { 0 };
            area += i128::from(stock.size.area()) * i128::from(self.left[at].min(self.waiting.len() as u32));
        }
        for _ in 0..self.waiting.len() {
            let can = |at: &usize| self.left[*at] < on_hand[*at] && cost + self.stock()[*at].price <= budget;
            let affordable: Vec<usize> = (0..on_hand.len()).filter(can).collect();
            let Some(&chosen) = affordable.get(random.below(affordable.len())) else { break };
            self.left[chosen] += 1;
            cost += self.stock()[chosen].price;
            area += i128::from(self.stock()[chosen].size.area());
        }
        area
    }
}
