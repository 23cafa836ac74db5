//! How many crates each feature brings, so that what an embedder builds stays light.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Most crates of the core, which has SVG, DXF, HP-GL, G-code and polylines.
const MOST_OF_CORE: usize = 30;
/// Most crates of the core with PDF.
const MOST_WITH_PDF: usize = 40;

/// Returns how many other crates are built for some features.
fn crates(features: &str) -> usize {
    let tree = Command::new(env!("CARGO"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["tree", "--offline", "--locked", "-e", "normal", "--prefix", "none", "--no-default-features"])
        .args(["--features", features])
        .output()
        .unwrap();
    assert!(tree.status.success(), "{}", String::from_utf8_lossy(&tree.stderr));
    let lines = String::from_utf8(tree.stdout).unwrap();
    let name_and_version = |line: &str| line.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
    let named: BTreeSet<String> = lines.lines().filter(|line| !line.is_empty()).map(name_and_version).collect();
    assert!(named.iter().any(|name| name.starts_with("backline ")), "{named:?}");
    named.len() - 1
}

#[test]
fn the_core_is_light() {
    let core = crates("");
    assert!(core <= MOST_OF_CORE, "{core} crates");
    let with_pdf = crates("pdf");
    assert!(with_pdf <= MOST_WITH_PDF, "{with_pdf} crates with PDF");
}

/// The table of DEVELOPERS.md, and no feature without a line in it.
#[test]
fn the_table_of_features_is_true() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = fs::read_to_string(root.join("DEVELOPERS.md")).unwrap();
    let table = page.split("## Features\n").nth(1).unwrap().split("\n## ").next().unwrap();
    let mut seen = BTreeSet::new();
    for line in table.lines().filter(|line| line.starts_with("| `") || line.starts_with("| none")) {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let names: Vec<&str> = cells[1].split('`').skip(1).step_by(2).collect();
        assert_eq!(cells[2], crates(&names.join(",")).to_string(), "{line}");
        seen.extend(names.into_iter().map(str::to_owned));
    }
    let manifest: toml::Table = fs::read_to_string(root.join("Cargo.toml")).unwrap().parse().unwrap();
    let features = manifest["features"].as_table().unwrap().keys().filter(|name| *name != "default").cloned();
    assert_eq!(seen, features.collect());
}
