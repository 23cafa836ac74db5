//! File formats are listed once: nothing outside their room knows one by its name.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use backline::formats::{FAMILIES, drawing_formats, program_formats};

use crate::house::{root, rust_files, without_tests};

/// What else is called like a format: JSON is a syntax of jobs, profiles and data, and an opening may be `svg`.
const ALSO_CALLED_SO: [(&str, &str); 3] = [("src", "json"), ("src/job", "svg"), ("src/problem", "svg")];

#[test]
fn nothing_outside_its_folder_compares_the_name_of_a_format() {
    let families = FAMILIES.iter().map(|family| family.facts.name);
    let drawings = drawing_formats().flat_map(|format| [format.name(), format.extension()]);
    let programs = program_formats().flat_map(|format| [format.name(), format.extension()]);
    let names: BTreeSet<&str> = families.chain(drawings).chain(programs).collect();
    assert!(names.contains("pdf") && names.contains("plt") && names.contains("svg-cut"), "{names:?}");
    let mut complaints = Vec::new();
    for file in rust_files(&root().join("src")) {
        let path = file.strip_prefix(root()).unwrap().display().to_string();
        if path.starts_with("src/formats") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        for (number, line) in without_tests(&text).lines().enumerate() {
            // Which format is usual is a choice of a command, and comments, features and help may name any.
            let code = line.split("//").next().unwrap_or_default();
            if code.contains("default_value") || code.contains("feature =") {
                continue;
            }
            for literal in code.split('"').skip(1).step_by(2) {
                let name = literal.trim_start_matches('.');
                let is_other = ALSO_CALLED_SO.iter().any(|(folder, word)| path.starts_with(folder) && *word == name);
                if names.contains(name) && !is_other {
                    complaints.push(format!("{path}:{}: {}", number + 1, line.trim()));
                }
            }
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}
