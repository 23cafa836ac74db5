//! Machines on the command line: listing and checking profiles, files for them, and what is said when something is wrong.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

const JOB: &str = "name = 'Hafen & Öl'\nunit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\n";

fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cli-machines").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("own")).unwrap();
    for (name, text) in files {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}

/// Runs the program and returns what it printed and what it said.
#[track_caller]
fn run(folder: &Path, arguments: &[&str], code: i32) -> (String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(arguments).stdin(Stdio::null()).env("BACKLINE_MACHINES", folder.join("own"));
    let output = command.output().unwrap();
    let (printed, said) = (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
    assert_eq!(output.status.code(), Some(code), "{printed}{said}");
    (printed, said)
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_profile_is_listed_shown_and_used() {
    let own = "# Ours.\nabout = 'the cutter in the back room'\nformat = 'dxf-r12'\ntools.cut = {}\n";
    let folder = folder_with("list", &[("job.toml", JOB), ("own/ours.toml", own), ("own/pen-plotter.toml", own)]);
    let (listed, _) = run(&folder, &["machines"], 0);
    assert!(listed.starts_with("ours  ") && listed.contains("the cutter in the back room [dxf-r12]"), "{listed}");
    assert!(listed.contains("flatbed-cutter-back") && listed.matches("\npen-plotter ").count() == 1, "{listed}");
    let (data, _) = run(&folder, &["machines", "--json"], 0);
    let data: Value = serde_json::from_str(&data).unwrap();
    assert!(data.as_array().unwrap().iter().all(|machine| machine["error"].is_null()), "{data}");
    assert_eq!(run(&folder, &["machines", "ours"], 0).0, own);
    let (shown, _) = run(&folder, &["machines", "drag-knife-router"], 0);
    assert!(shown.contains("[router]") && shown.starts_with("# "));
    run(&folder, &["draw", "job.toml", "--machine", "ours,own/pen-plotter.toml,oldest-readers", "-o", "out"], 0);
    assert_eq!(names(&folder.join("out")), ["job-oldest-readers-in.dxf", "job-ours.dxf", "job-pen-plotter.dxf"]);
    let text = fs::read_to_string(folder.join("out/job-oldest-readers-in.dxf")).unwrap();
    assert!(text.contains("unit: in (one drawing unit is one inch)"));
}

#[test]
fn every_machine_of_the_program_can_be_drawn_for_and_shown() {
    let folder = folder_with("every", &[("job.toml", JOB)]);
    let (data, _) = run(&folder, &["machines", "--json"], 0);
    let data: Value = serde_json::from_str(&data).unwrap();
    let machines: Vec<&str> =
        data.as_array().unwrap().iter().map(|machine| machine["name"].as_str().unwrap()).collect();
    assert!(machines.len() >= 10);
    let (_, said) = run(&folder, &["draw", "job.toml", "-v", "--machine", &machines.join(","), "-o", "out"], 0);
    // Nothing is ruled on this board.
    assert_eq!(names(&folder.join("out")).len(), machines.len() - 1);
    assert!(
        said.contains("face-pen-plotter has nothing to do on this board") && said.contains("mm of travel"),
        "{said}"
    );
}

#[test]
fn faults_of_a_profile_are_shown_with_line_and_mark() {
    let folder = folder_with(
        "faults",
        &[
            ("job.toml", JOB),
            ("unknown.toml", "format = 'hpgl'\nunit = '0.025 mm'\nbeds = [1, 2]\n"),
            ("tool.toml", "format = 'hpgl'\nunit = '0.025 mm'\n[tools.cuts]\n"),
            ("several.toml", "format = 'dxf-r12'\ntolerance = 0\nbed = '3 q'\n[tools.cut]\nspeed = -1\n"),
            ("format.toml", "format = 'dxf-r13'\ntools.cut = {}\n"),
            ("svg.toml", "format = 'svg-cut'\ntools.cut = {}\n"),
            ("empty.toml", ""),
            ("numbers.toml", "format = 'hpgl'\nunit = '0.025 mm'\n[tools.cut]\nnumber = 70000\n"),
        ],
    );
    for (file, words) in [
        ("unknown.toml", ["there is no key `beds` here", "unknown.toml:3:1", "did you mean `bed`?"]),
        ("tool.toml", ["`cuts` is not one of the choices", "tool.toml:3", "did you mean `cut`?"]),
        ("several.toml", ["tolerance for a cut", "`q` is not a unit", "-1 is out of range"]),
        ("format.toml", ["there is no format `dxf-r13`", "format.toml:1:10", "dxf-r12, "]),
        ("svg.toml", ["y runs down", "svg.toml", "set x = \"right\""]),
        ("empty.toml", ["the profile has no format", "has no tool", ""]),
        ("numbers.toml", ["numbers.toml:4:10", "", ""]),
    ] {
        for arguments in [&["machines", file][..], &["draw", "job.toml", "--machine", file, "-o", "out"][..]] {
            let (_, said) = run(&folder, arguments, 1);
            assert!(words.iter().all(|word| said.contains(word)), "{file}: {said}");
            assert!(!said.contains("error: error"), "{said}");
        }
    }
    assert!(!folder.join("out").exists());
    let (_, said) = run(&folder, &["draw", "job.toml", "--machine", "nothing"], 2);
    assert!(said.contains("there is no machine nothing; use one of "), "{said}");
    run(&folder, &["draw", "job.toml", "--machine", "pen-plotter", "--format", "svg"], 2);
}

#[test]
fn a_board_that_does_not_fit_leaves_no_file() {
    let small = "format = 'dxf-r12'\nbed = [100, 100]\ntools.cut = {}\n";
    let folder = folder_with("small", &[("job.toml", JOB), ("small.toml", small)]);
    let (_, said) = run(&folder, &["draw", "job.toml", "--machine", "small.toml,oldest-readers", "-o", "out"], 1);
    assert!(said.contains("error[machine-bed]") && said.contains("too far"), "{said}");
    assert!(!folder.join("out").exists() || names(&folder.join("out")).is_empty());
}

#[test]
fn standard_output_takes_the_file_of_one_machine_and_the_schema_is_printed() {
    let folder = folder_with("stdout", &[("job.toml", JOB)]);
    let (printed, _) = run(&folder, &["draw", "job.toml", "--machine", "drag-knife-router", "-o", "-"], 0);
    assert!(printed.contains("G21\n") && printed.contains("CAUTION"), "{printed}");
    let (starter, _) = run(&folder, &["new", "machine"], 0);
    fs::write(folder.join("mine.toml"), starter).unwrap();
    run(&folder, &["machines", "mine.toml"], 0);
    let (schema, _) = run(&folder, &["schema", "machine"], 0);
    let schema: Value = serde_json::from_str(&schema).unwrap();
    assert!(schema["properties"]["over_run"].is_object());
}

#[test]
fn a_list_of_what_was_drawn_notices_a_changed_profile() {
    let profile = |tolerance: &str| format!("format = 'dxf-r12'\ntolerance = {tolerance}\ntools.cut = {{}}\n");
    let folder = folder_with("manifest", &[("job.toml", JOB), ("own.toml", &profile("0.01"))]);
    let draw = ["draw", "job.toml", "--machine", "own.toml", "-o", "out", "--manifest", "out/done.jsonl", "-v"];
    run(&folder, &draw, 0);
    let (_, said) = run(&folder, &draw, 0);
    assert!(!said.contains("mm of travel"), "{said}");
    fs::write(folder.join("own.toml"), profile("0.02")).unwrap();
    let (_, said) = run(&folder, &draw, 0);
    assert!(said.contains("mm of travel"), "{said}");
}
