//! The name of an opening stands beside its number wherever openings are numbered.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::process::Command;

use crate::common::jobs::resolve;

const JOB: &str = "name = \"Two\"\nunit = \"in\"\nouter = [20, 16]\n[[opening]]\nname = \"Anna\"\nart = [5, 7]\n[[opening]]\nname = \"Bert\"\nart = [5, 7]\n";

/// Runs the program on the job; returns what it prints and what it writes.
fn run(words: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("two.toml");
    std::fs::write(&job, JOB).unwrap();
    let words = words.iter().map(|word| if *word == "JOB" { job.to_str().unwrap() } else { word });
    let output = Command::new(env!("CARGO_BIN_EXE_backline")).args(words).current_dir(folder.path()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut told = String::from_utf8_lossy(&output.stdout).into_owned();
    for entry in std::fs::read_dir(folder.path()).unwrap() {
        let path = entry.unwrap().path();
        if path != job && path.is_file() {
            told += &String::from_utf8_lossy(&std::fs::read(path).unwrap());
        }
    }
    told
}

#[test]
fn names_are_told_by_every_command() {
    for (words, part) in [
        (&["check", "JOB"][..], "opening 2 (Bert): rectangle"),
        (&["check", "JOB", "--json"], "\"name\": \"Bert\""),
        (&["settings", "JOB"], "2 (Bert)"),
        (&["settings", "JOB", "--format", "text"], "cut opening 2 (Bert), top"),
        (&["settings", "JOB", "--format", "json"], "\"opening_name\": \"Bert\""),
        (&["settings", "JOB", "--format", "pdf", "-o", "card.pdf"], "2 \\(Bert\\)"),
        (&["draw", "JOB", "--view", "back", "--format", "polylines", "-o", "."], "Bert"),
        (&["workshop", "JOB", "-o", "."], "2 Bert"),
        (&["print", "JOB", "--only", "bert", "-o", "."], "ONLY opening 2 \\(Bert\\) is printed."),
    ] {
        let told = run(words);
        assert!(told.contains(part), "no {part} in {words:?}:\n{told}");
    }
}

#[test]
fn names_are_told_in_problems() {
    let text = |job: &str| resolve(job).problems.iter().map(|problem| problem.to_string() + "\n").collect::<String>();
    let tight = JOB.replace("art = [5, 7]\n[[", "art = [5, 7]\nat = { left = 0.1, top = 4 }\n[[");
    assert!(text(&tight).contains("opening 1 (Anna)"), "{}", text(&tight));
    let curve = JOB.replace("name = \"Anna\"", "name = \"Anna\"\nshape.rectangle.corners.all.scooped = 0.5")
        + "bevel = \"reverse\"";
    assert!(!text(&curve).contains("opening 1:"), "{}", text(&curve));
    let long = JOB.replace("Anna", &"a".repeat(300));
    assert!(text(&long).contains("opening[0].name"), "{}", text(&long));
}

#[test]
fn names_are_told_of_measured_files() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("two.toml");
    std::fs::write(&job, JOB).unwrap();
    let run = |words: &[&str]| {
        let output =
            Command::new(env!("CARGO_BIN_EXE_backline")).args(words).current_dir(folder.path()).output().unwrap();
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    run(&["draw", "two.toml", "--view", "cut", "--format", "dxf", "-o", "."]);
    let told = run(&["measure", "two-cut.dxf", "--against", "two.toml", "--json"]);
    assert!(told.contains("cut 2 (Bert)"), "{told}");
}

#[test]
fn names_are_written_into_what_a_machine_cuts_out() {
    use backline::machine::{FalloutLabels, Machine};

    let resolved = resolve(JOB);
    let mat = resolved.sound().unwrap();
    let strokes = |labels: FalloutLabels| {
        let machine = Machine { labels, ..Machine::starter("pen-plotter").unwrap() };
        let planned = machine.plan(mat, &mat.layers()[0]);
        let program = planned.value.unwrap();
        let passes = program.passes.iter().filter(|pass| pass.tool.work.name() == "label");
        passes.map(|pass| pass.strokes.len()).sum::<usize>()
    };
    let (numbers, names) = (strokes(FalloutLabels::Numbers), strokes(FalloutLabels::Names));
    assert!(numbers > 0 && names > numbers, "{numbers} {names}");
}
