//! `backline settings` as its users meet it: formats, files, exit codes, wrong profiles.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

const GOOD: &str = "unit = 'in'\nborder = 3\nopening.size = [8, 10]\n";
const WRONG: &str = "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 10]\n";

fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench_cli").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (name, text) in files {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    run_with_input(folder, arguments, b"")
}

fn run_with_input(folder: &Path, arguments: &[&str], input: &[u8]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).arg("settings").args(arguments).env_remove("CLICOLOR_FORCE");
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

#[track_caller]
fn assert_exit(output: &Output, code: i32) {
    assert_eq!(output.status.code(), Some(code), "{}{}", stdout(output), stderr(output));
}

fn stdout(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn a_table_for_the_terminal_is_what_one_gets() {
    let folder = folder_with("table", &[("hall.toml", GOOD)]);
    let output = run(&folder, &["hall.toml"]);
    assert_exit(&output, 0);
    assert!(stdout(&output).contains("> 3 in"), "{}", stdout(&output));
    assert!(!stdout(&output).contains('\u{1b}') && output.stderr.is_empty());
}

#[test]
fn a_job_may_come_from_standard_input() {
    let folder = folder_with("stdin", &[]);
    let output = run_with_input(&folder, &["-", "--format", "text", "--no-stops"], GOOD.as_bytes());
    assert_exit(&output, 0);
    assert!(stdout(&output).contains("the blade works between 2 13/16 in and"), "{}", stdout(&output));
}

#[test]
fn data_is_one_object_for_a_job_and_an_array_for_several() {
    let folder = folder_with("json", &[("one.toml", GOOD), ("two.toml", GOOD), ("wrong.toml", WRONG)]);
    let one: Value = serde_json::from_slice(&run(&folder, &["--json", "one.toml"]).stdout).unwrap();
    assert_eq!(one["schema"], "backline-settings/2");
    let output = run(&folder, &["--json", "one.toml", "wrong.toml", "two.toml", "--mats", "3"]);
    // The job that is wrong does not stop the others.
    assert_exit(&output, 1);
    assert!(stderr(&output).contains("contradiction"));
    let both: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(both.as_array().unwrap().len(), 2);
    assert_eq!(both[1]["order"]["run"], serde_json::json!({ "guide": 1, "stops": 2, "laid": 12, "blade": 1 }));
}

#[test]
fn data_is_an_array_too_if_only_one_of_several_jobs_is_right() {
    let folder = folder_with("json-left", &[("one.toml", GOOD), ("wrong.toml", WRONG)]);
    let output = run(&folder, &["--json", "one.toml", "wrong.toml"]);
    assert_exit(&output, 1);
    let left: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(left.as_array().map(Vec::len), Some(1));
}

#[test]
fn bench_cards_need_a_file_and_never_replace_one_unasked() {
    let folder = folder_with("cards", &[("one.toml", GOOD), ("two.toml", GOOD)]);
    let output = run(&folder, &["one.toml", "--format", "pdf"]);
    assert_exit(&output, 2);
    let cards = ["one.toml", "two.toml", "--format", "pdf", "-o", "cards.pdf", "--paper", "A5"];
    assert_exit(&run(&folder, &cards), 0);
    let pdf = fs::read(folder.join("cards.pdf")).unwrap();
    let has = |words: &[u8]| pdf.windows(words.len()).any(|bytes| bytes == words);
    assert!(pdf.starts_with(b"%PDF") && has(b"(one)") && has(b"(two)"), "the cards of both jobs");
    let output = run(&folder, &cards);
    assert_exit(&output, 1);
    assert!(stderr(&output).contains("--force"));
    assert_exit(&run(&folder, &[&cards[..], &["--force"]].concat()), 0);
    let output = run(&folder, &["one.toml", "--format", "pdf", "-o", "-"]);
    assert_exit(&output, 0);
    assert!(output.stdout.starts_with(b"%PDF"));
}

#[test]
fn a_profile_corrects_the_settings_and_a_wrong_one_is_shown_its_line() {
    let good = "unit = 'in'\nguide.offset = '1/16 in'\n";
    let folder =
        folder_with("cutter", &[("hall.toml", GOOD), ("mine.toml", good), ("bad.toml", "unit = 'in'\ngide = 3\n")]);
    let output = run(&folder, &["hall.toml", "--cutter", "mine.toml"]);
    assert_exit(&output, 0);
    assert!(stdout(&output).contains("2 15/16 in"), "{}", stdout(&output));
    let output = run(&folder, &["hall.toml", "--cutter", "bad.toml"]);
    assert_exit(&output, 1);
    assert!(stderr(&output).contains("bad.toml:2:1") && stderr(&output).contains("guide"), "{}", stderr(&output));
    assert!(output.stdout.is_empty());
}

#[test]
fn what_makes_no_sense_is_wrong_usage() {
    let folder = folder_with("usage", &[("hall.toml", GOOD), ("mine.toml", "unit = 'in'\n")]);
    for arguments in [
        &["hall.toml", "--mats", "0"][..],
        &["hall.toml", "--paper", "roll 24 in"],
        &["hall.toml", "--paper", "1 in x 2 in"],
        &["hall.toml", "--sheet", "0 x 4 in"],
        &["hall.toml", "--sheet", "big"],
        &["hall.toml", "--cutter", "mine.toml", "--no-stops"],
        &["hall.toml", "--json", "--format", "text"],
        &[],
    ] {
        assert_exit(&run(&folder, arguments), 2);
    }
}

#[test]
fn a_sheet_is_cut_down_to_blanks() {
    let folder = folder_with("sheet", &[("hall.toml", GOOD)]);
    let output = run(&folder, &["hall.toml", "--sheet", "32 x 40 in", "--mats", "9"]);
    assert_exit(&output, 0);
    // Blanks of 14 × 16 in: two side by side, two above each other.
    assert!(stdout(&output).contains("gives 4 of these blanks; for 9, sheets needed: 3"), "{}", stdout(&output));
}

#[test]
fn a_whole_order_is_cut_thickness_by_thickness_with_the_fewest_settings() {
    let hall = "name = 'Hall'\nunit = 'in'\nborder = 3\nopening.size = [10, 14]\n";
    let double = "name = 'Double'\nunit = 'in'\nborder = 3\nopening.size = [5, 8]\n[[layer]]\nname = 'top'\n[[layer]]\n\
                  name = 'low'\nreveal = '1/4'\n";
    let thick = "name = 'Thick'\nunit = 'in'\nboard = '8-ply'\nborder = 3\nopening.size = [5, 8]\n";
    let folder = folder_with("together", &[("a.toml", hall), ("b.toml", double), ("c.toml", thick)]);
    let output = run(&folder, &["--together", "--json", "a.toml", "b.toml", "c.toml"]);
    assert_exit(&output, 0);
    let order: Value = serde_json::from_slice(&output.stdout).unwrap();
    let parts = order["parts"].as_array().unwrap();
    // Top boards of one thickness first; a lower board comes after all of them, for it is taped behind its own.
    let heads: Vec<(u64, f64)> =
        parts.iter().map(|part| (part["layer"].as_u64().unwrap(), part["thickness"].as_f64().unwrap())).collect();
    assert_eq!(heads, [(0, 1.5875), (0, 3.175), (1, 1.5875)]);
    let cuts = |part: &Value| part["steps"].as_array().unwrap().len();
    assert_eq!(parts.iter().map(cuts).collect::<Vec<_>>(), [8, 4, 4]);
    // Each board of each mat is laid for each of its four cuts: nothing is cut twice or left out.
    let mut laid: Vec<(u64, u64, u64)> = parts
        .iter()
        .flat_map(|part| part["steps"].as_array().unwrap())
        .map(|step| ["mat", "board", "side"].map(|key| step[key].as_u64().unwrap()))
        .map(|[mat, board, side]| (mat, board, side))
        .collect();
    laid.sort_unstable();
    let boards = [(0, 0), (1, 0), (1, 1), (2, 0)];
    let wanted = boards.iter().flat_map(|&(mat, board)| (1..=4).map(move |side| (mat, board, side)));
    assert_eq!(laid, wanted.collect::<Vec<_>>());
    // A guide at 3 in serves three of the four boards.
    let words = stdout(&run(&folder, &["--together", "a.toml", "b.toml", "c.toml"]));
    assert!(words.contains("guide set twice, stops set 6 times, boards laid 16 times"), "{words}");
    assert!(words.contains("NEXT Double, top board") && words.contains("tape first"), "{words}");
}
