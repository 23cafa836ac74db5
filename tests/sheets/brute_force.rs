//! Plans of small random orders against every plan that there is: none is dearer, and nothing is called proven that is not.
//!
//! `ORDERS=2000 SEED=1 cargo test --release --test sheets brute_force` tries as many as one likes.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fmt::Write;
use std::ops::ControlFlow;

use crate::common::every_plan::{Bench, Sheets, Wanted};
use crate::common::random::Random;
use backline::length::{Ratio, Ruler, Unit};
use backline::sheets::cutting::Effort;
use backline::sheets::{Blank, BoardName, Price, Request, SheetPlan, Shelf, ShelfEntry, StockSource};

/// An order as its files say it, and the same for trying every plan.
struct Small {
    order: String,
    stock: String,
    bench: Bench,
    entries: Vec<ShelfEntry>,
    /// The price of a unit of cost; sheets without prices cost their area.
    priced: bool,
}

/// Draws an order of up to six pieces on sheets of a few millimetres, with any rule of the bench.
fn small(random: &mut Random) -> Small {
    let wanted: Vec<Wanted> = (0..1 + random.below(3))
        .map(|_| Wanted {
            size: [1 + random.below(5) as i64, 1 + random.below(5) as i64],
            quantity: 1 + random.below(2) as u32,
            turnable: !random.once_in(3),
        })
        .collect();
    let kerf = if random.once_in(3) { 1 } else { 0 };
    let trim = if random.once_in(4) { 1 + kerf } else { 0 };
    let stages = random.once_in(4).then(|| 1 + random.below(3) as u32);
    let longest_cut = random.once_in(4).then(|| 3 + random.below(6) as i64);
    let priced = !random.once_in(3);
    let grain = random.once_in(2);
    let mut order = String::from("unit = 'mm'\n");
    for Wanted { size: [width, height], quantity, turnable } in &wanted {
        let _ = writeln!(order, "[[blank]]\nsize = [{width}, {height}]\nquantity = {quantity}\nturnable = {turnable}");
    }
    let mut stock = format!("unit = 'mm'\nkerf = {kerf}\ntrim = {trim}\nsmallest_offcut = [2, 2]\n");
    stages.iter().for_each(|stages| stock += &format!("stages = {stages}\n"));
    longest_cut.iter().for_each(|longest| stock += &format!("longest_cut = {longest}\n"));
    let mut sheets = Vec::new();
    let mut entries = Vec::new();
    let whole = |number: i64| Ratio::new(i128::from(number), 1).unwrap();
    let (kinds, offcuts) = (1 + random.below(2), random.below(3));
    for at in 0..kinds + offcuts {
        let offcut = at >= kinds;
        let [width, height] = [0; 2].map(|_| if offcut { 2 + random.below(4) } else { 4 + random.below(4) } as i64);
        let margin = if offcut { 0 } else { 2 * trim };
        let (width, height) = (width + margin, height + margin);
        let on_hand = if offcut || random.once_in(3) { Some(random.below(3) as u32) } else { None };
        let on_hand = if offcut { on_hand.map(|on_hand| on_hand.max(1)) } else { on_hand };
        let price = match (priced, offcut) {
            (true, false) => 5 + random.below(12) as i64,
            (true, true) if random.once_in(2) => 1 + random.below(4) as i64,
            (_, true) => 0,
            (false, false) => width * height,
        };
        let turnable = !(grain && random.once_in(2));
        let _ = write!(
            stock,
            "[[{}]]\nsize = [{width}, {height}]\nturnable = {turnable}\n",
            if offcut { "offcut" } else { "sheet" }
        );
        if priced {
            let _ = writeln!(stock, "price = {price}");
        }
        if let Some(on_hand) = on_hand {
            let _ = writeln!(stock, "{} = {on_hand}", if offcut { "quantity" } else { "on_hand" });
        }
        entries.push(ShelfEntry {
            origin: if offcut { StockSource::Offcut(at - kinds) } else { StockSource::Sheet(at) },
            board: None,
            size: [whole(width), whole(height)],
            trim: whole(if offcut { 0 } else { trim }),
            on_hand,
            price: if priced || offcut { Price::new(price as f64) } else { None },
            turnable,
            known_as: String::new(),
        });
        // What is longer than the arm cannot be trimmed.
        let trimmable = offcut || trim == 0 || longest_cut.is_none_or(|longest| width.max(height) <= longest);
        if trimmable {
            sheets.push(Sheets { size: [width - margin, height - margin], on_hand, price, turnable });
        }
    }
    Small { order, stock, bench: Bench { wanted, sheets, kerf, longest_cut, stages }, entries, priced }
}

fn plan(small: &Small) -> Option<SheetPlan> {
    let mut problems = Vec::new();
    let whole = |number: i64| Ratio::new(i128::from(number), 1).unwrap();
    // As the files would be read, but for lengths so short that files are refused for them.
    let blank = |(at, wanted): (usize, &Wanted)| Blank {
        name: format!("blank {}", at + 1),
        customer: String::new(),
        size: wanted.size.map(whole),
        unit: None,
        quantity: wanted.quantity,
        board: BoardName::named(""),
        turnable: wanted.turnable,
    };
    let request = Request {
        name: "small".to_owned(),
        ruler: Ruler::usual(Unit::Millimetre),
        blanks: small.bench.wanted.iter().enumerate().map(blank).collect(),
        shelf: Shelf {
            entries: small.entries.clone(),
            kerf: whole(small.bench.kerf),
            smallest_offcut: [whole(2); 2],
            longest_cut: small.bench.longest_cut.map(whole),
            stages: small.bench.stages,
            currency: String::new(),
        },
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let prepared = request.prepare().take(&mut problems)?;
    let effort = Effort { tidying: 200, ..Effort::default() };
    Some(prepared.plan(&effort, &mut |_, _| ControlFlow::Continue(())))
}

/// What was found out about one order.
#[derive(Default)]
struct Found {
    orders: u32,
    short: u32,
    fullest: u32,
    proven: u32,
    faults: Vec<String>,
}

fn check(seed: u64, found: &mut Found) {
    let small = small(&mut Random::new(seed));
    let Some(plan) = plan(&small) else { return };
    let (bench, board) = (&small.bench, &plan.boards[0]);
    found.orders += 1;
    let least = bench.least();
    let mut fault = |what: String| {
        found.faults.push(format!("seed {seed}: {what}\n{}{}{}", small.order, small.stock, plan.describe()));
    };
    let cost = board.patterns.iter().map(|pattern| {
        let entry = plan.entry(pattern).unwrap();
        let [width, height] = entry.size.map(Ratio::to_f64);
        let price = if small.priced {
            entry.price.unwrap().0 as f64 / 10_000.0
        } else if entry.is_offcut() {
            0.0
        } else {
            width * height
        };
        price * pattern.copies() as f64
    });
    let cost: f64 = cost.sum();
    let wanted: f64 = bench
        .possible()
        .iter()
        .zip(&bench.wanted)
        .map(|(count, wanted)| f64::from(*count) * (wanted.size[0] * wanted.size[1]) as f64)
        .sum();
    match least.price {
        Some(price) => {
            if (board.totals.piece_area - wanted).abs() > 1e-6 {
                fault(format!("{} of {wanted} mm² are placed", board.totals.piece_area));
            } else if (cost - price as f64).abs() > 1e-6 {
                fault(format!("it costs {cost}, and {price} is possible"));
            }
            if let Some(bound) = board.totals.price_bound
                && bound.0 > price * 10_000
            {
                fault(format!("the bound is {bound:?}, and {price} is possible"));
            }
            if board.totals.sheets_bound > least.sheets.unwrap() {
                fault(format!("{} sheets at least, and {:?} are possible", board.totals.sheets_bound, least.sheets));
            }
            found.proven += u32::from(board.totals.proven);
        }
        None => {
            found.short += 1;
            found.fullest += u32::from((board.totals.piece_area - least.area as f64).abs() < 1e-6);
            if board.totals.proven || !board.is_short() {
                fault("called proven or complete, though the stock is short".to_owned());
            }
        }
    }
}

#[test]
fn no_plan_is_cheaper_than_that_of_a_small_order() {
    let number = |name: &str, usual: u64| std::env::var(name).map_or(usual, |text| text.parse().unwrap());
    let (orders, first) = (number("ORDERS", 60), number("SEED", 1));
    let mut found = Found::default();
    for seed in first..first + orders {
        check(seed, &mut found);
    }
    println!(
        "{} orders from seed {first}: {} proven; {} short of stock, {} of them filled to the most; {} faults",
        found.orders,
        found.proven,
        found.short,
        found.fullest,
        found.faults.len()
    );
    assert!(u64::from(found.orders) * 10 >= orders * 9, "hardly any order was planned");
    assert!(found.faults.is_empty(), "{}", found.faults.join("\n"));
}
