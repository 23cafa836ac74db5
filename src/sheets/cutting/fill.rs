//! Putting waiting pieces into holes: where each costs least of what the holes are worth.

#![allow(clippy::indexing_slicing, reason = "places of pieces, stock and sheets come from the lists they index")]

use std::ops::Range;

use super::hole::Hole;
use super::packing::{Packing, PieceShape};
use super::random::Random;
use super::task::Units;
use super::tree::HolePlacement;
use super::worth::HoleReach;

/// Bits of a measure that count where pieces are put in order.
const MEASURE: u64 = (1 << 48) - 1;

/// How many in 1024 new sheets that are longer than the arm are first cut to its length.
const SHORTENED: u32 = 400;

/// By what the waiting pieces are put in order, the largest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SortKey {
    Area,
    LongerSide,
    ShorterSide,
    Width,
    Height,
    Random,
}

impl SortKey {
    const ALL: [Self; 6] = [Self::Area, Self::LongerSide, Self::ShorterSide, Self::Width, Self::Height, Self::Random];

    /// What counts most of a piece, and what among equals.
    fn measures(self, shape: &PieceShape) -> (i64, i64) {
        let [width, height] = shape.size;
        match self {
            Self::Area => (shape.area, 0),
            Self::LongerSide => (width.max(height), width.min(height)),
            Self::ShorterSide => (width.min(height), width.max(height)),
            Self::Width => (width, height),
            Self::Height => (height, width),
            Self::Random => (0, 0),
        }
    }

    /// One of the orders.
    pub(super) fn any(random: &mut Random) -> Self {
        Self::ALL[random.below(Self::ALL.len())]
    }
}

/// How a round of filling goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct FillRules {
    pub(super) order: SortKey,
    /// How many in 1024 ways are not seen.
    pub(super) blink: u32,
    /// The open sheets may cost this much at most.
    pub(super) budget: i64,
}

/// What to try of a piece.
#[derive(Clone, Copy, Debug)]
struct TriedOrientations {
    /// Straight, and turned.
    turns: [bool; 2],
    /// To cut across first, and down.
    axes: [bool; 2],
}

impl TriedOrientations {
    /// What to look for where a piece of this size is to be tried so.
    fn sought(self, size: [Units; 2]) -> HoleQuery {
        let turned = [size[1], size[0]];
        // Nothing takes a position that is not to be tried.
        let never = [Units::MAX; 2];
        let tried = |at: usize, size| if self.turns[at] { size } else { never };
        let positions = [(tried(0, size), false), (tried(1, turned), true)];
        let one = if self.turns[0] { size } else { turned };
        HoleQuery { positions, either: self.turns == [true, true], one, sides: sorted(size) }
    }
}

/// What holes are looked through for.
struct HoleQuery {
    /// The size of the piece, straight and turned.
    positions: [([Units; 2], bool); 2],
    /// Whether both positions do.
    either: bool,
    /// The size in a position that does.
    one: [Units; 2],
    /// The longer and the shorter side.
    sides: [Units; 2],
}

impl HoleQuery {
    /// Whether holes that reach so far may take it.
    fn is_within(&self, [width, height, shorter]: HoleReach) -> bool {
        if self.either {
            covers([width.max(height), shorter], self.sides)
        } else {
            (width - self.one[0]) | (height - self.one[1]) | (shorter - self.sides[1]) >= 0
        }
    }

    /// Whether a hole takes it in some position.
    fn fits(&self, hole: [Units; 2]) -> bool {
        if self.either { covers(sorted(hole), self.sides) } else { covers(hole, self.one) }
    }
}

/// The longer side first.
fn sorted(size: [Units; 2]) -> [Units; 2] {
    [size[0].max(size[1]), size[0].min(size[1])]
}

/// The best way of placing so far.
#[derive(Clone, Copy, Debug)]
struct BestPlacement {
    /// How much it loses of what holes are worth.
    loss: i64,
    /// The sheet, and the way.
    found: Option<(usize, HolePlacement)>,
}

/// Whether a hole is as wide and as high as a piece: one test of both, as most are not.
fn covers(room: [Units; 2], size: [Units; 2]) -> bool {
    (room[0] - size[0]) | (room[1] - size[1]) >= 0
}

impl Packing<'_> {
    /// Puts the waiting pieces into holes, opening sheets while the budget lasts; what fits nowhere goes on waiting.
    pub(super) fn fill(&mut self, manner: &FillRules, random: &mut Random) {
        self.put_in_order(manner.order, random);
        let mut still = 0;
        let mut failed = u32::MAX;
        for at in 0..self.waiting.len() {
            let piece = self.waiting[at];
            let placed = piece != failed && self.place(piece, manner, random);
            if !placed {
                failed = piece;
                self.waiting[still] = piece;
                still += 1;
            }
        }
        self.waiting.truncate(still);
    }

    fn put_in_order(&mut self, order: SortKey, random: &mut Random) {
        let waiting = &mut self.waiting;
        if order == SortKey::Random {
            for at in (1..waiting.len()).rev() {
                waiting.swap(at, random.below(at + 1));
            }
            return;
        }
        // One number for each, which sorts quickly: what counts, the larger the earlier, then the piece.
        let shapes = &self.shapes;
        let number = |piece: &u32| {
            let (first, second) = order.measures(&shapes[*piece as usize]);
            let [first, second] = [first, second].map(|measure| u128::from(!(measure as u64) & MEASURE));
            first << 80 | second << 32 | u128::from(*piece)
        };
        self.queue.clear();
        self.queue.extend(waiting.iter().map(number));
        self.queue.sort_unstable();
        for (piece, number) in waiting.iter_mut().zip(&self.queue) {
            *piece = *number as u32;
        }
    }

    fn place(&mut self, piece: u32, manner: &FillRules, random: &mut Random) -> bool {
        let choice = self.choice(piece, manner.blink, random);
        if let Some((slot, way)) = self.best_way(0..self.slots.len(), piece, choice, manner.blink, random) {
            self.insert(slot, &way, piece);
            return true;
        }
        let Some(stock) = self.stock_for(piece, manner.budget, random) else { return false };
        let slot = self.open(stock);
        if let Some(way) = self.way_in_shortened(slot, piece, random) {
            self.insert(slot, &way, piece);
            return true;
        }
        let choice = self.choice(piece, manner.blink, random);
        let way = self.best_way(slot..slot + 1, piece, choice, 0, random).or_else(|| {
            let all = self.choice(piece, 0, random);
            self.best_way(slot..slot + 1, piece, all, 0, random)
        });
        if let Some((slot, way)) = way {
            self.insert(slot, &way, piece);
        }
        way.is_some()
    }

    /// By chance cuts a new sheet that is longer than the arm to as much as that can cut, where no piece has to end, and gives a way of
    /// placing a piece in that; the sheet stays whole where there is none.
    fn way_in_shortened(&mut self, slot: usize, piece: u32, random: &mut Random) -> Option<HolePlacement> {
        let longest = self.rules.longest_cut.filter(|_| random.chance(SHORTENED))?;
        let size = self.slots[slot].tree.size(self.slots[slot].tree.root());
        let (hole, axis) = self.slots[slot].tree.shorten(longest)?;
        self.weigh(slot);
        let mut choice = self.choice(piece, 0, random);
        choice.axes[axis] = false;
        let way = self.best_way(slot..slot + 1, piece, choice, 0, random);
        let way = way.map(|(_, way)| way).filter(|way| way.hole == hole && way.size[1 - axis] < size[1 - axis]);
        if way.is_none() {
            self.slots[slot].tree.clear(size);
            self.weigh(slot);
        }
        way
    }

    /// The way of placing in some of the sheets that loses least of what holes are worth, and the sheet.
    fn best_way(
        &self,
        slots: Range<usize>,
        piece: u32,
        choice: TriedOrientations,
        blink: u32,
        random: &mut Random,
    ) -> Option<(usize, HolePlacement)> {
        let shape = &self.shapes[piece as usize];
        let sought = choice.sought(shape.size);
        let straight = TriedOrientations { turns: [choice.turns[0], false], ..choice }.sought(shape.size);
        let mut best = BestPlacement { loss: i64::MAX, found: None };
        for (group, reaches) in self.reaches[slots.clone()].chunks(64).enumerate() {
            // A bit for each sheet that may take it: a branch for each would often be guessed wrong.
            let bits = reaches.iter().rev().map(|reach| u64::from(sought.is_within(*reach)));
            let mut within = bits.fold(0, |bits, bit| bits << 1 | bit);
            while within != 0 {
                let slot = slots.start + 64 * group + within.trailing_zeros() as usize;
                within &= within - 1;
                let turns = shape.is_free || self.slots[slot].stock.is_none_or(|stock| self.stock()[stock].turnable);
                let sought = if turns { &sought } else { &straight };
                for hole in self.slots[slot].tree.holes.iter().filter(|hole| sought.fits(hole.size)) {
                    for (size, turned) in sought.positions {
                        if covers(hole.size, size) && !random.chance(blink) {
                            self.look_at(slot, hole, size, turned, choice, &mut best);
                        }
                    }
                }
            }
        }
        best.found
    }

    /// What to try of a piece: everything, or, now and then where blinking, one position or one first cut only.
    fn choice(&self, piece: u32, blink: u32, random: &mut Random) -> TriedOrientations {
        let turns = [true, self.shapes[piece as usize].turns];
        let both = [true, true];
        if blink == 0 {
            return TriedOrientations { turns, axes: both };
        }
        match random.below(32) {
            0 | 1 if turns[1] => TriedOrientations { turns: [true, false], axes: both },
            2 | 3 if turns[1] => TriedOrientations { turns: [false, true], axes: both },
            4 => TriedOrientations { turns, axes: [true, false] },
            5 => TriedOrientations { turns, axes: [false, true] },
            _ => TriedOrientations { turns, axes: both },
        }
    }

    /// Looks whether a position in a hole loses less than the best so far, by either first cut.
    fn look_at(
        &self,
        slot: usize,
        hole: &Hole,
        size: [Units; 2],
        turned: bool,
        choice: TriedOrientations,
        best: &mut BestPlacement,
    ) {
        let kerf = self.rules.kerf;
        let rest = [(hole.size[0] - size[0] - kerf).max(0), (hole.size[1] - size[1] - kerf).max(0)];
        let across = self.areas.worth(rest[0], hole.size[1]) + self.areas.worth(size[0], rest[1]);
        let down = self.areas.worth(hole.size[0], rest[1]) + self.areas.worth(rest[0], size[1]);
        let order = if down > across { [(down, 1), (across, 0)] } else { [(across, 0), (down, 1)] };
        for (left, first_axis) in order {
            let loss = hole.worth - left;
            if best.loss <= loss {
                return;
            }
            let way = HolePlacement { hole: hole.id, size, turned, first_axis };
            if choice.axes[first_axis] && self.allows(slot, &way) {
                *best = BestPlacement { loss, found: Some((slot, way)) };
                return;
            }
        }
    }

    /// A stock that a piece can be cut from within the budget: mostly the one with the lowest price for its area.
    fn stock_for(&self, piece: u32, budget: i64, random: &mut Random) -> Option<usize> {
        let stock = self.stock();
        let can = |at: &usize| {
            let sheet = &stock[*at];
            self.has(*at) && self.cost + sheet.price <= budget && self.can_cut(*at, piece)
        };
        let first = (0..stock.len()).find(can)?;
        let mut chosen = first;
        let by_chance = random.chance(400);
        let mut seen = 1;
        for at in (first + 1..stock.len()).filter(can) {
            seen += 1;
            let better = if by_chance {
                random.below(seen) == 0
            } else {
                let (new, old) = (&stock[at], &stock[chosen]);
                i128::from(new.price) * i128::from(old.size.area())
                    < i128::from(old.price) * i128::from(new.size.area())
            };
            if better {
                chosen = at;
            }
        }
        Some(chosen)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing, reason = "a test fails by panicking")]

    use super::*;
    use crate::sheets::cutting::{Piece, Rules, SizeInUnits, StockSheet, Task};

    /// Pieces of random sizes, on sheets of 40 × 50 steps that are each so long.
    fn random_task(random: &mut Random, kerf: Units, step: Units) -> Task {
        let mut side = || step * (3 + random.below(20)) as Units;
        let sizes: Vec<SizeInUnits> = (0..25).map(|_| SizeInUnits { width: side(), height: side() }).collect();
        let piece = |(at, size): (usize, SizeInUnits)| Piece { size, quantity: 1, turnable: at % 2 == 0, value: None };
        let size = SizeInUnits { width: 40 * step, height: 50 * step };
        Task {
            pieces: sizes.into_iter().enumerate().map(piece).collect(),
            stock: vec![StockSheet { size, on_hand: Some(4), price: 10, offcut: false, turnable: true }],
            rules: Rules { kerf, ..Rules::default() },
        }
    }

    /// However pieces go in and out, and after changes are taken back, the sums kept are those of the holes there are.
    #[test]
    fn what_holes_come_to_is_always_known() {
        let mut random = Random::new(5);
        for (kerf, step) in [(0, 1), (1, 1), (7, 1_000_003)] {
            let task = random_task(&mut random, kerf, step);
            let mut packing = Packing::new(&task);
            for round in 0..300 {
                packing.start_round();
                packing.ruin(&mut random);
                let manner = FillRules { order: SortKey::any(&mut random), blink: 50, budget: i64::MAX };
                packing.fill(&manner, &mut random);
                if round % 3 == 0 {
                    packing.undo();
                }
                let mut worth = 0;
                for (slot, reach) in packing.slots.iter().zip(&packing.reaches) {
                    let holes = slot.tree.holes.iter().filter(|_| slot.stock.is_some());
                    let most = |measure: fn(&Hole) -> Units| holes.clone().map(measure).max().unwrap_or(-1);
                    let shorter = most(|hole| hole.size[0].min(hole.size[1]));
                    assert_eq!(*reach, [most(|hole| hole.size[0]), most(|hole| hole.size[1]), shorter]);
                    worth += holes.map(|hole| packing.areas.worth(hole.size[0], hole.size[1])).sum::<i64>();
                }
                assert_eq!(packing.worth, worth);
            }
        }
    }

    #[test]
    fn the_largest_waiting_pieces_come_first() {
        let mut random = Random::new(6);
        let task = random_task(&mut random, 0, 1_000_003);
        let mut packing = Packing::new(&task);
        let sizes: Vec<SizeInUnits> = task.pieces.iter().map(|piece| piece.size).collect();
        let size = |piece: &u32| sizes[*piece as usize];
        packing.put_in_order(SortKey::LongerSide, &mut random);
        let longer =
            |piece: &u32| (size(piece).width.max(size(piece).height), size(piece).width.min(size(piece).height));
        assert!(packing.waiting.is_sorted_by_key(|piece| (std::cmp::Reverse(longer(piece)), *piece)));
        packing.put_in_order(SortKey::Height, &mut random);
        let height = |piece: &u32| (size(piece).height, size(piece).width);
        assert!(packing.waiting.is_sorted_by_key(|piece| (std::cmp::Reverse(height(piece)), *piece)));
        packing.put_in_order(SortKey::Area, &mut random);
        let area = |piece: &u32| packing.areas.scaled(size(piece).area());
        assert!(packing.waiting.is_sorted_by_key(|piece| (std::cmp::Reverse(area(piece)), *piece)));
        assert_eq!(packing.waiting.len(), 25);
    }
}
