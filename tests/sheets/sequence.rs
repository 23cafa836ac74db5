//! Whoever follows a sequence, with one setting of the arm at a time, gets exactly the pieces that were ordered.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::common::bench_replay::{Yield, follow_json, follow_steps, follow_words, in_sixteenths};
use crate::common::drawn_cuts::{cut_along, numbered_cuts, sheet_of};
use backline::drawing::Mark;
use backline::job::Syntax;
use backline::length::{Ratio, Ruler, Unit};
use backline::sheets::cutting::{Effort, SizeInUnits};
use backline::sheets::{Blank, BoardName, Order, Pattern, Request, SheetPlan, Stock};
use backline::sheets::{sheet_figure, sheet_plan_pages};
use proptest::prelude::*;
use serde_json::Value;

/// A search that is long enough for plans of many kinds, and short enough for many of them.
fn effort() -> Effort {
    Effort { iterations: 300, ..Effort::default() }
}

fn inches(sixteenths: i64) -> Ratio {
    Ratio::new(i128::from(sixteenths) * 127, 80).unwrap()
}

/// Plans blanks given in sixteenths of an inch (width, height, quantity, turnable).
fn plan(blanks: &[(i64, i64, u32, bool)], stock: &str) -> SheetPlan {
    let blank = |&(width, height, quantity, turnable): &(i64, i64, u32, bool)| Blank {
        name: format!("{width} by {height}"),
        customer: String::new(),
        size: [inches(width), inches(height)],
        unit: None,
        quantity,
        board: BoardName::named("white"),
        turnable,
    };
    let mut problems = Vec::new();
    let ruler = Ruler::usual(Unit::Inch);
    let request = Request {
        name: "random".to_owned(),
        ruler,
        blanks: blanks.iter().map(blank).collect(),
        shelf: Stock::read(stock, Syntax::Toml).unwrap().resolve(ruler).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let prepared = request.prepare().take(&mut problems).unwrap_or_else(|| panic!("{problems:?}"));
    prepared.plan(&effort(), &mut |_, _| ControlFlow::Continue(()))
}

/// Follows every pattern by its steps, its words, its data and its drawing, and compares what comes off with what was ordered.
fn check(plan: &SheetPlan) {
    let mut made: BTreeMap<usize, u32> = BTreeMap::new();
    let data = serde_json::to_value(plan.data()).unwrap();
    let patterns = data["boards"].as_array().unwrap().iter().flat_map(|board| board["patterns"].as_array().unwrap());
    for ((_, pattern), data) in plan.patterns().zip(patterns) {
        check_drawing(plan, pattern, data);
        let by_steps = follow_steps(plan, pattern);
        let entry = plan.entry(pattern).unwrap();
        let [width, height] = entry.size.map(|side| plan.prepared.grid.down(side));
        let kerf = SizeInUnits { width: plan.prepared.kerf, height: 0 };
        let by_words = follow_words(
            &plan.instructions(pattern),
            in_sixteenths(plan, SizeInUnits { width, height }),
            in_sixteenths(plan, kerf).0,
        );
        // The words put pieces that are treated alike side by side.
        let in_words = |size: (i64, i64)| in_sixteenths(plan, SizeInUnits { width: size.0, height: size.1 });
        let sorted = |mut pieces: Vec<(usize, i64, i64)>| {
            pieces.sort_unstable();
            pieces
        };
        let steps_in_words = by_steps.pieces.iter().map(|&(number, width, height)| {
            let (width, height) = in_words((width, height));
            (number, width, height)
        });
        let by_json = follow_json(data, in_sixteenths(plan, kerf).0);
        assert_eq!(sorted(by_json.pieces), sorted(by_words.pieces.clone()));
        assert_eq!(by_json.offcuts.len(), by_words.offcuts.len());
        assert_eq!(sorted(steps_in_words.collect()), sorted(by_words.pieces));
        assert_eq!(by_steps.offcuts.len(), by_words.offcuts.len());
        assert_eq!(pattern.offcuts().len(), by_steps.offcuts.len());
        check_pieces(plan, &by_steps);
        let copies = u32::try_from(pattern.copies()).unwrap();
        by_steps.pieces.iter().for_each(|(number, ..)| *made.entry(*number).or_default() += copies);
        if let Some(longest) = plan.prepared.boards[0].task.rules.longest_cut {
            assert!(by_steps.longest_cut <= longest);
        }
    }
    for (index, item) in plan.prepared.items.iter().enumerate() {
        let left = plan.boards.iter().flat_map(|board| &board.left_over).filter(|left| left.item == index);
        let left: u32 = left.map(|left| left.quantity).sum();
        assert_eq!(made.get(&item.number).copied().unwrap_or(0) + left, item.quantity, "{item:?}");
    }
}

/// Cuts along the numbered lines of the drawing give the parts that the data lists, each where it is drawn.
fn check_drawing(plan: &SheetPlan, pattern: &Pattern, data: &Value) {
    let drawing = sheet_figure(plan, pattern, kurbo::Size::new(600.0, 800.0));
    let (cuts, unnumbered) = numbered_cuts(&drawing);
    let sheet = sheet_of(&drawing);
    let scale = sheet.width() / data["width"].as_f64().unwrap();
    if unnumbered > 0 {
        // Only where there is hardly room for a figure.
        assert!(
            data["parts"]
                .as_array()
                .unwrap()
                .iter()
                .any(|part| { part["width"].as_f64().unwrap().min(part["height"].as_f64().unwrap()) * scale < 6.0 })
        );
        return;
    }
    assert_eq!(data["cuts"], cuts.len());
    let kerf = plan.prepared.grid.mm(plan.prepared.kerf) * scale;
    let found = cut_along(sheet, &cuts, kerf, data["trim"].as_f64().unwrap() > 0.0);
    for part in data["parts"].as_array().unwrap() {
        let [x, y, width, height] = ["x", "y", "width", "height"].map(|key| part[key].as_f64().unwrap() * scale);
        let expected = kurbo::Rect::new(x, y, x + width, y + height) + sheet.origin().to_vec2();
        let same = |rect: &kurbo::Rect| {
            let [a, b] = [rect, &expected].map(|rect| [rect.x0, rect.y0, rect.x1, rect.y1]);
            a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.05)
        };
        assert!(found.iter().any(same), "{part} is not among {found:?}");
    }
}

/// Every piece has the size of its item, turned only if it may be.
fn check_pieces(plan: &SheetPlan, found: &Yield<i64>) {
    for &(number, width, height) in &found.pieces {
        let item = plan.prepared.items.iter().find(|item| item.number == number).unwrap();
        let size = SizeInUnits { width, height };
        assert!(size == item.size || (item.turnable && size == item.size.turned()), "{size:?} for {item:?}");
    }
}

const SHEETS: &str = "unit = 'in'\nsmallest_offcut = [6, 8]\n\
    [[sheet]]\nboard = 'white'\nsize = [32, 40]\nprice = 12\n[[sheet]]\nboard = 'white'\nsize = [40, 60]\nprice = 23.5\n\
    [[offcut]]\nboard = 'white'\nsize = [16, 22.5]\nquantity = 2\n";

#[test]
fn equal_settings_are_used_up_before_the_next_one() {
    // Three strips of 10 × 32 and what is in them: every length is set once.
    let plan = plan(&[(160, 160, 6, true), (160, 128, 3, true)], SHEETS);
    check(&plan);
    for (_, pattern) in plan.patterns() {
        let instructions = plan.instructions(pattern);
        let mut settings: Vec<&str> = instructions.iter().map(|instruction| instruction.set.as_str()).collect();
        settings.sort_unstable();
        settings.dedup();
        assert_eq!(settings.len(), instructions.len(), "{instructions:?}");
    }
}

#[test]
fn the_words_say_what_to_do() {
    let stock = "unit = 'in'\n[[sheet]]\nboard = 'white'\nsize = [32, 40]\n";
    let plan = plan(&[(256, 320, 8, false)], stock);
    check(&plan);
    let patterns: Vec<_> = plan.patterns().collect();
    assert_eq!(patterns.len(), 1, "both sheets are cut alike");
    let (board, pattern) = patterns[0];
    let words = plan.describe_pattern(board, pattern);
    let by_width = "\
Sheets 1 and 2: 32 × 40 in of white, each cut like this
    4 × piece 1: 16 × 20 in, 256 by 320
   1. Set the arm to 16 in.
      Lay the sheet with its 32 in side along the scale. Cut 1 takes off A (16 × 40 in). Left: B (16 × 40 in).
   2. Set the arm to 20 in.
      Lay each of A, B with its 40 in side along the scale. Cuts 2 and 3, one each, take off piece 1. Left of each: piece 1.
";
    let by_height = "\
Sheets 1 and 2: 32 × 40 in of white, each cut like this
    4 × piece 1: 16 × 20 in, 256 by 320
   1. Set the arm to 20 in.
      Lay the sheet with its 40 in side along the scale. Cut 1 takes off A (32 × 20 in). Left: B (32 × 20 in).
   2. Set the arm to 16 in.
      Lay each of A, B with its 32 in side along the scale. Cuts 2 and 3, one each, take off piece 1. Left of each: piece 1.
";
    assert!(words == by_width || words == by_height, "{words}");
}

#[test]
fn factory_edges_are_trimmed_with_one_setting() {
    let stock = "unit = 'in'\nkerf = '1/16'\ntrim = '1/4'\n[[sheet]]\nboard = 'white'\nsize = [32, 40]\n";
    let plan = plan(&[(160, 200, 6, true)], stock);
    check(&plan);
    let (_, pattern) = plan.patterns().next().unwrap();
    let first = &plan.instructions(pattern)[0];
    // The kerf takes a sixteenth of the quarter inch.
    assert_eq!(first.set, "Set the arm to 3/16 in.");
    assert_eq!(first.work.len(), 1);
    let words = &first.work[0].words;
    assert!(words.ends_with("Left: the sheet (31 1/2 × 39 1/2 in)."), "{words}");
    // The edges that come to the scale are named one after the other, each as long as it is then.
    let turned = words.match_indices("its ").map(|(at, _)| words[at..].split(" side").next().unwrap());
    assert_eq!(turned.collect::<Vec<_>>(), ["its 32 in", "its 40 in", "its 31 3/4 in", "its 39 3/4 in"]);
}

#[test]
fn a_piece_as_large_as_its_sheet_has_a_step() {
    let sheet = |rules: &str| format!("unit = 'in'\n{rules}[[sheet]]\nboard = 'white'\nsize = [32, 40]\n");
    let plain = plan(&[(512, 640, 1, true)], &sheet(""));
    check(&plain);
    let (board, pattern) = plain.patterns().next().unwrap();
    let words = plain.describe_pattern(board, pattern);
    assert!(words.ends_with("   1. No cut is needed.\n      The sheet is piece 1.\n"), "{words}");
    let trimmed = plan(&[(504, 632, 1, true)], &sheet("trim = '1/4'\n"));
    check(&trimmed);
    let (board, pattern) = trimmed.patterns().next().unwrap();
    let words = trimmed.describe_pattern(board, pattern);
    assert!(words.ends_with("Cut 4 takes off waste (31 1/2 × 1/4 in). Left: piece 1.\n"), "{words}");
}

/// Of a square nobody can tell the sides by their length.
#[test]
fn the_sides_of_a_square_are_named_by_the_drawing() {
    let plan =
        plan(&[(160, 320, 2, false)], "unit = 'in'\n[[sheet]]\nboard = 'white'\nsize = [20, 20]\nturnable = false\n");
    check(&plan);
    let (board, pattern) = plan.patterns().next().unwrap();
    let words = plan.describe_pattern(board, pattern);
    assert!(
        words.contains("Lay the sheet with its width, 20 in, along the scale. Cut 1 takes off piece 1."),
        "{words}"
    );
}

#[test]
fn a_setting_that_trims_and_then_cuts_is_made_once() {
    // The kerf takes nothing, so that the arm trims at half an inch, and the sheet that is left is cut into strips of that.
    let stock = "unit = 'in'\ntrim = '1/2'\n[[sheet]]\nboard = 'white'\nsize = [9, 5]\n";
    let plan = plan(&[(8, 64, 3, false)], stock);
    check(&plan);
    let (_, pattern) = plan.patterns().next().unwrap();
    let sets: Vec<String> = plan.instructions(pattern).into_iter().map(|instruction| instruction.set).collect();
    assert_eq!(sets[0], "Set the arm to 1/2 in.");
    assert_eq!(sets.iter().filter(|set| **set == sets[0]).count(), 1, "{sets:?}");
}

/// Whoever turns a page sees there what the arm is set to.
#[test]
fn every_page_says_the_setting_before_what_is_cut_with_it() {
    let stock = "unit = 'in'\ntrim = '1/2'\n[[sheet]]\nboard = 'white'\nsize = [32, 40]\n";
    let plan = plan(&[(160, 200, 4, true), (87, 111, 9, true), (60, 75, 11, true), (55, 130, 6, true)], stock);
    let mut continued = 0;
    for page in sheet_plan_pages(&plan, kurbo::Size::new(148.0, 210.0)) {
        let words: Vec<&str> = page
            .layers
            .iter()
            .flat_map(|layer| &layer.marks)
            .filter_map(|mark| if let Mark::Text(text) = mark { Some(text.content.as_str()) } else { None })
            .filter(|words| words.contains("Set the arm to ") || words.starts_with("Lay "))
            .collect();
        continued += words.iter().filter(|words| words.ends_with("(continued)")).count();
        assert!(words.first().is_none_or(|first| first.contains("Set the arm to ")), "{words:?}");
    }
    assert!(continued > 0, "no step goes on on another page");
}

#[test]
fn inches_and_millimetres_meet_exactly() {
    // 812.8 mm is 32 in: two strips of 406.4 mm and 16 in fill it without a remainder.
    let order = "[[blank]]\nsize = '406.4 x 1016 mm'\n[[blank]]\nsize = '16 x 40 in'\n";
    let mut problems = Vec::new();
    let order = Order::read(order, Syntax::Toml).unwrap();
    let ruler = Ruler::usual(Unit::Inch);
    let stock = Stock::read("[[sheet]]\nsize = '32 x 40 in'\non_hand = 1\n", Syntax::Toml).unwrap();
    let request = Request {
        name: "exact".to_owned(),
        ruler,
        blanks: order.resolve().take(&mut problems).unwrap(),
        shelf: stock.resolve(ruler).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let plan = request.prepare().take(&mut problems).unwrap().plan(&effort(), &mut |_, _| ControlFlow::Continue(()));
    assert!(plan.is_complete() && problems.is_empty());
    assert!(plan.boards[0].totals.waste() < 1e-12);
    check(&plan);
}

fn stock() -> impl Strategy<Value = String> {
    let kerf = prop_oneof![3 => Just(0), 1 => 1..4_i64];
    let trim = prop_oneof![3 => Just(0), 1 => 4..10_i64];
    let longest = prop_oneof![3 => Just(None), 1 => (40..64_i64).prop_map(Some)];
    let stages = prop_oneof![3 => Just(None), 1 => (2..5_u32).prop_map(Some)];
    (kerf, trim, longest, stages, 0..4_u32).prop_map(|(kerf, trim, longest, stages, on_hand)| {
        let longest = longest.map_or(String::new(), |longest| format!("longest_cut = {longest}\n"));
        let stages = stages.map_or(String::new(), |stages| format!("stages = {stages}\n"));
        format!(
            "unit = 'in'\nkerf = '{kerf}/16'\ntrim = '{trim}/16'\nsmallest_offcut = [6, 8]\n{longest}{stages}\
             [[sheet]]\nboard = 'white'\nsize = [32, 40]\nprice = 12\n\
             [[sheet]]\nboard = 'white'\nsize = [40, 60]\nprice = 23.5\non_hand = {on_hand}\n\
             [[offcut]]\nboard = 'white'\nsize = [16, '22 1/2']\nquantity = 2\n"
        )
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_person_who_follows_the_sequence_gets_the_order(
        blanks in prop::collection::vec((8..560_i64, 8..640_i64, 0..6_u32, any::<bool>()), 1..7),
        stock in stock(),
    ) {
        check(&plan(&blanks, &stock));
    }
}
