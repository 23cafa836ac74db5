//! Single keys of jobs set, added and taken out, with everything else in the text left as it is.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::job::{EditError, Job, JobText, Syntax};
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
    let job = Job::read(&text, Syntax::Toml).unwrap();
    assert_eq!(job.opening.len(), 2, "{text}");
    assert!(text.contains("# the print"), "{text}");
    let text = edited(r#"{"opening": {"art": "5 x 7 in"}}"#, "opening[1].art", json!("3 x 5 in"));
    assert_eq!(Job::read(&text, Syntax::Json).unwrap().opening.len(), 2, "{text}");
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
