//! The commands that print: what a framer types, and what comes of it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use super::folders::names;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const JOB: &str = "name = \"Öl – Łódź\"\nunit = \"in\"\nframe = [16, 20]\n[opening]\nart = [8, 10]\n";

fn backline(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(folder).args(arguments).output().unwrap()
}

/// A folder with a job in it.
fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), JOB).unwrap();
    folder
}

fn errors(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn pages_are_written_quietly_and_never_over_another_file() {
    let shop = shop();
    let done = backline(shop.path(), &["print", "job.toml"]);
    assert_eq!((done.status.code(), errors(&done).as_str(), done.stdout.len()), (Some(0), "", 0));
    assert_eq!(names(shop.path()), ["job-back-A4.pdf", "job.toml"]);
    let again = backline(shop.path(), &["print", "job.toml"]);
    assert_eq!(again.status.code(), Some(1));
    assert!(errors(&again).contains("job-back-A4.pdf exists"), "{}", errors(&again));
    assert_eq!(backline(shop.path(), &["print", "job.toml", "--force"]).status.code(), Some(0));
}

#[test]
fn a_file_a_page_as_svg() {
    let shop = shop();
    let done = backline(shop.path(), &["print", "job.toml", "--format", "svg", "--paper", "letter", "-o", "out", "-v"]);
    assert_eq!(done.status.code(), Some(0), "{}", errors(&done));
    let files = names(&shop.path().join("out"));
    assert_eq!(files.len(), 8, "{files:?}");
    assert_eq!(files[0], "job-back-Letter-1.svg");
    let page = fs::read_to_string(shop.path().join("out").join(&files[0])).unwrap();
    let page = roxmltree::Document::parse(&page).unwrap();
    let root = page.root_element();
    let sides = [root.attribute("width"), root.attribute("height")];
    assert!(sides == [Some("279.4mm"), Some("215.9mm")] || sides == [Some("215.9mm"), Some("279.4mm")], "{sides:?}");
    let mut ids: Vec<&str> = page.descendants().filter_map(|node| node.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "every id is there once");
}

#[test]
fn data_says_where_the_tiles_lie() {
    let shop = shop();
    let done = backline(shop.path(), &["print", "job.toml", "--json"]);
    let data: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(data["pages"].as_array().unwrap().len(), 8);
    assert!(data["pages"][1]["tile"]["width"].as_f64().unwrap() > 100.0);
}

#[test]
fn what_cannot_be_printed_is_said() {
    let shop = shop();
    for (arguments, code, words) in [
        (&["--paper", "leter"][..], 2, "did you mean Letter?"),
        (&["--paper", "A9"], 1, "A9 is"),
        (&["--only", "0"], 2, "openings are counted from 1"),
        (&["--only", "9"], 1, "there is no opening 9; the openings of this mat are"),
        (&["--only", "Anna"], 1, "there is no opening \"Anna\""),
        (&["--overlap", "ten"], 2, "--overlap"),
        (&["--view", "pen"], 1, "nothing to print"),
        (&["--printer", "none.toml"], 1, "none.toml"),
        (&["--view", "back,face", "-o", "-"], 2, "standard output is one file"),
        (&["--json", "-o", "-"], 2, "either the pages or --json"),
    ] {
        let done = backline(shop.path(), &[&["print", "job.toml"], arguments].concat());
        assert_eq!(done.status.code(), Some(code), "{arguments:?}: {}", errors(&done));
        assert!(errors(&done).contains(words), "{arguments:?}: {}", errors(&done));
        assert_eq!(names(shop.path()), ["job.toml"], "{arguments:?}");
    }
}

#[test]
fn a_printer_is_measured_once_and_corrected_from_then_on() {
    let shop = shop();
    assert_eq!(backline(shop.path(), &["printer", "page", "--paper", "A4"]).status.code(), Some(0));
    let page = fs::read(shop.path().join("printer-test.pdf")).unwrap();
    assert!(page.starts_with(b"%PDF"));
    let save = |short: &str, long: &str| {
        backline(shop.path(), &["printer", "save", "--short", short, "--long", long, "--name", "Door", "--force"])
    };
    // Bars of 180 and 270 mm, see the unit tests of the test page.
    let far = save("190 mm", "270 mm");
    assert_eq!(far.status.code(), Some(1));
    assert!(errors(&far).contains("190 mm, which is 5.6 % too long"), "{}", errors(&far));
    assert!(!shop.path().join("printer.toml").exists());
    let near = save("184 mm", "270 mm");
    assert_eq!(near.status.code(), Some(0));
    assert!(errors(&near).contains("warning[printer-scale]") && errors(&near).contains("2.2 % too long"));
    assert_eq!(errors(&save("181.8 mm", "268.65 mm")), "");
    let done = backline(shop.path(), &["print", "job.toml", "--printer", "printer.toml", "--orientation", "portrait"]);
    assert_eq!((done.status.code(), errors(&done).as_str()), (Some(0), ""));
    let pdf = fs::read(shop.path().join("job-back-A4.pdf")).unwrap();
    let pdf = String::from_utf8_lossy(&pdf);
    // 180 / 181.8 and 270 / 268.65, about the middle of the page.
    assert!(pdf.contains("\n0.99009901 0 0 1.005025126 1.03960396 -0.74623115"), "corrected");
    assert!(pdf.contains("Corrected for Door: \\327 0.9901 across, \\327 1.0050 down."), "and says so");
}

#[test]
fn a_profile_is_written_by_hand_too() {
    let shop = shop();
    let starter = backline(shop.path(), &["new", "printer"]);
    fs::write(shop.path().join("office.toml"), &starter.stdout).unwrap();
    assert_eq!(errors(&backline(shop.path(), &["print", "job.toml", "--printer", "office.toml"])), "");
    let wrong = "paper = 'A4'\n[bars.short]\nprinted = 190\nmeasured = 170\n";
    fs::write(shop.path().join("wrong.toml"), wrong).unwrap();
    let done = backline(shop.path(), &["print", "job.toml", "--printer", "wrong.toml", "--force"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(errors(&done).contains("wrong.toml:4:12"), "{}", errors(&done));
    let schema = backline(shop.path(), &["schema", "printer"]);
    assert!(serde_json::from_slice::<serde_json::Value>(&schema.stdout).unwrap()["properties"]["bars"].is_object());
}
