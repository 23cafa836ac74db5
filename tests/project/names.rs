//! One name denotes one type, so that a reader who has met it once knows it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use crate::house::{root, rust_files, without_tests};

/// Names that denote several types all the same, with the reason.
const EXCEPTIONS: &[(&str, &str)] =
    &[("Photo", "the same type with and without the feature `pictures`; only one of them is compiled")];

/// Returns the type that a line defines. Types that belong to a trait or an implementation are the trait's names.
fn defined(line: &str) -> Option<&str> {
    let code = line.trim_start();
    let is_indented = code.len() < line.len();
    let code = match code.strip_prefix("pub(") {
        Some(scoped) => scoped.split_once(") ")?.1,
        None => code.strip_prefix("pub ").unwrap_or(code),
    };
    let (keyword, rest) = code.split_once(' ')?;
    let defines = match keyword {
        "struct" | "enum" | "trait" | "union" => true,
        "type" => !is_indented,
        _ => false,
    };
    let end = rest.find(|letter: char| !letter.is_alphanumeric() && letter != '_').unwrap_or(rest.len());
    let name = &rest[..end];
    (defines && name.starts_with(char::is_uppercase)).then_some(name)
}

#[test]
fn definitions_are_seen() {
    assert_eq!(defined("pub struct Mat {"), Some("Mat"));
    assert_eq!(defined("pub(in crate::job) enum Corner<'t> {"), Some("Corner"));
    assert_eq!(defined("    struct Inside(u8);"), Some("Inside"));
    assert_eq!(defined("type Cell = (usize, i64);"), Some("Cell"));
    assert_eq!(defined("    type Value = T;"), None);
    assert_eq!(defined("/// struct of a file"), None);
    assert_eq!(defined("    struct $name;"), None);
}

/// Every type name with the files that define it.
fn definitions() -> BTreeMap<String, Vec<String>> {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in rust_files(&root().join("src")) {
        let text = fs::read_to_string(&file).unwrap();
        let shown = file.strip_prefix(root()).unwrap().display().to_string();
        for name in without_tests(&text).lines().filter_map(defined) {
            places.entry(name.to_owned()).or_default().push(shown.clone());
        }
    }
    places
}

#[test]
fn a_name_denotes_one_type() {
    let definitions = definitions();
    assert!(definitions.len() > 500, "only {} types seen", definitions.len());
    let several: BTreeSet<&str> =
        definitions.iter().filter(|(_, files)| files.len() > 1).map(|(name, _)| name.as_str()).collect();
    let excepted: BTreeSet<&str> = EXCEPTIONS.iter().map(|(name, _)| *name).collect();
    let complaints: Vec<String> =
        several.difference(&excepted).map(|name| format!("{name}: {}", definitions[*name].join(", "))).collect();
    assert!(complaints.is_empty(), "names that denote several types:\n{}", complaints.join("\n"));
    let idle: Vec<&&str> = excepted.difference(&several).collect();
    assert!(idle.is_empty(), "exceptions that are none any more: {idle:?}");
}
