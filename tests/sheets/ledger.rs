//! The ledger of a stock: what orders reserve, cut and give back is conserved to the unit, and the file keeps its comments.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::common::random::Random;
use backline::drawing::{Mark, Role};
use backline::job::Syntax;
use backline::length::{Ratio, Ruler, Unit};
use backline::problem::KeyPath;
use backline::sheets::cutting::Effort;
use backline::sheets::offcut_labels;
use backline::sheets::{LedgerRefusal, Order, OrderState, Request, SheetPlan, Stock};

const STOCK: &str = "# our stock\nunit = 'in'  # always\nsmallest_offcut = [8, 10]\n\n# from the supplier\n[[sheet]]\nboard = 'white'\n\
size = [32, 40]\nprice = 12.5\non_hand = 400 # counted in spring\n\n# a rest\n[[offcut]]\nboard = 'white'\nsize = [30, 39] # good\n\n\
[[offcut]]\nboard = 'white'\nsize = [10, 12]\nquantity = 2\n# end\n";

fn plan(stock: &Stock, order: &str) -> SheetPlan {
    let mut problems = Vec::new();
    let order = Order::read(order, Syntax::Toml).unwrap();
    let request = Request {
        name: "order".to_owned(),
        ruler: Ruler::usual(Unit::Inch),
        blanks: order.resolve().take(&mut problems).unwrap(),
        shelf: stock.resolve(Ruler::usual(Unit::Inch)).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let prepared = request.prepare().take(&mut problems).unwrap_or_else(|| panic!("{problems:?}"));
    let effort = Effort { iterations: 300, tidying: 50, ..Effort::default() };
    prepared.plan(&effort, &mut |_, _| ControlFlow::Continue(()))
}

fn read(text: &str) -> Stock {
    Stock::read(text, Syntax::Toml).unwrap()
}

/// Area in square sixteenths of an inch, exact.
fn area(stock: &Stock, size: &backline::job::SizeMeasure, quantity: u32) -> i128 {
    let sides = size.resolve_exact(stock.unit, &KeyPath::root()).unwrap().map(|side| {
        let sixteenths = side.times(Ratio::new(80, 127).unwrap()).unwrap();
        assert_eq!(sixteenths.denominator(), 1, "{side:?}");
        sixteenths.numerator()
    });
    sides[0] * sides[1] * i128::from(quantity)
}

/// Sheets on hand and set aside or cut, and area on hand, set aside, in blanks and in the bin.
fn conserved(stock: &Stock) -> (u32, i128) {
    let area = |size: &backline::job::SizeMeasure, quantity: u32| area(stock, size, quantity);
    let sheets = stock.sheet[0].on_hand.unwrap();
    let mut count = sheets;
    let mut all = area(&stock.sheet[0].size, sheets);
    all += stock.offcut.iter().map(|offcut| area(&offcut.size, offcut.quantity)).sum::<i128>();
    for order in &stock.order {
        let taken: i128 = order.sheet.iter().map(|sheet| area(&sheet.size, sheet.quantity)).sum::<i128>()
            + order.taken.iter().map(|offcut| area(&offcut.size, offcut.quantity)).sum::<i128>();
        let blanks: i128 = order.blank.iter().map(|blank| area(&blank.size, blank.quantity)).sum();
        let kept: i128 = order.kept.iter().map(|offcut| area(&offcut.size, offcut.quantity)).sum();
        assert!(blanks + kept <= taken, "{order:?}");
        count += order.sheet.iter().map(|sheet| sheet.quantity).sum::<u32>();
        // The offcuts of an order that is cut are in the stock, or in what a later order took.
        all += if order.state == OrderState::Cut { taken - kept } else { taken };
    }
    (count, all)
}

#[test]
fn four_weeks_of_orders_lose_nothing() {
    let comments =
        ["# our stock", "# always", "# from the supplier", "# counted in spring", "# a rest", "# good", "# end"];
    four_weeks(20_261_130, STOCK, Syntax::Toml, "rack", &comments);
}

#[test]
fn four_weeks_of_orders_lose_nothing_in_lists_in_brackets() {
    let stock = "# our stock\nunit = 'in'  # always\nsmallest_offcut = [8, 10]\n\nsheets = [\n  # from the supplier\n  \
                 { board = 'white', size = [32, 40], price = 12.5, on_hand = 400 }, # counted in spring\n]\n\
                 offcut = [\n  { board = 'white', size = [30, 39] }, # good\n  # a rest\n  \
                 { board = 'white', size = [10, 12], quantity = 2 },\n]\n# end\n";
    let comments =
        ["# our stock", "# always", "# from the supplier", "# counted in spring", "# a rest", "# good", "# end"];
    four_weeks(7, stock, Syntax::Toml, "rack", &comments);
}

#[test]
fn four_weeks_of_orders_lose_nothing_in_json_and_fill_the_shelf() {
    let stock = r#"{ "unit": "in", "smallest_offcut": [8, 10],
        "sheet": [{ "board": "white", "size": [32, 40], "price": 12.5, "on_hand": 400 }],
        "offcut": [{ "board": "white", "size": [30, 39] }, { "board": "white", "size": [10, 12], "quantity": 2 }],
        "shelf": [{ "name": "drawer", "size": [16, 20], "holds": 3 }, { "name": "rack", "holds": 12 }] }"#;
    let text = four_weeks(11, stock, Syntax::Json, "", &[]);
    let stock = Stock::read(&text, Syntax::Json).unwrap();
    assert!((1..=3).contains(&stock.lying_at("drawer")) && (1..=12).contains(&stock.lying_at("rack")), "{text}");
    for offcut in stock.offcut.iter().filter(|offcut| offcut.place == "drawer") {
        let [mut short, mut long] = offcut.size.resolve_exact(stock.unit, &KeyPath::root()).unwrap().map(Ratio::to_f64);
        (short, long) = (short.min(long), short.max(long));
        assert!(short <= 16.0 * 25.4 && long <= 20.0 * 25.4, "{offcut:?}");
    }
}

/// Reserves, cuts and cancels random orders of four weeks, and returns the stock file as it then is.
fn four_weeks(seed: u64, start: &str, syntax: Syntax, place: &str, comments: &[&str]) -> String {
    let mut random = Random::new(seed);
    let read = |text: &str| Stock::read(text, syntax).unwrap();
    let mut text = start.to_owned();
    let (sheets, whole) = conserved(&read(&text));
    let mut open: Vec<String> = Vec::new();
    for day in 1..=28 {
        for number in 0..random.below(3) + 1 {
            let id = format!("{day}-{number}");
            let mut order = String::from("unit = 'in'\nboard = 'white'\n");
            for _ in 0..random.below(3) + 1 {
                let [width, height] = [0; 2].map(|_| 64 + random.below(300));
                let quantity = 1 + random.below(4);
                order += &format!("[[blank]]\nsize = ['{width}/16', '{height}/16']\nquantity = {quantity}\n");
            }
            let stock = read(&text);
            let plan = plan(&stock, &order);
            let reserved = stock.reserve(&id, &plan).unwrap();
            assert_eq!(reserved.reserve(&id, &plan), Err(LedgerRefusal::AlreadyDone(OrderState::Reserved)));
            text = reserved.write_into(&text, syntax).unwrap();
            open.push(id);
        }
        while open.len() > random.below(4) {
            let id = open.remove(random.below(open.len()));
            let stock = read(&text);
            let after = if random.once_in(4) {
                stock.cancel(&id).unwrap()
            } else {
                let after = stock.cut(&id, &format!("2026-11-{day:02}"), place).unwrap();
                assert_eq!(after.cut(&id, "2026-12-01", ""), Err(LedgerRefusal::AlreadyDone(OrderState::Cut)));
                assert_eq!(after.cancel(&id), Err(LedgerRefusal::IsCut));
                after
            };
            text = after.write_into(&text, syntax).unwrap();
        }
        assert_eq!(conserved(&read(&text)), (sheets, whole), "day {day}");
        for comment in comments {
            assert!(text.contains(comment), "{comment} on day {day}:\n{text}");
        }
    }
    let stock = read(&text);
    let mut ids: Vec<&str> = stock.offcut.iter().map(|offcut| offcut.id.as_str()).filter(|id| !id.is_empty()).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "two offcuts of one identity");
    let totals = stock.totals("2026-11");
    assert!(totals.orders > 20 && totals.waste() > 0.0 && stock.totals("2025").orders == 0);
    println!(
        "{} orders, {} offcuts in stock, waste {:.1} %",
        totals.orders,
        count,
        100.0 * totals.waste() / totals.taken
    );
    text
}

#[test]
fn the_least_useful_offcut_is_cut() {
    let stock = read(STOCK);
    let size = |stock: &Stock, order: &str| {
        let plan = plan(stock, order);
        let (_, pattern) = plan.patterns().next().unwrap();
        plan.pattern_title(&plan.boards[0], pattern)
    };
    let small = "unit = 'in'\nboard = 'white'\n[[blank]]\nsize = [8, 10]\n";
    assert_eq!(size(&stock, small), "Sheet 1: 10 × 12 in of white (an offcut)");
    // What fits the large one only still comes from it.
    assert!(size(&stock, &small.replace("[8, 10]", "[12, 14]")).contains("30 × 39 in"));
    // Of two alike the older one, which is listed first, is cut first.
    let two = "unit = 'in'\n[[sheet]]\nboard = 'white'\nsize = [32, 40]\n[[offcut]]\nid = 'K3'\nplace = 'rack B'\nboard = 'white'\n\
               size = [9, 11]\n[[offcut]]\nid = 'K9'\nboard = 'white'\nsize = [9, 11]\n";
    assert_eq!(size(&read(two), small), "Sheet 1: 9 × 11 in of white (offcut K3, rack B)");
}

#[test]
fn the_code_on_a_label_is_its_identity() {
    let stock =
        read("unit = 'in'\n[[offcut]]\nid = 'K1234'\nplace = 'rack B'\nboard = 'white'\nsize = [9, '11 1/2']\n");
    let shelf = stock.resolve(Ruler::usual(Unit::Inch)).value.unwrap();
    let pages =
        offcut_labels(&stock, &shelf, &|width, height| format!("{width} × {height}"), kurbo::Size::new(210.0, 297.0));
    let pictures = pages[0].layers.iter().find(|layer| layer.role == Role::Picture).unwrap();
    let Mark::Area(area) = &pictures.marks[0] else { panic!("no code") };
    // A picture of ten dots a millimetre, as a scanner sees it.
    let dark = |x: usize, y: usize| {
        let at = kurbo::Point::new(x as f64 / 10.0 + 0.05, y as f64 / 10.0 + 0.05);
        area.outlines.iter().any(|outline| outline.bounds().contains(at))
    };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(800, 500, |x, y| if dark(x, y) { 0 } else { 255 });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    assert_eq!(grids[0].decode().unwrap().1, "K1234");
}

fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet-ledger").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    files.iter().for_each(|(name, text)| fs::write(folder.join(name), text).unwrap());
    folder
}

fn run(folder: &Path, arguments: &str) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    let output = command.current_dir(folder).args(arguments.split(' ')).stdin(Stdio::null()).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

#[test]
fn an_order_is_reserved_cut_and_cancelled_from_the_command_line() {
    let order = "unit = 'in'\nboard = 'white'\n[[blank]]\nsize = [16, 20]\nquantity = 5\n";
    let huge = "unit = 'in'\nboard = 'white'\n[[blank]]\nsize = [60, 60]\n[[blank]]\nsize = [8, 10]\n";
    let folder = folder_with("commands", &[("order.toml", order), ("huge.toml", huge), ("stock.toml", STOCK)]);
    let stock = || fs::read_to_string(folder.join("stock.toml")).unwrap();
    let expect = |arguments: &str, exit: i32, words: &str| {
        let before = stock();
        let (found, _, complaints) = run(&folder, arguments);
        assert!(found == exit && complaints.contains(words), "{arguments}: {found} {complaints}");
        before == stock()
    };
    assert!(expect("sheets order.toml --stock stock.toml", 0, ""), "planning changes nothing");
    assert!(
        expect("sheets huge.toml --stock stock.toml --reserve 7", 1, "some blanks do not fit"),
        "what fails takes nothing"
    );
    assert!(!expect("sheets order.toml --stock stock.toml --reserve 7", 0, "order 7 is reserved"));
    assert!(expect("sheets order.toml --stock stock.toml --reserve 7", 0, "already reserved; nothing was changed"));
    assert!(expect("sheets huge.toml --stock stock.toml --reserve 7", 1, "has an order 7 with other blanks"));
    assert!(expect("stock cancel 8 --stock stock.toml", 1, "the ledger has no order 8"));
    assert!(!expect("stock cancel 7 --stock stock.toml", 0, "order 7 is cancelled"));
    assert_eq!(read(&stock()), read(STOCK), "all is back");
    assert!(!expect("sheets order.toml --stock stock.toml --reserve 7", 0, "order 7 is reserved"));
    assert!(!expect("stock cut 7 --stock stock.toml --on 2026-11-30 --place B2", 0, "order 7 is cut"));
    assert!(expect("stock cut 7 --stock stock.toml", 0, "already cut; nothing was changed"));
    assert!(expect("stock cancel 7 --stock stock.toml", 1, "has already been cut and cannot be cancelled"));
    let (_, words, _) = run(&folder, "stock report --stock stock.toml --days 2026");
    assert!(
        words.starts_with("7: cut on 2026-11-30, 5 blanks from ") && words.contains("1 order cut in 2026: "),
        "{words}"
    );
    let (exit, _, complaints) = run(&folder, "stock labels --stock stock.toml -o out");
    assert!(exit == 0 && folder.join("out/offcuts.pdf").exists(), "{complaints}");
    // Lists in brackets become tables, and a file as JSON stays one.
    fs::write(folder.join("stock.toml"), "unit = 'in'\nsheet = [{ size = [32, 40], on_hand = 9 }] # all\n").unwrap();
    assert!(!expect("sheets order.toml --stock stock.toml --reserve 9", 0, "order 9 is reserved"));
    assert!(stock().contains("[[sheet]]\nsize = [32, 40]\non_hand = 7") && stock().contains("# all"), "{}", stock());
    let json = r#"{ "unit": "in", "sheet": [{ "size": [32, 40], "on_hand": 9 }], "shelf": [{ "name": "rack B" }] }"#;
    fs::write(folder.join("stock.json"), json).unwrap();
    for arguments in ["sheets order.toml --stock stock.json --reserve 9", "stock cut 9 --stock stock.json"] {
        let (exit, _, complaints) = run(&folder, arguments);
        assert_eq!(exit, 0, "{complaints}");
    }
    let after = Stock::read(&fs::read_to_string(folder.join("stock.json")).unwrap(), Syntax::Json).unwrap();
    assert_eq!(after.sheet[0].on_hand, Some(7));
    assert!(!after.offcut.is_empty() && after.offcut.iter().all(|offcut| offcut.place == "rack B"), "{after:?}");
}

#[test]
#[cfg(unix)]
fn programs_that_reserve_at_the_same_time_lose_nothing() {
    let order = "unit = 'in'\n[[blank]]\nsize = [32, 40]\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\non_hand = 500\n";
    let folder = folder_with("together", &[("order.toml", order), ("stock.toml", stock)]);
    let mut reserved = 0;
    for round in 0..6 {
        let start = |one: u32| {
            let arguments = format!("sheets order.toml --stock stock.toml --effort 1 --reserve {round}-{one}");
            let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
            command.current_dir(&folder).args(arguments.split(' ')).stdin(Stdio::null()).stdout(Stdio::null());
            command.stderr(Stdio::null()).spawn().unwrap()
        };
        let runs: Vec<_> = (0..6).map(start).collect();
        reserved += runs.into_iter().filter_map(|mut run| run.wait().ok().filter(|status| status.success())).count();
    }
    let after = read(&fs::read_to_string(folder.join("stock.toml")).unwrap());
    assert!(reserved >= 6, "of each round one at least");
    assert_eq!((after.order.len(), after.sheet[0].on_hand), (reserved, Some(500 - u32::try_from(reserved).unwrap())));
}
