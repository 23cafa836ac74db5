//! The table of file formats: documents show it as it is, and nothing outside its folder knows a format by its name.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;

use backline::formats::{FAMILIES, Family};

/// A step as people write it: all decimals, no exponent.
fn step(family: &Family) -> String {
    family.facts.step.map_or_else(|| "as chosen".to_owned(), |step| format!("{step} mm"))
}

fn row(family: &Family) -> String {
    let facts = family.facts;
    let names = |names: Vec<&str>| {
        let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
        if names.is_empty() { "–".to_owned() } else { names.join(", ") }
    };
    let yes = |is_so: bool| if is_so { "yes" } else { "no" };
    let cells = [
        facts.title.to_owned(),
        names(family.drawings.iter().map(|format| format.name()).collect()),
        names(family.programs.iter().map(|format| format.name()).collect()),
        facts.y.name().to_owned(),
        facts.curves.name().to_owned(),
        step(family),
        facts.unit.name().to_owned(),
        yes(family.reader.is_some()).to_owned(),
        yes(facts.has_pages).to_owned(),
        yes(facts.keeps_names).to_owned(),
    ];
    format!("| {} |", cells.join(" | "))
}

#[test]
fn the_documents_show_the_table() {
    let head = "| family | drawings | machines | y runs | curves kept | smallest step | unit | read back | several pages | names |\n\
                |---|---|---|---|---|---|---|---|---|---|";
    let rows: Vec<String> = FAMILIES.iter().map(|family| row(family)).collect();
    let table = format!("{head}\n{}\n", rows.join("\n"));
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/drawings.md")).unwrap();
    assert!(page.contains(&table), "docs/drawings.md lacks this table:\n{table}");
}

#[test]
fn every_name_is_of_one_format() {
    let names = |list: Vec<&'static str>| {
        let mut sorted = list.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), list.len(), "{list:?}");
    };
    names(FAMILIES.iter().map(|family| family.facts.name).collect());
    names(FAMILIES.iter().flat_map(|family| family.drawings).map(|format| format.name()).collect());
    names(FAMILIES.iter().flat_map(|family| family.programs).map(|format| format.name()).collect());
}
