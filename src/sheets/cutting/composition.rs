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
        let on_hand = self.left.clone();
        let waiting: i128 = self.waiting.iter().map(|piece| self.area_of(*piece)).sum();
        for _ in 0..DRAWS {
            if self.draw(&on_hand, budget, random) >= waiting {
                return;
            }
        }
    }

    /// Draws sheets that may be opened until the budget allows no more, and gives their area.
    fn draw(&mut self, on_hand: &[u32], budget: i64, random: &mut Random) -> i128 {
        self.left.fill(0);
        let mut cost = self.cost;
        let mut area = 0;
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
