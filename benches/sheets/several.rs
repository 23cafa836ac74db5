//! Random orders for several kinds of sheets in small numbers, of which a plan should fill as much as it can.

use std::ops::ControlFlow;

use backline::sheets::cutting::{Effort, Piece, Rules, SizeInUnits, StockSheet, Task, plan};

/// Kinds of sheets, pieces, and the longest side of a piece, in each of three groups of five orders.
const GROUPS: [(usize, usize, i64); 3] = [(3, 100, 70), (5, 100, 50), (6, 150, 60)];

/// Plans every order, and says how much of the sheets used the pieces of each group fill, in percent.
pub(crate) fn orders(effort: &Effort) {
    let start = super::cpu_seconds();
    let mut words = String::new();
    for group in 0..GROUPS.len() {
        let filled: f64 = (0..5).map(|at| filled(&task(group, at), effort)).sum();
        words += &format!("{:.2} % ", 20.0 * filled);
    }
    println!("several kinds of sheets: {words}filled, {:.1} s of processor", super::cpu_seconds() - start);
}

fn filled(task: &Task, effort: &Effort) -> f64 {
    let plan = plan(task, effort, &mut |_| ControlFlow::Continue(()));
    assert!(plan.left_over.is_empty(), "an order leaves pieces over");
    let area: i64 = task.pieces.iter().map(|piece| piece.size.area()).sum();
    area as f64 / plan.cost as f64
}

fn task(group: usize, at: u64) -> Task {
    let (kinds, pieces, longest) = GROUPS[group];
    let mut random = SplitMix(1000 * group as u64 + at);
    let mut stock = Vec::new();
    for _ in 0..kinds {
        let size = SizeInUnits::new(random.between(60, 160), random.between(60, 160));
        let on_hand = u32::try_from(random.between(3, 6)).ok();
        stock.push(StockSheet { on_hand, ..StockSheet::new(size, size.area()) });
    }
    let mut side = || random.between(8, longest);
    let pieces: Vec<Piece> = (0..pieces).map(|_| Piece::new(SizeInUnits::new(side(), side()), 1)).collect();
    let wanted: i64 = pieces.iter().map(|piece| piece.size.area()).sum();
    let area = |stock: &[StockSheet]| -> i64 {
        stock.iter().map(|sheet| sheet.size.area() * i64::from(sheet.on_hand.unwrap_or(0))).sum()
    };
    // Enough for the plan to have a choice.
    while area(&stock) * 10 < wanted * 14 {
        let kind = random.between(0, kinds as i64 - 1) as usize;
        stock[kind].on_hand = stock[kind].on_hand.map(|on_hand| on_hand + 1);
    }
    Task { pieces, stock, rules: Rules::default() }
}

/// Random numbers that are the same on every run (SplitMix64, G. Steele, D. Lea and C. Flood 2014).
struct SplitMix(u64);

impl SplitMix {
    fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        low + ((z ^ (z >> 31)) % (high - low + 1) as u64) as i64
    }
}
