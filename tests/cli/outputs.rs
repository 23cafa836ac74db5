//! What commands print for programs is what their schemas say: every output is validated against `backline schema KIND`.
//!
//! The validator knows the keywords that our schemas use and stops at any other. It is stricter than JSON Schema in one way: a
//! key that the schema does not list is a fault.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn printed(arguments: &[&str]) -> String {
    let run = Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(root()).args(arguments).output().unwrap();
    String::from_utf8(run.stdout).unwrap()
}

struct Validator {
    schema: Value,
}

impl Validator {
    fn new(kind: &str) -> Self {
        let schema: Value = serde_json::from_str(&printed(&["schema", kind])).unwrap();
        let version =
            schema["properties"]["schema"]["const"].as_str().unwrap_or_else(|| panic!("{kind} has no version"));
        let (name, number) = version.split_once('/').unwrap();
        assert!(name.starts_with("backline-") && number.parse::<u32>().is_ok(), "{version}");
        Self { schema }
    }

    fn faults(&self, value: &Value) -> Vec<String> {
        let mut faults = Vec::new();
        self.check(&self.schema, value, "$", true, &mut faults);
        faults
    }

    fn is_valid(&self, schema: &Value, value: &Value, at: &str, closed: bool) -> bool {
        let mut faults = Vec::new();
        self.check(schema, value, at, closed, &mut faults);
        faults.is_empty()
    }

    /// With `closed`, keys that the schema does not list are faults.
    fn check(&self, schema: &Value, value: &Value, at: &str, closed: bool, faults: &mut Vec<String>) {
        let Value::Object(schema) = schema else {
            assert_eq!(schema, &Value::Bool(true), "{at}");
            return;
        };
        for (keyword, rule) in schema {
            match keyword.as_str() {
                // Patterns are left to the validator of `.ci/outside/check_schema.py`.
                "pattern" | "$schema" | "$defs" | "title" | "description" | "default" | "format" | "properties" => {}
                "additionalProperties" => assert!(rule.is_boolean(), "{at}"),
                "$ref" => {
                    let name = rule.as_str().unwrap().strip_prefix("#/$defs/").unwrap();
                    self.check(&self.schema["$defs"][name], value, at, closed, faults);
                }
                "const" if value != rule => faults.push(format!("{at}: {value} is not {rule}")),
                "const" => {}
                "enum" if !rule.as_array().unwrap().contains(value) => {
                    faults.push(format!("{at}: {value} is none of {rule}"))
                }
                "enum" => {}
                "type" => {
                    let types = rule.as_array().cloned().unwrap_or_else(|| vec![rule.clone()]);
                    if !types.iter().any(|kind| is_of(value, kind.as_str().unwrap())) {
                        faults.push(format!("{at}: {value} is no {rule}"));
                    }
                }
                "minimum" if value.as_f64().is_some_and(|number| number < rule.as_f64().unwrap()) => {
                    faults.push(format!("{at}: {value} is below {rule}"));
                }
                "minimum" => {}
                "maximum" if value.as_f64().is_some_and(|number| number > rule.as_f64().unwrap()) => {
                    faults.push(format!("{at}: {value} is above {rule}"));
                }
                "maximum" => {}
                "minItems" | "maxItems" => {
                    let Value::Array(items) = value else { continue };
                    let (count, bound) = (items.len() as u64, rule.as_u64().unwrap());
                    if (keyword == "minItems" && count < bound) || (keyword == "maxItems" && count > bound) {
                        faults.push(format!("{at}: {count} items"));
                    }
                }
                "required" => {
                    for key in rule.as_array().unwrap() {
                        if value.get(key.as_str().unwrap()).is_none() {
                            faults.push(format!("{at}: no {key}"));
                        }
                    }
                }
                "items" => {
                    for (index, item) in value.as_array().into_iter().flatten().enumerate() {
                        self.check(rule, item, &format!("{at}[{index}]"), true, faults);
                    }
                }
                "anyOf" | "oneOf" => {
                    // Keys of a flattened choice stand beside those of the object that has it.
                    let closed = closed && !schema.contains_key("properties");
                    let all = rule.as_array().unwrap();
                    let fits = all.iter().filter(|one| self.is_valid(one, value, at, closed)).count();
                    if fits == 0 || (keyword == "oneOf" && fits > 1) {
                        faults.push(format!("{at}: {fits} of {keyword} fit {value}"));
                    }
                }
                unknown => panic!("{at}: the validator does not know the keyword {unknown}"),
            }
        }
        let Some(object) = value.as_object() else { return };
        let properties = schema.get("properties").and_then(Value::as_object);
        let is_open = ["anyOf", "oneOf", "$ref"].iter().any(|keyword| schema.contains_key(*keyword));
        let is_closed = match schema.get("additionalProperties") {
            Some(additional) => additional == &Value::Bool(false),
            None => closed && !is_open,
        };
        for (key, value) in object {
            match properties.and_then(|properties| properties.get(key)) {
                Some(rule) => self.check(rule, value, &format!("{at}.{key}"), true, faults),
                None if is_closed => faults.push(format!("{at}: the schema has no key {key}")),
                None => {}
            }
        }
    }
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        "number" => value.is_number(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        unknown => panic!("no type {unknown}"),
    }
}

#[track_caller]
fn validate(kind: &str, outputs: &[String]) {
    let validator = Validator::new(kind);
    for output in outputs {
        let value: Value = serde_json::from_str(output).unwrap_or_else(|error| panic!("{kind}: {error}\n{output}"));
        let values = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
        for value in values {
            let faults = validator.faults(&value);
            assert!(faults.is_empty(), "{kind}: {faults:#?}");
        }
    }
    // A validator that finds nothing wrong with anything would prove nothing.
    assert!(!validator.faults(&serde_json::json!({ "schema": "other/1" })).is_empty());
}

/// The jobs of the examples and of the golden folders.
fn jobs() -> Vec<String> {
    let mut jobs = BTreeSet::new();
    for entry in fs::read_dir(root().join("examples/jobs")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "toml" || ending == "json") {
            jobs.insert(path.display().to_string());
        }
    }
    for entry in fs::read_dir(root().join("golden-files/mats")).unwrap() {
        let path = entry.unwrap().path().join("job.toml");
        if path.is_file() {
            jobs.insert(path.display().to_string());
        }
    }
    jobs.into_iter().collect()
}

fn of_jobs(before: &[&str]) -> Vec<String> {
    let jobs = jobs();
    vec![printed(&before.iter().copied().chain(jobs.iter().map(String::as_str)).collect::<Vec<_>>())]
}

#[test]
fn checks_are_what_their_schema_says() {
    let mut outputs = of_jobs(&["check", "--json"]);
    for code in ["contradiction", "unreadable", "thin-border", "too-deep"] {
        outputs.push(printed(&["check", "--json", &format!("golden-files/problems/{code}.job.toml")]));
    }
    outputs.push(printed(&["check", "--json", "no-such-file.toml"]));
    validate("check", &outputs);
}

#[test]
fn settings_are_what_their_schema_says() {
    let jobs = ["harbour-print.toml", "oval-double-mat.toml", "six-snapshots.toml"]
        .map(|name| format!("examples/jobs/{name}"));
    let outputs: Vec<String> = jobs.iter().map(|job| printed(&["settings", "--format", "json", job])).collect();
    validate("settings", &outputs);
}

#[test]
fn sheet_plans_are_what_their_schema_says() {
    let mut outputs = vec![printed(&["sheets", "--json", "--time", "1", "examples/jobs/harbour-print.toml"])];
    for entry in fs::read_dir(root().join("golden-files/problems")).unwrap() {
        let path = entry.unwrap().path().display().to_string();
        if path.ends_with("no-sheet.order.toml") {
            outputs.push(printed(&[
                "sheets",
                "--json",
                "--time",
                "1",
                &path,
                "--stock",
                &path.replace("order", "stock"),
            ]));
        }
    }
    validate("sheets", &outputs);
}

#[test]
fn measured_files_are_what_their_schema_says() {
    let folder = root().join("golden-files/mats/single-rectangle");
    let mut outputs = Vec::new();
    for entry in fs::read_dir(&folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "svg" || ending == "dxf" || ending == "hpgl") {
            let path = path.display().to_string();
            let job = folder.join("job.toml").display().to_string();
            outputs.push(printed(&["measure", "--json", &path]));
            outputs.push(printed(&["measure", "--json", &path, "--against", &job]));
        }
    }
    outputs.retain(|output| !output.is_empty());
    assert!(outputs.len() > 3);
    validate("measure", &outputs);
}

#[test]
fn manifests_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    printed(&[
        "draw",
        "examples/jobs/harbour-print.toml",
        "golden-files/problems/contradiction.job.toml",
        "-o",
        &at("out"),
        "--manifest",
        &at("list"),
    ]);
    let manifest = fs::read_to_string(at("list")).unwrap();
    assert_eq!(manifest.lines().count(), 2);
    validate("manifest", &manifest.lines().map(str::to_owned).collect::<Vec<_>>());
}

#[test]
fn calibrations_and_squareness_are_what_their_schemas_say() {
    let records =
        ["drift", "closure", "missing", "too-few-cuts"].map(|code| format!("golden-files/problems/{code}.record.toml"));
    let outputs: Vec<String> = records.iter().map(|record| printed(&["calibrate", "fit", "--json", record])).collect();
    validate("calibration", &outputs);
    validate("square", &[printed(&["square", "--unit", "mm", "sides", "300", "300.8", "400", "--json"])]);
}

#[test]
fn troubles_and_signs_are_what_their_schemas_say() {
    validate(
        "trouble",
        &[printed(&["trouble", "hook", "--json"]), printed(&["trouble", "drift", "--json", "length=300mm"])],
    );
    validate("signs", &[printed(&["trouble", "--json"])]);
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
fn orders_of_many_jobs_are_what_their_schema_says() {
    let jobs = ["examples/jobs/harbour-print.toml", "examples/jobs/six-snapshots.toml"];
    validate("whole-order", &[printed(&["settings", "--together", "--json", jobs[0], jobs[1]])]);
}

#[test]
fn printed_pages_are_what_their_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out").display().to_string();
    let lines = printed(&["print", "--json", "examples/jobs/harbour-print.toml", "-o", &out]);
    assert!(!lines.is_empty());
    validate("print", &lines.lines().map(str::to_owned).collect::<Vec<_>>());
}

/// Every kind of data has a schema, and every such schema is held by a test here.
#[test]
fn every_schema_of_what_is_printed_is_held() {
    let tests: String = include_str!("outputs.rs").split_whitespace().collect();
    let help = printed(&["schema", "--help"]);
    let kinds = help.lines().filter_map(|line| line.trim().strip_prefix("- ")?.split_once(':'));
    let printed_kinds: Vec<&str> = kinds
        .filter(|(_, about)| about.trim().starts_with("What ") || about.trim().starts_with("A line "))
        .map(|(kind, _)| kind)
        .collect();
    assert!(printed_kinds.len() > 10, "{help}");
    for kind in printed_kinds {
        assert!(tests.contains(&format!("validate(\"{kind}\"")), "{kind}");
    }
}

/// What is wrong with a file is told as data where data is asked for that has no place for it.
#[test]
fn problems_are_told_as_data_where_data_is_asked_for() {
    let at = |name: &str| format!("golden-files/problems/{name}.toml");
    let (job, unreadable, border) = (at("contradiction.job"), at("unreadable.job"), at("thin-border.job"));
    let (order, stock, trouble) = (at("trim.order"), at("trim.stock"), at("number.trouble"));
    let runs: [(&[&str], &str); 14] = [
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
    ];
    let mut lines = Vec::new();
    for (arguments, code) in runs {
        let run = Command::new(env!("CARGO_BIN_EXE_backline")).current_dir(root()).args(arguments).output().unwrap();
        let said = String::from_utf8(run.stderr).unwrap();
        let found = said.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
        let found: Vec<Value> = found.filter(|line| line["schema"] == "backline-problems/1").collect();
        let codes: Vec<&Value> =
            found.iter().flat_map(|line| line["problems"].as_array().unwrap()).map(|one| &one["code"]).collect();
        assert!(codes.contains(&&code.into()), "{arguments:?}: {said}");
        lines.extend(found.iter().map(Value::to_string));
    }
    validate("problems", &lines);
}
