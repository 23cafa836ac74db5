//! A larger offcut wanted: it is drawn at random, and waits for a place like a piece that must go on the sheets too.

#![allow(clippy::indexing_slicing, reason = "places of pieces, stock and sheets come from the lists they index")]

use super::packing::{Packing, PieceShape, can_cut};
use super::random::Random;
use super::task::{SizeInUnits, Units};
use super::tree::NodeKind;

/// How many sizes are drawn to find two that would do.
const DRAWS: usize = 60;
/// How many pieces at most lie beside an offcut, between it and the edges of its sheet.
const BESIDE: usize = 4;

impl Packing<'_> {
    /// Draws a size for an offcut larger than the one there is, and no larger than all holes together: an open sheet
    /// less a few pieces along each side. Of two it takes the smaller, which is easier to find a place for.
    pub(super) fn draw_offcut(&self, random: &mut Random) -> Option<SizeInUnits> {
        let least = self.largest_hole();
        let most = self.spare_area();
        let open: Vec<usize> = self.slots.iter().filter_map(|slot| slot.stock).collect();
        if open.is_empty() || least >= most {
            return None;
        }
        let mut found: Option<SizeInUnits> = None;
        for _ in 0..DRAWS {
            let stock = open[random.below(open.len())];
            let [width, height] = self.stock()[stock].size.along();
            let size =
                SizeInUnits { width: self.beside_some(width, 0, random), height: self.beside_some(height, 1, random) };
            let does = size.width > 0 && size.height > 0 && self.rules.keeps(size);
            if !does || size.area() <= least || size.area() > most {
                continue;
            }
            match found {
                None => found = Some(size),
                Some(other) => return Some(if size.area() < other.area() { size } else { other }),
            }
        }
        found
    }

    /// What a few pieces leave of a length.
    fn beside_some(&self, length: Units, axis: usize, random: &mut Random) -> Units {
        let pieces = random.below(BESIDE);
        let taken = (0..pieces).map(|_| {
            let shape = self.shapes[random.below(self.shapes.len())];
            let turned = shape.turns && random.chance(512);
            shape.size[if turned { 1 - axis } else { axis }] + self.rules.kerf
        });
        length - taken.sum::<Units>()
    }

    /// The area of all holes of the sheets that are open, unscaled.
    fn spare_area(&self) -> i64 {
        let open = self.slots.iter().filter(|slot| slot.stock.is_some());
        open.flat_map(|slot| &slot.tree.holes).map(|hole| hole.size[0] * hole.size[1]).sum()
    }

    /// Lets an offcut wait for a place, as a piece after all others; no free sheet is opened for it.
    pub(super) fn want_offcut(&mut self, size: SizeInUnits) {
        let area = self.scaled_area(size.area());
        let shape =
            PieceShape { size: size.along(), turns: size.width != size.height, is_free: true, area, weight: area };
        for (row, stock) in self.cuttable.iter_mut().zip(&self.task.stock) {
            row.push(stock.price > 0 && can_cut(stock, shape, &self.rules));
        }
        self.waiting.push(self.shapes.len() as u32);
        self.shapes.push(shape);
    }

    /// Forgets the offcut that was wanted: where it lies, a hole is left.
    pub(super) fn free_offcut(&mut self) {
        self.shapes.pop();
        let wanted = self.shapes.len() as u32;
        self.cuttable.iter_mut().for_each(|row| row.truncate(wanted as usize));
        for at in 0..self.slots.len() {
            let tree = &self.slots[at].tree;
            let place = |id: &u32| matches!(tree.kind(*id), NodeKind::Piece(piece, _) if piece == wanted);
            if self.slots[at].stock.is_some()
                && let Some(id) = tree.pieces.iter().copied().find(place)
            {
                self.remove(at, id);
            }
        }
        self.waiting.retain(|piece| *piece != wanted);
    }
}
