//! The shop file on the command line: each place where it may stand, their order, and what comes of it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

const JOB: &str = "unit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\n";

/// A place with the folders `jobs/day` for jobs and `settings` for the user's settings.
fn place() -> TempDir {
    let place = tempfile::tempdir().unwrap();
    fs::create_dir_all(place.path().join("jobs/day")).unwrap();
    fs::create_dir_all(place.path().join("settings/backline")).unwrap();
    fs::write(place.path().join("jobs/day/harbour.toml"), JOB).unwrap();
    place
}

fn program(place: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command
        .current_dir(place)
        .env("XDG_CONFIG_HOME", place.join("settings"))
        .env_remove("BACKLINE_SHOP")
        .args(arguments);
    command
}

fn backline(place: &Path, arguments: &[&str]) -> Output {
    program(place, arguments).output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// Writes a shop file by whose overlap it is known again, in sixteenths.
fn write_shop(path: impl AsRef<Path>, sixteenths: u32) {
    fs::write(path, format!("[job]\nopening.overlap = '{sixteenths}/16 in'\n")).unwrap();
}

/// Returns the overlap of a job in sixteenths.
fn overlap(output: &Output) -> u32 {
    assert_eq!(output.status.code(), Some(0), "{}", said(output));
    let data: Value = serde_json::from_slice(&output.stdout).unwrap();
    let found = data["dimensions"].as_array().unwrap().iter().find(|size| size["id"] == "overlap-1-left").unwrap();
    (found["mm"].as_f64().unwrap() / 25.4 * 16.0).round() as u32
}

const CHECK: [&str; 3] = ["check", "--json", "jobs/day/harbour.toml"];

#[test]
fn the_first_of_five_places_counts() {
    let place = place();
    let at = |name: &str| place.path().join(name);
    assert_eq!(overlap(&backline(place.path(), &CHECK)), 2, "without a shop file");
    write_shop(at("settings/backline/shop.toml"), 3);
    assert_eq!(overlap(&backline(place.path(), &CHECK)), 3);
    write_shop(at("jobs/shop.toml"), 4);
    assert_eq!(overlap(&backline(place.path(), &CHECK)), 4, "the folder above");
    write_shop(at("jobs/day/shop.toml"), 5);
    assert_eq!(overlap(&backline(place.path(), &CHECK)), 5, "the folder of the job");
    write_shop(at("other.toml"), 6);
    assert_eq!(overlap(&program(place.path(), &CHECK).env("BACKLINE_SHOP", "other.toml").output().unwrap()), 6);
    write_shop(at("named.toml"), 7);
    let named = [CHECK.as_slice(), &["--shop", "named.toml"]].concat();
    assert_eq!(overlap(&program(place.path(), &named).env("BACKLINE_SHOP", "other.toml").output().unwrap()), 7);
    let none = [CHECK.as_slice(), &["--no-shop"]].concat();
    assert_eq!(overlap(&program(place.path(), &none).env("BACKLINE_SHOP", "other.toml").output().unwrap()), 2);
    assert_eq!(overlap(&program(place.path(), &CHECK).env("BACKLINE_SHOP", "").output().unwrap()), 5, "empty is unset");
    // From the folder of the job itself, and from the one above it.
    fs::remove_file(at("jobs/day/shop.toml")).unwrap();
    assert_eq!(overlap(&backline(&at("jobs"), &["check", "--json", "day/harbour.toml"])), 4);
    assert_eq!(overlap(&backline(&at("jobs/day"), &["check", "--json", "harbour.toml"])), 4);
    // No further up.
    fs::remove_file(at("jobs/shop.toml")).unwrap();
    write_shop(at("shop.toml"), 8);
    let settings = |folder: &str, job: &str| {
        program(&at(folder), &["check", "--json", job]).env("XDG_CONFIG_HOME", at("settings")).output().unwrap()
    };
    assert_eq!(overlap(&settings("jobs/day", "harbour.toml")), 3);
}

#[test]
fn both_ways_of_naming_do_not_go_together_and_a_missing_file_is_said() {
    let place = place();
    let both = backline(place.path(), &[CHECK.as_slice(), &["--shop", "a.toml", "--no-shop"]].concat());
    assert_eq!(both.status.code(), Some(2), "{}", said(&both));
    for output in [
        backline(place.path(), &["check", "jobs/day/harbour.toml", "--shop", "none.toml"]),
        program(place.path(), &["check", "jobs/day/harbour.toml"]).env("BACKLINE_SHOP", "none.toml").output().unwrap(),
    ] {
        assert_eq!(output.status.code(), Some(1), "{}", said(&output));
        assert!(said(&output).contains("none.toml"), "{}", said(&output));
    }
}

#[test]
fn a_stranger_does_not_choose_the_shop_file() {
    let place = place();
    let at = |name: &str| place.path().join(name);
    write_shop(at("jobs/day/shop.toml"), 5);
    write_shop(at("settings/backline/shop.toml"), 3);
    write_shop(at("named.toml"), 7);
    fs::write(at("jobs/day/day.jsonl"), "{\"unit\":\"in\",\"outer\":[16,20],\"opening\":{\"art\":[8,10]}}\n").unwrap();
    let with = |more: &[&str]| overlap(&backline(place.path(), &[CHECK.as_slice(), more].concat()));
    assert_eq!((with(&["--limits", "strict"]), with(&["--files-below", "jobs"])), (3, 3));
    assert_eq!(
        (
            with(&["--limits", "strict", "--shop", "named.toml"]),
            with(&["--files-below", "jobs", "--shop", "named.toml"])
        ),
        (7, 7)
    );
    let lines = backline(place.path(), &["check", "--json", "jobs/day/day.jsonl"]);
    let first: Value = serde_json::from_slice::<Value>(&lines.stdout).unwrap()[0].clone();
    assert!(first["shop"]["file"].as_str().unwrap().starts_with(&at("settings").display().to_string()), "{first}");
    let mut piped = program(&at("jobs/day"), &["check", "--json", "-"]);
    let mut child = piped
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .env("XDG_CONFIG_HOME", at("settings"))
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(JOB.as_bytes()).unwrap();
    assert_eq!(overlap(&child.wait_with_output().unwrap()), 3);
}

#[test]
fn check_says_what_came_from_the_shop_and_where_a_fault_lies() {
    let place = place();
    fs::write(
        place.path().join("jobs/shop.toml"),
        "unit = 'in'\n\n[job]\nopening.overlap = 0.25\nlimits.border = '5 inn'\n",
    )
    .unwrap();
    let wrong = backline(place.path(), &["check", "jobs/day/harbour.toml"]);
    assert_eq!(wrong.status.code(), Some(1));
    assert!(said(&wrong).contains("--> jobs/shop.toml:5:20") && said(&wrong).contains("'5 inn'"), "{}", said(&wrong));
    fs::write(place.path().join("jobs/shop.toml"), "unit = 'in'\n\n[job]\nopening.overlap = 0.25\n").unwrap();
    let verbose = said(&backline(place.path(), &["check", "-v", "jobs/day/harbour.toml"]));
    assert!(
        verbose.contains("  from the shop file jobs/shop.toml:\n    line 4: opening.overlap = \"0.25 in\"\n"),
        "{verbose}"
    );
    let data: Value = serde_json::from_slice(&backline(place.path(), &CHECK).stdout).unwrap();
    assert_eq!(
        data["shop"]["values"],
        serde_json::json!([{ "key": "opening.overlap", "value": "0.25 in", "line": 4 }])
    );
    assert_eq!(data["shop"]["sha256"].as_str().unwrap().len(), 64);
    let schema: Value = serde_json::from_slice(&backline(place.path(), &["schema", "check"]).stdout).unwrap();
    jsonschema::draft202012::validate(&schema, &data).unwrap();
    let unreadable = "[job]\nboarder = 3\n";
    fs::write(place.path().join("jobs/shop.toml"), unreadable).unwrap();
    let wrong = said(&backline(place.path(), &["draw", "jobs/day/harbour.toml", "-o", "out"]));
    assert!(wrong.contains("--> jobs/shop.toml:2:1") && wrong.contains("did you mean `border`"), "{wrong}");
    assert!(!place.path().join("out/harbour-back.svg").exists());
}

#[test]
fn a_changed_shop_file_is_drawn_again() {
    let place = place();
    let shop = place.path().join("jobs/shop.toml");
    write_shop(&shop, 3);
    let draw = || {
        let words = ["draw", "jobs/day", "-o", "out", "--manifest", "list.jsonl", "--format", "svg", "-v"];
        let output = backline(place.path(), &words);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        said(&output)
    };
    assert!(draw().contains("harbour-back.svg"));
    assert!(draw().contains("1 of 1 jobs had already been drawn"));
    let entry =
        || serde_json::from_str::<Value>(fs::read_to_string(place.path().join("list.jsonl")).unwrap().trim()).unwrap();
    let before = entry();
    write_shop(&shop, 4);
    assert!(draw().contains("harbour-back.svg"));
    assert_eq!(before["shop"]["file"], "jobs/shop.toml");
    assert_ne!(before["shop"]["sha256"], entry()["shop"]["sha256"]);
}

#[test]
fn a_packed_job_needs_no_shop_file() {
    let place = place();
    let at = |name: &str| place.path().join(name);
    let shop = "unit = 'mm'\n[job]\nboard = 'house white'\nopening.overlap = 4\nframe.clearance = 2\nlayer.reveal = 5\n\
                [[board]]\nname = 'house white'\nthickness = 1.5\n[[moulding]]\nname = 'plain oak'\nwidth = 30\nlip = 6\n\
                [[layout]]\nname = 'pair'\nopening = [{ size = [100, 150] }, { size = [150, 100] }]\narrangement.gap = 20\n";
    fs::write(at("jobs/shop.toml"), shop).unwrap();
    for (name, job) in [
        ("a.toml", "# The first.\nframe = [400, 500]  # oak\n[opening]\nart = [200, 250]\n"),
        ("b.toml", "unit = 'in'\nlayout = 'pair'\nouter = [16, 12]\nopening = [{ name = 'left' }, { art = [5, 5] }]\n"),
        (
            "c.toml",
            "[frame]\nrabbet = [400, 500]\nmoulding = 'plain oak'\n[opening]\nsize = [200, 250]\n[[layer]]\n[[layer]]\nboard = 'red'\n",
        ),
        ("d.json", "{ \"layout\": \"pair\", \"border\": { \"all\": 50 } }\n"),
    ] {
        fs::write(at(&format!("jobs/{name}")), job).unwrap();
        let output = backline(place.path(), &["pack", &format!("jobs/{name}"), "-o", &format!("packed-{name}")]);
        assert_eq!(output.status.code(), Some(0), "{name}: {}", said(&output));
        let check = |path: &str| {
            let output = backline(place.path(), &["check", "--json", path]);
            let mut data: Value = serde_json::from_slice(&output.stdout).unwrap();
            for (from_shop, key) in
                [("shop", "shop"), ("dimensions", "dimensions"), ("name", "name"), ("problems", "problems")]
            {
                assert_eq!(from_shop, key);
                data.as_object_mut().unwrap().remove(key);
            }
            assert!(data["outer"].is_object(), "{path}: {}", said(&output));
            data
        };
        assert_eq!(check(&format!("jobs/{name}")), check(&format!("packed-{name}")), "{name}");
    }
    let text = fs::read_to_string(at("packed-a.toml")).unwrap();
    assert!(text.starts_with("# The first.\n") && text.contains("# oak"), "{text}");
    assert!(!fs::read_to_string(at("packed-b.toml")).unwrap().contains("layout"));
    let there = backline(place.path(), &["pack", "jobs/a.toml", "-o", "packed-a.toml"]);
    assert_eq!(there.status.code(), Some(1), "{}", said(&there));
}

#[test]
fn commands_take_their_options_from_the_shop() {
    let place = place();
    let at = |name: &str| place.path().join(name);
    let shop = "[print]\npaper = 'a3'\nview = ['back', 'face']\n[draw]\nmachine = 'vector-cutter'\n[settings]\ncutter = 'mine.toml'\nformat = 'text'\n[sheets]\ntrim = '1 in'\nformat = 'svg'\n";
    fs::write(at("jobs/shop.toml"), shop).unwrap();
    let cutter = backline(place.path(), &["new", "cutter"]).stdout;
    fs::write(at("jobs/mine.toml"), &cutter).unwrap();
    let run = |words: &[&str]| {
        let output = backline(place.path(), words);
        assert_eq!(output.status.code(), Some(0), "{words:?}: {}", said(&output));
        said(&output)
    };
    run(&["print", "jobs/day/harbour.toml", "-o", "out"]);
    assert!(at("out/harbour-back-A3.pdf").exists() && at("out/harbour-face-A3.pdf").exists());
    run(&["print", "jobs/day/harbour.toml", "-o", "out", "--paper", "a4"]);
    assert!(at("out/harbour-face-A4.pdf").exists(), "the command line counts, option by option");
    run(&["draw", "jobs/day/harbour.toml", "-o", "cut"]);
    assert!(
        at("cut").read_dir().unwrap().all(|entry| entry
            .unwrap()
            .file_name()
            .to_string_lossy()
            .contains("vector-cutter"))
    );
    // A format does not go together with a machine.
    run(&["draw", "jobs/day/harbour.toml", "-o", "drawn", "--format", "svg"]);
    assert!(at("drawn/harbour-back.svg").exists());
    assert!(run(&["settings", "jobs/day/harbour.toml"]).contains("1. "));
    // A format of sheets is for drawings, which this run does not make.
    let sheets = |more: &[&str]| run(&[["sheets", "jobs/day/harbour.toml", "--json"].as_slice(), more].concat());
    assert_eq!(sheets(&[]), sheets(&["--no-shop", "--trim", "1 in"]));
    assert_ne!(sheets(&[]), sheets(&["--no-shop"]));
    for (shop, place_of, words) in [
        ("[print]\npapr = 'a4'\n", "--> jobs/shop.toml:2:8", "did you mean `paper`"),
        ("[print]\npaper = 'a99'\n", "--> jobs/shop.toml:2:9", "a99"),
        ("[print]\noutput = 'x'\n", "--> jobs/shop.toml:2:10", "takes no `output`"),
        ("[print]\npaper = true\n", "--> jobs/shop.toml:2:9", "not a flag"),
    ] {
        fs::write(at("jobs/shop.toml"), shop).unwrap();
        let output = backline(place.path(), &["print", "jobs/day/harbour.toml", "-o", "out"]);
        assert_eq!(output.status.code(), Some(1), "{shop}: {}", said(&output));
        assert!(said(&output).contains(place_of) && said(&output).contains(words), "{shop}: {}", said(&output));
    }
}

#[test]
fn orders_and_sheets_know_the_boards_of_the_shop() {
    let place = place();
    let shop = "unit = 'in'\n[order]\ncustomer = 'Mrs Ash'\nboard = 'house white'\n[stock]\nkerf = '1/8'\n\
                [[board]]\nname = 'house white'\nthickness = '1.5 mm'\nsheet = { size = [20, 30], price = 8 }\n[price]\ncurrency = 'EUR'\n";
    fs::write(place.path().join("shop.toml"), shop).unwrap();
    fs::write(place.path().join("order.toml"), "[[blank]]\nsize = [8, 10]\nquantity = 5\n").unwrap();
    let output = backline(place.path(), &["sheets", "order.toml"]);
    let words = said(&output);
    assert_eq!(output.status.code(), Some(0), "{words}");
    for word in ["20 × 30 in", "8.00 EUR", "house white"] {
        assert!(words.contains(word), "{word}: {words}");
    }
    fs::write(place.path().join("order.toml"), "board = 'grey'\n[[blank]]\nsize = [8, 10]\nquantity = 5\n").unwrap();
    let words = said(&backline(place.path(), &["sheets", "order.toml"]));
    assert!(words.contains("32 × 40 in") && !words.contains("20 × 30 in"), "{words}");
}

#[test]
fn a_shop_file_has_a_starter_and_a_schema() {
    let place = place();
    let starter = backline(place.path(), &["new", "shop"]).stdout;
    fs::write(place.path().join("jobs/shop.toml"), &starter).unwrap();
    assert_eq!(overlap(&backline(place.path(), &CHECK)), 2);
    let schema: Value = serde_json::from_slice(&backline(place.path(), &["schema", "shop"]).stdout).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let json: Value = serde_json::from_slice(&backline(place.path(), &["new", "shop", "--json"]).stdout).unwrap();
    assert!(validator.is_valid(&json), "{json:#}");
    assert!(!validator.is_valid(&serde_json::json!({ "print": { "papr": "a4" } })));
    assert!(
        validator.is_valid(&serde_json::json!({ "job": { "frame": { "lip": "6 mm" } }, "print": { "paper": "a4" } }))
    );
}
