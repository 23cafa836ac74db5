//! The least that an order can cost, by trying every division of it among sheets and every way to cut every rectangle.
//!
//! It knows only what a cut is: it runs over a whole rectangle, is no longer than the arm, takes a kerf, and counts as a new level if it
//! is square to the one before. Nothing of it comes from the planner.

use std::collections::HashMap;

/// A blank that is ordered, in whole units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wanted {
    pub(crate) size: [i64; 2],
    pub(crate) quantity: u32,
    pub(crate) turnable: bool,
}

/// Sheets of one kind, as large as they are after trimming.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sheets {
    pub(crate) size: [i64; 2],
    pub(crate) on_hand: Option<u32>,
    pub(crate) price: i64,
    pub(crate) turnable: bool,
}

/// The order of a small bench.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bench {
    pub(crate) wanted: Vec<Wanted>,
    pub(crate) sheets: Vec<Sheets>,
    pub(crate) kerf: i64,
    pub(crate) longest_cut: Option<i64>,
    pub(crate) stages: Option<u32>,
}

/// What the best plan comes to that leaves nothing over of what some sheet yields.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Least {
    /// The least price of all sheets; `None` if there are too few.
    pub(crate) price: Option<i64>,
    /// The fewest sheets.
    pub(crate) sheets: Option<u32>,
    /// The largest area of pieces that can be placed.
    pub(crate) area: i64,
}

impl Bench {
    /// Returns how many of each blank some sheet yields: all or none of them.
    pub(crate) fn possible(&self) -> Vec<u32> {
        let one_of = |at: usize| (0..self.wanted.len()).map(|other| u32::from(other == at)).collect::<Vec<_>>();
        let yields = |at: usize| {
            self.sheets.iter().filter(|sheets| sheets.on_hand != Some(0)).any(|sheets| {
                Cutting { bench: self, turnable: sheets.turnable, known: HashMap::new() }.yields(
                    &one_of(at),
                    sheets.size,
                    None,
                    self.stages,
                )
            })
        };
        self.wanted.iter().enumerate().map(|(at, wanted)| if yields(at) { wanted.quantity } else { 0 }).collect()
    }

    /// Tries every plan.
    pub(crate) fn least(&self) -> Least {
        let all = choices(&self.possible());
        let full = all.len() - 1;
        let place: HashMap<&[u32], usize> =
            all.iter().enumerate().map(|(at, choice)| (choice.as_slice(), at)).collect();
        // For every choice the least price and the fewest sheets.
        let mut price: Vec<Option<i64>> = vec![None; all.len()];
        let mut count: Vec<Option<u32>> = vec![None; all.len()];
        (price[0], count[0]) = (Some(0), Some(0));
        let pieces: u32 = all[full].iter().sum();
        for sheets in &self.sheets {
            let mut cutting = Cutting { bench: self, turnable: sheets.turnable, known: HashMap::new() };
            let yields: Vec<bool> =
                all.iter().map(|choice| cutting.yields(choice, sheets.size, None, self.stages)).collect();
            for _ in 0..sheets.on_hand.unwrap_or(pieces).min(pieces) {
                let (price_before, count_before) = (price.clone(), count.clone());
                for (at, choice) in all.iter().enumerate() {
                    for part in choices(choice).iter().skip(1).filter(|part| yields[place[part.as_slice()]]) {
                        let rest: Vec<u32> = choice.iter().zip(part).map(|(all, part)| all - part).collect();
                        let rest = place[rest.as_slice()];
                        price[at] = least(price[at], price_before[rest].map(|price| price + sheets.price));
                        count[at] = least(count[at], count_before[rest].map(|count| count + 1));
                    }
                }
            }
        }
        let area = |choice: &[u32]| -> i64 {
            let each = choice.iter().zip(&self.wanted);
            each.map(|(count, wanted)| i64::from(*count) * wanted.size[0] * wanted.size[1]).sum()
        };
        let placed = all.iter().zip(&price).filter(|(_, price)| price.is_some());
        Least {
            price: price[full],
            sheets: count[full],
            area: placed.map(|(choice, _)| area(choice)).max().unwrap_or(0),
        }
    }
}

fn least<N: Ord>(one: Option<N>, other: Option<N>) -> Option<N> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    }
}

/// Lists every choice of pieces out of so many of each, none first and all last.
fn choices(most: &[u32]) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new()];
    for most in most {
        all = all
            .iter()
            .flat_map(|choice| (0..=*most).map(move |count| choice.iter().copied().chain([count]).collect()))
            .collect();
    }
    all
}

/// What a rectangle is asked for: a choice of pieces, its size, the axis of the cut that made it, and the levels of cuts left.
type Question = (Vec<u32>, [i64; 2], Option<usize>, Option<u32>);

/// What rectangles of one kind of sheet yield.
struct Cutting<'b> {
    bench: &'b Bench,
    turnable: bool,
    known: HashMap<Question, bool>,
}

impl Cutting<'_> {
    /// Tells whether a rectangle that came off by a cut along some axis yields a choice with so many more levels of cuts.
    fn yields(&mut self, choice: &[u32], room: [i64; 2], last: Option<usize>, levels: Option<u32>) -> bool {
        let pieces = || choice.iter().enumerate().filter(|(_, count)| **count > 0);
        let area: i64 = pieces()
            .map(|(at, count)| i64::from(*count) * self.bench.wanted[at].size[0] * self.bench.wanted[at].size[1])
            .sum();
        if area == 0 {
            return true;
        }
        if room[0] <= 0 || room[1] <= 0 || area > room[0] * room[1] {
            return false;
        }
        if choice.iter().sum::<u32>() == 1 {
            let wanted = pieces().map(|(at, _)| self.bench.wanted[at]).next().unwrap();
            let [width, height] = wanted.size;
            if room == [width, height] || (wanted.turnable && self.turnable && room == [height, width]) {
                return true;
            }
        }
        let key = (choice.to_vec(), room, last, levels);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let found = (0..2).any(|axis| self.yields_cut(choice, room, axis, last, levels));
        self.known.insert(key, found);
        found
    }

    /// The same if the next cut divides an axis.
    fn yields_cut(
        &mut self,
        choice: &[u32],
        room: [i64; 2],
        axis: usize,
        last: Option<usize>,
        levels: Option<u32>,
    ) -> bool {
        if self.bench.longest_cut.is_some_and(|longest| room[1 - axis] > longest) {
            return false;
        }
        let levels = if last == Some(axis) {
            levels
        } else {
            match levels {
                Some(0) => return false,
                levels => levels.map(|levels| levels - 1),
            }
        };
        let parts = choices(choice);
        (1..room[axis]).any(|at| {
            let (mut one, mut other) = (room, room);
            one[axis] = at;
            other[axis] = room[axis] - at - self.bench.kerf;
            parts.iter().any(|part| {
                let rest: Vec<u32> = choice.iter().zip(part).map(|(all, part)| all - part).collect();
                self.yields(part, one, Some(axis), levels) && self.yields(&rest, other, Some(axis), levels)
            })
        })
    }
}
