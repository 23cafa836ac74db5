//! Machines on the command line: listing and checking profiles, files for them, and what is said when something is wrong.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use super::folders::names;
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

#[test]
fn a_profile_is_listed_shown_and_used() {
    let own = "# Ours.\nabout = 'the cutter in the back room'\nformat = 'dxf-r12'\ntools.cut.kind = 'pen'\n";
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
fn a_folder_of_profiles_that_is_named_must_be_there() {
    let folder = folder_with("no-folder", &[("job.toml", JOB)]);
    let wrong = ["--folder", "mine"];
    for arguments in [&["machines"][..], &["machines", "pen-plotter"], &["machines", "--json"]] {
        let (_, said) = run(&folder, &[arguments, &wrong[..]].concat(), 2);
        // Where data is asked for this is said as data.
        let start = if arguments.contains(&"--json") { r#"{"schema":"backline-problems/1""# } else { "error: cannot" };
        assert!(
            said.starts_with(start) && said.contains("cannot read the folder of machine profiles mine: "),
            "{said}"
        );
    }
    fs::remove_dir(folder.join("own")).unwrap();
    let (_, said) = run(&folder, &["draw", "job.toml", "--machine", "pen-plotter"], 2);
    assert!(said.contains("cannot read the folder of machine profiles"), "{said}");
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
            ("several.toml", "format = 'dxf-r12'\ntolerance = 0\nbed = '3 q'\n[tools.cut]\nkind = 'pen'\nspeed = -1\n"),
            ("format.toml", "format = 'dxf-r13'\ntools.cut.kind = 'pen'\n"),
            ("svg.toml", "format = 'svg-cut'\ntools.cut.kind = 'pen'\n"),
            ("empty.toml", ""),
            ("numbers.toml", "format = 'hpgl'\nunit = '0.025 mm'\n[tools.cut]\nkind = 'pen'\nnumber = 70000\n"),
        ],
    );
    for (file, words) in [
        ("unknown.toml", ["there is no key `beds` here", "unknown.toml:3:1", "did you mean `bed`?"]),
        ("tool.toml", ["`cuts` is not one of the choices", "tool.toml:3", "did you mean `cut`?"]),
        ("several.toml", ["tolerance for a cut", "`q` is not a unit", "-1 is out of range"]),
        ("format.toml", ["there is no format `dxf-r13`", "format.toml:1:10", "dxf-r12, "]),
        ("svg.toml", ["y runs down", "svg.toml", "set x = \"right\""]),
        ("empty.toml", ["the profile has no format", "has no tool", ""]),
        ("numbers.toml", ["numbers.toml:5:10", "", ""]),
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
    let small = "format = 'dxf-r12'\nbed = [100, 100]\ntools.cut.kind = 'pen'\n";
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
    let profile = |tolerance: &str| format!("format = 'dxf-r12'\ntolerance = {tolerance}\ntools.cut.kind = 'pen'\n");
    let folder = folder_with("manifest", &[("job.toml", JOB), ("own.toml", &profile("0.01"))]);
    let draw = ["draw", "job.toml", "--machine", "own.toml", "-o", "out", "--manifest", "out/done.jsonl", "-v"];
    run(&folder, &draw, 0);
    let (_, said) = run(&folder, &draw, 0);
    assert!(!said.contains("mm of travel"), "{said}");
    fs::write(folder.join("own.toml"), profile("0.02")).unwrap();
    let (_, said) = run(&folder, &draw, 0);
    assert!(said.contains("mm of travel"), "{said}");
}

#[test]
fn a_profile_is_explained_in_words_and_as_a_picture_of_its_bed() {
    let folder = folder_with("check", &[("job.toml", JOB)]);
    let (listed, _) = run(&folder, &["machines", "--json"], 0);
    let listed: Value = serde_json::from_str(&listed).unwrap();
    for machine in listed.as_array().unwrap() {
        let name = machine["name"].as_str().unwrap();
        let picture = format!("{name}.svg");
        let (words, _) = run(&folder, &["machines", "check", name, "-o", &picture], 0);
        for wanted in ["Zero is in the ", "The board lies face ", "makes: ", "the manual of the machine comes first"] {
            assert!(words.contains(wanted), "{name}: {wanted} is not in {words}");
        }
        let svg = fs::read_to_string(folder.join(&picture)).unwrap();
        let title = format!("The bed of {name}, seen from above");
        assert!(svg.contains(&title) && svg.contains("Numbers are the order of the strokes"), "{name}");
    }
    let (words, _) = run(&folder, &["machines", "check", "flatbed-cutter-back"], 0);
    assert!(
        words.contains("leaning to the left of its travel") && words.contains("Other angles are refused"),
        "{words}"
    );
    run(&folder, &["machines", "check", "pen-plotter", "-o", "bed.xyz"], 2);
    run(&folder, &["machines", "pen-plotter", "check"], 2);
}

#[test]
fn strict_refuses_what_is_left_out_and_a_manifest_says_what_each_file_makes() {
    let grooved = format!("{JOB}[groove]\ndistance = 0.4\n");
    let folder = folder_with("strict", &[("job.toml", &grooved)]);
    let draw = ["draw", "job.toml", "--machine", "flatbed-cutter-back", "-o", "out"];
    let (_, said) = run(&folder, &[&draw[..], &["--strict"]].concat(), 1);
    assert!(said.contains("leaves out 1 V-groove") && said.contains("--strict refuses"), "{said}");
    assert!(!folder.join("out").exists() || names(&folder.join("out")).is_empty());
    let (_, said) = run(&folder, &[&draw[..], &["--manifest", "list.jsonl"]].concat(), 0);
    assert!(said.contains("machine-left-out"), "{said}");
    let entry: Value = serde_json::from_str(fs::read_to_string(folder.join("list.jsonl")).unwrap().trim()).unwrap();
    let account = &entry["files"][0]["account"];
    assert!(
        account["makes"][0].as_str().unwrap().starts_with("cut: 1 line with tool 1, bevel knife at 45"),
        "{account}"
    );
    assert!(
        account["leaves_out"][0].as_str().unwrap().contains("machines that can do it: flatbed-cutter-face"),
        "{account}"
    );
    // A view leaves out what lies in the face, too.
    let (_, said) = run(&folder, &["draw", "job.toml", "--view", "cut", "--format", "svg", "-o", "view"], 0);
    assert!(said.contains("the view cut leaves out 1 V-groove; see the view cut-face"), "{said}");
    run(&folder, &["draw", "job.toml", "--view", "cut", "--format", "svg", "-o", "view", "--strict", "--force"], 1);
}
