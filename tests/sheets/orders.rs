//! Orders of blanks as their users meet them: what is read, what is refused, what is left over, and what is written.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

const ORDER: &str = "name = 'Show'\nunit = 'in'\nboard = 'white'\n[[blank]]\nname = 'Print'\nsize = [16, 20]\nquantity = 8\nturnable = false\n";
const STOCK: &str = "# ours\nunit = 'in'\n[[sheet]]\nboard = 'White'\nsize = [32, 40]\nprice = 12.5\non_hand = 10\n";
/// A job whose one opening leaves a rectangle of 12 × 16 in.
const LARGE_MAT: &str =
    "name = 'Large'\nunit = 'in'\nquantity = 2\nouter = [20, 24]\nboard = 'white'\nopening.size = [12, 16]\n";
const SMALL_MAT: &str =
    "name = 'Small'\nunit = 'in'\nquantity = 2\nouter = [8, 10]\nboard = 'white'\nopening.size = [4, 6]\n";

/// An empty folder of a test's own with some files in it.
fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet-orders").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (name, text) in files {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}

fn backline(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).arg("sheets").args(arguments).stdin(Stdio::null()).env_remove("CLICOLOR_FORCE");
    command
}

/// Runs the program and returns its exit code, standard output and standard error.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    told(&backline(folder, arguments).output().unwrap())
}

fn told(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let (_, words, complaints) = run(folder, &[arguments, &["--json"]].concat());
    serde_json::from_str(&words).unwrap_or_else(|_| panic!("{words}{complaints}"))
}

#[test]
fn a_size_is_shown_in_the_unit_in_which_it_is_written() {
    // 812.9 mm are 32.004 in.
    let order = "unit = 'in'\n[[blank]]\nsize = '812.9 x 254 mm'\n[[blank]]\nsize = '812.9 x 1016 mm'\n[[blank]]\nsize = [8, '10 1/64']\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\n";
    let folder = folder_with("written-unit", &[("order.toml", order), ("stock.toml", stock)]);
    let (exit, words, _) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!(exit, 1);
    for expected in [
        "1 × piece 1: 812.9 × 254 mm, blank 1",
        "LEFT OVER: 1 × piece 2 (812.9 × 1016 mm, board, blank 2) is larger than every sheet on hand",
        "1 × piece 3: 8 × 10 1/64 in, blank 3",
    ] {
        assert!(words.contains(expected), "{words}");
    }
}

#[test]
fn an_order_with_stock_is_planned_and_priced() {
    let folder = folder_with("priced", &[("order.toml", ORDER), ("stock.toml", STOCK)]);
    let (exit, words, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!((exit, complaints.as_str()), (0, ""));
    let start = "Show: 8 blanks from 2 sheets\n  white: 2 sheets of 32 × 40 in, 25.00\n    waste 0.0 %, no offcut worth keeping\n    proven: no plan is cheaper\n";
    assert!(words.starts_with(start), "{words}");
    assert!(words.contains("Sheets 1 and 2: 32 × 40 in of white, each cut like this"), "{words}");
    assert!(words.contains("Blades cut people"));
    let plan = json(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!(plan["complete"], true);
    assert_eq!(plan["pieces"][0]["quantity"], 8);
    assert_eq!(plan["boards"][0]["price"], 25.0);
    assert_eq!(plan["boards"][0]["patterns"][0]["parts"].as_array().unwrap().len(), 4);
}

/// A sheet that may not be turned says nothing about the others: 16 × 20 lies across a sheet of 20 × 16 that allows it.
#[test]
fn a_sheet_that_forbids_turning_binds_no_other() {
    let order = "unit = 'in'\n[[blank]]\nsize = [16, 20]\nquantity = 2\n[[blank]]\nsize = [40, 10]\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [20, 16]\nprice = 5\n[[sheet]]\nsize = [10, 40]\nprice = 6\n\
                 [[sheet]]\nsize = [30, 40]\nprice = 20\nturnable = false\n[[sheet]]\nsize = [2, 2]\nprice = 1\nturnable = false\n";
    let folder = folder_with("grain", &[("order.toml", order), ("stock.toml", stock)]);
    let board = &json(&folder, &["order.toml", "--stock", "stock.toml"])["boards"][0];
    assert_eq!((&board["price"], &board["proven"]), (&Value::from(16.0), &Value::from(true)), "{board}");
    let grained = stock.replace("price = 6", "price = 6\nturnable = false").replace("[30, 40]", "[30, 30]");
    fs::write(folder.join("stock.toml"), grained).unwrap();
    let (exit, words, _) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    let why = "is larger than every sheet on hand; it would fit turned, but may not be turned; add a larger sheet";
    assert!(exit == 1 && words.contains(why) && words.contains("2 sheets of 20 × 16 in, 10.00"), "{words}");
}

#[test]
fn toml_json_and_csv_are_the_same_order() {
    let as_json = r#"{"name": "Show", "unit": "in", "board": "white", "blank": [{"name": "Print", "size": [16, 20], "quantity": 8, "turnable": false}]}"#;
    let as_csv = "name,width,height,quantity,board,turnable,unit\nPrint,16,20,8,white,no,in\n";
    let folder = folder_with("syntax", &[("a.toml", ORDER), ("a.json", as_json), ("a.csv", as_csv)]);
    let plans: Vec<Value> = ["a.toml", "a.json", "a.csv"].map(|name| json(&folder, &[name, "--name", "Show"])).to_vec();
    assert_eq!(plans[0], plans[1]);
    assert_eq!(plans[0], plans[2]);
    // From a pipe the first line tells.
    let mut child = backline(&folder, &["-", "--name", "Show", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(as_csv.as_bytes()).unwrap();
    let (_, words, _) = told(&child.wait_with_output().unwrap());
    assert_eq!(serde_json::from_str::<Value>(&words).unwrap(), plans[0]);
}

#[test]
fn bare_numbers_of_a_spreadsheet_take_the_unit_of_the_command_line() {
    let folder = folder_with("unit", &[("a.csv", "width;height\n16;20\n")]);
    let (exit, _, complaints) = run(&folder, &["a.csv"]);
    assert_eq!(exit, 1);
    assert!(complaints.contains("`16` has no unit") && complaints.contains("a.csv:2:1"), "{complaints}");
    assert_eq!(json(&folder, &["a.csv", "--unit", "in"])["pieces"][0]["width"], 406.4);
    assert_eq!(json(&folder, &["a.csv", "--unit", "cm"])["pieces"][0]["width"], 160.0);
}

#[test]
fn the_boards_of_jobs_become_blanks() {
    let double = "name = 'Double'\nunit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\nquantity = 3\n\
        [[layer]]\nboard = { name = 'white', thickness = '1.5 mm' }\n\
        [[layer]]\nboard = { name = 'white', thickness = '3 mm' }\nsmaller = '1/4 in'\n";
    let folder = folder_with("jobs", &[("double.toml", double), ("large.toml", LARGE_MAT)]);
    let plan = json(&folder, &["double.toml", "large.toml"]);
    let pieces: Vec<(f64, u64)> = plan["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .map(|piece| (piece["width"].as_f64().unwrap() / 25.4, piece["quantity"].as_u64().unwrap()))
        .collect();
    assert_eq!(plan["boards"].as_array().unwrap().len(), 3, "{plan}");
    assert_eq!(pieces, [(16.0, 3), (15.5, 3), (20.0, 2)]);
    assert_eq!(plan["pieces"][1]["users"][0]["name"], "Double, second");
    // A folder stands for the jobs in it.
    let whole = json(&folder, &[".", "--name", "2 orders"]);
    assert_eq!(whole["pieces"], plan["pieces"]);
}

#[test]
fn what_does_not_fit_is_left_over_and_the_rest_is_planned() {
    let order = "unit = 'in'\n[[blank]]\nname = 'Huge'\nsize = [41, 60]\n[[blank]]\nname = 'Tall'\nsize = [30, 39]\nturnable = false\n\
        [[blank]]\nname = 'Wide'\nsize = [39, 30]\nturnable = false\n[[blank]]\nname = 'Many'\nsize = [20, 30]\nquantity = 5\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\non_hand = 3\n";
    let folder = folder_with("left-over", &[("order.toml", order), ("stock.toml", stock)]);
    let (exit, words, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!(exit, 1);
    assert!(complaints.contains("some blanks do not fit"), "{complaints}");
    assert!(
        words.contains(
            "LEFT OVER: 1 × piece 1 (41 × 60 in, board, Huge) is larger than every sheet on hand, either way round"
        ),
        "{words}"
    );
    assert!(words.contains("LEFT OVER: 1 × piece 3 (39 × 30 in, board, Wide) is larger than every sheet on hand; it would fit turned, but may not be turned"), "{words}");
    assert!(words.contains("is more than the sheets on hand can supply"), "{words}");
    let plan = json(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!(plan["complete"], false);
    let board = &plan["boards"][0];
    let made = board["patterns"].as_array().unwrap().iter().flat_map(|pattern| {
        let copies = pattern["last"].as_u64().unwrap() - pattern["first"].as_u64().unwrap() + 1;
        let parts = pattern["parts"].as_array().unwrap().iter().filter(|part| part["kind"] == "piece");
        parts.map(move |_| copies)
    });
    let left: u64 = board["left_over"].as_array().unwrap().iter().map(|left| left["quantity"].as_u64().unwrap()).sum();
    assert_eq!(made.sum::<u64>() + left, 8);
}

#[test]
fn a_blank_longer_than_the_arm_is_left_over() {
    let order = "unit = 'in'\n[[blank]]\nname = 'Panorama'\nsize = [10, 38]\n[[blank]]\nsize = [10, 30]\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\n";
    let folder = folder_with("arm", &[("order.toml", order), ("stock.toml", stock)]);
    let (exit, words, _) = run(&folder, &["order.toml", "--stock", "stock.toml", "--longest-cut", "36"]);
    assert_eq!(exit, 1);
    assert!(words.contains("Panorama) is longer than the arm can cut"), "{words}");
    assert!(words.contains("1 × piece 2"), "{words}");
    assert_eq!(run(&folder, &["order.toml", "--stock", "stock.toml", "--longest-cut", "40"]).0, 0);
}

#[test]
fn quotes_add_up_and_purchases_are_named() {
    let order = "unit = 'in'\n[[blank]]\nname = 'A'\nsize = [16, 20]\nquantity = 7\nboard = 'white'\n\
        [[blank]]\nname = 'B'\nsize = [10, 11]\nquantity = 3\nboard = 'white'\n[[blank]]\nname = 'A'\nsize = [20, 30]\nboard = 'red'\n";
    let stock = "unit = 'in'\ncurrency = 'EUR'\n[[sheet]]\nboard = 'white'\nsize = [32, 40]\nprice = 12.50\n\
        [[sheet]]\nboard = 'red'\nsize = [32, 40]\nprice = 30\non_hand = 1\n[[sheet]]\nboard = 'red'\nsize = [20, 30]\nprice = 9\non_hand = 0\n";
    let folder = folder_with("quotes", &[("order.toml", order), ("stock.toml", stock)]);
    let plan = json(&folder, &["order.toml", "--stock", "stock.toml"]);
    let shares = plan["shares"].as_array().unwrap();
    let sum: f64 = shares.iter().map(|share| share["price"].as_f64().unwrap()).sum();
    assert_eq!(shares.len(), 2);
    assert!((sum - plan["price"].as_f64().unwrap()).abs() < 1e-9, "{plan}");
    // All of red is for A, and of white by area: 7 × 320 of 2570 square inches.
    let white = plan["boards"][0]["price"].as_f64().unwrap();
    let expected = 30.0 + (white * 100.0 * 2240.0 / 2570.0).floor() / 100.0;
    assert!((shares[0]["price"].as_f64().unwrap() - expected).abs() < 1e-9, "{plan}");
    let (_, words, _) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert!(words.contains("  all boards: 11 blanks from ") && words.contains("  for quotes, by area: A "), "{words}");
    let (exit, words, _) = run(&folder, &["order.toml", "--stock", "stock.toml", "--buy"]);
    assert!(
        exit == 0
            && words.contains("To buy: 1 sheet of 20 × 30 in of red, 9.00 EUR")
            && words.contains("a saving of 21.00 EUR."),
        "{words}"
    );
}

#[test]
fn what_cannot_be_read_of_an_order_is_not_called_a_job() {
    let folder = folder_with(
        "broken",
        &[
            ("a.json", "{\"blank\": [{\"size\": [16, 20], \"quantity\": 8,, \"board\": \"white\"}]}"),
            ("b.toml", "unit = 'in'\n[[blank]]\nsize = [16, 20\nquantity = 8\n"),
            ("c.csv", "Was;Zuschnitt;qty\nHafen;40,5 x 30 cm;2\n"),
            ("d.csv", "Bezeichnung;Maß;Stück\nHafen;40,5 x 30 cm;2\n"),
        ],
    );
    for name in ["a.json", "b.toml"] {
        let (exit, _, complaints) = run(&folder, &[name]);
        assert!(exit == 1 && complaints.contains(name) && !complaints.contains("job"), "{complaints}");
    }
    let (exit, _, complaints) = run(&folder, &["c.csv"]);
    assert!(exit == 1 && complaints.contains("--columns size=Cut"), "{complaints}");
    for arguments in [&["c.csv", "--columns", "name=Was,size=Zuschnitt"][..], &["d.csv"]] {
        let plan = json(&folder, arguments);
        let read = (&plan["pieces"][0]["width"], &plan["pieces"][0]["quantity"]);
        assert_eq!(read, (&Value::from(405.0), &Value::from(2)), "{arguments:?}");
    }
}

#[test]
fn fallout_serves_smaller_blanks_only_when_asked() {
    let stock = "unit = 'in'\n[[sheet]]\nboard = 'white'\nsize = [20, 24]\nprice = 5\n";
    let kept = LARGE_MAT.to_owned() + "[[layer]]\nfallout = 'keep'\n";
    let files =
        [("large.toml", LARGE_MAT), ("small.toml", SMALL_MAT), ("stock.toml", stock), ("kept.toml", kept.as_str())];
    let folder = folder_with("fallout", &files);
    let sheets = |arguments: &[&str]| {
        let plan = json(&folder, &[arguments, &["small.toml", "--stock", "stock.toml"]].concat());
        (plan["boards"][0]["sheets"].as_u64().unwrap(), plan["boards"][0]["offcuts"].as_u64().unwrap())
    };
    assert_eq!(sheets(&["large.toml"]), (3, 0));
    let (from_sheets, fallout) = sheets(&["large.toml", "--fallout"]);
    assert_eq!(from_sheets, 2);
    assert!(fallout >= 1);
    assert_eq!(sheets(&["kept.toml", "--fallout"]), (3, 0));
    let (_, words, _) = run(&folder, &["large.toml", "small.toml", "--stock", "stock.toml", "--fallout"]);
    assert!(words.contains("fallout of Large, opening 1: cut that mat first"), "{words}");
}

#[test]
fn fallout_is_not_counted_on_when_its_mat_may_not_be_cut() {
    let stock = "unit = 'in'\n[[sheet]]\nboard = 'white'\nsize = [20, 24]\non_hand = 1\n";
    let folder =
        folder_with("no-fallout", &[("large.toml", LARGE_MAT), ("small.toml", SMALL_MAT), ("stock.toml", stock)]);
    let plan = json(&folder, &["large.toml", "small.toml", "--stock", "stock.toml", "--fallout"]);
    assert_eq!(plan["complete"], false);
    assert_eq!(plan["boards"][0]["offcuts"], 0);
}

#[test]
fn problems_are_shown_where_they_are() {
    for (order, stock, place, message) in [
        ("unit = 'in'\n[[blank]]\nsize = '8 x 1O'\n", "", "order.toml:3:14", "`O` is not a unit of length"),
        ("unit = 'in'\n[[blank]]\nsize = [0, 10]\n", "", "order.toml:3:8", "has no area"),
        ("unit = 'in'\n[[blank]]\nsize = 5\nquantity = 4000000\n", "", "order.toml:4:12", "more than 10000"),
        ("unit = 'in'\n[[blank]]\nsize = 5\nqantity = 4\n", "", "order.toml:4:1", "there is no key `qantity` here"),
        (ORDER, "unit = 'in'\n[[sheet]]\nsize = [32, 40]\nprice = -3\n", "stock.toml:4:9", "-3 is not a price"),
        (
            ORDER,
            "unit = 'in'\ntrim = '1/8'\nkerf = '1/8'\n[[sheet]]\nsize = [32, 40]\n",
            "stock.toml:2:8",
            "not wider than the kerf",
        ),
        (ORDER, "unit = 'in'\ntrim = 17\n[[sheet]]\nsize = [32, 40]\n", "stock.toml:4:8", "nothing is left of 32 in"),
        (
            "unit = 'in'\n[[blank]]\nsize = [0.01, 10]\n",
            "",
            "order.toml:3:9",
            "0.01 in (0.254 mm) is not possible: it is at least 1 mm",
        ),
        (ORDER, "unit = 'in'\ntrim = 17\n", "stock.toml", "nothing is left of 32 × 40 in when 17 in is trimmed"),
        (ORDER, "unit = 'in'\nstages = 0\n", "stock.toml:2:10", "no level of cuts is allowed"),
        (
            ORDER,
            "unit = 'in'\n[[sheet]]\nsize = [32, 40]\n[[sheet]]\nsize = [40, 60]\nprice = 3\n",
            "stock.toml:2:1",
            "this sheet has no price",
        ),
    ] {
        let folder = folder_with("problems", &[("order.toml", order), ("stock.toml", stock)]);
        let (exit, words, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
        assert_eq!((exit, words.as_str()), (1, ""), "{complaints}");
        assert!(complaints.contains(place) && complaints.contains(message), "{complaints}");
    }
}

#[test]
fn stock_without_a_board_has_no_number_on_hand_for_several() {
    let order = "unit = 'in'\n[[blank]]\nsize = 5\nboard = 'red'\n[[blank]]\nsize = 5\nboard = 'blue'\n";
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\non_hand = 3\n";
    let folder = folder_with("shared", &[("order.toml", order), ("stock.toml", stock)]);
    let (exit, _, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!(exit, 1);
    assert!(complaints.contains("no board, and the order has 2 boards"), "{complaints}");
    let (exit, _, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml", "--stages", "0"]);
    assert_eq!(exit, 2, "{complaints}");
    let (exit, _, complaints) = run(&folder, &["stock.toml"]);
    assert_eq!(exit, 1);
    assert!(complaints.contains("stock.toml is a stock, not an order"), "{complaints}");
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_drawings_appear_whole() {
    let folder = folder_with("files", &[("order.toml", ORDER)]);
    let draw = |out: &str| run(&folder, &["order.toml", "-o", out, "--format", "pdf,svg", "--labels", "--seed", "7"]);
    let (first, second) = (draw("a"), draw("b"));
    assert_eq!((first.0, first.2.as_str()), (0, ""));
    assert_eq!(first.1, second.1);
    let names = |out: &str| {
        let mut names: Vec<String> = fs::read_dir(folder.join(out))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    assert_eq!(
        names("a"),
        ["order-labels.pdf", "order-labels.svg", "order-sheets-1.svg", "order-sheets-2.svg", "order-sheets.pdf"]
    );
    for name in names("a") {
        assert_eq!(fs::read(folder.join("a").join(&name)).unwrap(), fs::read(folder.join("b").join(&name)).unwrap());
    }
    let (exit, _, complaints) = draw("a");
    assert_eq!(exit, 1);
    assert!(complaints.contains("nothing was written"), "{complaints}");
}

#[test]
fn pages_are_written_as_png_too() {
    let folder = folder_with("png", &[("order.toml", ORDER)]);
    let (exit, _, complaints) = run(&folder, &["order.toml", "-o", "out", "--format", "png", "--paper", "5 x 6 in"]);
    assert_eq!((exit, complaints.as_str()), (0, ""));
    for page in 1..=2 {
        let bytes = fs::read(folder.join(format!("out/order-sheets-{page}.png"))).unwrap();
        // The width and the height of the picture follow the name of its first part: 5 × 6 in of 150 pixels each.
        assert_eq!((&bytes[1..4], &bytes[12..24]), (&b"PNG"[..], &b"IHDR\0\0\x02\xEE\0\0\x03\x84"[..]));
    }
}

#[cfg(unix)]
#[test]
fn an_interrupted_search_prints_the_best_plan_found() {
    let order = "unit = 'in'\n[[blank]]\nsize = ['13 3/16', '17 5/16']\nquantity = 40\n[[blank]]\nsize = ['11 1/16', '7 3/4']\nquantity = 61\n";
    let folder = folder_with("interrupted", &[("order.toml", order)]);
    let mut command = backline(&folder, &["order.toml", "--time", "60"]);
    let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(500));
    Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    let (exit, words, complaints) = told(&child.wait_with_output().unwrap());
    assert_eq!(exit, 0, "{complaints}");
    assert!(words.contains("101 blanks"), "{words}");
    // Unless it was proven to be the best before that.
    assert!(complaints.contains("the search was stopped") || words.contains("proven"), "{complaints}");
}

#[test]
fn a_limit_of_time_ends_the_search() {
    let order = "unit = 'in'\n[[blank]]\nsize = ['13 3/16', '17 5/16']\nquantity = 30\n[[blank]]\nsize = ['11 1/16', '7 3/4']\nquantity = 41\n";
    let folder = folder_with("time", &[("order.toml", order)]);
    let (exit, words, _) = run(&folder, &["order.toml", "--time", "0.2"]);
    assert_eq!(exit, 0);
    assert!(words.contains("71 blanks"), "{words}");
}

#[test]
fn starters_and_schemas_go_together() {
    let folder = folder_with("starters", &[]);
    for kind in ["order", "stock"] {
        let of = |command: &str| {
            let output = Command::new(env!("CARGO_BIN_EXE_backline")).args([command, kind]).output().unwrap();
            told(&output).1
        };
        fs::write(folder.join(format!("{kind}.toml")), of("new")).unwrap();
        let schema: Value = serde_json::from_str(&of("schema")).unwrap();
        assert_eq!(schema["type"], "object");
    }
    let (exit, words, complaints) = run(&folder, &["order.toml", "--stock", "stock.toml"]);
    assert_eq!((exit, complaints.as_str()), (0, ""), "{words}");
}
