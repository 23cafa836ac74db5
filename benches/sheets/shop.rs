//! Orders of a framing shop, in sixteenths of an inch, compared with reference plans.

use std::ops::ControlFlow;

use backline::sheets::cutting::{Effort, Piece, Rules, SizeInUnits, StockSheet, Task, plan};
use serde_json::Value;

/// Plans every order, and says how its cost and its largest offcut compare with the reference.
pub(crate) fn orders(text: &str, effort: &Effort) {
    let orders: Value = serde_json::from_str(text).expect("orders");
    for order in orders["orders"].as_array().expect("orders") {
        let task = task(order);
        let start = super::cpu_seconds();
        let plan = plan(&task, effort, &mut |_| ControlFlow::Continue(()));
        let seconds = super::cpu_seconds() - start;
        assert!(plan.left_over.is_empty(), "an order leaves pieces over");
        // Square sixteenths to square inches.
        let offcut = plan.largest_offcut().map_or(0.0, |size| size.area() as f64 / 256.0);
        println!(
            "{}: cost {} (bound {}; reference {}), largest offcut {offcut:.2} sq in (reference {}), {seconds:.2} s",
            order["id"], plan.cost, plan.bound, order["reference"]["cost"], order["reference"]["largest_remnant_sq_in"],
        );
    }
}

fn task(order: &Value) -> Task {
    let size = |width: &Value, height: &Value| SizeInUnits { width: sixteenths(width), height: sixteenths(height) };
    let pieces = order["blanks"].as_array().expect("blanks").iter().map(|blank| Piece {
        size: size(&blank["w"], &blank["h"]),
        quantity: u32::try_from(blank["qty"].as_i64().expect("a quantity")).expect("a quantity"),
        turnable: blank["may_rotate"].as_bool().expect("yes or no"),
        value: None,
    });
    let stock = order["stock"].as_array().expect("stock").iter().map(|stock| StockSheet {
        size: size(&stock["usable"][0], &stock["usable"][1]),
        on_hand: None,
        price: stock["cost"].as_i64().expect("a price"),
        offcut: false,
        turnable: true,
    });
    let least = sixteenths(&order["min_remnant_side"]);
    let smallest_offcut = Some(SizeInUnits { width: least, height: least });
    Task { pieces: pieces.collect(), stock: stock.collect(), rules: Rules { smallest_offcut, ..Rules::default() } }
}

/// A length such as "31 1/2" in sixteenths.
fn sixteenths(length: &Value) -> i64 {
    let words = length.as_str().expect("a length").split(' ');
    words
        .map(|word| match word.split_once('/') {
            Some((over, under)) => {
                16 * over.parse::<i64>().expect("a number") / under.parse::<i64>().expect("a number")
            }
            None => 16 * word.parse::<i64>().expect("a number"),
        })
        .sum()
}
