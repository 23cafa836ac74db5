//! What commands print for programs is what their schemas say: the outputs of all commands that print data are validated against
//! `backline schema KIND` with the validator of another project.
//!
//! It is stricter than the schemas in one way: a key that a schema does not list is a fault.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::{Value, json};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(arguments: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(root()).args(arguments).output().unwrap()
}

fn printed(arguments: &[&str]) -> String {
    String::from_utf8(run(arguments).stdout).unwrap()
}

/// Makes every key that a schema does not list a fault; what stands beside the keys of an object belongs to it.
fn close(schema: &mut Value, is_part: bool) {
    let Value::Object(keywords) = schema else { return };
    let has_keys = keywords.contains_key("properties");
    if has_keys && !is_part && !keywords.contains_key("additionalProperties") {
        keywords.insert("unevaluatedProperties".to_owned(), json!(false));
    }
    for (keyword, value) in keywords {
        match (keyword.as_str(), value) {
            ("properties" | "$defs", Value::Object(parts)) => parts.values_mut().for_each(|part| close(part, false)),
            ("anyOf" | "oneOf" | "allOf", Value::Array(parts)) => {
                parts.iter_mut().for_each(|part| close(part, has_keys || is_part));
            }
            ("items" | "additionalProperties", part) => close(part, false),
            ("prefixItems", Value::Array(parts)) => parts.iter_mut().for_each(|part| close(part, false)),
            _ => {}
        }
    }
}

fn schema(kind: &str) -> Value {
    serde_json::from_str(&printed(&["schema", kind])).unwrap()
}

#[track_caller]
fn faults(validator: &jsonschema::Validator, value: &Value) -> Vec<String> {
    validator.iter_errors(value).map(|error| format!("{}: {error}", error.instance_path())).take(3).collect()
}

/// Validates outputs: an object each, or an array of them.
#[track_caller]
fn validate(kind: &str, outputs: &[String]) {
    let mut schema = schema(kind);
    let version = schema["properties"]["schema"]["const"].as_str().unwrap_or_else(|| panic!("{kind} has no version"));
    let (name, number) = version.split_once('/').unwrap();
    assert!(name.starts_with("backline-") && number.parse::<u32>().is_ok(), "{version}");
    close(&mut schema, false);
    let validator = jsonschema::validator_for(&schema).unwrap();
    assert!(!outputs.is_empty(), "{kind}: nothing to validate");
    let mut first = None;
    for output in outputs {
        let value: Value = serde_json::from_str(output).unwrap_or_else(|error| panic!("{kind}: {error}\n{output}"));
        let values = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
        for value in values {
            let faults = faults(&validator, &value);
            assert!(faults.is_empty(), "{kind}: {faults:#?}");
            first.get_or_insert(value);
        }
    }
    // A validator that finds nothing wrong with anything would prove nothing.
    let mut spoiled = first.unwrap();
    spoiled["no_such_key"] = json!(1);
    assert!(!validator.is_valid(&spoiled), "{kind}: a key that is not listed");
    assert!(!validator.is_valid(&json!({ "schema": "other/1" })), "{kind}");
}

/// Returns the files with an ending in the folders of a folder.
fn files_in(folder: &str, ending: &str) -> Vec<String> {
    let mut found = BTreeSet::new();
    let mut folders: Vec<PathBuf> = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_str().unwrap().ends_with(ending) {
                found.insert(path.strip_prefix(root()).unwrap().display().to_string());
            }
        }
    }
    found.into_iter().collect()
}

/// The jobs of the examples and of the golden folders of mats.
fn jobs() -> Vec<String> {
    let mut jobs = files_in("examples/jobs", ".toml");
    jobs.extend(files_in("examples/jobs", ".json"));
    jobs.extend(files_in("golden-files/mats", "job.toml"));
    assert!(jobs.len() > 30, "{jobs:?}");
    jobs
}

fn of_all(before: &[&str], files: &[String]) -> String {
    printed(&before.iter().copied().chain(files.iter().map(String::as_str)).collect::<Vec<_>>())
}

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::to_owned).collect()
}

#[test]
fn checks_are_what_their_schema_says() {
    let wrong = files_in("golden-files/problems", ".job.toml");
    let outputs = [of_all(&["check", "--json"], &jobs()), of_all(&["check", "--json", "no-such-file.toml"], &wrong)];
    validate("check", &outputs);
}

#[test]
fn settings_are_what_their_schema_says() {
    let mut outputs = vec![of_all(&["settings", "--format", "json"], &jobs())];
    for cutter in files_in("golden-files/bench", "cutter.toml") {
        let job = cutter.replace("cutter.toml", "job.toml");
        outputs.push(printed(&["settings", "--json", &job, "--cutter", &cutter]));
    }
    validate("settings", &outputs);
    let day = files_in("golden-files/whole-order", ".toml");
    let day: Vec<String> = day.into_iter().filter(|file| !file.ends_with("cutter.toml")).collect();
    validate("whole-order", &[of_all(&["settings", "--together", "--json"], &day)]);
}

#[test]
fn sheet_plans_are_what_their_schema_says() {
    let mut outputs = vec![of_all(&["sheets", "--json", "--time", "1"], &files_in("examples/jobs", ".toml"))];
    for order in files_in("golden-files", "order.toml") {
        let stock = order.replace("order.toml", "stock.toml");
        if root().join(&stock).is_file() {
            outputs.push(printed(&["sheets", "--json", "--time", "0.1", &order, "--stock", &stock]));
        }
    }
    outputs.retain(|output| !output.is_empty());
    assert!(outputs.len() > 3, "{}", outputs.len());
    validate("sheets", &outputs);
}

#[test]
fn ledgers_are_what_their_schemas_say() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let (order, stock) = (at("order.toml"), at("stock.toml"));
    fs::write(&order, "unit = 'in'\n[[blank]]\nsize = [16, 20]\nquantity = 2\n").unwrap();
    fs::write(&stock, "unit = 'in'\n[[sheet]]\nsize = [32, 40]\non_hand = 9\n").unwrap();
    let told = |arguments: &[&str]| printed(&[&["stock"], arguments, &["--stock", &stock, "--json"]].concat());
    for id in ["117", "118"] {
        assert!(run(&["sheets", &order, "--stock", &stock, "--reserve", id, "--time", "0.1"]).status.success());
    }
    let reserved = told(&["report"]);
    let cut = told(&["cut", "117", "--on", "2026-11-30", "--place", "rack B"]);
    let changes = [cut.clone(), told(&["cut", "117"]), told(&["cancel", "118"])];
    validate("stock-change", &changes);
    validate("ledger", &[reserved.clone(), told(&["report", "--days", "2026"])]);
    let value = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    assert_eq!(value(&reserved)["orders"][0]["state"], "reserved");
    assert_eq!((&value(&cut)["changed"], &value(&cut)["offcuts"][0]["place"]), (&json!(true), &json!("rack B")));
    assert_eq!(value(&changes[1])["changed"], false);
    assert_eq!(value(&changes[2]).get("state"), None, "a cancelled order is gone");
    let refused = run(&["stock", "cut", "119", "--stock", &stock, "--json"]);
    assert_eq!(refused.status.code(), Some(1));
    validate("problems", &lines(&String::from_utf8(refused.stderr).unwrap()));
}

#[test]
fn measured_files_are_what_their_schema_says() {
    let mut files = Vec::new();
    for ending in [".svg", ".dxf", ".hpgl", ".txt", ".json", ".nc"] {
        files.extend(files_in("golden-files/mats/single-rectangle", ending));
        files.extend(files_in("golden-files/machines", ending));
        files.extend(files_in("tests/foreign", ending));
    }
    files.retain(|file| !file.ends_with("expected.json"));
    let read = of_all(&["measure", "--json"], &files);
    let job = "golden-files/mats/single-rectangle/job.toml";
    let against =
        of_all(&["measure", "--json", "--against", job], &files_in("golden-files/mats/single-rectangle", ".svg"));
    validate("measure", &[read, against]);
}

#[test]
fn manifests_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let (out, list) = (at("out"), at("list"));
    // Those of a folder keep their folders, so that no two have the same name.
    let wrong = "golden-files/problems/contradiction.job.toml";
    printed(&["draw", wrong, "examples/jobs", "golden-files/mats", "-o", &out, "--manifest", &list]);
    let manifest = fs::read_to_string(&list).unwrap();
    assert!(manifest.lines().count() > jobs().len(), "{manifest}");
    let (out, list) = (at("nested"), at("nested-list"));
    printed(&["draw", "examples/jobs", "--nest", "--sheet", "32 x 40 in", "-o", &out, "--manifest", &list]);
    let nested = fs::read_to_string(&list).unwrap();
    assert!(nested.lines().count() > 3, "{nested}");
    validate("manifest", &lines(&(manifest + &nested)));
}

#[test]
fn calibrations_and_squareness_are_what_their_schemas_say() {
    let mut records = files_in("golden-files/problems", ".record.toml");
    records.extend(files_in("golden-files/calibration", "measured.toml"));
    let outputs: Vec<String> = records.iter().map(|record| printed(&["calibrate", "fit", "--json", record])).collect();
    assert!(outputs.len() > 5);
    validate("calibration", &outputs);
    let square = |test: &[&str]| printed(&[&["square", "--unit", "mm", "--json"], test].concat());
    validate(
        "square",
        &[
            square(&["sides", "300", "300.8", "400"]),
            square(&["diagonals", "300", "400", "500", "501"]),
            square(&["gap", "600", "1", "--at", "end"]),
            square(&["triangle", "600", "800", "1000"]),
        ],
    );
}

#[test]
fn test_pieces_and_printers_are_what_their_schemas_say() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let pieces = |more: &[&str]| printed(&[&["calibrate", "piece", "--json"], more].concat());
    let planned = pieces(&["-o", &at("pieces"), "--by-eye", "1"]);
    let files = serde_json::from_str::<Value>(&planned).unwrap()["files"].as_array().unwrap().clone();
    assert!(files.len() == 10 && files.iter().all(|file| Path::new(file.as_str().unwrap()).is_file()), "{files:?}");
    validate("test-pieces", &[planned, pieces(&["-n", "1", "--format", "pdf", "-o", &at("piece.pdf")])]);

    let page = printed(&["printer", "page", "--json", "--paper", "letter", "-o", &at("test.pdf")]);
    validate("printer-page", std::slice::from_ref(&page));
    let page: Value = serde_json::from_str(&page).unwrap();
    let measured = |key: &str| format!("{} mm", 1.01 * page[key].as_f64().unwrap());
    let (short, long, out) = (measured("short"), measured("long"), at("office.toml"));
    let saved = ["printer", "save", "--json", "--paper", "letter", "--short", &short, "--long", &long, "-o", &out];
    let saved = printed(&saved);
    let stretch = serde_json::from_str::<Value>(&saved).unwrap()["stretch_short"].as_f64().unwrap();
    assert!((stretch - 1.01).abs() < 1e-6, "{saved}");
    validate("printer-found", &[saved]);
}

#[test]
fn troubles_and_signs_are_what_their_schemas_say() {
    let signs = printed(&["trouble", "--json"]);
    let listed: Value = serde_json::from_str(&signs).unwrap();
    let mut outputs = vec![printed(&["trouble", "drift", "--json", "length=300mm"])];
    for sign in listed["signs"].as_array().unwrap() {
        outputs.push(printed(&["trouble", sign["name"].as_str().unwrap(), "--json"]));
    }
    assert!(outputs.len() > 5);
    validate("trouble", &outputs);
    validate("signs", &[signs]);
}

#[test]
fn machines_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("broken.toml"), "format = 'dxf-r12'\nbed = 3\n").unwrap();
    let own = folder.path().display().to_string();
    let all = printed(&["machines", "--json", "--folder", &own]);
    assert!(all.contains("\"broken\"") && all.contains("\"pen-plotter\""), "{all}");
    validate("machines", &[all, printed(&["machines", "--json", "pen-plotter"])]);
}

#[test]
fn printed_pages_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out").display().to_string();
    validate("print", &lines(&printed(&["print", "--json", "-o", &out, "examples/jobs", "golden-files/print"])));
}

#[test]
fn quotes_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    let shop = folder.path().join("shop.toml").display().to_string();
    let priced = "unit = 'in'\nprice = { glass = 4, hour = 60, minutes_per_cut = 0.5, currency = 'EUR' }\n\
                  [[board]]\nname = '4-ply'\nsheet = { size = [32, 40], price = 10 }\n";
    fs::write(&shop, priced).unwrap();
    let job = "examples/jobs/harbour-print.toml";
    validate(
        "quote",
        &[
            printed(&["quote", "--json", "--shop", &shop, job]),
            printed(&["quote", "--json", "--shop", &shop, job, job]),
        ],
    );
}

/// What people write has a schema too, and what `new` gives them to start from is valid by it.
#[test]
fn files_to_start_from_are_what_their_schemas_say() {
    for kind in ["job", "cutter", "order", "stock", "machine", "printer", "shop"] {
        let validator = jsonschema::validator_for(&schema(kind)).unwrap();
        let starter: Value = serde_json::from_str(&printed(&["new", kind, "--json"])).unwrap();
        let commented: Value = toml::from_str(&printed(&["new", kind])).unwrap();
        // Editors find the schema by the first line of TOML, and by a key of JSON where the kind has it.
        let mut without_schema = starter.clone();
        let named = without_schema.as_object_mut().unwrap().remove("$schema");
        assert_eq!((named.is_some(), &without_schema), (["job", "shop"].contains(&kind), &commented), "{kind}");
        assert_eq!(faults(&validator, &starter), Vec::<String>::new(), "{kind}");
        assert!(!validator.is_valid(&json!({ "no_such_key": 1 })), "{kind}");
    }
    let validator = jsonschema::validator_for(&schema("job")).unwrap();
    for job in jobs() {
        let text = fs::read_to_string(root().join(&job)).unwrap();
        let value: Value =
            if job.ends_with(".json") { serde_json::from_str(&text).unwrap() } else { toml::from_str(&text).unwrap() };
        assert_eq!(faults(&validator, &value), Vec::<String>::new(), "{job}");
    }
}

/// Every kind of data has a schema, and every such schema is held by a test here.
#[test]
fn every_schema_of_what_is_printed_is_held() {
    let tests: String = include_str!("outputs.rs").split_whitespace().collect();
    let help = printed(&["schema", "--help"]);
    let kinds = help.lines().filter_map(|line| line.trim().strip_prefix("- ")?.split_once(':'));
    let printed_kinds: Vec<&str> = kinds
        .filter(|(_, about)| about.trim().starts_with("What ") || about.trim().starts_with("One line "))
        .map(|(kind, _)| kind)
        .collect();
    assert!(printed_kinds.len() > 15, "{help}");
    for kind in printed_kinds {
        assert!(tests.contains(&format!("validate(\"{kind}\"")), "{kind}");
    }
}

/// Commands that print no data: a shell and a person read what they print, `ask` asks a person, and schemas are data already.
const WORDS_ONLY: [&str; 4] = ["completions", "man", "schema", "calibrate ask"];

/// Returns the names of the commands, or of those of a command.
fn commands(of: &[&str]) -> Vec<String> {
    let help = printed(&[of, &["--help"]].concat());
    let Some((_, listed)) = help.split_once("\nCommands:\n") else { return Vec::new() };
    let listed = listed.lines().take_while(|line| line.starts_with(' '));
    let names = listed.filter_map(|line| line.strip_prefix("  ")?.split(' ').next().filter(|name| !name.is_empty()));
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

#[test]
fn every_command_prints_data() {
    let mut all = Vec::new();
    for command in commands(&[]) {
        let below = commands(&[&command]);
        all.extend(below.iter().map(|step| format!("{command} {step}")));
        if below.is_empty() {
            all.push(command);
        }
    }
    assert!(all.len() > 18, "{all:?}");
    // The tests of a command are further down the path of a reading: `square sides`.
    for command in all.iter().filter(|command| !command.starts_with("square ")) {
        let words: Vec<&str> = command.split(' ').collect();
        let has_data = printed(&[words.as_slice(), &["--help"]].concat()).contains("      --json");
        assert_eq!(has_data, !WORDS_ONLY.contains(&command.as_str()), "{command}");
    }
    assert!(printed(&["square", "--help"]).contains("--json"));
}

/// What is wrong with a file is told as data where data is asked for that has no place for it.
#[test]
fn problems_are_told_as_data_where_data_is_asked_for() {
    let at = |name: &str| format!("golden-files/problems/{name}.toml");
    let (job, unreadable, border) = (at("contradiction.job"), at("unreadable.job"), at("thin-border.job"));
    let (order, stock, trouble) = (at("trim.order"), at("trim.stock"), at("number.trouble"));
    let runs: [(&[&str], &str); 21] = [
        (&["settings", "--format", "json", &job], "contradiction"),
        (&["settings", "--format", "json", &unreadable], "unreadable"),
        (&["settings", "--format", "json", &border], "thin-border"),
        (&["sheets", "--json", &order, "--stock", &stock], "trim"),
        (&["sheets", "--json", &job], "contradiction"),
        (&["sheets", "--json", "no-such-order.toml"], "unreadable"),
        (&["print", "--json", &job, "-o", "target/never"], "contradiction"),
        (&["draw", "--json", &job, "-o", "target/never"], "contradiction"),
        (&["draw", "--json", "no-such-job.toml", "-o", "target/never"], "unreadable"),
        (&["workshop", "--json", &job, "-o", "target/never"], "contradiction"),
        (&["picture", "--json", &unreadable, "-o", "target/never"], "unreadable"),
        (&["square", "--json", "--cutter", "no-such-cutter.toml", "sides", "300", "300.8", "400"], "unreadable"),
        (&["measure", "--json", "golden-files/mats/single-rectangle/cut.svg", "--against", &job], "contradiction"),
        (&["trouble", "hook", "--json", "--table", &trouble], "number"),
        (&["stock", "report", "--json", "--stock", "no-such-stock.toml"], "unreadable"),
        (&["calibrate", "piece", "--json", "--cutter", &at("lead.cutter"), "-o", "target/never"], "lead"),
        (&["calibrate", "piece", "--json", "-o", "-"], "command"),
        (&["printer", "save", "--json", "--short", "1", "--long", "270 mm", "-o", "target/never.toml"], "command"),
        (&["check", "--json", "--quantitty", "3", &job], "command"),
        (&["draw", "--json"], "command"),
        (&["sheets", "--json", "--seconds", "many", &order], "command"),
    ];
    let mut lines = Vec::new();
    for (arguments, code) in runs {
        let said = String::from_utf8(run(arguments).stderr).unwrap();
        let found = said
            .lines()
            .map(|line| serde_json::from_str::<Value>(line).unwrap_or_else(|_| panic!("{arguments:?}: {line}")));
        let found: Vec<Value> = found.filter(|line| line["schema"] == "backline-problems/1").collect();
        let codes: Vec<&Value> =
            found.iter().flat_map(|line| line["problems"].as_array().unwrap()).map(|one| &one["code"]).collect();
        assert!(codes.contains(&&code.into()), "{arguments:?}: {said}");
        lines.extend(found.iter().map(Value::to_string));
    }
    let wrong = files_in("golden-files/problems", ".job.toml");
    let said =
        run(&["settings", "--json"].into_iter().chain(wrong.iter().map(String::as_str)).collect::<Vec<_>>()).stderr;
    lines.extend(String::from_utf8(said).unwrap().lines().map(str::to_owned));
    assert!(lines.len() > 60, "{}", lines.len());
    validate("problems", &lines);
}
