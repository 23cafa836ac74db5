//! Quotes: every number that went in is shown, and adds up.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const SHOP: &str = "unit = 'in'\n\
    [[board]]\nname = 'house white'\nsheet = [{ size = [32, 40], price = 10 }, { size = [40, 60], price = 30 }, { size = [10, 10], price = 0.1 }]\n\
    [[moulding]]\nname = 'plain oak'\nwidth = 1.25\nlip = 0.25\nprice = 3\n\
    [price]\ncurrency = 'EUR'\nglass = 4\nmounting = 8\nhour = 60\nminutes_per_frame = 15\nminutes_per_setting = 1\nminutes_per_cut = 0.5\n";
const JOB: &str = "quantity = 2\nboard = 'house white'\nframe = { rabbet = [16, 20], clearance = 0, moulding = 'plain oak' }\nopening.art = [8, 10]\n";

fn place() -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("shop.toml"), SHOP).unwrap();
    fs::write(place.path().join("a.toml"), JOB).unwrap();
    place
}

fn backline(place: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(place).env("XDG_CONFIG_HOME", place.join("none")).env_remove("BACKLINE_SHOP");
    command.args(arguments).output().unwrap()
}

fn printed(place: &Path, arguments: &[&str]) -> String {
    let output = backline(place, arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn everything_that_went_in_is_shown_and_adds_up() {
    let place = place();
    let data: Value = serde_json::from_str(&printed(place.path(), &["quote", "--json", "a.toml"])).unwrap();
    let schema: Value = serde_json::from_str(&printed(place.path(), &["schema", "quote"])).unwrap();
    jsonschema::draft202012::validate(&schema, &data).unwrap();
    let lines = data["lines"].as_array().unwrap();
    let line = |what: &str| lines.iter().find(|line| line["what"] == what).unwrap();
    let number = |what: &str, key: &str| line(what)[key].as_f64().unwrap();
    // 16 × 20 of 32 × 40 in is a quarter; 40 × 60 in costs more for its area, and 10 × 10 in is too small.
    assert_eq!((number("board", "number"), number("board", "amount")), (0.5, 5.0));
    // Outside 16 - 0.5 + 2.5 by 20 - 0.5 + 2.5 in: 2 (18 + 22) in = 80 in for each.
    assert!((number("moulding", "number") - 160.0 / 12.0).abs() < 1e-9);
    assert!((number("moulding", "amount") - 40.0).abs() < 1e-9);
    assert!((number("glass", "number") - 2.0 * 320.0 / 144.0).abs() < 1e-9);
    assert!((number("glass", "amount") - 17.78).abs() < 1e-9);
    assert_eq!((number("mounting", "number"), number("mounting", "amount")), (2.0, 16.0));
    let settings: Value = serde_json::from_str(&printed(place.path(), &["settings", "--json", "a.toml"])).unwrap();
    assert_eq!(line("work")["unit"], "h");
    assert!(
        settings.is_object() && line("work")["from"].as_str().unwrap().contains("8 cuts × 0.5"),
        "{}",
        line("work")
    );
    let cents = |value: &Value| (value.as_f64().unwrap() * 100.0).round() as i64;
    let sum: i64 = lines.iter().map(|line| cents(&line["amount"])).sum();
    assert_eq!(cents(&data["total"]), sum);
    assert!((2 * cents(&data["each"]) - sum).abs() <= 1);
    assert!(data["not_priced"][0].as_str().unwrap().contains("price.backing"), "{}", data["not_priced"]);
}

#[test]
fn tables_and_spreadsheets_say_the_same() {
    let place = place();
    let table = printed(place.path(), &["quote", "a.toml"]);
    for words in [
        "a, 2 times",
        "board house white",
        "5.00 EUR",
        "16 × 20 in of 32 × 40 in: 25.0 %",
        "without taxes",
        "not priced: backing",
    ] {
        assert!(table.contains(words), "{words}: {table}");
    }
    let csv = printed(place.path(), &["quote", "a.toml", "--format", "csv"]);
    assert!(csv.starts_with("job,quantity,what,name,number,unit,price,amount,currency,from\n"), "{csv}");
    assert!(csv.contains("a,2,board,house white,0.5,sheet,10,5.00,EUR,"), "{csv}");
    let nothing = backline(place.path(), &["quote", "a.toml", "--no-shop"]);
    assert_eq!(nothing.status.code(), Some(1));
}
