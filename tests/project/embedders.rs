//! What an embedder relies on: structs that may grow, and an example in every public module.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;

use crate::house::root;

/// Public structs whose public fields are all there will be, unless a version says that it breaks programs: those that can only be
/// written out in full. What is read is `#[non_exhaustive]`, what is filled in is ended by `..Default::default()` or by a constructor.
fn closed_structs() -> Vec<String> {
    let listed = fs::read_to_string(root().join("golden-files/public-api.txt")).unwrap();
    let starts_a_literal = |name: &str| {
        let has_constructor = listed.lines().any(|line| {
            line.split_once(": pub ").is_some_and(|(owner, function)| {
                let is_of_it = owner.split('<').next() == Some(name);
                let makes_one = function.ends_with("-> Self") || function.ends_with("-> Option<Self>");
                is_of_it && function.contains("fn ") && !function.contains("self") && makes_one
            })
        });
        has_constructor || listed.lines().any(|line| line == format!("Default for {name}"))
    };
    let structs = listed.lines().filter_map(|line| {
        let (path, declared) = line.split_once(": ")?;
        let (attributes, rest) = declared.split_once("pub struct ")?;
        let (name, fields) = rest.split_once(" { ")?;
        let name = name.split('<').next().unwrap_or(name);
        // What has private fields cannot be made outside.
        let grows = ["non_exhaustive", "Default"].iter().any(|word| attributes.contains(word))
            || line.ends_with("// and private fields")
            || starts_a_literal(name);
        (fields.starts_with("pub ") && !grows).then(|| path.to_owned())
    });
    structs.collect()
}

#[test]
fn every_struct_may_grow() {
    let closed = closed_structs();
    assert!(closed.is_empty(), "mark them #[non_exhaustive], or give them Default or a constructor: {closed:?}");
}

#[test]
fn every_public_module_has_an_example() {
    let lib = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let mut counted = 0;
    // The command line is no part of the library.
    for name in lib.lines().filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';')).filter(|m| *m != "cli")
    {
        let folder = root().join("src").join(name);
        let file = if folder.is_dir() { folder.join("mod.rs") } else { folder.with_extension("rs") };
        let text = fs::read_to_string(&file).unwrap();
        let head: Vec<&str> = text.lines().take_while(|line| line.starts_with("//!")).collect();
        let example = head.split(|line| line.starts_with("//! ```")).nth(1).unwrap_or_default();
        assert!(example.len() > 1, "{} has no example in its documentation", file.display());
        counted += 1;
    }
    assert!(counted > 20, "{counted}");
}
