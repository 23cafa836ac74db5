//! The rules of the house: modules in the order in which data flows, short files that say what they are for.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A file has fewer lines than this before its own tests.
const MOST_LINES: usize = 400;

pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder, in the order of its path.
pub(crate) fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// Every Rust file of the project.
fn all_files() -> Vec<PathBuf> {
    ["src", "tests", "examples", "benches"]
        .into_iter()
        .map(|folder| root().join(folder))
        .filter(|folder| folder.is_dir())
        .flat_map(|folder| rust_files(&folder))
        .collect()
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap().display().to_string()
}

/// The code of a file without its tests.
pub(crate) fn without_tests(text: &str) -> &str {
    let starts = [
        "#[cfg(test)]\nmod tests",
        "#[cfg(all(test, feature = \"pdf\"))]\nmod tests",
        "#[cfg(all(test, feature = \"schema\"))]\npub(crate) mod from_schema",
    ];
    starts.into_iter().find_map(|start| text.split_once(start)).map_or(text, |(code, _)| code)
}

/// Takes out comments, in which any module may be named.
fn without_comments(text: &str) -> String {
    text.lines().map(|line| line.split_once("//").map_or(line, |(code, _)| code)).collect::<Vec<_>>().join("\n")
}

/// The modules of the library in the order of `lib.rs`.
fn modules() -> Vec<String> {
    let lib = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let names = lib.lines().filter_map(|line| line.strip_prefix("pub mod ").or(line.strip_prefix("mod ")));
    names.map(|name| name.trim_end_matches(';').to_owned()).collect()
}

/// The modules that a piece of code names after `crate::`, in groups in braces too.
fn used_modules(code: &str) -> Vec<String> {
    let mut used = Vec::new();
    let word = |text: &str| text.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        match rest.strip_prefix('{') {
            None => used.push(word(rest)),
            Some(group) => {
                let mut depth = 0;
                let mut start = 0;
                for (end, letter) in group.char_indices() {
                    match letter {
                        '{' => depth += 1,
                        ',' | '}' if depth == 0 => {
                            used.push(word(&group[start..end]));
                            start = end + 1;
                            if letter == '}' {
                                break;
                            }
                        }
                        '}' => depth -= 1,
                        _ => {}
                    }
                }
            }
        }
    }
    used.retain(|name| !name.is_empty());
    used
}

#[test]
fn groups_of_uses_are_seen() {
    let code = "use crate::geometry::Arc;\nuse crate::{mat::{Mat, Layer}, view, job::Job};\ncrate::length::parse(x)";
    assert_eq!(used_modules(code), ["geometry", "mat", "view", "job", "length"]);
}

#[test]
fn a_module_uses_only_those_before_it() {
    let modules = modules();
    assert!(modules.len() > 5, "{modules:?}");
    let mut complaints = Vec::new();
    for (place, module) in modules.iter().enumerate() {
        let folder = root().join("src").join(module);
        let files = if folder.is_dir() { rust_files(&folder) } else { vec![folder.with_extension("rs")] };
        for file in files {
            let text = fs::read_to_string(&file).unwrap();
            let code = without_comments(without_tests(&text));
            for used in used_modules(&code) {
                match modules.iter().position(|name| *name == used) {
                    Some(other) if other <= place => {}
                    Some(_) => complaints.push(format!("{} uses {used}, which comes after {module}", shown(&file))),
                    None => complaints.push(format!("{} uses {used}, which lib.rs does not list", shown(&file))),
                }
            }
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// What the core is made of: it knows nothing of the departments.
const CORE: [&str; 17] = [
    "tolerance",
    "length",
    "problem",
    "geometry",
    "mat",
    "job",
    "layout",
    "dimensions",
    "summary",
    "drawing",
    "page",
    "picture",
    "view",
    "workshop",
    "tiling",
    "program",
    "formats",
];
/// Work that starts from a mat and has rules, files and pages of its own.
const DEPARTMENTS: [&str; 3] = ["bench", "sheets", "machine"];

#[test]
fn the_core_comes_before_the_departments() {
    // A module uses only those before it, so that its place says what it may know.
    let modules = modules();
    let place = |name: &str| modules.iter().position(|module| module == name).unwrap_or_else(|| panic!("no {name}"));
    for core in CORE {
        for department in DEPARTMENTS {
            assert!(place(core) < place(department), "{core} is part of the core and stands after {department}");
        }
    }
}

#[test]
fn the_planner_of_cuts_depends_on_nothing_else_of_the_crate() {
    let mut complaints = Vec::new();
    for file in rust_files(&root().join("src/sheets/cutting")) {
        let text = fs::read_to_string(&file).unwrap();
        let code = without_comments(without_tests(&text)).replace("pub(in crate::sheets)", "pub");
        for outside in ["crate::", "super::super"] {
            if code.contains(outside) {
                complaints.push(format!("{} uses {outside}", shown(&file)));
            }
        }
    }
    let entry = fs::read_to_string(root().join("src/sheets/cutting/mod.rs")).unwrap();
    assert!(!without_comments(without_tests(&entry)).contains("use super::"), "src/sheets/cutting/mod.rs uses sheets");
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn only_the_command_line_touches_files_and_terminals() {
    let mut complaints = Vec::new();
    for file in rust_files(&root().join("src")) {
        let name = shown(&file);
        if name.starts_with("src/cli") || name == "src/main.rs" {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        let code = without_comments(without_tests(&text));
        for word in
            ["std::fs", "std::env", "std::io::std", "std::time", "println!", "std::process", "HashMap", "HashSet"]
        {
            if code.contains(word) {
                complaints.push(format!("{name} uses {word}"));
            }
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for_and_is_short() {
    let mut complaints = Vec::new();
    for file in all_files() {
        let text = fs::read_to_string(&file).unwrap();
        if !text.starts_with("//! ") {
            complaints.push(format!("{} does not open with a //! sentence", shown(&file)));
        }
        let lines = if shown(&file).starts_with("src") { without_tests(&text).lines().count() } else { 0 };
        if lines >= MOST_LINES {
            complaints.push(format!("{} has {lines} lines before its tests", shown(&file)));
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn nothing_is_left_for_later_and_no_test_is_skipped() {
    // Put together here, so that this file does not hold them itself.
    let words: Vec<String> = [("TO", "DO"), ("FIX", "ME"), ("XX", "X"), ("HA", "CK"), ("#[ig", "nore"), ("dbg", "!(")]
        .into_iter()
        .map(|(start, end)| format!("{start}{end}"))
        .collect();
    let mut complaints = Vec::new();
    for file in all_files() {
        let text = fs::read_to_string(&file).unwrap();
        for (number, line) in text.lines().enumerate() {
            let tracker = line
                .to_lowercase()
                .split("issue ")
                .skip(1)
                .any(|rest| rest.starts_with(|c: char| c.is_ascii_digit() || c == '#'));
            if tracker || words.iter().any(|word| line.contains(word.as_str())) {
                complaints.push(format!("{}:{}: {}", shown(&file), number + 1, line.trim()));
            }
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn every_allowance_of_a_lint_has_a_reason() {
    let mut complaints = Vec::new();
    for file in all_files() {
        let text = fs::read_to_string(&file).unwrap();
        for start in ["allow(", "expect("] {
            for hash in ["#[", "#![", "cfg_attr("] {
                for (at, _) in text.match_indices(&format!("{hash}{start}")) {
                    let attribute = text[at..].split_once(")]").map_or("", |(attribute, _)| attribute);
                    if !attribute.contains("reason = ") {
                        complaints.push(format!("{}: {attribute}", shown(&file)));
                    }
                }
            }
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The largest number that is taken for a tolerance: a pencil line is ten times as wide.
const LARGEST_TOLERANCE: f64 = 0.05;

/// Small numbers that are no tolerances: units, sizes of what is drawn, limits of what is plausible, shares of colours and of time,
/// coefficients of formulae, and the least numbers that are taken for meant.
const SMALL_NUMBERS: &[(&str, &[&str])] = &[
    ("src/bench/calibration/fitted.rs", &["0.05"]),
    ("src/bench/calibration/together.rs", &["0.02", "0.03", "0.04"]),
    ("src/bench/card_cell.rs", &["0.05"]),
    ("src/formats/dxf/head.rs", &["0.001", "0.0254"]),
    ("src/formats/dxf/reader/mod.rs", &["0.001", "0.0254", "25.4e-6"]),
    ("src/formats/dxf/reader/spline.rs", &["1e-6"]),
    ("src/formats/hpgl/machine.rs", &["0.025"]),
    ("src/formats/hpgl/reader/letters.rs", &["0.01"]),
    ("src/formats/hpgl/syntax.rs", &["0.025"]),
    ("src/formats/png.rs", &["0.0254"]),
    ("src/formats/svg/reader/view.rs", &["0.01"]),
    ("src/geometry/curve_fit.rs", &["2.73e-4"]),
    ("src/job/length_range.rs", &["0.01", "0.05"]),
    ("src/job/proportion.rs", &["1e-6"]),
    ("src/machine/resolve.rs", &["0.025"]),
    ("src/machine/resolve_tool.rs", &["0.01", "0.002"]),
    ("src/paper/printer_file.rs", &["0.02", "0.05"]),
    ("src/picture/boards.rs", &["0.05"]),
    ("src/picture/moulding.rs", &["0.03", "0.04"]),
    ("src/workshop/section.rs", &["0.04"]),
];

/// The numbers with a decimal point or an exponent in a piece of code, as they are written.
fn decimals(code: &str) -> Vec<String> {
    let letters: Vec<char> = code.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let starts = letters[at].is_ascii_digit();
        let mut number = String::new();
        // A word or a number: a digit within a word starts no number.
        while let Some(&letter) = letters.get(at) {
            let is_sign = number.ends_with('e') && starts && matches!(letter, '-' | '+');
            if !(letter.is_alphanumeric() || letter == '_' || (starts && letter == '.') || is_sign) {
                break;
            }
            number.push(letter);
            at += 1;
        }
        at += usize::from(number.is_empty());
        if starts && number.contains(['.', 'e']) {
            found.push(number);
        }
    }
    found
}

#[test]
fn tolerances_stand_in_their_file() {
    assert_eq!(decimals("x_1e9(1e-9, 0.5..=2.0) + a.0 - 3_000.25e+1"), ["1e-9", "0.5..", "2.0", "3_000.25e+1"]);
    let (mut complaints, mut known) = (Vec::new(), BTreeSet::new());
    for file in rust_files(&root().join("src")) {
        let name = shown(&file);
        // The planner of cuts uses nothing else of the crate.
        if name == "src/tolerance.rs" || name.starts_with("src/sheets/cutting") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        let code = without_comments(without_tests(&text));
        // What stands in quotation marks is text.
        let code: String = code.lines().flat_map(|line| line.split('"').step_by(2).chain(["\n"])).collect();
        for number in decimals(&code) {
            let number = number.trim_end_matches('.');
            let value: f64 = number.replace('_', "").parse().unwrap_or(1.0);
            let is_known = SMALL_NUMBERS.iter().any(|(file, numbers)| *file == name && numbers.contains(&number));
            known.extend(is_known.then(|| (name.clone(), number.to_owned())));
            if value > 0.0 && value <= LARGEST_TOLERANCE && !is_known {
                complaints.push(format!("{name}: {number} belongs in src/tolerance.rs, with its reason"));
            }
        }
    }
    for (file, numbers) in SMALL_NUMBERS {
        let idle = numbers.iter().filter(|number| !known.contains(&((*file).to_owned(), (**number).to_owned())));
        complaints.extend(idle.map(|number| format!("{file} has no {number} any more: take it off the list")));
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The file or folder of a kind, its names, and the lines that name it in other files.
type Registered = (&'static str, &'static [&'static str], &'static [(&'static str, usize)]);

/// Where the names of one shape, one family of formats, one view and one machine stand outside their own files: in so many
/// lines of these files, as DEVELOPERS.md counts them for whoever adds another.
const REGISTERED: &[Registered] = &[
    // A heart has a problem of its own, whose code is listed.
    (
        "src/job/shape/heart.rs",
        &["heart", "Heart"],
        &[("src/job/mod.rs", 1), ("src/job/shape/mod.rs", 2), ("src/problem/codes.rs", 1)],
    ),
    ("src/formats/gcode", &["gcode"], &[("src/formats/mod.rs", 1), ("src/formats/table.rs", 1)]),
    ("src/formats/hpgl/machine.rs", &["machine::HpGlPrograms"], &[("src/formats/hpgl/mod.rs", 1)]),
    ("src/formats/hpgl/reader", &["reader::HpGlReader"], &[("src/formats/hpgl/mod.rs", 1)]),
    ("src/formats/polylines/json.rs", &["PolylinesJson"], &[("src/formats/polylines/mod.rs", 2)]),
    ("src/view/face_outlines.rs", &["face_outlines"], &[("src/view/mod.rs", 1)]),
    ("src/view/face_outlines.rs", &["View::FACE"], &[("src/view/mod.rs", 1)]),
    ("src/machine/starters/drawing-exchange.toml", &["drawing-exchange"], &[("src/machine/starters.rs", 1)]),
];

#[test]
fn a_new_kind_is_named_in_few_places() {
    for (own, words, places) in REGISTERED {
        assert!(root().join(own).exists(), "{own}");
        let mut found = Vec::new();
        for file in rust_files(&root().join("src")) {
            let name = shown(&file);
            let text = fs::read_to_string(&file).unwrap();
            let code = without_comments(without_tests(&text));
            let is_word = |letter: char| letter.is_alphanumeric() || letter == '_';
            let names = |line: &&str| {
                words.iter().any(|word| {
                    line.match_indices(word)
                        .any(|(at, _)| !line[..at].ends_with(is_word) && !line[at + word.len()..].starts_with(is_word))
                })
            };
            let count = code.lines().filter(names).count();
            if count > 0 && !name.starts_with(own) {
                found.push((name, count));
            }
        }
        let found: Vec<(&str, usize)> = found.iter().map(|(name, count)| (name.as_str(), *count)).collect();
        assert_eq!(found, *places, "{words:?}");
    }
}
