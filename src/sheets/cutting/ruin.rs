//! Taking pieces and whole cuts out of a few sheets, so that they can be put back better.

#![allow(clippy::indexing_slicing, reason = "places of sheets come from the list they index")]

use super::hole::NONE;
use super::packing::Packing;
use super::random::Random;

/// How many sheets a round touches at most, one in so many rounds.
const SHEETS: [usize; 8] = [1, 1, 2, 2, 2, 3, 3, 4];

/// How many in 1024 times a sheet is emptied, and how many a whole cut goes instead of what lies in it.
const EMPTY: u32 = 150;
const CLIMB: u32 = 350;

impl Packing<'_> {
    /// Takes some pieces out, of one sheet up to a few.
    pub(super) fn ruin(&mut self, random: &mut Random) {
        let sheets = SHEETS[random.below(SHEETS.len())];
        for _ in 0..sheets {
            let Some(slot) = self.some_open(random) else { return };
            if random.chance(EMPTY) {
                let root = self.slots[slot].tree.root();
                self.remove(slot, root);
                continue;
            }
            for _ in 0..1 + random.below(3) {
                if self.slots[slot].stock.is_none() {
                    break;
                }
                self.remove_some(slot, random);
            }
        }
    }

    /// Empties a sheet, of those that cost something if there are any.
    pub(super) fn drop_a_sheet(&mut self, random: &mut Random) {
        let start = random.below(self.slots.len());
        let places = (start..self.slots.len()).chain(0..start);
        let priced = |at: &usize| self.slots[*at].stock.is_some_and(|stock| self.stock()[stock].price > 0);
        let found = places.clone().find(priced).or_else(|| places.clone().find(|at| self.slots[*at].stock.is_some()));
        if let Some(slot) = found {
            self.remove(slot, self.slots[slot].tree.root());
        }
    }

    /// Empties a few sheets.
    pub(super) fn empty_some(&mut self, sheets: usize, random: &mut Random) {
        for _ in 0..sheets {
            let Some(slot) = self.some_open(random) else { return };
            self.remove(slot, self.slots[slot].tree.root());
        }
    }

    fn remove_some(&mut self, slot: usize, random: &mut Random) {
        let tree = &self.slots[slot].tree;
        let mut id = tree.pieces[random.below(tree.pieces.len())];
        while random.chance(CLIMB) && tree.parent(id) != NONE {
            id = tree.parent(id);
        }
        self.remove(slot, id);
    }

    fn some_open(&self, random: &mut Random) -> Option<usize> {
        if self.slots.is_empty() {
            return None;
        }
        let start = random.below(self.slots.len());
        let places = (start..self.slots.len()).chain(0..start);
        places.into_iter().find(|at| self.slots[*at].stock.is_some())
    }
}
