//! Files from people whom nobody knows: what is read, what is replaced, and what a terminal gets to see.
#![cfg(all(feature = "cli", unix))]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::io::Write;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};

const JOB: &str = "unit = 'mm'\nouter = [300, 400]\nopening.size = [120, 150]\n";
const LEAF: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60"><path d="M5 30 C25 0 65 0 85 30 C65 60 25 60 5 30 Z"/></svg>"#;

fn with_outline(file: &str) -> String {
    format!("border = '50 mm'\nopening.shape.svg = {{ file = '{file}', width = '100 mm' }}\n")
}

/// Runs the program in a folder; returns what it said, and whether it ended well.
fn run(folder: &Path, arguments: &[&str], input: &str) -> (String, bool) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // A program that has read enough closes its end.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    (String::from_utf8(output.stderr).unwrap(), output.status.success())
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

#[test]
fn files_below_a_folder_are_read_and_all_others_are_refused_alike() {
    let folder = folder(&[("in/leaf.svg", LEAF), ("out.svg", LEAF), ("in/sub/leaf.svg", LEAF)]);
    symlink(folder.path().join("out.svg"), folder.path().join("in/link.svg")).unwrap();
    let outside = folder.path().join("out.svg").display().to_string();
    let mut refusals = Vec::new();
    for (file, is_read) in [
        ("leaf.svg", true),
        ("sub/leaf.svg", true),
        ("../out.svg", false),
        ("link.svg", false),
        ("/dev/stdin", false),
        ("none.svg", false),
        (outside.as_str(), false),
    ] {
        fs::write(folder.path().join("in/job.toml"), with_outline(file)).unwrap();
        let (said, good) = run(folder.path(), &["check", "in/job.toml", "--files-below", "in"], "");
        assert_eq!(good, is_read, "{file}: {said}");
        if !is_read {
            assert!(said.contains("a job may not read this file here"), "{said}");
            refusals.push(said.lines().next().unwrap().replace(file, "FILE"));
        }
    }
    refusals.dedup();
    assert_eq!(refusals.len(), 1, "{refusals:?}");
    assert!(!run(folder.path(), &["check", "in/job.toml", "--files-below", "nowhere"], "").1);
}

#[test]
fn a_stream_names_no_files_unless_it_is_said_where() {
    let folder = folder(&[("leaf.svg", LEAF)]);
    let job = r#"{"border": "50 mm", "opening": {"shape": {"svg": {"file": "leaf.svg", "width": "100 mm"}}}}"#;
    for arguments in [&["check", "--lines", "-"][..], &["check", "-"]] {
        let (said, good) = run(folder.path(), arguments, job);
        assert!(!good && said.contains("--files-below"), "{said}");
        let (said, good) = run(folder.path(), &[arguments, &["--files-below", "."]].concat(), job);
        assert!(good, "{said}");
    }
}

#[test]
fn pipes_and_devices_hang_nothing() {
    let folder = folder(&[("job.toml", JOB), ("stdin.toml", &with_outline("/dev/stdin"))]);
    assert!(Command::new("mkfifo").arg(folder.path().join("pipe")).status().unwrap().success());
    fs::write(folder.path().join("pipe.toml"), with_outline("pipe")).unwrap();
    for job in ["stdin.toml", "pipe.toml"] {
        let (said, good) = run(folder.path(), &["check", job], LEAF);
        assert!(!good && said.contains("a pipe or a device"), "{said}");
    }
    for font in ["/dev/zero", "pipe"] {
        let (said, good) = run(folder.path(), &["draw", "job.toml", "-o", "out", "--font", font], "");
        assert!(!good && said.contains("cannot read the font"), "{said}");
    }
    symlink(folder.path().join("list.jsonl"), folder.path().join("link.jsonl")).unwrap();
    for manifest in ["pipe", "/dev/null", "link.jsonl", "job.toml"] {
        let (said, good) = run(folder.path(), &["draw", "job.toml", "-o", "out", "--manifest", manifest], "");
        assert!(!good && said.contains("manifest"), "{manifest}: {said}");
    }
    assert_eq!(fs::read_to_string(folder.path().join("job.toml")).unwrap(), JOB);
}

#[test]
fn an_output_never_replaces_an_input() {
    let folder = folder(&[("leaf-cut.svg", LEAF), ("leaf.toml", &with_outline("leaf-cut.svg"))]);
    let (said, good) = run(folder.path(), &["draw", "leaf.toml", "--view", "cut", "--format", "svg", "--force"], "");
    assert!(!good && said.contains("never replaces an input"), "{said}");
    assert_eq!(fs::read_to_string(folder.path().join("leaf-cut.svg")).unwrap(), LEAF);
    assert!(run(folder.path(), &["draw", "leaf.toml", "--view", "cut", "--format", "svg", "-o", "out"], "").1);
}

#[test]
fn a_job_that_leads_out_of_its_folder_is_refused() {
    let folder = folder(&[("jobs/a.toml", JOB), ("secret.toml", JOB)]);
    symlink(folder.path().join("secret.toml"), folder.path().join("jobs/b.toml")).unwrap();
    symlink(folder.path().join("jobs/a.toml"), folder.path().join("jobs/c.toml")).unwrap();
    let (said, good) = run(folder.path(), &["draw", "jobs", "-o", "out", "--format", "svg"], "");
    assert!(!good && said.contains("jobs/b.toml") && said.contains("outside the folder"), "{said}");
    let drawn = |name: &str| folder.path().join("out").join(name).exists();
    assert!(drawn("a-back.svg") && drawn("c-back.svg") && !drawn("b-back.svg"));
}

#[test]
fn names_make_no_options_and_are_told_apart() {
    let folder = folder(&[]);
    let line = |name: &str, order: u32| {
        format!(
            r#"{{"name": "{name}", "unit": "mm", "outer": [300, 400], "opening": {{"size": [120, 150]}}, "own": {{"order": {order}}}}}"#
        )
    };
    let jobs = format!("{}\n{}\n", line("--force", 1), line("-rf", 2));
    let common = ["draw", "--lines", "-", "--view", "cut", "--format", "svg", "-o"];
    assert!(run(folder.path(), &[&common[..], &["out"]].concat(), &jobs).1);
    for entry in fs::read_dir(folder.path().join("out")).unwrap() {
        let name = entry.unwrap().file_name();
        assert!(!name.to_string_lossy().starts_with('-'), "{name:?}");
    }
    // Two jobs of one name differ in a key of their own, and what is wrong with one names its line.
    let jobs = format!("{}\n{}\n{{}}\n", line("hall", 7), line("hall", 8));
    let pattern = ["--file-names", "{own.order}-{name}"];
    let (said, good) = run(folder.path(), &[&common[..], &["told"], &pattern].concat(), &jobs);
    assert!(!good && said.contains("-:3"), "{said}");
    assert!(folder.path().join("told/7-hall-cut.svg").exists() && folder.path().join("told/8-hall-cut.svg").exists());
}

#[test]
fn a_board_and_a_job_do_not_share_a_file() {
    let double = format!("{JOB}[[layer]]\nname = 'top'\n[[layer]]\nname = 'low'\nreveal = 5\n");
    let folder = folder(&[("a.toml", &double), ("a-1-top.toml", JOB), ("a-1-x.toml", JOB)]);
    let (said, good) = run(folder.path(), &["draw", "a.toml", "a-1-top.toml", "-o", "out"], "");
    assert!(!good && said.contains("a.toml and a-1-top.toml would be drawn to files of the same name"), "{said}");
    assert!(!folder.path().join("out").exists());
    let (said, good) = run(folder.path(), &["draw", "a.toml", "a-1-x.toml", "-o", "out", "--format", "svg"], "");
    assert!(good, "{said}");
    // What a stream holds is not known beforehand, and --force does not let one job replace the files of another.
    let double = r#"{"name":"a","unit":"mm","outer":[300,400],"opening":{"size":[120,150]},"layer":[{"name":"top"},{"reveal":5}]}"#;
    let single = r#"{"name":"a-1-top","unit":"mm","outer":[300,400],"opening":{"size":[90,150]}}"#;
    for (order, name) in [([double, single], "first"), ([single, double], "second")] {
        let (said, good) = run(folder.path(), &["draw", "--lines", "-", "-o", name, "--force"], &order.join("\n"));
        assert!(!good && said.contains("a-1-top; give one of them another name"), "{said}");
        assert_eq!(said.matches("error: ").count(), 1, "{said}");
    }
}

#[test]
fn a_terminal_obeys_nothing_that_a_file_says() {
    let marks = "\u{1b}]0;x\u{7}\u{9b}2J\u{202e}";
    let folder = folder(&[("job.toml", "unit = 'mm'\nouter = [300, 400]\nopening.size = [1, \"x\"]\n")]);
    let name = format!("odd{marks}.toml");
    fs::write(folder.path().join(&name), format!("unit = 'mm'\n# {marks}\nouter = [300, 'a{marks}b']\n")).unwrap();
    for arguments in [&["check", &name][..], &["draw", &name, "-o", "out"], &["check", "--color", "always", &name]] {
        let (said, good) = run(folder.path(), arguments, "");
        assert!(!good && said.contains("odd"), "{said}");
        let without_colours = said.replace("\u{1b}[", "");
        assert!(!without_colours.contains(['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}']), "{said:?}");
    }
}
