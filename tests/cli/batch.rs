//! Many jobs in one run: folders, streams, quantities, a list of what is done, and going on after an interruption.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use serde_json::Value;

const GOOD: &str = "unit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\n";
const OTHER: &str = "unit = 'mm'\nouter = [200, 250]\n[opening]\nshape = 'ellipse'\nsize = [100, 140]\n";
const WRONG: &str = "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 10]\n";
const LINE: &str = r#"{ "unit": "in", "outer": [16, 20], "opening": { "art": [8, 10] } }"#;

/// A folder of a test's own with some files in it.
fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("batch").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (name, text) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn draw(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(["draw", "--view", "cut", "--format", "svg"]).args(arguments);
    command.stdin(Stdio::null());
    command
}

fn run(folder: &Path, arguments: &[&str], code: i32) -> String {
    told(&draw(folder, arguments).output().unwrap(), code)
}

fn run_with_input(folder: &Path, arguments: &[&str], input: &[u8], code: i32) -> String {
    let mut command = draw(folder, arguments);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(input).unwrap();
    told(&child.wait_with_output().unwrap(), code)
}

/// What a run said, after a look at its exit code.
#[track_caller]
fn told(output: &Output, code: i32) -> String {
    let text = String::from_utf8(output.stderr.clone()).unwrap();
    assert_eq!(output.status.code(), Some(code), "{text}");
    text
}

/// Path below the folder and content of every file in it and its folders.
fn content(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(at).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().replace('\\', "/");
                files.insert(name, fs::read(path).unwrap());
            }
        }
    }
    files
}

fn names(folder: &Path) -> Vec<String> {
    content(folder).into_keys().collect()
}

fn entries(manifest: &Path) -> Vec<Value> {
    let text = fs::read_to_string(manifest).unwrap();
    assert!(text.ends_with('\n'));
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

#[test]
fn all_jobs_of_a_folder_are_drawn_to_folders_of_the_same_names() {
    let jobs = [
        ("jobs/b.toml", GOOD),
        ("jobs/a.json", LINE),
        ("jobs/deep/er/b.toml", OTHER),
        ("jobs/deep/wrong.toml", WRONG),
        ("jobs/.hidden.toml", WRONG),
        ("jobs/.git/c.toml", WRONG),
        ("jobs/readme.txt", "no job"),
    ];
    let folder = folder_with("folders", &jobs);
    let told = run(&folder, &["jobs", "-o", "out"], 1);
    assert!(told.contains("--> jobs/deep/wrong.toml") && told.ends_with("1 of 4 jobs could not be drawn\n"), "{told}");
    assert_eq!(names(&folder.join("out")), ["a-cut.svg", "b-cut.svg", "deep/er/b-cut.svg"]);
    assert!(run(&folder, &["out", "-o", "three"], 1).contains("out: the folder has no job files"));
}

#[test]
fn drawings_in_the_folder_of_the_jobs_are_no_jobs() {
    let folder = folder_with("among", &[("a.toml", GOOD), ("b.toml", OTHER)]);
    for output in [".", "out"] {
        run(&folder, &[".", "-o", output, "--format", "json"], 0);
        run(&folder, &[".", "-o", output, "--format", "json", "--force"], 0);
    }
    let expected = ["a-cut.json", "a-cut.svg", "a.toml", "b-cut.json", "b-cut.svg", "b.toml"];
    let mut all = expected.map(str::to_owned).to_vec();
    all.extend(["a-cut.json", "a-cut.svg", "b-cut.json", "b-cut.svg"].map(|name| format!("out/{name}")));
    all.sort();
    assert_eq!(names(&folder), all);
}

#[test]
fn a_stream_has_a_job_in_each_line() {
    let folder = folder_with("lines", &[]);
    let named = LINE.replacen('{', "{ \"name\": \"Łódź/1\",", 1);
    let broken = LINE.replace("outer", "outre");
    let stream = [LINE, "", &named, &broken, &named, "  ", LINE].join("\r\n");
    let told = run_with_input(&folder, &["--lines", "-", "-o", "out"], stream.as_bytes(), 1);
    // Lines count from one, blank ones too; a line without a name is called after its number.
    assert_eq!(names(&folder.join("out")), ["job-1-cut.svg", "job-7-cut.svg", "Łódź-1-cut.svg"]);
    assert!(told.contains(" --> -:4:") && told.contains("`outer`"), "{told}");
    assert!(told.contains("-:5: its drawings would have the same file names as those of -:3"), "{told}");
    assert!(told.ends_with("2 of 5 jobs could not be drawn\n"), "{told}");

    fs::write(folder.join("orders.jsonl"), &stream).unwrap();
    let from_file = run(&folder, &["orders.jsonl", "-o", "file"], 1);
    assert!(from_file.contains("--> orders.jsonl:4:"), "{from_file}");
    assert_eq!(names(&folder.join("file")), ["orders-1-cut.svg", "orders-7-cut.svg", "Łódź-1-cut.svg"]);
    assert_eq!(
        content(&folder.join("file"))["orders-7-cut.svg"].len(),
        content(&folder.join("out"))["job-7-cut.svg"].len() + 3
    );
}

#[test]
fn a_broken_stream_is_an_error_and_no_panic() {
    let folder = folder_with("nasty", &[]);
    let long = [b"{\"name\":\"".to_vec(), vec![b'a'; 5 << 20], b"\"}\n".to_vec(), LINE.as_bytes().to_vec()].concat();
    let told = run_with_input(&folder, &["--lines", "-", "-o", "out"], &long, 1);
    assert!(told.contains("-:1: the line is longer than the 4 MiB"), "{told}");
    assert_eq!(names(&folder.join("out")), ["job-2-cut.svg"]);
    assert!(run_with_input(&folder, &["--lines", "-", "-o", "out"], b"\xff\xfe\n", 1).contains("not UTF-8"));
    assert_eq!(run_with_input(&folder, &["--lines", "-", "-o", "out"], b"\n\n", 0), "");
    assert!(run(&folder, &["--lines", "gone.jsonl", "-o", "out"], 1).contains("gone.jsonl: cannot read the file"));
    assert!(run(&folder, &["--lines", ".", "-o", "out"], 1).contains("cannot read"));
}

#[test]
fn the_quantity_stands_on_the_template_and_in_the_list() {
    let folder = folder_with("quantity", &[("a.toml", &format!("quantity = 12\n{GOOD}")), ("b.toml", GOOD)]);
    let more = ["--view", "back,cut", "--manifest", "list.jsonl"];
    run(&folder, &[&["a.toml", "b.toml", "-o", "out"], &more[..]].concat(), 0);
    let quantities = |list: &str| {
        entries(&folder.join(list)).iter().map(|entry| entry["quantity"].as_u64().unwrap()).collect::<Vec<_>>()
    };
    assert_eq!(quantities("list.jsonl"), [12, 1]);
    let files = content(&folder.join("out"));
    let says = |name: &str, words: &str| String::from_utf8_lossy(&files[name]).contains(words);
    assert!(says("a-back.svg", "MAKE 12.") && !says("b-back.svg", "MAKE"));
    run(&folder, &["a.toml", "b.toml", "-o", "five", "-q", "5", "-m", "five.jsonl"], 0);
    assert_eq!(quantities("five.jsonl"), [5, 5]);
    for bad in ["0", "-1", "1.5", "'two'", "4000000000"] {
        fs::write(folder.join("bad.toml"), format!("quantity = {bad}\n{GOOD}")).unwrap();
        let told = run(&folder, &["bad.toml", "-o", "out"], 1);
        assert!(told.contains("bad.toml:1:"), "{told}");
    }
    run(&folder, &["b.toml", "-o", "six", "-q", "0"], 2);
}

#[test]
fn another_run_with_the_same_list_draws_only_what_is_not_done() {
    let folder = folder_with("resume", &[("jobs/a.toml", GOOD), ("jobs/b.toml", OTHER), ("jobs/c.toml", WRONG)]);
    let again = |more: &[&str], code: i32| {
        run(&folder, &[&["jobs", "-o", "out", "-m", "out/list.jsonl", "--verbose"], more].concat(), code)
    };
    again(&[], 1);
    let list = folder.join("out/list.jsonl");
    let first = entries(&list);
    let job = |index: usize, key: &str| first[index][key].clone();
    assert_eq!([0, 1, 2].map(|at| job(at, "job")), ["jobs/a.toml", "jobs/b.toml", "jobs/c.toml"]);
    assert_eq!([0, 1, 2].map(|at| job(at, "drawn")), [true, true, false]);
    assert_eq!(job(2, "problems")[0]["code"], "contradiction");
    assert_eq!(job(2, "files"), Value::Array(Vec::new()));
    let file = &job(0, "files")[0];
    let bytes = fs::read(folder.join("out/a-cut.svg")).unwrap();
    assert_eq!((&file["path"], &file["bytes"]), (&"out/a-cut.svg".into(), &bytes.len().into()));

    // All done but the wrong one: nothing is written, and the list stays as it is.
    let written = fs::metadata(folder.join("out/a-cut.svg")).unwrap().modified().unwrap();
    let told = again(&[], 1);
    assert!(told.contains("2 of 3 jobs had already been drawn") && !told.contains("a-cut.svg"), "{told}");
    assert_eq!(entries(&list), first);
    assert_eq!(fs::metadata(folder.join("out/a-cut.svg")).unwrap().modified().unwrap(), written);

    // A file that is gone comes back.
    fs::remove_file(folder.join("out/b-cut.svg")).unwrap();
    let told = again(&[], 1);
    assert!(told.contains("out/b-cut.svg") && !told.contains("a-cut.svg"), "{told}");
    assert_eq!(entries(&list), first);

    // A job that changed is drawn again over its old drawing; so is one that was wrong.
    fs::write(folder.join("jobs/b.toml"), OTHER.replace("140", "141")).unwrap();
    fs::write(folder.join("jobs/c.toml"), GOOD).unwrap();
    let told = again(&[], 0);
    assert!(told.contains("out/b-cut.svg") && told.contains("out/c-cut.svg") && !told.contains("a-cut.svg"), "{told}");
    assert!(entries(&list)[1] != first[1] && entries(&list)[0] == first[0]);

    // What somebody altered is not replaced without a word.
    fs::write(folder.join("out/a-cut.svg"), "by hand").unwrap();
    assert!(again(&[], 1).contains("a-cut.svg exists"));
    assert_eq!(fs::read(folder.join("out/a-cut.svg")).unwrap(), b"by hand");
    again(&["--force"], 0);
    assert_eq!(fs::read(folder.join("out/a-cut.svg")).unwrap(), bytes);

    // Other options mean other drawings.
    let told = again(&["--quantity", "3"], 0);
    assert!(!told.contains("had already been drawn"), "{told}");
    assert_eq!(entries(&list)[0]["quantity"], 3);
}

#[test]
fn an_outline_that_changed_is_drawn_again() {
    let leaf = |width: u32| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='90mm' height='60mm' viewBox='0 0 90 60'><path d='M5 5 H{width} V50 H5 Z'/></svg>"
        )
    };
    let job = "border = '2 in'\nopening.shape.svg = { file = 'leaf.svg', width = '6 in' }\n";
    let folder = folder_with("outline", &[("a.toml", job), ("leaf.svg", &leaf(80))]);
    let again = || run(&folder, &["a.toml", "-o", "out", "-m", "list.jsonl", "--verbose"], 0);
    assert!(again().contains("out/a-cut.svg"));
    assert!(!again().contains("out/a-cut.svg"));
    fs::write(folder.join("leaf.svg"), leaf(70)).unwrap();
    assert!(again().contains("out/a-cut.svg"));
}

#[test]
fn a_file_that_is_no_list_is_left_alone() {
    let folder = folder_with("foreign", &[("a.toml", GOOD), ("cut.jsonl", "{\"schema\":\"backline-dra")]);
    let told = run(&folder, &["a.toml", "-o", "out", "-m", "a.toml"], 1);
    assert!(told.contains("a.toml is not a manifest") && told.contains("line 1"), "{told}");
    assert_eq!(fs::read_to_string(folder.join("a.toml")).unwrap(), GOOD);
    // A line that was cut off is forgotten.
    run(&folder, &["a.toml", "-o", "out", "-m", "cut.jsonl"], 0);
    assert_eq!(entries(&folder.join("cut.jsonl")).len(), 1);
    run(&folder, &["a.toml", "-o", "-", "-m", "list.jsonl"], 2);
}

#[test]
fn the_list_keeps_jobs_of_other_runs() {
    let folder = folder_with("others", &[("a.toml", GOOD), ("b.toml", OTHER)]);
    for job in ["b.toml", "a.toml", "b.toml"] {
        run(&folder, &[job, "-o", "out", "-m", "list.jsonl"], 0);
    }
    let jobs: Vec<Value> = entries(&folder.join("list.jsonl")).iter().map(|entry| entry["job"].clone()).collect();
    assert_eq!(jobs, ["b.toml", "a.toml"]);
}

/// Runs a batch, ends it by force while it is at work, and looks at what is there.
#[test]
fn a_run_that_was_killed_leaves_whole_files_and_is_gone_on_with() {
    const JOBS: usize = 60;
    let folder = folder_with("killed", &[]);
    let lines: Vec<String> = (0..JOBS).map(|job| LINE.replace("16, 20", &format!("{}, 30", 16 + job / 2))).collect();
    fs::write(folder.join("orders.jsonl"), lines.join("\n")).unwrap();
    let whole = ["orders.jsonl", "--view", "cut,cut-face", "--format", "all", "-o", "whole", "-m", "whole.jsonl"];
    let notes = run(&folder, &whole, 0);
    // The note on large sheets is shown once and counted.
    assert!(notes.lines().count() <= 4 && notes.contains("more files with the note of"), "{notes}");
    let expected = content(&folder.join("whole"));
    assert_eq!(expected.len(), JOBS * 2 * 7);

    let arguments = ["orders.jsonl", "--view", "cut,cut-face", "--format", "all", "-o", "out", "-m", "list.jsonl"];
    let mut unfinished = 0;
    for round in 0..4 {
        let count = || fs::read_dir(folder.join("out")).map_or(0, Iterator::count);
        let before = count();
        let mut child = draw(&folder, &arguments).stderr(Stdio::null()).spawn().unwrap();
        while count() < before + 40 * (round + 1) && child.try_wait().unwrap().is_none() {
            std::thread::sleep(Duration::from_millis(1));
        }
        child.kill().unwrap();
        unfinished += usize::from(!child.wait().unwrap().success());
        for (name, bytes) in content(&folder.join("out")) {
            let is_part = name.starts_with(".backline-") && name.ends_with(".part");
            assert!(is_part || expected[&name] == bytes, "{name} is not whole");
        }
    }
    assert!(unfinished > 0, "the program was never at work when it was ended");
    // What a run half did lies there under a name of its own until the next run.
    fs::write(folder.join("out/.backline-left.part"), "half").unwrap();
    run(&folder, &arguments, 0);
    assert!(content(&folder.join("out")) == expected, "not the same files as those of a run in one go");
    let plain = |list: &str| fs::read_to_string(folder.join(list)).unwrap().replace("whole/", "out/");
    assert_eq!(plain("list.jsonl"), plain("whole.jsonl"));
}

#[test]
fn nothing_is_said_in_a_pipe_when_all_is_well() {
    let folder = folder_with("quiet", &[("jobs/a.toml", GOOD), ("jobs/b.toml", OTHER)]);
    assert_eq!(run(&folder, &["jobs", "-o", "out"], 0), "");
}

#[test]
fn check_takes_folders_and_streams_too() {
    let folder = folder_with("check", &[("jobs/a.toml", GOOD), ("jobs/deep/a.toml", OTHER), ("one.jsonl", LINE)]);
    let check = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
        let output = command.current_dir(&folder).args(["check", "--json"]).args(arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        serde_json::from_slice::<Value>(&output.stdout).unwrap().as_array().unwrap().len()
    };
    assert_eq!(check(&["jobs"]), 2);
    assert_eq!(check(&["one.jsonl"]), 1);
}

#[test]
fn own_data_is_passed_on_and_files_are_named_after_it() {
    let job = |order: &str| {
        format!(
            "\"$schema\" = 'https://example.org/mat.json'\nown = {{ order = '{order}', due = '2026-12-24' }}\n{GOOD}"
        )
    };
    let files = [("a.toml", job("N 7/1")), ("b.toml", job("N 8")), ("c.toml", GOOD.to_owned()), ("d.toml", job("n 8"))];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let folder = folder_with("own-data", &files);
    let arguments = ["--file-names", "{own.order}", "a.toml", "b.toml", "-o", "out", "--manifest", "drawn.jsonl"];
    run(&folder, &arguments, 0);
    assert_eq!(content(&folder.join("out")).keys().collect::<Vec<_>>(), ["N 7-1-cut.svg", "N 8-cut.svg"]);
    let manifest = fs::read_to_string(folder.join("drawn.jsonl")).unwrap();
    let entry: Value = serde_json::from_str(manifest.lines().next().unwrap()).unwrap();
    assert_eq!(entry["own"], serde_json::json!({ "due": "2026-12-24", "order": "N 7/1" }));
    assert!(run(&folder, &arguments, 0).is_empty(), "the second run draws nothing");

    let said = run(&folder, &["--file-names", "{own.order}", "b.toml", "c.toml", "d.toml", "-o", "again"], 1);
    assert!(said.contains("c.toml: the job has no text or number own.order"), "{said}");
    assert!(said.contains("another job has files of the same names"), "{said}");
    let said = run(&folder, &["--file-names", "{order}", "a.toml"], 2);
    assert!(said.contains("use {stem}, {name} or {own.KEY}"), "{said}");

    let check =
        Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(&folder).args(["check", "--json", "a.toml"]).output();
    let summary: Value = serde_json::from_slice(&check.unwrap().stdout).unwrap();
    assert_eq!(summary["own"]["order"], "N 7/1");
    assert_eq!(summary["job_schema"], "https://example.org/mat.json");
    assert_eq!(entry["job_schema"], "https://example.org/mat.json");
}

#[test]
fn own_data_that_cannot_be_passed_on_is_refused() {
    let folder =
        folder_with("own-data-wrong", &[("nan.toml", "own.x = nan\n"), ("date.toml", "own.due = 2026-12-24\n")]);
    assert!(run(&folder, &["nan.toml"], 1).contains("not finite"));
    assert!(run(&folder, &["date.toml"], 1).contains("dates need quotation marks"));
}

/// Pages, pictures and sheets for the bench are named after the same data, and no file is written over that of another job.
#[test]
fn every_command_names_files_after_own_data() {
    let job = |order: &str| format!("own.order = '{order}'\n{GOOD}");
    let files = [("a.toml", job("N 7/1")), ("b.toml", job("n 7-1")), ("c.toml", job("8"))];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let folder = folder_with("own-names", &files);
    let run = |command: &str, jobs: &[&str], status: i32| {
        let mut arguments = vec![command, "--file-names", "{own.order}-{stem}", "-o", command];
        if status != 0 {
            arguments[2] = "{own.order}";
        }
        let output =
            Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(&folder).args(arguments).args(jobs).output();
        let output = output.unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(status), "{command}: {said}");
        (content(&folder.join(command)).keys().cloned().collect::<Vec<_>>(), said)
    };
    for (command, end) in [("print", "-back-A4.pdf"), ("picture", "-picture.png"), ("workshop", "-workshop.pdf")] {
        let (names, _) = run(command, &["a.toml"], 0);
        assert_eq!(names.len(), 1, "{command}: {names:?}");
        assert!(names[0].starts_with("N 7-1-a-") && (names[0].ends_with(end) || command == "print"), "{names:?}");
    }
    for command in ["print", "picture"] {
        let (names, said) = run(command, &["a.toml", "b.toml", "c.toml", "--force"], 1);
        assert!(
            said.contains("b.toml: another job has files of the same names") || said.contains("a.toml: another"),
            "{said}"
        );
        assert_eq!(names.iter().filter(|name| !name.contains("-a-")).count(), 2, "{command}: {names:?}");
    }
    let (_, said) = run("workshop", &["a.toml", "b.toml"], 2);
    assert!(said.contains("the jobs share their files, but --file-names gives them different names"), "{said}");
}
