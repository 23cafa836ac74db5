//! The program as its users meet it: exit codes, files that appear whole or not at all, pipes, words and data.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use backline::job::{Syntax, WrittenJob};
use serde_json::Value;

const GOOD: &str = "unit = 'in'\nouter = [16, 20]\nopening.art = [8, 10]\n";
const OTHER: &str = "unit = 'mm'\nouter = [200, 250]\n[opening]\nshape = 'ellipse'\nsize = [100, 140]\n";
const WRONG: &str = "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 10]\n";
const THIN: &str = "unit = 'mm'\nouter = [200, 250]\nborder.left = 8\nopening.size = [100, 140]\n";

/// An empty folder of a test's own.
fn folder(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cli").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// A folder with some files in it.
fn folder_with(test: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = folder(test);
    for (name, text) in files {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}

fn backline(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(arguments).stdin(Stdio::null());
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("CLICOLOR");
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    backline(folder, arguments).output().unwrap()
}

fn run_with_input(folder: &Path, arguments: &[&str], input: &[u8]) -> Output {
    let mut command = backline(folder, arguments);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(input).unwrap();
    child.wait_with_output().unwrap()
}

#[track_caller]
fn assert_exit(output: &Output, code: i32) {
    assert_eq!(output.status.code(), Some(code), "{}{}", stdout(output), stderr(output));
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Name and content of every file in a folder.
fn content(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let files = entries.filter(|path| path.is_file());
    files.map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap())).collect()
}

fn names(folder: &Path) -> Vec<String> {
    content(folder).into_keys().collect()
}

/// Names of what is drawn of a job with one board if the command line asks for nothing else.
fn drawn(job: &str) -> Vec<String> {
    ["back.dxf", "back.pdf", "back.svg", "cut.dxf", "cut.pdf", "cut.svg"].map(|name| format!("{job}-{name}")).to_vec()
}

#[test]
fn exit_codes_are_0_good_1_wrong_job_2_wrong_usage() {
    let folder = folder_with("exit", &[("good.toml", GOOD), ("wrong.toml", WRONG), ("thin.toml", THIN)]);
    for (arguments, code) in [
        (&["check", "good.toml"][..], 0),
        (&["check", "thin.toml"], 0),
        (&["check", "wrong.toml"], 1),
        (&["check", "good.toml", "wrong.toml"], 1),
        (&["check", "missing.toml"], 1),
        (&["check"], 2),
        (&["cut", "good.toml"], 2),
        (&["draw", "good.toml", "--format", "gif"], 2),
        (&["draw", "good.toml", "--view", "side"], 2),
        (&["draw", "good.toml", "--tolerance", "much"], 2),
        (&["draw", "good.toml", "--tolerance", "0"], 2),
        (&["draw", "wrong.toml", "-o", "out"], 1),
        (&["draw", "thin.toml", "-o", "out"], 0),
        (&["draw", "good.toml", "-o", "good.toml/under-a-file"], 1),
        (&["draw", "good.toml", "--font", "missing.ttf", "-o", "out"], 1),
        (&["new"], 0),
        (&["schema"], 0),
        (&["--help"], 0),
        (&["--version"], 0),
        (&["draw", "--help"], 0),
    ] {
        let output = run(&folder, arguments);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}\n{}{}", stdout(&output), stderr(&output));
    }
}

#[test]
fn a_drawing_does_not_replace_a_file_unless_forced() {
    let folder = folder_with("clobber", &[("good.toml", GOOD)]);
    fs::create_dir(folder.join("out")).unwrap();
    fs::write(folder.join("out/good-back.pdf"), "precious").unwrap();
    let refused = run(&folder, &["draw", "good.toml", "-o", "out"]);
    assert_exit(&refused, 1);
    assert!(stderr(&refused).contains("good-back.pdf exists") && stderr(&refused).contains("--force"));
    // Nothing of the job was written, not even the files whose names were free.
    assert_eq!(names(&folder.join("out")), ["good-back.pdf"]);
    assert_eq!(fs::read(folder.join("out/good-back.pdf")).unwrap(), b"precious");

    assert_exit(&run(&folder, &["draw", "good.toml", "-o", "out", "--force"]), 0);
    let files = content(&folder.join("out"));
    assert_eq!(names(&folder.join("out")), drawn("good"));
    assert!(files["good-back.pdf"].starts_with(b"%PDF"));
}

#[test]
fn a_broken_job_does_not_stop_the_others_and_leaves_nothing_behind() {
    let jobs = [("a.toml", GOOD), ("b.toml", WRONG), ("c.toml", OTHER), ("d.toml", "unit = 'in\n")];
    let folder = folder_with("several", &jobs);
    let output = run(&folder, &["draw", "a.toml", "b.toml", "c.toml", "d.toml", "e.toml", "-o", "out"]);
    assert_exit(&output, 1);
    assert_eq!(names(&folder.join("out")), [drawn("a"), drawn("c")].concat());
    // The reports come in the order of the command line.
    let report = stderr(&output);
    let at = |words: &str| report.find(words).unwrap_or_else(|| panic!("no {words} in {report}"));
    assert!(at("b.toml") < at("d.toml") && at("d.toml") < at("e.toml"));
    assert!(report.contains("contradiction"));
}

#[test]
fn jobs_that_would_be_drawn_to_the_same_files_are_refused() {
    let folder = folder_with("stem", &[("job.toml", GOOD)]);
    fs::create_dir(folder.join("sub")).unwrap();
    fs::write(folder.join("sub/job.toml"), OTHER).unwrap();
    let output = run(&folder, &["draw", "job.toml", "sub/job.toml", "-o", "out"]);
    assert_exit(&output, 2);
    assert!(stderr(&output).contains("same name"), "{}", stderr(&output));
    assert!(!folder.join("out").exists());
}

#[test]
fn a_hyphen_is_standard_input_and_output() {
    let folder = folder_with("hyphen", &[("good.toml", GOOD)]);
    let one = ["--view", "cut", "--format", "svg"];
    let from_file = run(&folder, &[&["draw", "good.toml", "-o", "-"], &one[..]].concat());
    assert_exit(&from_file, 0);
    let named = format!("name = 'good'\n{GOOD}");
    let from_pipe = run_with_input(&folder, &[&["draw", "-", "-o", "-"], &one[..]].concat(), named.as_bytes());
    assert_exit(&from_pipe, 0);
    assert_eq!(from_pipe.stdout, from_file.stdout);
    assert!(stdout(&from_pipe).contains("<svg"));
    // JSON is recognised without a file ending.
    let json = r#"{ "name": "good", "unit": "in", "outer": [16, 20], "opening": { "art": [8, 10] } }"#;
    let from_json = run_with_input(&folder, &[&["draw", "-", "-o", "-"], &one[..]].concat(), json.as_bytes());
    assert_eq!(from_json.stdout, from_file.stdout);
    // From a pipe into a folder, and too much for a pipe.
    assert_exit(&run_with_input(&folder, &["draw", "-", "-o", "out"], GOOD.as_bytes()), 0);
    assert_eq!(names(&folder.join("out")), drawn("job"));
    let too_many = run(&folder, &["draw", "good.toml", "-o", "-"]);
    assert_exit(&too_many, 2);
    assert!(too_many.stdout.is_empty());
}

#[test]
fn every_board_view_and_format_has_a_file_of_its_own() {
    let double = format!("{GOOD}[[layer]]\n[[layer]]\nname = 'dark grey'\n");
    let folder = folder_with("names", &[("double.toml", &double)]);
    assert_exit(&run(&folder, &["draw", "double.toml", "-o", "out", "--view", "back,cut", "--format", "svg,hpgl"]), 0);
    assert_eq!(
        names(&folder.join("out")),
        [
            "double-1-top-back.plt",
            "double-1-top-back.svg",
            "double-1-top-cut.plt",
            "double-1-top-cut.svg",
            "double-2-dark-grey-back.plt",
            "double-2-dark-grey-back.svg",
            "double-2-dark-grey-cut.plt",
            "double-2-dark-grey-cut.svg",
        ]
    );
    let all = run(&folder, &["draw", "double.toml", "-o", "all", "--view", "all", "--format", "all", "--verbose"]);
    assert_exit(&all, 0);
    let files = content(&folder.join("all"));
    assert_eq!(files.len(), 2 * 4 * 7, "two boards, four views of a plain board, seven formats");
    assert!(files.values().all(|bytes| !bytes.is_empty()));
    assert!(files.keys().all(|name| stderr(&all).contains(name.as_str())));
}

#[test]
fn the_same_job_gives_the_same_bytes_whatever_the_number_of_cores() {
    let jobs = [
        ("a.toml", GOOD),
        ("b.toml", OTHER),
        ("c.toml", THIN),
        ("d.toml", "name = 'Łódź 漢'\nouter = '9 in'\nopening.size = '4 in'"),
    ];
    let folder = folder_with("repeat", &jobs);
    let draw = |out: &str, more: &[&str]| {
        let arguments =
            [&["draw", "a.toml", "b.toml", "c.toml", "d.toml", "--view", "all", "--format", "all", "-o", out], more]
                .concat();
        let output = run(&folder, &arguments);
        assert_exit(&output, 0);
        (content(&folder.join(out)), stderr(&output).replace(out, "OUT"))
    };
    let first = draw("first", &["--jobs-at-once", "1"]);
    assert_eq!(first.0.len(), 4 * 4 * 7);
    assert!(first == draw("other", &["--jobs-at-once", "1"]));
    assert!(first == draw("twice", &["--jobs-at-once", "2"]));
    assert!(first == draw("cores", &[]));
}

/// Checks the keys of an object, no more and no fewer.
#[track_caller]
fn assert_keys(object: &Value, keys: &[&str]) {
    let mut found: Vec<&str> = object.as_object().unwrap().keys().map(String::as_str).collect();
    found.sort_unstable();
    let mut keys = keys.to_vec();
    keys.sort_unstable();
    assert_eq!(found, keys);
}

#[test]
fn check_prints_one_object_for_a_job_and_an_array_for_several() {
    let folder =
        folder_with("json", &[("good.toml", GOOD), ("wrong.toml", WRONG), ("thin.toml", THIN), ("broken.toml", "x")]);
    let one = run(&folder, &["check", "--json", "good.toml"]);
    assert_exit(&one, 0);
    let mat: Value = serde_json::from_slice(&one.stdout).unwrap();
    assert_eq!(mat["schema"], "backline-mat/1");
    for key in ["schema", "name", "outer", "layers", "problems", "suggestions"] {
        assert!(mat.get(key).is_some(), "no {key}");
    }
    assert_eq!(mat["name"], "good");
    assert_eq!(mat["units"], serde_json::json!({ "length": "mm", "area": "mm2", "angle": "deg" }));
    assert_eq!(mat["unit"], "in");
    assert_keys(&mat["layers"][0]["board"], &["name", "plies", "thickness", "colour", "core"]);
    assert_eq!((mat["outer"]["width"].as_f64(), mat["outer"]["height"].as_f64()), (Some(406.4), Some(508.0)));
    let opening = &mat["layers"][0]["openings"][0];
    for outline in ["sight", "face", "back"] {
        assert_keys(&opening[outline], &["left", "top", "width", "height", "area", "perimeter"]);
    }
    assert_keys(&opening["borders"], &["left", "right", "top", "bottom"]);
    assert_eq!(opening["sight"]["width"], 196.85);
    assert_eq!(opening["face"]["width"], 200.025);
    assert_eq!(opening["sight"]["area"], 196.85 * 247.65);
    assert_eq!(opening["borders"]["left"], 104.775);
    assert_eq!(mat["problems"], Value::Array(Vec::new()));

    let several =
        run(&folder, &["check", "--json", "good.toml", "wrong.toml", "thin.toml", "broken.toml", "missing.toml"]);
    assert_exit(&several, 1);
    let mats: Value = serde_json::from_slice(&several.stdout).unwrap();
    let mats = mats.as_array().unwrap();
    assert_eq!(mats.len(), 5, "one for each job, readable or not");
    assert_eq!(mats[0], mat);
    assert!(mats[1]["outer"].is_null() && mats[3]["outer"].is_null() && mats[4]["outer"].is_null());
    let problems: Vec<_> =
        mats.iter().map(|mat| (&mat["problems"][0]["severity"], &mat["problems"][0]["code"])).collect();
    assert_eq!(problems[1], (&"error".into(), &"contradiction".into()));
    assert_eq!(problems[2], (&"warning".into(), &"thin-border".into()));
    assert_eq!(problems[3].1, "unreadable");
    assert_eq!(problems[4].1, "unreadable");
    assert_keys(&mats[1]["problems"][0], &["severity", "code", "where", "at", "message", "help", "numbers"]);
    assert_eq!(mats[1]["problems"][0]["where"], "border");
}

#[test]
fn check_in_words_shows_the_sizes_and_points_at_the_fault() {
    let folder = folder_with("words", &[("good.toml", GOOD), ("wrong.toml", WRONG)]);
    let good = run(&folder, &["check", "good.toml"]);
    for words in ["mat 16 in × 20 in", "7 3/4 in × 9 3/4 in", "left 4 1/8 in", "overlap    per side: 1/8 in all round"]
    {
        assert!(stdout(&good).contains(words), "no {words} in {}", stdout(&good));
    }
    let wrong = stderr(&run(&folder, &["check", "wrong.toml"]));
    let lines: Vec<&str> = wrong.lines().collect();
    assert!(
        lines[0].starts_with("error[contradiction]: left 3 in + openings 8 in + right 3 in add up to 14 in"),
        "{wrong}"
    );
    assert_eq!(lines[1], " --> wrong.toml:3:10");
    assert_eq!(lines[3], "3 | border = 3");
    assert_eq!(lines[4], "  |          ^ border");
    assert!(lines.last().unwrap().starts_with("  = help: "));
}

#[test]
fn an_unknown_key_is_pointed_at_with_what_was_probably_meant() {
    let folder = folder_with(
        "unknown",
        &[("job.toml", "unit = 'in'\nouter = [16, 20]\n[opening]\nart = [8, 10]\noverlpa = 0.25\n")],
    );
    let output = run(&folder, &["check", "job.toml"]);
    assert_exit(&output, 1);
    let report = stderr(&output);
    assert!(report.contains("job.toml:5:1"), "{report}");
    assert!(report.contains("overlpa = 0.25\n  | ^^^^^^^"), "{report}");
    assert!(report.contains("`overlap`"), "{report}");
}

#[test]
fn the_starter_job_is_good() {
    let folder = folder("starter");
    let new = run(&folder, &["new"]);
    assert!(stdout(&new).starts_with("#:schema job.schema.json\n# "));
    assert_exit(&run_with_input(&folder, &["check", "-"], &new.stdout), 0);
    assert!(run_with_input(&folder, &["check", "-"], &new.stdout).stderr.is_empty(), "no warnings");
}

/// Every line of the starter job that is commented out can be used: each is understood where it stands.
#[test]
fn every_choice_in_the_starter_job_is_understood() {
    let starter = backline::job::STARTER;
    let lines: Vec<&str> = starter.lines().collect();
    let choice = |line: &str| {
        let key = line.strip_prefix("# ").and_then(|rest| rest.split_once(" = ")).map(|(key, _)| key);
        key.is_some_and(|key| key.chars().all(|letter| letter.is_ascii_lowercase() || "_.".contains(letter)))
    };
    let mut choices = 0;
    for (number, _) in lines.iter().enumerate().filter(|(_, line)| choice(line)) {
        // With the header above it, if that is commented out too.
        let header = lines[..number].iter().rposition(|line| line.starts_with("# [") || !line.starts_with('#'));
        let header = header.filter(|header| lines[*header].starts_with("# ["));
        let used: Vec<&str> = lines
            .iter()
            .enumerate()
            .map(|(at, line)| if at == number || Some(at) == header { &line[2..] } else { line })
            .collect();
        let job = used.join("\n");
        let read = WrittenJob::read(&job, Syntax::Toml);
        assert!(read.is_ok(), "{}: {}", lines[number], read.unwrap_err());
        choices += 1;
    }
    assert!(choices > 15, "{choices}");
}

#[test]
fn the_schema_is_json_and_knows_the_keys_of_every_job() {
    let folder = folder("schema");
    let output = run(&folder, &["schema"]);
    let schema: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(schema["$schema"].as_str().unwrap().starts_with("https://json-schema.org/"));
    let properties = schema["properties"].as_object().unwrap();
    assert_eq!(schema["additionalProperties"], false);
    let mut jobs = 0;
    for path in job_files() {
        let text = fs::read_to_string(&path).unwrap();
        let job: Value = if path.extension().unwrap() == "json" {
            serde_json::from_str(&text).unwrap()
        } else {
            toml::from_str(&text).unwrap()
        };
        for key in job.as_object().unwrap().keys() {
            assert!(properties.contains_key(key), "{} has {key}, which the schema does not know", path.display());
        }
        jobs += 1;
    }
    assert!(jobs > 15);
}

/// The job files of the examples and of the golden folders.
fn job_files() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let entries = |folder: &str| fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path());
    let examples = entries("examples/jobs").filter(|path| path.extension().is_some_and(|e| e == "toml" || e == "json"));
    let golden = entries("golden-files/mats").filter(|path| path.is_dir()).map(|path| path.join("job.toml"));
    examples.chain(golden).collect()
}

#[test]
fn every_example_can_be_drawn_without_a_word() {
    let folder = folder("examples");
    for path in job_files() {
        let output = run(&folder, &["check", path.to_str().unwrap()]);
        assert_exit(&output, 0);
        // What a golden job is warned of is kept beside it.
        let kept = fs::read_to_string(path.with_file_name("check.json")).unwrap_or_default();
        if !kept.contains("\"severity\": \"warning\"") {
            assert_eq!(stderr(&output), "", "{}", path.display());
        }
    }
}

fn json(value: impl Into<serde_json::Value>) -> serde_json::Value {
    value.into()
}

#[test]
fn the_program_draws_the_golden_files() {
    let folder = folder("golden");
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/mats/single-rectangle");
    let job = golden.join("job.toml");
    for (view, formats) in [("back", "svg,pdf,hpgl,polylines"), ("cut", "all")] {
        let arguments = ["draw", job.to_str().unwrap(), "-o", "out", "--view", view, "--format", formats];
        assert_exit(&run(&folder, &arguments), 0);
    }
    for (name, bytes) in content(&folder.join("out")) {
        let kept = golden.join(name.strip_prefix("job-").unwrap());
        assert!(fs::read(&kept).unwrap() == bytes, "{} is not what the program draws", kept.display());
    }
    let check = run(&folder, &["check", "--json", job.to_str().unwrap()]);
    // The golden file tells of the mat; the program knows the job too, and with it where each size comes from.
    let mut told: serde_json::Value = serde_json::from_str(&stdout(&check)).unwrap();
    let sizes = told.as_object_mut().unwrap().remove("dimensions").unwrap();
    let outer = &sizes[0];
    assert_eq!(
        (&outer["id"], &outer["mm"], &outer["source"]["what"]),
        (&json("outer-width"), &json(403.225), &json("worked-out"))
    );
    let kept: serde_json::Value = serde_json::from_slice(&fs::read(golden.join("check.json")).unwrap()).unwrap();
    assert_eq!(told, kept);
}

#[test]
fn colours_reach_only_a_terminal_that_wants_them() {
    let folder = folder_with("colour", &[("wrong.toml", WRONG)]);
    let escape = |output: &Output| stderr(output).contains('\u{1b}');
    // Into a pipe there are none.
    assert!(!escape(&run(&folder, &["check", "wrong.toml"])));
    let forced = backline(&folder, &["check", "wrong.toml"]).env("CLICOLOR_FORCE", "1").output().unwrap();
    assert!(escape(&forced));
    let unwanted = backline(&folder, &["check", "wrong.toml"]).env("NO_COLOR", "1").output().unwrap();
    assert!(!escape(&unwanted));
}

#[test]
fn units_and_tolerance_reach_the_files() {
    let folder = folder_with("options", &[("other.toml", OTHER)]);
    let draw = |more: &[&str]| {
        let one = ["draw", "other.toml", "-o", "-", "--view", "cut", "--format", "json"];
        let output = run(&folder, &[&one[..], more].concat());
        assert_exit(&output, 0);
        let drawing: Value = serde_json::from_slice(&output.stdout).unwrap();
        drawing
    };
    let points = |drawing: &Value| drawing["polylines"][0]["points"].as_array().unwrap().len();
    let (usual, coarse) = (draw(&[]), draw(&["--tolerance", "0.5 mm"]));
    assert!(points(&usual) > 5 * points(&coarse));
    assert_eq!(coarse["tolerance_mm"], 0.5);
    let inches = draw(&["--unit", "in"]);
    assert_eq!(inches["unit"], "in");
    assert!((inches["sheet"]["width"].as_f64().unwrap() - 200.0 / 25.4).abs() < 1e-8);
}

#[test]
fn a_file_that_is_no_text_is_refused() {
    let folder = folder("bytes");
    fs::write(folder.join("picture.toml"), [0x89, b'P', b'N', b'G', 0xFF, 0xFE, 0, 0]).unwrap();
    for arguments in [&["check", "picture.toml"][..], &["draw", "picture.toml", "-o", "out"], &["check", "."]] {
        let output = run(&folder, arguments);
        assert_exit(&output, 1);
        assert!(stderr(&output).starts_with("error"), "{}", stderr(&output));
    }
}

/// Letters for which a format has none are named where the file is accounted for: on the terminal and in the manifest.
#[test]
fn letters_that_a_format_lacks_are_named_in_its_account() {
    let folder = folder_with(
        "letters",
        &[("han.toml", "name = '漢字 Łódź'\nunit = 'in'\nouter = [11, 14]\nopening.size = [6, 8]\n")],
    );
    let output =
        run(&folder, &["draw", "han.toml", "--view", "back", "--format", "pdf,hpgl,svg", "--manifest", "done.jsonl"]);
    assert_exit(&output, 0);
    let entry: Value = serde_json::from_str(fs::read_to_string(folder.join("done.jsonl")).unwrap().trim()).unwrap();
    let notes: Vec<&str> = entry["notes"].as_array().unwrap().iter().map(|note| note.as_str().unwrap()).collect();
    for (file, cause) in [
        ("han-back.pdf", "the PDF font has no letters for “漢字”"),
        ("han-back.plt", "the stroke font has no letters for “漢字”"),
    ] {
        let is_said = |note: &str| note.contains(file) && note.contains(cause) && note.contains("boxes");
        assert!(notes.iter().any(|note| is_said(note)), "{notes:?}");
        assert!(stderr(&output).lines().any(is_said), "{}", stderr(&output));
    }
    assert_eq!(notes.len(), 2, "{notes:?}");
}
