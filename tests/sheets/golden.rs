//! Every file in `golden-files/sheets` is byte for byte what is made of its plan today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::bench_replay::follow_steps;
use crate::common::kept::Kept;
use backline::drawing::Drawing;
use backline::formats::{Options, pdf_pages, svg_page};
use backline::job::Syntax;
use backline::length::{Ratio, Unit};
use backline::sheets::cutting::{CutDirection, CutSheet, Plan, PlanNode, PlanPart, SizeInUnits, Task};
use backline::sheets::{Grid, Order, Request, SheetPlan, Stock};
use backline::sheets::{sheet_labels, sheet_plan_pages};
use serde_json::Value;

/// What is written by hand in a folder.
const GIVEN: [&str; 3] = ["order.toml", "stock.toml", "cuts.json"];

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/sheets");
    let entries = fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path());
    let mut folders: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    folders.sort();
    folders
}

/// Reads the plan of a folder, and its stock.
fn read(folder: &Path) -> (SheetPlan, Stock) {
    let text = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
    let mut problems = Vec::new();
    let order = Order::read(&text("order.toml"), Syntax::Toml).unwrap();
    let stock = Stock::read(&text("stock.toml"), Syntax::Toml).unwrap();
    let request = Request {
        name: order.name.clone(),
        ruler: order.ruler(),
        blanks: order.resolve().take(&mut problems).unwrap(),
        shelf: stock.resolve(order.ruler()).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let prepared = request.prepare().take(&mut problems).unwrap();
    assert_eq!(problems, []);
    let cuts: Value = serde_json::from_str(&text("cuts.json")).unwrap();
    let tasks = prepared.boards.iter().map(|board| &board.task);
    let plans: Vec<Plan> =
        cuts.as_array().unwrap().iter().zip(tasks).map(|(cuts, task)| plan_of(cuts, task, prepared.grid)).collect();
    (prepared.with_plans(&plans), stock)
}

fn plan_of(cuts: &Value, task: &Task, grid: Grid) -> Plan {
    let sheets: Vec<CutSheet> = cuts["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| {
            let stock = sheet["stock"].as_u64().unwrap() as usize;
            CutSheet::new(stock, node(&sheet["root"], task.stock[stock].size, (0, 0), task, grid))
        })
        .collect();
    let pair = |left: &Value| (left[0].as_u64().unwrap() as usize, left[1].as_u64().unwrap() as u32);
    let cost = sheets.iter().map(|sheet| task.stock[sheet.stock].price).sum();
    let mut plan = Plan::new(sheets, cost);
    plan.left_over = cuts["left_over"].as_array().unwrap().iter().map(pair).collect();
    plan.bound = cuts["bound"].as_i64().unwrap();
    plan.sheets_bound = cuts["sheets_bound"].as_u64().unwrap() as u32;
    plan
}

/// Reads a rectangle: `"offcut"`, `"waste"`, `{"piece": 0, "turned": true}`, `{"across": [[300.0, …], …]}` or `{"down": …}`.
fn node(given: &Value, size: SizeInUnits, origin: (i64, i64), task: &Task, grid: Grid) -> PlanNode {
    let part = if let Some(piece) = given["piece"].as_u64() {
        let (piece, turned) = (piece as usize, given["turned"] == true);
        let own = task.pieces[piece].size;
        assert_eq!(size, if turned { own.turned() } else { own }, "{given}");
        PlanPart::Piece { piece, turned }
    } else if let Some(parts) = given["across"].as_array() {
        row(parts, CutDirection::Across, size, origin, task, grid)
    } else if let Some(parts) = given["down"].as_array() {
        row(parts, CutDirection::Down, size, origin, task, grid)
    } else if given == "offcut" {
        PlanPart::Offcut
    } else {
        assert_eq!(given, "waste");
        PlanPart::Waste
    };
    PlanNode::new(origin, size, part)
}

fn row(
    given: &[Value],
    direction: CutDirection,
    size: SizeInUnits,
    origin: (i64, i64),
    task: &Task,
    grid: Grid,
) -> PlanPart {
    let mut at = origin;
    let mut used = 0;
    let parts = given.iter().map(|part| {
        let measure = grid.down(Ratio::near(part[0].as_f64().unwrap()).unwrap());
        let (size, start) = match direction {
            CutDirection::Across => (SizeInUnits { width: measure, ..size }, at),
            CutDirection::Down => (SizeInUnits { height: measure, ..size }, at),
        };
        used += measure + task.rules.kerf;
        match direction {
            CutDirection::Across => at.0 += measure + task.rules.kerf,
            CutDirection::Down => at.1 += measure + task.rules.kerf,
        }
        node(&part[1], size, start, task, grid)
    });
    let parts = parts.collect();
    assert!(used - task.rules.kerf <= direction.of(size), "the parts are wider than the whole: {given:?}");
    PlanPart::Cut { direction, parts }
}

/// Makes every file of a folder.
fn files(plan: &SheetPlan, stock: &Stock, folder: &Path) -> Vec<(String, Vec<u8>)> {
    let paper = match plan.prepared.ruler.unit() {
        Unit::Inch => kurbo::Size::new(215.9, 279.4),
        Unit::Millimetre | Unit::Centimetre => kurbo::Size::new(210.0, 297.0),
    };
    let json = serde_json::to_string_pretty(&plan.data()).unwrap() + "\n";
    let mut files =
        vec![("plan.txt".to_owned(), plan.describe().into_bytes()), ("plan.json".to_owned(), json.into_bytes())];
    // What a complete plan makes of the stock, in its own text.
    if let Ok(reserved) = stock.reserve("117", plan) {
        let text = fs::read_to_string(folder.join("stock.toml")).unwrap();
        let cut = reserved.cut("117", "2026-11-30", "rack B").unwrap();
        let reserved_text = reserved.write_into(&text, Syntax::Toml).unwrap();
        let cut_text = cut.write_into(&reserved_text, Syntax::Toml).unwrap();
        files.push(("stock-reserved.toml".to_owned(), reserved_text.into_bytes()));
        files.push(("stock-cut.toml".to_owned(), cut_text.into_bytes()));
    }
    for (name, pages) in [("sheets", sheet_plan_pages(plan, paper)), ("labels", sheet_labels(plan, paper))] {
        let options = Options::default();
        // Other scripts than Latin embed a font, which is no text to be compared.
        let pdf = pdf_pages(&pages[0].title, &pages, &options).unwrap().bytes;
        if pdf.is_ascii() || !pdf.windows(9).any(|bytes| bytes == b"/FontFile") {
            files.push((format!("{name}.pdf"), pdf));
        }
        let svg = |page: &Drawing| svg_page(page).unwrap().bytes;
        let numbered = pages.iter().enumerate().map(|(index, page)| (format!("{name}-{}.svg", index + 1), svg(page)));
        files.extend(numbered);
    }
    files
}

#[test]
fn every_golden_sheet_plan_is_what_is_made_today() {
    let mut kept = Kept::new();
    for folder in folders() {
        let (plan, stock) = read(&folder);
        kept.compare(&folder, |name| GIVEN.contains(&name), files(&plan, &stock, &folder));
    }
    kept.end();
}

#[test]
fn every_golden_sheet_plan_says_what_it_is_for_and_can_be_cut() {
    assert!(folders().len() >= 2);
    for folder in folders() {
        let order = fs::read_to_string(folder.join("order.toml")).unwrap();
        assert!(order.starts_with("# "), "{} does not open with a comment", folder.display());
        let (plan, _) = read(&folder);
        let mut made = 0;
        for (_, pattern) in plan.patterns() {
            made += follow_steps(&plan, pattern).pieces.len() * pattern.copies();
        }
        let left: u32 = plan.boards.iter().flat_map(|board| &board.left_over).map(|left| left.quantity).sum();
        let wanted: u32 = plan.prepared.items.iter().map(|item| item.quantity).sum();
        assert_eq!(made, (wanted - left) as usize, "{}", folder.display());
    }
}
