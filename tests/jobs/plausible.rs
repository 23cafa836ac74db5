//! Every length of a job, an order and a stock has a physical range, and slips of the unit are told with the numbers.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;

use crate::common::jobs::resolve;
use backline::job::{LENGTH_RANGES, LengthRange, Syntax, WrittenJob};
use backline::problem::{KeyPath, Problem, Severity};
use backline::sheets::{Order, Stock};
use serde_json::Value;

const CODES: [&str; 3] = ["out-of-range", "unusual-length", "hides-art"];

fn found(job: &str) -> Vec<Problem> {
    resolve(job).problems.into_iter().filter(|problem| CODES.contains(&problem.code)).collect()
}

/// The places of all lengths that a schema allows, with the types that lead to each so that no type is entered twice.
fn lengths(schema: &Value, at: &Value, path: &KeyPath, inside: &[&str], out: &mut Vec<KeyPath>) {
    if let Some(name) = at.get("$ref").and_then(Value::as_str) {
        let name = name.rsplit('/').next().unwrap();
        if name == "Measure" || name == "SizeMeasure" {
            out.push(path.clone());
        } else if name.starts_with("ShortOr") {
            // The short form is written out as the table.
            lengths(schema, &schema["$defs"][name]["anyOf"][1], path, inside, out);
        } else if !inside.contains(&name) {
            let inside: Vec<&str> = inside.iter().copied().chain([name]).collect();
            lengths(schema, &schema["$defs"][name], path, &inside, out);
        }
    }
    // The other spelling of a key is read as the key.
    let is_key = |value: &Value| !value["description"].as_str().is_some_and(|words| words.starts_with("The same as `"));
    for (key, value) in
        at.get("properties").and_then(Value::as_object).into_iter().flatten().filter(|(_, value)| is_key(value))
    {
        lengths(schema, value, &path.key(key.clone()), inside, out);
    }
    for several in ["anyOf", "oneOf", "allOf", "prefixItems"] {
        for value in at.get(several).and_then(Value::as_array).into_iter().flatten() {
            lengths(schema, value, path, inside, out);
        }
    }
    for one in ["items", "additionalProperties"] {
        at.get(one).into_iter().for_each(|value| lengths(schema, value, path, inside, out));
    }
}

#[test]
fn every_length_has_a_line_in_the_table_of_ranges() {
    let mut count = 0;
    for schema in [backline::job::schema(), backline::sheets::order_schema(), backline::sheets::stock_schema()] {
        let mut places = Vec::new();
        lengths(&schema, &schema, &KeyPath::root(), &[], &mut places);
        for place in &places {
            assert!(LengthRange::of(place).is_some(), "{place} has no line in LENGTH_RANGES (src/job/length_range.rs)");
        }
        count += places.len();
    }
    assert!(count > 100, "only {count} lengths were found");
    for range in LENGTH_RANGES {
        assert!(range.least <= range.usual_from && range.usual_from < range.usual_to, "{range:?}");
        assert!(range.usual_to <= range.most && !range.reason.is_empty(), "{range:?}");
    }
}

/// A mat of 16 × 1000 in, an opening of a thousandth of a millimetre and art that is hidden almost wholly were cut without a word.
#[test]
fn what_cannot_be_is_refused_with_the_numbers() {
    for (job, words) in [
        ("unit = 'in'\nouter = [16, 1000]\nopening.art = [8, 10]", "1000 in (25400 mm)"),
        ("unit = 'mm'\nframe = [400, 500]\nopening.size = [0.001, 100]", "0.001 mm"),
        ("unit = 'mm'\nframe = [400, 500]\nopening = { art = [100, 100], overlap = 49.9995 }", "0.001 mm"),
        ("unit = 'in'\nopening = { art = [8, 10] }\nborder = 75", "1905 mm"),
        ("unit = 'mm'\nborder = 1400\nopening.art = [1000, 1500]", "3794 mm"),
        ("unit = 'in'\nframe = { rabbet = [16, 20], clearance = 3 }\nopening.art = [8, 10]", "76.2 mm"),
        ("unit = 'mm'\nframe = [400, 500]\nglass = '60 mm'\nopening.art = [200, 250]", "60 mm"),
    ] {
        let problems = found(job);
        let problem = problems.iter().find(|problem| problem.is_error()).unwrap_or_else(|| panic!("{job}"));
        assert!(problem.message.contains(words), "{problem}");
    }
}

#[test]
fn a_slip_of_the_unit_is_told_with_what_is_meant() {
    for (job, severity, words) in [
        ("unit = 'in'\nframe = [400, 500]\nopening.art = [8, 10]", Severity::Error, "\"400 mm\""),
        ("unit = 'in'\nframe = [16, 20]\nopening.art = [200, 250]", Severity::Error, "\"200 mm\""),
        ("unit = 'in'\nframe = [16, 20]\nopening = { art = [8, 10], overlap = 3 }", Severity::Warning, "\"3 mm\""),
        ("unit = 'in'\nframe = { rabbet = [16, 20], lip = 6 }\nopening.art = [8, 10]", Severity::Error, "\"6 mm\""),
        ("unit = 'mm'\nframe = [16, 20]\nopening.art = [8, 10]", Severity::Warning, "\"16 in\""),
        ("unit = 'mm'\nframe = [400, 500]\nopening.art = [8, 10]", Severity::Warning, "8 in"),
        (
            "unit = 'mm'\nframe = { rabbet = [400, 500], clearance = 0.125 }\nopening.art = [200, 250]",
            Severity::Warning,
            "0.125 in",
        ),
        (
            "unit = 'in'\nframe = [16, 20]\nboard = { thickness = 1.4 }\nopening.art = [8, 10]",
            Severity::Error,
            "\"1.4 mm\"",
        ),
    ] {
        let problems = found(job);
        let problem = problems.iter().find(|problem| problem.severity == severity);
        let problem = problem.unwrap_or_else(|| panic!("{job}: {problems:?}"));
        assert!(problem.help.contains(words), "{job}: {problem}");
    }
}

#[test]
fn an_overlap_that_hides_most_of_the_art_is_told() {
    let job = "unit = 'mm'\nframe = [400, 500]\nopening = { art = [100, 100], overlap = 30 }";
    let problem = found(job).into_iter().find(|problem| problem.code == "hides-art").unwrap();
    assert!(problem.message.contains("84.0 %") && problem.message.contains("40 × 40 mm of 100 × 100 mm"), "{problem}");
    assert!(found(&job.replace("30", "10")).is_empty());
}

#[test]
fn orders_and_stocks_are_judged_by_the_same_table() {
    let of_order = |text: &str| {
        let mut problems = Vec::new();
        let _ = Order::read(text, Syntax::Toml).unwrap().resolve().take(&mut problems).unwrap();
        problems.into_iter().find(|problem| CODES.contains(&problem.code))
    };
    let slip = of_order("unit = 'in'\n[[blank]]\nsize = [400, 500]").unwrap();
    assert!(slip.is_error() && slip.help.contains("400 mm"), "{slip}");
    let tiny = of_order("unit = 'mm'\n[[blank]]\nsize = [0.001, 500]").unwrap();
    assert!(tiny.is_error() && tiny.message.contains("0.001 mm"), "{tiny}");
    assert_eq!(of_order("unit = 'in'\n[[blank]]\nsize = [16, 20]"), None);
    let stock = Stock::read("unit = 'in'\nkerf = 3\nsheet = [{ size = [815, 1120] }]", Syntax::Toml).unwrap();
    let mut problems = Vec::new();
    let ruler = Order::read("unit = 'in'", Syntax::Toml).unwrap().ruler();
    let _ = stock.resolve(ruler).take(&mut problems).unwrap();
    let told: Vec<String> =
        problems.iter().filter(|problem| CODES.contains(&problem.code)).map(ToString::to_string).collect();
    assert_eq!(told.len(), 3, "{told:?}");
}

#[test]
fn ordinary_jobs_raise_no_alarm() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut count = 0;
    for folder in ["golden-files/mats", "golden-files/workshop", "golden-files/package", "golden-files/bench"] {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let folder = entry.unwrap().path();
            let Ok(text) = fs::read_to_string(folder.join("job.toml")) else {
                continue;
            };
            count += 1;
            let mut job = WrittenJob::read(&text, Syntax::Toml).unwrap();
            job.load_pictures(&mut |file| fs::read(folder.join(file)).map_err(|error| error.to_string()));
            let told = job.resolve().problems.into_iter().find(|problem| CODES.contains(&problem.code));
            assert!(told.is_none(), "{}: {}", folder.display(), told.unwrap());
        }
    }
    assert!(count > 50, "{count}");
}
