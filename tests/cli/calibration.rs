//! `calibrate`, `square` and `trouble` as their users meet them: files, questions, exit codes, words and data.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use super::folders::names;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// An empty folder of a test's own.
fn folder(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("calibration").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn run(folder: &Path, arguments: &[&str], input: &str) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(arguments).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // A command that asks nothing may have ended already.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

#[track_caller]
fn assert_run(folder: &Path, arguments: &[&str], input: &str, code: i32) -> (String, String) {
    let output = run(folder, arguments, input);
    let [out, err] = [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
    assert_eq!(output.status.code(), Some(code), "{arguments:?}\n{out}{err}");
    (out, err)
}

fn golden(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/calibration").join(path)).unwrap()
}

#[test]
fn from_test_pieces_to_a_profile_that_settings_takes() {
    let folder = folder("whole-way");
    assert_run(&folder, &["calibrate", "piece", "-n", "1", "-o", "form"], "", 0);
    assert_eq!(
        names(&folder.join("form")),
        ["measured.toml", "test-piece-1.pdf", "test-piece-1.svg", "test-piece-1.toml"]
    );
    // A test piece is a job like any other.
    assert_run(&folder, &["check", "form/test-piece-1.toml"], "", 0);
    let (_, err) = assert_run(&folder, &["calibrate", "fit", "form/measured.toml"], "", 1);
    assert!(err.contains("nothing was measured"), "{err}");

    fs::write(folder.join("cutter.toml"), golden("fitted/cutter.toml")).unwrap();
    fs::write(folder.join("measured.toml"), golden("fitted/measured.toml")).unwrap();
    let fit = ["calibrate", "fit", "measured.toml", "-c", "cutter.toml", "-o", "bench.toml"];
    let (out, err) = assert_run(&folder, &fit, "", 0);
    assert!(out.contains("guide: offset +0.77 ± 0.07 mm") && err.is_empty(), "{out}{err}");
    assert_eq!(fs::read_to_string(folder.join("bench.toml")).unwrap(), golden("fitted/profile.toml"));
    let (_, err) = assert_run(&folder, &fit, "", 1);
    assert!(err.contains("bench.toml exists; nothing was written. Use --force"), "{err}");
    assert_run(&folder, &[&fit[..], &["--force"]].concat(), "", 0);
    let (out, _) = assert_run(&folder, &["settings", "form/test-piece-1.toml", "--cutter", "bench.toml"], "", 0);
    assert!(out.contains("Bench by the window"), "{out}");
}

#[test]
fn a_fit_is_data_too_and_reads_standard_input() {
    let folder = folder("fit-data");
    let (out, _) = assert_run(&folder, &["calibrate", "fit", "-", "--json"], &golden("fitted/measured.toml"), 0);
    let data: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(data["schema"], "backline-calibration/2");
    assert!((data["guide"]["offset"]["value"].as_f64().unwrap() - 0.8).abs() < 0.1);
    let (out, err) = assert_run(&folder, &["calibrate", "fit", "-", "--json"], &golden("refused/measured.toml"), 1);
    let data: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(data["problems"][0]["where"], "piece[0].diagonals");
    assert!(data["guide"].is_null() && err.is_empty());
    let (out, _) = assert_run(&folder, &["calibrate", "fit", "-", "-o", "-"], &golden("fitted/measured.toml"), 0);
    assert!(out.starts_with("# Fitted by Backline to 3 test pieces"), "{out}");
    assert_run(&folder, &["calibrate", "fit", "-", "-o", "-", "--json"], "", 2);
}

#[test]
fn slips_and_misspelt_keys_are_shown_in_their_line() {
    let folder = folder("slips");
    let (_, err) = assert_run(&folder, &["calibrate", "fit", "-"], &golden("slip/measured.toml"), 1);
    assert!(err.contains("error[outlier]: this is ") && err.contains("^ piece[0].right.border"), "{err}");
    let (_, err) = assert_run(&folder, &["calibrate", "fit", "-"], "unit = 'mm'\n[piece.left]\nbordr = 3\n", 1);
    assert!(err.contains("did you mean `border`?") && err.contains("3 | bordr = 3"), "{err}");
    let (_, err) = assert_run(&folder, &["calibrate", "fit", "nowhere.toml"], "", 1);
    assert!(err.starts_with("error: nowhere.toml: cannot read the file"), "{err}");
    fs::write(folder.join("cutter.toml"), "guide.offset = 9").unwrap();
    let (_, err) = assert_run(&folder, &["calibrate", "piece", "-c", "cutter.toml"], "", 1);
    assert!(err.contains("an offset of 9 in is more than the whole reach") && err.contains("cutter.toml:1:"), "{err}");
    assert_eq!(names(&folder), ["cutter.toml"]);
}

#[test]
fn questions_are_asked_until_the_answers_end() {
    let folder = folder("ask");
    // Smallest mark, thickness, one width, no second; no height; diagonal and opening left out; then the left side with a
    // slip of the pen.
    let answers = "1/64\n0.061\n7 1/64\n\n\n\n\n\n1 1/32\n1x\n1 1/64\n-1/64\n1/32\n0.065\n";
    let (_, err) = assert_run(&folder, &["calibrate", "ask", "-o", "measured.toml"], answers, 0);
    assert!(err.contains("left side: guide 1, far stop 4 1/2 (bottom), near stop 3 1/4 (top)"), "{err}");
    let text = fs::read_to_string(folder.join("measured.toml")).unwrap();
    let record: toml::Value = toml::from_str(&text).unwrap();
    let left = &record["piece"][0]["left"];
    assert_eq!(left["border"].as_array().unwrap().len(), 2, "{text}");
    assert_eq!((left["far_over"].as_str(), left["bevel"].as_str()), (Some("-1/64"), Some("0.065")), "{text}");
    assert_eq!(record["piece"].as_array().unwrap().len(), 1, "{text}");
    let (_, err) = assert_run(&folder, &["calibrate", "ask", "-o", "measured.toml"], answers, 1);
    assert!(err.contains("exists") && !err.contains("thickness"), "asked before it refused: {err}");
    let (_, err) = assert_run(&folder, &["calibrate", "fit", "measured.toml"], "", 1);
    assert!(!err.contains("warning: "), "{err}");
}

#[test]
fn nothing_to_cut_is_wrong_usage() {
    let folder = folder("usage");
    for arguments in [
        &["calibrate", "piece", "-n", "0"][..],
        &["calibrate", "piece", "-o", "-"],
        &["calibrate", "piece", "--pieces", "21"],
        &["calibrate"],
        &["square", "diagonals", "300", "400", "500", "500"],
        &["square", "--unit", "mm", "gap", "300", "1"],
        &["trouble", "nonsense"],
        &["trouble", "hook", "depth"],
        &["trouble", "hook", "weight=3mm"],
        &["trouble", "hook", "depth=3"],
        &["trouble", "hook", "cuts=three"],
    ] {
        let (out, err) = assert_run(&folder, arguments, "", 2);
        assert!(out.is_empty() && !err.is_empty(), "{arguments:?}");
    }
    assert!(names(&folder).is_empty());
    let (out, _) = assert_run(&folder, &["calibrate", "piece", "-n", "1", "-f", "svg", "-o", "-"], "", 0);
    assert!(out.contains("<svg"));
}

#[test]
fn square_passes_fails_or_does_not_know() {
    let folder = folder("square");
    let square =
        |arguments: &[&str], code| assert_run(&folder, &[&["square", "-u", "mm"], arguments].concat(), "", code);
    assert!(square(&["diagonals", "600", "800", "1000", "1000"], 0).0.contains("PASS"));
    assert!(square(&["diagonals", "600", "800", "1000", "1003"], 1).0.contains("FAIL"));
    assert!(square(&["diagonals", "60", "80", "100", "100.1"], 1).0.contains("NOT SURE"));
    assert!(
        square(&["diagonals", "600", "800", "1010", "1010"], 1)
            .1
            .starts_with("warning: the diagonals are 10.00 mm longer")
    );
    assert!(square(&["gap", "600", "0.1", "--at", "end"], 0).0.contains("narrower"));
    assert!(
        square(&["triangle", "600", "800", "1000", "-r", "0.1", "-b", "300"], 0).0.contains("Leave the arm as it is")
    );
    let data: Value = serde_json::from_str(&square(&["sides", "300", "304", "400", "--json"], 1).0).unwrap();
    assert_eq!((&data["schema"], &data["verdict"]), (&"backline-square/1".into(), &"out-of-square".into()));
    let (_, err) = square(&["triangle", "3", "4", "9"], 1);
    assert!(err.contains("no corner has such lengths"), "{err}");
    let (_, err) = square(&["triangle", "3", "4", "0"], 1);
    assert!(err.contains("the length across is 0 mm"), "{err}");
}

#[test]
fn trouble_lists_judges_and_takes_a_table() {
    let folder = folder("trouble");
    let (out, _) = assert_run(&folder, &["trouble"], "", 0);
    assert!(out.contains("  hook ") && out.contains("  far_over "), "{out}");
    let (out, _) = assert_run(&folder, &["trouble", "hook", "cuts=40"], "", 0);
    assert!(out.contains("1. The blade is blunt, and is pushed aside before it cuts (likely)"), "{out}");
    let (out, _) =
        assert_run(&folder, &["trouble", "drift", "--json", "-u", "mm", "border-far=51", "border-near=50"], "", 0);
    let data: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(data["causes"][0]["likelihood"], "likely");
    let (table, _) = assert_run(&folder, &["trouble", "--print-table"], "", 0);
    fs::write(folder.join("mine.toml"), table.replace("number = \"cuts\"", "number = \"cutz\"")).unwrap();
    let (_, err) = assert_run(&folder, &["trouble", "hook", "--table", "mine.toml"], "", 1);
    assert!(err.contains("there is no number called cutz") && err.contains("mine.toml:"), "{err}");
    let (out, _) = assert_run(&folder, &["trouble", "--json"], "", 0);
    assert!(serde_json::from_str::<Value>(&out).unwrap()["signs"].as_array().unwrap().len() >= 6);
}
