//! What is proven of a plan: that nothing is cheaper, or by how little something could be.

use std::ops::ControlFlow;

use super::exact::exact;
use super::pattern_bound::PatternBound;
use super::plan::{Plan, PlanPart};
use super::price_bound::whole_sheets;
use super::slicing_tree::SlicingTree;
use super::task::Task;

/// Steps of arithmetic for a round of the search that bounding by patterns may take, and at most.
const PATTERN_STEPS: u64 = 1_500;
const MOST_PATTERN_STEPS: u64 = 4_000_000_000;
/// The same for trying everything.
const EXACT_STEPS: u64 = 6_000;
const MOST_EXACT_STEPS: u64 = 4_000_000_000;

/// Bounds for an order, and perhaps a plan that undercuts the one there is.
#[derive(Debug)]
pub(super) struct Proof {
    /// No plan costs less.
    pub(super) bound: i64,
    /// No plan takes fewer sheets and offcuts together.
    pub(super) sheets_bound: u32,
    /// The sheets of a cheapest plan, by their stock.
    pub(super) cheaper: Option<Vec<(usize, SlicingTree)>>,
}

impl Proof {
    /// Raises the bounds of a complete plan with about as much work as so many rounds of the search.
    pub(super) fn of(task: &Task, plan: &Plan, rounds: u64, ask: &mut dyn FnMut() -> ControlFlow<()>) -> Self {
        let work = rounds.saturating_mul(PATTERN_STEPS).min(MOST_PATTERN_STEPS);
        let mut patterns = PatternBound::new(task, work);
        for (stock, pieces) in patterns_of(task, plan) {
            patterns.learn(&pieces, stock);
        }
        let prices: Vec<i64> = task.stock.iter().map(|stock| stock.price).collect();
        let raised = patterns.raise(plan.bound, plan.cost, ask);
        let bound = whole_sheets(raised, &prices).min(plan.cost);
        let sheets_bound = plan.sheets_bound.max(patterns.fewest());
        let work = rounds.saturating_mul(EXACT_STEPS).min(MOST_EXACT_STEPS);
        let exact = if bound < plan.cost { exact(task, &patterns.priced, bound, plan.cost, work, ask) } else { None };
        let Some(exact) = exact else { return Self { bound, sheets_bound, cheaper: None } };
        let free = task.rules.longest_cut.is_none() && task.rules.stages.is_none();
        Self { bound: exact.bound.max(bound), sheets_bound, cheaper: exact.sheets.filter(|_| free) }
    }
}

/// How many of each piece the sheets of a plan yield, and their stocks.
fn patterns_of(task: &Task, plan: &Plan) -> Vec<(usize, Vec<u32>)> {
    let pieces = |node: &super::plan::PlanNode| {
        let mut counts = vec![0; task.pieces.len()];
        node.walk(&mut |node| {
            if let PlanPart::Piece { piece, .. } = node.part
                && let Some(count) = counts.get_mut(piece)
            {
                *count += 1;
            }
        });
        counts
    };
    plan.sheets.iter().map(|sheet| (sheet.stock, pieces(&sheet.root))).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

    use super::super::random::Random;
    use super::super::task::{Piece, Rules, SizeInUnits, StockSheet, Task};
    use super::*;

    /// The least cost by trying every division of the pieces among sheets, and every way to cut every rectangle.
    struct BruteForce {
        all: Vec<Piece>,
        kerf: i64,
    }

    impl BruteForce {
        fn cheapest(&self, task: &Task) -> Option<i64> {
            let full = (1_usize << self.all.len()) - 1;
            let mut sheets: Vec<StockSheet> = Vec::new();
            for stock in &task.stock {
                let copies = stock.on_hand.unwrap_or(u32::MAX).min(self.all.len() as u32);
                sheets.extend(std::iter::repeat_n(*stock, copies as usize));
            }
            let mut costs = vec![None; full + 1];
            costs[0] = Some(0);
            for StockSheet { size, price, turnable, .. } in sheets {
                let yields: Vec<bool> = (0..=full).map(|set| self.can_cut(set, size, turnable)).collect();
                let before = costs.clone();
                for set in 1..=full {
                    let mut part = set;
                    while part > 0 {
                        if let (true, Some(rest)) = (yields[part], before[set & !part]) {
                            costs[set] = Some(costs[set].map_or(rest + price, |cost: i64| cost.min(rest + price)));
                        }
                        part = (part - 1) & set;
                    }
                }
            }
            costs[full]
        }

        fn can_cut(&self, set: usize, room: SizeInUnits, turns: bool) -> bool {
            let members: Vec<Piece> =
                (0..self.all.len()).filter(|at| set >> at & 1 == 1).map(|at| self.all[at]).collect();
            if members.iter().map(|piece| piece.size.area()).sum::<i64>() > room.area() {
                return false;
            }
            if let [piece] = members.as_slice() {
                return piece.size.fits(room) || (turns && piece.turnable && piece.size.turned().fits(room));
            }
            set == 0
                || (1..set).filter(|part| part & !set == 0).any(|part| {
                    (1..room.width).any(|at| {
                        self.can_cut(part, SizeInUnits { width: at, ..room }, turns)
                            && self.can_cut(
                                set & !part,
                                SizeInUnits { width: room.width - at - self.kerf, ..room },
                                turns,
                            )
                    }) || (1..room.height).any(|at| {
                        self.can_cut(part, SizeInUnits { height: at, ..room }, turns)
                            && self.can_cut(
                                set & !part,
                                SizeInUnits { height: room.height - at - self.kerf, ..room },
                                turns,
                            )
                    })
                })
        }
    }

    fn random_task(random: &mut Random) -> Task {
        let mut side = |most: usize| 1 + random.below(most) as i64;
        let sizes: Vec<(i64, i64)> = (0..3).map(|_| (side(5), side(5))).collect();
        let pieces = sizes.into_iter().map(|(width, height)| Piece {
            size: SizeInUnits { width, height },
            quantity: 1 + random.below(2) as u32,
            turnable: random.chance(512),
            value: None,
        });
        let pieces = pieces.collect();
        let mut stock = vec![StockSheet {
            size: SizeInUnits { width: 6, height: 5 },
            on_hand: None,
            price: 7,
            offcut: false,
            turnable: true,
        }];
        let offcut = SizeInUnits { width: 2 + random.below(4) as i64, height: 2 + random.below(4) as i64 };
        if random.chance(512) {
            stock.push(StockSheet {
                size: SizeInUnits { width: 7, height: 7 },
                on_hand: Some(1),
                price: 9,
                ..stock[0]
            });
        }
        if random.chance(512) {
            stock.push(StockSheet { size: offcut, on_hand: Some(1), price: 0, offcut: true, turnable: true });
        }
        if random.chance(512) {
            stock.iter_mut().for_each(|stock| stock.turnable = random.chance(512));
        }
        let kerf = random.below(2) as i64;
        Task { pieces, stock, rules: Rules { kerf, ..Rules::default() } }.simplified()
    }

    /// Bounds are never above the least cost of small orders, and the search of all ways finds it.
    #[test]
    fn small_orders_are_proven() {
        let mut random = Random::new(7);
        let mut go_on = || ControlFlow::Continue(());
        for _ in 0..60 {
            let task = random_task(&mut random);
            let repeated = task.pieces.iter().flat_map(|piece| std::iter::repeat_n(*piece, piece.quantity as usize));
            let brute_force = BruteForce { all: repeated.collect(), kerf: task.rules.kerf };
            let Some(least) = brute_force.cheapest(&task) else { continue };
            let mut patterns = PatternBound::new(&task, u64::MAX);
            let bound = patterns.raise(0, i64::MAX, &mut go_on);
            assert!(bound <= least, "{bound} > {least}: {task:?}");
            for priced in [&patterns.priced[..], &[]] {
                let found = exact(&task, priced, 0, least + 1, u64::MAX, &mut go_on).unwrap();
                assert_eq!(found.bound, least, "{task:?}");
                let sheets = found.sheets.unwrap();
                let price: i64 = sheets.iter().map(|(stock, _)| task.stock[*stock].price).sum();
                assert_eq!(price, least);
                let mut cut = vec![0; task.pieces.len()];
                sheets.iter().for_each(|(_, assembly)| assembly.pieces(&mut |position| cut[position.piece] += 1));
                assert_eq!(cut, task.pieces.iter().map(|piece| piece.quantity).collect::<Vec<_>>());
            }
            let found = exact(&task, &patterns.priced, 0, least, u64::MAX, &mut go_on).unwrap();
            assert!(found.bound == least && found.sheets.is_none(), "nothing is cheaper: {task:?}");
        }
    }
}
