//! Putting waiting pieces into holes: where each costs least of what the holes are worth.

#![allow(clippy::indexing_slicing, reason = "places of pieces, stock and sheets come from the lists they index")]

use super::packing::Packing;
use super::random::Random;
use super::tree::Way;

/// By what the waiting pieces are put in order, the largest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Area,
    LongerSide,
    ShorterSide,
    Width,
    Height,
    Random,
}

impl Order {
    const ALL: [Self; 6] = [Self::Area, Self::LongerSide, Self::ShorterSide, Self::Width, Self::Height, Self::Random];

    /// One of the orders.
    pub(super) fn any(random: &mut Random) -> Self {
        Self::ALL[random.below(Self::ALL.len())]
    }
}

/// How a round of filling goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    pub(super) order: Order,
    /// How many in 1024 ways are not seen.
    pub(super) blink: u32,
    /// The open sheets may cost this much at most.
    pub(super) budget: i64,
}

/// What to try of a piece.
#[derive(Clone, Copy, Debug)]
struct Choice {
    /// Straight, and turned.
    turns: [bool; 2],
    /// To cut across first, and down.
    axes: [bool; 2],
}

impl Packing<'_> {
    /// Puts the waiting pieces into holes, opening sheets while the budget lasts; what fits nowhere goes on waiting.
    pub(super) fn fill(&mut self, manner: &Manner, random: &mut Random) {
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

    fn put_in_order(&mut self, order: Order, random: &mut Random) {
        let shapes = &self.shapes;
        let waiting = &mut self.waiting;
        let longer = |piece: &u32| shapes[*piece as usize].size.into_iter().max();
        let shorter = |piece: &u32| shapes[*piece as usize].size.into_iter().min();
        match order {
            Order::Area => waiting.sort_unstable_by_key(|piece| (-shapes[*piece as usize].area, *piece)),
            Order::LongerSide => {
                waiting.sort_unstable_by_key(|piece| (std::cmp::Reverse((longer(piece), shorter(piece))), *piece))
            }
            Order::ShorterSide => {
                waiting.sort_unstable_by_key(|piece| (std::cmp::Reverse((shorter(piece), longer(piece))), *piece))
            }
            Order::Width => {
                waiting.sort_unstable_by_key(|piece| (shapes[*piece as usize].size.map(|side| -side), *piece))
            }
            Order::Height => waiting.sort_unstable_by_key(|piece| {
                let [width, height] = shapes[*piece as usize].size;
                (-height, -width, *piece)
            }),
            Order::Random => {
                for at in (1..waiting.len()).rev() {
                    waiting.swap(at, random.below(at + 1));
                }
            }
        }
    }

    fn place(&mut self, piece: u32, manner: &Manner, random: &mut Random) -> bool {
        if let Some((slot, way)) = self.best_way(piece, manner.blink, random) {
            self.insert(slot, &way, piece);
            return true;
        }
        let Some(stock) = self.stock_for(piece, manner.budget, random) else { return false };
        let slot = self.open(stock);
        let choice = self.choice(piece, manner.blink, random);
        let way = self.best_way_in(slot, piece, choice, 0, random).or_else(|| {
            let all = self.choice(piece, 0, random);
            self.best_way_in(slot, piece, all, 0, random)
        });
        if let Some((_, way)) = way {
            self.insert(slot, &way, piece);
        }
        way.is_some()
    }

    /// The way of placing that loses least of what holes are worth.
    fn best_way(&self, piece: u32, blink: u32, random: &mut Random) -> Option<(usize, Way)> {
        let shape = self.shapes[piece as usize];
        let [width, height] = shape.size;
        let choice = self.choice(piece, blink, random);
        let turns = choice.turns;
        let mut best: Option<(i64, usize, Way)> = None;
        for (slot, reach) in self.reaches.iter().enumerate() {
            let fits = (turns[0] && width <= reach[0] && height <= reach[1])
                || (turns[1] && height <= reach[0] && width <= reach[1]);
            if fits
                && let Some((loss, way)) = self.best_way_in(slot, piece, choice, blink, random)
                && best.is_none_or(|(least, _, _)| loss < least)
            {
                best = Some((loss, slot, way));
            }
        }
        best.map(|(_, slot, way)| (slot, way))
    }

    /// What to try of a piece: everything, or, now and then where blinking, one position or one first cut only.
    fn choice(&self, piece: u32, blink: u32, random: &mut Random) -> Choice {
        let turns = [true, self.shapes[piece as usize].turns];
        let both = [true, true];
        if blink == 0 {
            return Choice { turns, axes: both };
        }
        match random.below(32) {
            0 | 1 if turns[1] => Choice { turns: [true, false], axes: both },
            2 | 3 if turns[1] => Choice { turns: [false, true], axes: both },
            4 => Choice { turns, axes: [true, false] },
            5 => Choice { turns, axes: [false, true] },
            _ => Choice { turns, axes: both },
        }
    }

    fn best_way_in(
        &self,
        slot: usize,
        piece: u32,
        choice: Choice,
        blink: u32,
        random: &mut Random,
    ) -> Option<(i64, Way)> {
        let open = &self.slots[slot];
        open.stock?;
        let shape = self.shapes[piece as usize];
        let kerf = self.rules.kerf;
        let mut best: Option<(i64, Way)> = None;
        for hole in &open.tree.holes {
            for turned in [false, true] {
                let size = if turned { [shape.size[1], shape.size[0]] } else { shape.size };
                let rest = [hole.size[0] - size[0], hole.size[1] - size[1]];
                if !choice.turns[usize::from(turned)] || rest[0] < 0 || rest[1] < 0 || random.chance(blink) {
                    continue;
                }
                let rest = rest.map(|rest| (rest - kerf).max(0));
                let whole = self.worth_of(hole.size[0], hole.size[1]);
                let across = self.worth_of(rest[0], hole.size[1]) + self.worth_of(size[0], rest[1]);
                let down = self.worth_of(hole.size[0], rest[1]) + self.worth_of(rest[0], size[1]);
                let mut ways = [(whole - across, 0), (whole - down, 1)];
                if ways[1].0 < ways[0].0 {
                    ways.swap(0, 1);
                }
                for (loss, first_axis) in ways {
                    if !choice.axes[first_axis] {
                        continue;
                    }
                    if best.is_some_and(|(least, _)| least <= loss) {
                        break;
                    }
                    let way = Way { hole: hole.id, size, turned, first_axis };
                    if self.allows(slot, &way) {
                        best = Some((loss, way));
                        break;
                    }
                }
            }
        }
        best
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
