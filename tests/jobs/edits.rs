//! Single keys of jobs set, added and taken out, with everything else in the text left as it is.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::framed_jobs::framed_job;
use crate::common::random_jobs::random_job;
use backline::job::{EditError, JobText, Syntax, WrittenJob};
use serde_json::{Value, json};

fn edited(text: &str, path: &str, value: Value) -> String {
    let mut job = JobText::new(text).unwrap();
    job.set(path, value.clone()).unwrap_or_else(|error| panic!("{path} = {value} in\n{text}\n{error}"));
    assert!(job.has(path), "{path} in\n{job}");
    job.to_string()
}

fn removed(text: &str, path: &str) -> String {
    let mut job = JobText::new(text).unwrap();
    assert!(job.remove(path).unwrap(), "{path} in\n{text}");
    // Where an item of a list goes, the next one takes its place.
    assert!(path.ends_with(']') || !job.has(path), "{path} is still in\n{job}");
    job.to_string()
}

#[test]
fn a_number_is_replaced_and_nothing_else() {
    let text = "# The hall.\nunit = 'in' # as always\nouter = [ 16,  20 ]\n\n[border]\n# wide\nbottom = 4  # heavy\n";
    assert_eq!(edited(text, "border.bottom", json!("4 1/2 in")), text.replace("= 4 ", "= \"4 1/2 in\" "));
    assert_eq!(edited(text, "outer[1]", json!(24)), text.replace(" 20 ", " 24 "));
    assert_eq!(edited(text, "unit", json!("mm")), text.replace("'in'", "\"mm\""));
    let text = "{\n  \"unit\": \"in\",\n  \"outer\": [16, 20]\n}\n";
    assert_eq!(edited(text, "outer[0]", json!(14.5)), text.replace("16", "14.5"));
}

#[test]
fn new_keys_find_their_place() {
    for (text, path, value, expected) in [
        (
            "outer = '8 x 10 in'\n[opening]\nart = '5 x 7 in'\n",
            "quantity",
            json!(3),
            "outer = '8 x 10 in'\nquantity = 3\n[opening]\nart = '5 x 7 in'\n",
        ),
        (
            "[opening]\nart = '5 x 7 in'\n",
            "opening[0].overlap",
            json!("1/4 in"),
            "[opening]\nart = '5 x 7 in'\noverlap = \"1/4 in\"\n",
        ),
        (
            "[opening]\nart = '5 x 7 in'\n",
            "border.left",
            json!("3 in"),
            "border.left = \"3 in\"\n[opening]\nart = '5 x 7 in'\n",
        ),
        (
            "border = '3 in' # all round\n",
            "border.bottom",
            json!("4 in"),
            "border = { all = '3 in', bottom = \"4 in\" } # all round\n",
        ),
        (
            "[[opening]]\nart = '5 x 7 in'\n\n[[opening]]\nart = '4 x 6 in'\n",
            "opening[2].art",
            json!("3 x 5 in"),
            "[[opening]]\nart = '5 x 7 in'\n\n[[opening]]\nart = '4 x 6 in'\n\n[[opening]]\nart = \"3 x 5 in\"\n",
        ),
        ("outer = '8 x 10 in'\n", "outer[0]", json!("9 in"), "outer = [\"9 in\", \"10 in\"]\n"),
        ("outer = '82.3 x 10 1/2'\n", "outer[1]", json!(9), "outer = [\"82.3\", 9]\n"),
    ] {
        assert_eq!(edited(text, path, value), expected);
    }
}

#[test]
fn one_opening_becomes_two() {
    let text = edited("[opening]\n# the print\nart = '5 x 7 in'\n", "opening[1].art", json!("3 x 5 in"));
    let job = WrittenJob::read(&text, Syntax::Toml).unwrap();
    assert_eq!(job.opening.len(), 2, "{text}");
    assert!(text.contains("# the print"), "{text}");
    let text = edited(r#"{"opening": {"art": "5 x 7 in"}}"#, "opening[1].art", json!("3 x 5 in"));
    assert_eq!(WrittenJob::read(&text, Syntax::Json).unwrap().opening.len(), 2, "{text}");
}

#[test]
fn short_forms_are_written_out_in_json_too() {
    let text = "{\n  \"border\": \"3 in\"\n}";
    let edited = edited(text, "border.bottom", json!("4 in"));
    let value: Value = serde_json::from_str(&edited).unwrap();
    assert_eq!(value, json!({"border": {"all": "3 in", "bottom": "4 in"}}));
}

#[test]
fn every_short_form_is_the_table_that_it_stands_for() {
    for (key, short, long) in [
        ("frame", json!("16 x 20 in"), "rabbet"),
        ("standard", json!("museum"), "list"),
        ("border", json!("3 in"), "all"),
        ("board", json!("4-ply"), "name"),
        ("board", json!(1.4), "thickness"),
        ("bevel", json!("reverse"), "direction"),
        ("opening[0].overlap", json!("1/8 in"), "all"),
        ("opening[0].margin", json!("1/8 in"), "all"),
        ("opening[0].picture", json!("a.png"), "file"),
    ] {
        let read = |path: &str| {
            let mut text = JobText::new("").unwrap();
            text.set(path, short.clone()).unwrap();
            text.job().unwrap()
        };
        assert_eq!(read(key), read(&format!("{key}.{long}")), "{key}");
        let mut text = JobText::new("").unwrap();
        text.set(key, short.clone()).unwrap();
        assert!(text.has(&format!("{key}.{long}")), "{text}");
        assert!(!text.has(&format!("{key}.colour")), "{text}");
    }
}

#[test]
fn keys_are_taken_out_and_comments_above_stay() {
    for (text, path, expected) in [
        ("# sizes\nouter = '8 x 10 in' # old\nquantity = 2\n", "outer", "# sizes\nquantity = 2\n"),
        ("border = { left = '3 in', right = '4 in' }\n", "border.left", "border = { right = '4 in' }\n"),
        ("border = { left = '3 in', right = '4 in' }\n", "border.right", "border = { left = '3 in' }\n"),
        ("border = '3 in'\n", "border.all", ""),
        ("opening.art = '5 x 7 in'\nopening.overlap = '1/4 in'\n", "opening[0].art", "opening.overlap = '1/4 in'\n"),
        ("outer = '8 x 10 in'\nopening.size = '5 x 7 in'\n", "opening.size", "outer = '8 x 10 in'\nopening = {}\n"),
        ("border.left = '3 in'\n", "border.left", ""),
        (
            "[[opening]]\nart = '5 x 7 in'\n[[opening]]\nart = '4 x 6 in'\n",
            "opening[0]",
            "[[opening]]\nart = '4 x 6 in'\n",
        ),
        ("outer = [\n  '8 in',\n  '10 in',\n]\nquantity = 2\n", "outer", "quantity = 2\n"),
    ] {
        assert_eq!(removed(text, path), expected);
    }
    let text = r#"{"border": {"left": "3 in", "right": "4 in"}, "quantity": 2}"#;
    let value: Value = serde_json::from_str(&removed(text, "border.left")).unwrap();
    assert_eq!(value, json!({"border": {"right": "4 in"}, "quantity": 2}));
    assert!(!JobText::new(text).unwrap().remove("border.top").unwrap());
}

#[test]
fn what_cannot_be_is_refused_and_changes_nothing() {
    let mut job = JobText::new("border = '3 in'\n[[opening]]\nart = '5 x 7 in'\n").unwrap();
    let before = job.clone();
    for (path, value) in [
        ("border.lefft", json!("3 in")),
        ("opening[2].art", json!("3 x 5 in")),
        ("opening[0", json!(1)),
        ("name", json!(12)),
        ("quantity", Value::Null),
        ("border.left.inner", json!(1)),
        ("border[1]", json!(1)),
    ] {
        let error = job.set(path, value).unwrap_err();
        assert!(!error.to_string().is_empty());
        assert_eq!(job, before, "{path}");
    }
    assert!(matches!(JobText::new("border = [").unwrap_err(), EditError::Unreadable(_)));
}

/// Every example and golden job keeps all its other bytes when a key is set to another value and back.
#[test]
fn jobs_of_the_repository_come_back_the_same() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let golden = std::fs::read_dir(root.join("golden-files/mats")).unwrap();
    let files = golden.map(|folder| folder.unwrap().path().join("job.toml"));
    let examples = std::fs::read_dir(root.join("examples/jobs")).unwrap().map(|file| file.unwrap().path());
    let mut tried = 0;
    for file in files.chain(examples).filter(|path| path.is_file()) {
        let text = std::fs::read_to_string(&file).unwrap();
        let mut job = JobText::new(text.clone()).unwrap();
        for key in ["quantity", "notes"] {
            if !job.has(key) {
                job.set(key, json!(if key == "quantity" { json!(7) } else { json!(["one", "two"]) })).unwrap();
                assert_ne!(job.as_str(), text);
                assert!(job.remove(key).unwrap());
                let same = |text: &str| text.split_whitespace().collect::<String>();
                assert_eq!(same(job.as_str()), same(&text), "{}", file.display());
                tried += 1;
            }
        }
    }
    assert!(tried > 20, "{tried}");
}

/// The value of every key that is a text or a number, by its path.
fn leaves(value: &Value, path: &str, found: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(table) => {
            for (key, value) in table {
                leaves(value, &if path.is_empty() { key.clone() } else { format!("{path}.{key}") }, found);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                leaves(item, &format!("{path}[{index}]"), found);
            }
        }
        Value::String(_) | Value::Number(_) => found.push((path.to_owned(), value.clone())),
        _ => {}
    }
}

fn data(text: &str, syntax: Syntax) -> Value {
    match syntax {
        Syntax::Toml => serde_json::to_value(text.parse::<toml::Table>().unwrap()).unwrap(),
        Syntax::Json => serde_json::from_str(text).unwrap(),
    }
}

/// What two texts do not have in common: the part between their common beginning and their common end.
fn changed<'t>(old: &'t str, new: &str) -> &'t str {
    let mut start = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
    while !old.is_char_boundary(start) {
        start -= 1;
    }
    let most = old.len().min(new.len()) - start;
    let mut same = old.bytes().rev().zip(new.bytes().rev()).take(most).take_while(|(a, b)| a == b).count();
    while !old.is_char_boundary(old.len() - same) {
        same -= 1;
    }
    &old[start..old.len() - same]
}

/// The text of a job in TOML with a comment at the end of every line and one above each table.
fn commented(text: &str) -> String {
    let lines = text.lines().enumerate().map(|(number, line)| match line {
        "" => line.to_owned(),
        head if head.starts_with('[') => format!("# above {number}\n{head}  # head {number}"),
        line => format!("{line}   # line {number}"),
    });
    lines.collect::<Vec<_>>().join("\n") + "\n"
}

/// Whatever number or text of a job is set, nothing else in the text changes: the old value alone differs, in TOML with
/// comments everywhere and in JSON.
#[test]
fn setting_any_value_of_random_jobs_leaves_every_other_byte() {
    let (mut set, mut refused) = (0, 0);
    for seed in 0..40 {
        let job = if seed % 2 == 0 { framed_job(seed) } else { random_job(seed) };
        let json = serde_json::to_string_pretty(&data(&job, Syntax::Toml)).unwrap();
        for (text, syntax) in [(commented(&job), Syntax::Toml), (json, Syntax::Json)] {
            let before = data(&text, syntax);
            let mut all = Vec::new();
            leaves(&before, "", &mut all);
            for (path, old) in all {
                let new = match &old {
                    Value::Number(number) => json!(number.as_f64().unwrap() + 1.0),
                    _ if path.ends_with("name") || path.contains("notes") => json!("another # [one] = 'x' \"y\""),
                    _ => json!("123.25 mm"),
                };
                let mut edited =
                    JobText::new(text.clone()).unwrap_or_else(|error| panic!("seed {seed}: {error}\n{text}"));
                if edited.set(&path, new.clone()).is_err() {
                    assert_eq!(edited.as_str(), text, "seed {seed}: a refused edit changes nothing");
                    refused += 1;
                    continue;
                }
                let mut expected = before.clone();
                let pointer = format!("/{}", path.replace(['.', '['], "/").replace(']', ""));
                *expected.pointer_mut(&pointer).unwrap() = new.clone();
                assert_eq!(data(edited.as_str(), syntax), expected, "seed {seed}: {path}\n{edited}");
                let part = changed(&text, edited.as_str());
                let value = old.as_str().map_or_else(|| old.to_string(), str::to_owned);
                let is_of_it = value.contains(part.trim_matches(['\'', '"']));
                assert!(is_of_it, "seed {seed}: {path}: {part:?} changed, not {old}\n{edited}");
                set += 1;
            }
        }
    }
    println!("{set} values set, {refused} refused");
    assert!(set > 800 && refused < set / 2, "{set} set, {refused} refused");
}

/// Whatever key of a job is taken out, the other lines of the text stay as they are, in their order.
#[test]
fn removing_any_value_of_random_jobs_leaves_every_other_line() {
    let (mut gone, mut refused) = (0, 0);
    for seed in 0..40 {
        let text = commented(&if seed % 2 == 0 { framed_job(seed) } else { random_job(seed) });
        let mut all = Vec::new();
        leaves(&data(&text, Syntax::Toml), "", &mut all);
        for (path, _) in all {
            let mut edited = JobText::new(text.clone()).unwrap();
            if edited.remove(&path).is_err() {
                assert_eq!(edited.as_str(), text, "seed {seed}: a refused edit changes nothing");
                refused += 1;
                continue;
            }
            let (old, new): (Vec<&str>, Vec<&str>) = (text.lines().collect(), edited.as_str().lines().collect());
            let start = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
            let most = old.len().min(new.len()) - start;
            let end = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
            // The line of the key goes, or loses an item; a table with nothing left may become an empty one.
            let (lines, instead) = (old.len() - start - end, new.len() - start - end);
            assert!(lines <= 1 && instead <= 1, "seed {seed}: {path}\n{text}\n{edited}");
            gone += 1;
        }
    }
    println!("{gone} values taken out, {refused} refused");
    assert!(gone > 400, "{gone}, {refused} refused");
}

/// A job goes through its text and back unchanged, whatever it holds.
#[test]
fn jobs_come_back_from_their_own_text() {
    for seed in 0..80 {
        let text = if seed % 2 == 0 { framed_job(seed) } else { random_job(seed) };
        let job = WrittenJob::read(&text, Syntax::Toml).unwrap();
        let json = serde_json::to_string(&job).unwrap();
        assert_eq!(WrittenJob::read(&json, Syntax::Json).unwrap(), job, "seed {seed}: {json}");
        let toml = toml::to_string(&job).unwrap();
        assert_eq!(WrittenJob::read(&toml, Syntax::Toml).unwrap(), job, "seed {seed}: {toml}");
    }
}
