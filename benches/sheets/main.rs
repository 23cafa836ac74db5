//! Plans published cutting problems and writes the plans for a scorer: `cargo bench --bench sheets -- oriented 20000 plans.jsonl`.
//!
//! Arguments: `oriented`, `rotated`, `knapsack`, `shop` or `several`; the rounds of search a problem; the file to write; and
//! a part of the names to be taken, if not all. The problems are read from `$BACKLINE_DATA/cutstock`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a benchmark stops at the first surprise"
)]

mod several;
mod shop;

use std::fmt::Write as _;
use std::fs;
use std::ops::ControlFlow;
use std::path::PathBuf;

use backline::sheets::cutting::{Effort, Piece, Plan, PlanPart, Rules, SizeInUnits, StockSheet, Task, knapsack, plan};
use serde_json::Value;

fn main() {
    let Some(data) = std::env::var_os("BACKLINE_DATA").map(PathBuf::from) else {
        println!("BACKLINE_DATA is not set: no problems to plan");
        return;
    };
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| !argument.starts_with("--")).collect();
    let argument = |at: usize, default: &str| arguments.get(at).cloned().unwrap_or_else(|| default.to_owned());
    let (what, iterations) = (argument(0, "oriented"), argument(1, "20000").parse().expect("a number of rounds"));
    let (out, part) = (argument(2, "plans.jsonl"), argument(3, ""));
    let effort =
        Effort { iterations, tidying: 0, seed: argument(4, "1").parse().expect("a seed"), run: u64::MAX, cores: 1 };
    let file = data.join("cutstock/instances.jsonl");
    let problems = fs::read_to_string(&file).expect("the problems");
    if what == "knapsack" {
        return knapsacks(&problems, &effort, &part);
    }
    if what == "several" {
        return several::orders(&effort);
    }
    if what == "shop" {
        let orders = fs::read_to_string(data.join("cutstock/shop_orders.json")).expect("the orders");
        return shop::orders(&orders, &Effort { tidying: iterations, ..effort });
    }
    bins(&problems, what == "rotated", &effort, &part, &out);
}

fn bins(problems: &str, turnable: bool, effort: &Effort, part: &str, out: &str) {
    let mut lines = String::new();
    let (mut sheets, mut proven, mut most, mut total, mut count) = (0, 0, 0.0_f64, 0.0, 0);
    for line in problems.lines() {
        let problem: Value = serde_json::from_str(line).expect("a problem");
        let name = problem["name"].as_str().expect("a name");
        if problem["kind"] != "binpack" || !part.split(',').any(|part| name.contains(part)) {
            continue;
        }
        let start = cpu_seconds();
        let plan = plan(&task(&problem, turnable), effort, &mut |_| ControlFlow::Continue(()));
        let seconds = cpu_seconds() - start;
        assert!(plan.left_over.is_empty(), "{name} leaves pieces over");
        sheets += plan.sheets.len();
        proven += usize::from(plan.is_proven());
        most = most.max(seconds);
        total += seconds;
        count += 1;
        writeln!(
            lines,
            "{{\"name\":\"{name}\",\"sheets\":{},\"bound\":{},\"cpu_s\":{seconds:.4}}}",
            placed(&plan),
            plan.bound
        )
        .expect("text");
    }
    fs::write(out, lines).expect("the file of plans");
    println!(
        "{count} problems: {sheets} sheets, {proven} proven by our own bound, {total:.1} s of processor, {most:.3} s at most"
    );
}

/// Fills one sheet of each knapsack problem, and counts how many of the proven optima are reached.
fn knapsacks(problems: &str, effort: &Effort, part: &str) {
    let (mut reached, mut known, mut most) = (0, 0, 0.0_f64);
    for line in problems.lines() {
        let problem: Value = serde_json::from_str(line).expect("a problem");
        let name = problem["name"].as_str().expect("a name");
        if problem["kind"] != "knapsack" || !name.contains(part) {
            continue;
        }
        let mut task = task(&problem, false);
        for (piece, value) in task.pieces.iter_mut().zip(problem["values"].as_array().expect("values")) {
            piece.value = value.as_i64();
        }
        let start = cpu_seconds();
        let filling = knapsack(&task, effort, &mut |_| ControlFlow::Continue(())).expect("something fits");
        let seconds = cpu_seconds() - start;
        let best = problem["best_known"]["oriented_value"].as_i64();
        println!("{name}: {} of {best:?} in {seconds:.3} s", filling.value);
        known += usize::from(best.is_some());
        reached += usize::from(best == Some(filling.value));
        most = most.max(seconds);
    }
    println!("{reached} of {known} proven optima, {most:.3} s at most");
}

fn task(problem: &Value, turnable: bool) -> Task {
    let number = |value: &Value| value.as_i64().expect("a whole number");
    let size = |value: &Value| SizeInUnits { width: number(&value[0]), height: number(&value[1]) };
    let pieces = problem["items"].as_array().expect("items").iter().map(|item| Piece {
        size: size(item),
        quantity: u32::try_from(number(&item[2])).expect("a quantity"),
        turnable,
        value: None,
    });
    Task {
        pieces: pieces.collect(),
        stock: vec![StockSheet {
            size: size(&problem["sheet"]),
            on_hand: None,
            price: 1,
            offcut: false,
            turnable: true,
        }],
        rules: Rules::default(),
    }
}

/// The pieces of each sheet as `[x, y, width, height]`.
fn placed(plan: &Plan) -> String {
    let mut text = String::from("[");
    for sheet in &plan.sheets {
        text.push_str(if text.len() > 1 { ",[" } else { "[" });
        let mut first = true;
        sheet.root.walk(&mut |node| {
            if matches!(node.part, PlanPart::Piece { .. }) {
                let comma = if std::mem::take(&mut first) { "" } else { "," };
                let ((x, y), size) = (node.origin, node.size);
                write!(text, "{comma}[{x},{y},{},{}]", size.width, size.height).expect("text");
            }
        });
        text.push(']');
    }
    text + "]"
}

/// Seconds of processor that this program has used.
fn cpu_seconds() -> f64 {
    let times = fs::read_to_string("/proc/self/schedstat").expect("Linux's account of processor time");
    times.split_whitespace().next().and_then(|word| word.parse::<f64>().ok()).expect("nanoseconds") / 1e9
}
