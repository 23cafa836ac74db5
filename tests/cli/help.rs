//! Help that fits a screen, and the reference of keys.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::process::Command;

/// A terminal of an office is no smaller.
const SCREEN: (usize, usize) = (40, 80);

fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_backline")).args(arguments).env("COLUMNS", "80").output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Returns the commands that the help of a command lists.
fn listed(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let named = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names = named.filter_map(|line| line.split_whitespace().next().map(str::to_owned));
    names.filter(|name| name != "help").collect()
}

#[test]
fn the_short_help_of_every_command_fits_a_screen() {
    let top = printed(&["-h"]);
    let mut all = vec![vec!["-h".to_owned()]];
    for command in listed(&top) {
        let below = listed(&printed(&[&command, "-h"]));
        all.extend(below.into_iter().map(|step| vec![command.clone(), step, "-h".to_owned()]));
        all.push(vec![command, "-h".to_owned()]);
    }
    assert!(all.len() > 25, "{all:?}");
    for words in all {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let help = printed(&words);
        assert!(help.lines().count() <= SCREEN.0, "{words:?}: {} lines", help.lines().count());
    }
}

#[test]
fn the_long_help_has_everything_and_the_short_one_says_so() {
    let (short, long) = (printed(&["draw", "-h"]), printed(&["draw", "--help"]));
    for option in ["--dxf-figures", "--machine", "--nest", "--files-below", "drawn.jsonl"] {
        assert!(long.contains(option), "{option}: {long}");
    }
    for words in ["--format", "--view", "--output", "backline draw --help", "backline draw harbour.toml"] {
        assert!(short.contains(words), "{words}: {short}");
    }
}

#[test]
fn help_of_a_kind_of_file_names_every_key() {
    let text = printed(&["help", "job"]);
    let tables = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/src/job/job.tables")).unwrap();
    for line in tables.lines() {
        let (path, keys) = line.split_once(':').unwrap();
        for key in keys.split_whitespace() {
            let named = text.lines().any(|line| {
                line.split(" = ").next().is_some_and(|name| name == key || name.ends_with(&format!(".{key}")))
            });
            assert!(named, "{path}: {key}");
        }
    }
    let lines = |words: &str| text.lines().any(|line| line == words);
    assert!(lines("frame.clearance = \"1/8 in\"") && lines("border = 3"), "{text}");
    assert!(text.contains("One of \"top\", \"middle\", \"bottom\"."), "{text}");
    assert!(
        text.lines()
            .all(|line| line.starts_with(|letter: char| !letter.is_whitespace()) || line.chars().count() <= 100)
    );
    for kind in ["order", "shop", "cutter", "machine"] {
        assert!(printed(&["help", kind]).lines().count() > 20, "{kind}");
    }
    // What is a command as well has its own help.
    assert!(printed(&["help", "stock"]).contains("Usage: backline stock"));
}

#[test]
fn starters_name_their_schemas_for_editors() {
    for kind in ["job", "order", "stock", "cutter", "machine", "printer", "shop"] {
        let text = printed(&["new", kind]);
        assert!(text.starts_with(&format!("#:schema {kind}.schema.json\n")), "{text}");
        assert!(
            text.lines().nth(1).unwrap().contains(&format!("backline schema {kind} > {kind}.schema.json")),
            "{text}"
        );
    }
    let json: serde_json::Value = serde_json::from_str(&printed(&["new", "--json"])).unwrap();
    assert_eq!(json["$schema"], "job.schema.json");
}

#[test]
fn slips_in_names_are_answered_with_the_nearest_one() {
    let refused = |arguments: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_backline")).args(arguments).output().unwrap();
        assert_ne!(output.status.code(), Some(0), "{arguments:?}");
        String::from_utf8(output.stderr).unwrap()
    };
    for (arguments, near) in [
        (
            ["draw", "examples/jobs/harbour-print.toml", "--machine", "pen-ploter"].as_slice(),
            "did you mean pen-plotter?",
        ),
        (&["drow", "job.toml"], "'draw'"),
        (&["draw", "job.toml", "--formt", "svg"], "'--format'"),
        (&["draw", "job.toml", "--format", "polylins"], "'polylines'"),
        (&["new", "ordr"], "'order'"),
    ] {
        let said = refused(arguments);
        assert!(said.contains(near), "{arguments:?}: {said}");
    }
}
