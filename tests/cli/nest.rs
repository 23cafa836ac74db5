//! `backline draw --nest` on the command line: names of files, what is said, what goes wrong, and going on after a break.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

const HARBOUR: &str = "name = 'Harbour print'\nunit = 'in'\nouter = [16, 20]\nquantity = 3\nopening.size = [8, 10]\n\
                       [[layer]]\nboard = 'warm white'\n[[layer]]\nboard = 'navy'\nreveal = 0.25\n";
const OVAL: &str = "name = 'Oval'\nunit = 'in'\nouter = [16, 20]\nboard = 'warm white'\nopening = { shape = 'ellipse', size = [8, 10] }\n";
const MURAL: &str = "name = 'Mural'\nunit = 'in'\nouter = [34, 44]\nboard = 'navy'\nopening.size = [20, 30]\n";

fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("nest-cli").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (name, text) in files {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}

/// Runs `backline draw --nest` and returns what it printed and what it said.
#[track_caller]
fn run(folder: &Path, arguments: &[&str], code: i32) -> (Vec<u8>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(["draw", "--nest", "--effort", "300"]).args(arguments).stdin(Stdio::null());
    let output = command.output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{said}");
    (output.stdout, said)
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn files_are_named_after_order_board_and_sheet_in_every_view() {
    let folder = folder_with("names", &[("harbour.toml", HARBOUR), ("oval.toml", OVAL)]);
    let arguments =
        ["harbour.toml", "oval.toml", "--sheet", "32 x 40 in", "--view", "back,cut,face,cut-face", "-f", "svg"];
    let (_, said) = run(&folder, &[&arguments[..], &["--name", "Spring show", "-o", "out", "--verify"]].concat(), 0);
    let views = ["back", "cut-face", "cut", "face"];
    let mut expected: Vec<String> = views.iter().map(|view| format!("Spring-show-navy-sheet-2-{view}.svg")).collect();
    expected.extend(views.iter().map(|view| format!("Spring-show-warm-white-sheet-1-{view}.svg")));
    assert_eq!(names(&folder.join("out")), expected);
    assert!(
        said.contains("sheet 1 of 2: warm white, 1.5875 mm thick, 32 × 40 in: 3 × Harbour print, top; Oval (0 % free)"),
        "{said}"
    );
    assert!(said.contains("sheet 2 of 2: navy"), "{said}");
    let cut = fs::read_to_string(folder.join("out/Spring-show-warm-white-sheet-1-cut.svg")).unwrap();
    assert!(!cut.contains("<text") && cut.contains("<title>Spring show - warm white"), "words in a cut path");
}

#[test]
fn sheets_that_are_alike_are_one_file_and_a_single_job_names_it() {
    let folder = folder_with("alike", &[("oval.toml", OVAL)]);
    let (_, said) =
        run(&folder, &["oval.toml", "-q", "12", "--sheet", "32x40in", "--view", "cut", "-f", "dxf", "-o", "out"], 0);
    assert_eq!(names(&folder.join("out")), ["oval-warm-white-sheets-1-3-cut.dxf"]);
    assert!(said.contains("sheets 1 to 3 of 3: warm white") && said.contains("4 × Oval"), "{said}");
    let text = fs::read_to_string(folder.join("out/oval-warm-white-sheets-1-3-cut.dxf")).unwrap();
    assert!(text.contains("make 3 like this"), "the file does not say how many");
}

#[test]
fn odd_names_of_an_order_make_good_names_of_files() {
    let folder = folder_with("odd", &[("oval.toml", OVAL)]);
    for (name, stem) in [("", "oval"), ("../a \"b\"", "a--b"), ("?!", "oval"), ("Früh\nling", "Früh-ling")] {
        let _ = fs::remove_dir_all(folder.join("out"));
        run(
            &folder,
            &["oval.toml", "--name", name, "--sheet", "32x40in", "--view", "cut", "-f", "svg", "-o", "out", "--verify"],
            0,
        );
        assert_eq!(names(&folder.join("out")), [format!("{stem}-warm-white-sheet-1-cut.svg")]);
    }
}

#[test]
fn a_mat_that_is_too_large_is_told_by_how_much_and_the_others_go_on() {
    let folder = folder_with("large", &[("mural.toml", MURAL), ("oval.toml", OVAL)]);
    let (_, said) = run(&folder, &["mural.toml", "oval.toml", "--sheet", "32x40in", "-f", "svg", "-o", "out"], 1);
    for words in [
        "error[nest-size]",
        "it is 34 × 44 in",
        "2 in too wide and 4 in too high",
        "turned by a quarter it is 12 in too wide",
        "mural.toml",
        "1 of 2 jobs could not be drawn",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(names(&folder.join("out")), ["order-warm-white-sheet-1-back.svg", "order-warm-white-sheet-1-cut.svg"]);
    // The bed of a machine is a sheet too.
    fs::write(folder.join("wall.toml"), MURAL.replace("[34, 44]", "[40, 60]")).unwrap();
    let (_, said) = run(&folder, &["wall.toml", "--machine", "drag-knife-router", "-o", "bed"], 1);
    assert!(said.contains("has room for") && said.contains("too high; turned by a quarter it is"), "{said}");
    assert_eq!(names(&folder.join("bed")), [""; 0]);
}

#[test]
fn the_bed_of_a_machine_is_the_sheet_and_an_explicit_one_may_be_as_large() {
    let folder = folder_with("bed", &[("harbour.toml", HARBOUR)]);
    let (_, said) = run(&folder, &["harbour.toml", "--machine", "flatbed-cutter-back", "--verify", "-o", "out"], 0);
    assert!(
        said.contains("the sheets are as large as the bed of flatbed-cutter-back allows: 1578 mm × 1178 mm"),
        "{said}"
    );
    assert_eq!(
        names(&folder.join("out")),
        ["harbour-navy-sheet-2-flatbed-cutter-back.dxf", "harbour-warm-white-sheet-1-flatbed-cutter-back.dxf"]
    );
    let sheet = ["--sheet", "1600 x 1200 mm", "--verify"];
    let (_, said) =
        run(&folder, &[&["harbour.toml", "--machine", "flatbed-cutter-back", "-o", "all"], &sheet[..]].concat(), 0);
    assert!(said.contains("the rest stays empty"), "{said}");
    assert_eq!(names(&folder.join("all")).len(), 2);
}

#[test]
fn without_a_size_the_user_is_told_what_to_give() {
    let folder = folder_with("usage", &[("oval.toml", OVAL)]);
    for arguments in [&["oval.toml"][..], &["oval.toml", "--machine", "drawing-exchange"]] {
        let (_, said) = run(&folder, arguments, 2);
        assert!(said.contains("--sheet") && said.contains("--stock") && said.contains("bed"), "{said}");
    }
    let (_, said) = run(&folder, &["oval.toml", "--sheet", "32x40"], 2);
    assert!(said.contains("unit"), "{said}");
    run(&folder, &["oval.toml", "--sheet", "32x40in", "--stock", "stock.toml"], 2);
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    let output = command.current_dir(&folder).args(["draw", "oval.toml", "--kerf", "3 mm"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--kerf is only for mats side by side"));
    assert_eq!(names(&folder), ["oval.toml"]);
}

#[test]
fn a_stock_that_is_too_small_gives_what_it_can_and_says_what_is_left() {
    let stock = "unit = 'in'\n[[sheet]]\nboard = 'warm white'\nsize = [16, 20]\non_hand = 2\n";
    let folder = folder_with(
        "stock",
        &[("oval.toml", OVAL), ("stock.toml", stock), ("bad.toml", "unit = 'in'\n[[sheet]]\nsizes = 3\n")],
    );
    let (_, said) =
        run(&folder, &["oval.toml", "-q", "5", "--stock", "stock.toml", "--view", "cut", "-f", "svg", "-o", "out"], 1);
    assert!(
        said.contains("oval.toml: 3 of its mats could not be placed: they are more than the sheets on hand can supply"),
        "{said}"
    );
    assert_eq!(names(&folder.join("out")), ["oval-warm-white-sheets-1-2-cut.svg"]);
    let (_, said) = run(&folder, &["oval.toml", "--stock", "bad.toml"], 1);
    assert!(said.contains("bad.toml:3:1"), "{said}");
}

#[test]
fn a_problem_is_told_once_however_many_mats_there_are() {
    let thin = "name = 'Thin'\nunit = 'mm'\nouter = [200, 200]\nquantity = 9\nopening = { size = [192, 150], at = { left = 4, top = 20 } }\n";
    let profile = "format = 'dxf-r12'\nbed = [900, 700]\nover_run = { rule = 'bevel', lead = 1.4 }\nlabels = 'numbers'\nside_up = 'face'\n\
                   [tools.cut]\nkind = 'pen'\n[tools.edge]\nkind = 'pen'\n[tools.label]\n";
    let folder = folder_with("once", &[("thin.toml", thin), ("own.toml", profile)]);
    let (_, said) = run(&folder, &["thin.toml", "--machine", "own.toml", "-o", "out"], 0);
    assert!(said.matches("thin-border").count() <= 2, "{said}");
    let edges = said.matches("warning[machine-over-run]").count();
    assert!(edges <= 5, "{edges}: {said}");
}

#[test]
fn another_run_with_the_same_list_does_nothing_and_files_of_others_are_kept() {
    let folder = folder_with("list", &[("harbour.toml", HARBOUR), ("oval.toml", OVAL)]);
    let arguments = [
        "harbour.toml",
        "oval.toml",
        "--sheet",
        "32x40in",
        "-f",
        "svg",
        "--view",
        "cut",
        "-o",
        "out",
        "-m",
        "list.jsonl",
        "-v",
    ];
    let (_, said) = run(&folder, &arguments, 0);
    assert!(said.contains("order-navy-sheet-2-cut.svg"), "{said}");
    let entries = || -> Vec<Value> {
        let text = fs::read_to_string(folder.join("list.jsonl")).unwrap();
        text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    };
    let files = |entry: &Value| entry["files"].as_array().unwrap().len();
    assert_eq!(entries().iter().map(files).collect::<Vec<_>>(), [2, 1]);
    assert!(entries().iter().all(|entry| entry["drawn"] == true));
    let (_, said) = run(&folder, &arguments, 0);
    assert!(said.contains("2 of 2 jobs had already been drawn") && !said.contains("sheet-2"), "{said}");
    // A changed job changes its sheets, which are the program's own.
    fs::write(folder.join("oval.toml"), OVAL.replace("[8, 10]", "[7, 9]")).unwrap();
    run(&folder, &arguments, 0);
    // A file that somebody else wrote is kept, and then nothing is written.
    fs::write(folder.join("out/order-navy-sheet-2-cut.svg"), "mine").unwrap();
    fs::write(folder.join("oval.toml"), OVAL.replace("[8, 10]", "[6, 9]")).unwrap();
    let before = fs::read(folder.join("out/order-warm-white-sheet-1-cut.svg")).unwrap();
    let (_, said) = run(&folder, &arguments, 1);
    assert!(said.contains("exists; nothing of this order was written. Use --force"), "{said}");
    assert_eq!(fs::read(folder.join("out/order-warm-white-sheet-1-cut.svg")).unwrap(), before);
    assert!(entries().iter().all(|entry| entry["drawn"] == false));
    run(&folder, &[&arguments[..], &["--force"]].concat(), 0);
}

#[test]
fn standard_output_takes_one_sheet_in_one_format() {
    let folder = folder_with("stdout", &[("oval.toml", OVAL), ("harbour.toml", HARBOUR)]);
    let one = ["--sheet", "32x40in", "--view", "cut", "-f", "svg", "-o", "-"];
    let (printed, _) = run(&folder, &[&["oval.toml"], &one[..]].concat(), 0);
    assert!(printed.starts_with(b"<?xml") || printed.starts_with(b"<svg"));
    let (printed, said) = run(&folder, &[&["harbour.toml"], &one[..]].concat(), 2);
    assert!(printed.is_empty() && said.contains("standard output is one file, but there are 2"), "{said}");
}

#[test]
fn a_broken_job_is_reported_and_the_others_are_laid() {
    let folder = folder_with("broken", &[("oval.toml", OVAL), ("broken.toml", "name = 'x'\nouter = [1, \n")]);
    let (_, said) =
        run(&folder, &["broken.toml", "oval.toml", "--sheet", "32x40in", "-f", "svg", "--view", "cut", "-o", "out"], 1);
    assert!(said.contains("broken.toml:") && said.contains("1 of 2 jobs could not be drawn"), "{said}");
    assert_eq!(names(&folder.join("out")), ["order-warm-white-sheet-1-cut.svg"]);
    run(&folder, &["broken.toml", "--sheet", "32x40in", "-o", "none"], 1);
    assert_eq!(names(&folder.join("none")), [""; 0]);
}

/// Sheets belong to all jobs, so that their files are named after what these have in common.
#[test]
fn sheets_are_named_after_data_that_all_jobs_have() {
    let own = |order: &str, job: &str| format!("own.order = '{order}'\n{job}");
    let files = [("a.toml", own("N 7", HARBOUR)), ("b.toml", own("N 7", OVAL)), ("c.toml", own("N 8", OVAL))];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let folder = folder_with("names-in-common", &files);
    let pattern = ["--sheet", "32 x 40 in", "--view", "cut", "-f", "svg", "--file-names"];
    run(&folder, &[&["a.toml", "b.toml", "-o", "out"], &pattern[..], &["{own.order}"]].concat(), 0);
    let written = names(&folder.join("out"));
    assert!(!written.is_empty() && written.iter().all(|name| name.starts_with("N 7-")), "{written:?}");
    for (jobs, pattern_of) in [(["a.toml", "c.toml"], "{own.order}"), (["a.toml", "b.toml"], "{own.order}-{stem}")] {
        let (_, said) = run(&folder, &[&jobs[..], &["-o", "never"], &pattern[..], &[pattern_of]].concat(), 2);
        assert!(said.contains("gives them different names, N 7"), "{said}");
    }
    assert!(names(&folder.join("never")).is_empty());
}
