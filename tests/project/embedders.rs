//! What an embedder relies on: structs that may grow, and an example in every public module.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use crate::house::root;

/// Structs that cannot grow without breaking programs that make them or take them apart: most are filled in as a whole or from a
/// constructor. None is added by chance.
const FILLED_IN: [&str; 50] = [
    "backline::bench::Cutter",
    "backline::bench::Lead",
    "backline::bench::Scale",
    "backline::bench::Settings",
    "backline::bench::Setup",
    "backline::bench::SquareDemand",
    "backline::bench::Squareness",
    "backline::bench::Stops",
    "backline::bench::WrittenKnown",
    "backline::checked::Checked",
    "backline::drawing::Area",
    "backline::drawing::Drawing",
    "backline::drawing::DrawingLayer",
    "backline::drawing::Image",
    "backline::formats::Options",
    "backline::formats::reading::ReadDrawing",
    "backline::geometry::Trimmed",
    "backline::geometry::TrimmedStretch",
    "backline::job::PathPoint",
    "backline::job::ReadError",
    "backline::job::Steps",
    "backline::job::WrittenBand",
    "backline::job::WrittenFrame",
    "backline::job::WrittenLine",
    "backline::job::WrittenMoulding",
    "backline::job::WrittenRing",
    "backline::length::RulerReading",
    "backline::machine::Machine",
    "backline::measure::ExpectedFile",
    "backline::paper::Stretch",
    "backline::paper::WrittenBar",
    "backline::picture::Scene",
    "backline::problem::Place",
    "backline::sheets::Blank",
    "backline::sheets::Request",
    "backline::sheets::SheetRect",
    "backline::sheets::Shelf",
    "backline::sheets::ShelfEntry",
    "backline::sheets::WrittenBlank",
    "backline::sheets::WrittenOffcut",
    "backline::sheets::WrittenSheet",
    "backline::sheets::cutting::CutSheet",
    "backline::sheets::cutting::Effort",
    "backline::sheets::cutting::Piece",
    "backline::sheets::cutting::Plan",
    "backline::sheets::cutting::PlanNode",
    "backline::sheets::cutting::SizeInUnits",
    "backline::sheets::cutting::StockSheet",
    "backline::tiling::Tiling",
    "backline::workshop::Letterhead",
];

/// Public structs whose public fields are all there will be, unless a version says that it breaks programs.
fn closed_structs() -> Vec<String> {
    let listed = fs::read_to_string(root().join("golden-files/public-api.txt")).unwrap();
    let structs = listed.lines().filter_map(|line| {
        let (path, declared) = line.split_once(": ")?;
        let (attributes, rest) = declared.split_once("pub struct ")?;
        let (_, fields) = rest.split_once(" { ")?;
        // What has private fields cannot be made outside, and what has a default is filled in with `..Default::default()`.
        let grows = ["non_exhaustive", "Default"].iter().any(|word| attributes.contains(word))
            || line.ends_with("// and private fields");
        (fields.starts_with("pub ") && !grows).then(|| path.to_owned())
    });
    structs.collect()
}

#[test]
fn structs_may_grow_or_are_filled_in_as_a_whole() {
    let known: BTreeSet<&str> = FILLED_IN.into_iter().collect();
    let found = closed_structs();
    let found: BTreeSet<&str> = found.iter().map(String::as_str).collect();
    let new: Vec<_> = found.difference(&known).collect();
    assert!(new.is_empty(), "mark them #[non_exhaustive], derive Default, or list them here: {new:?}");
    let gone: Vec<_> = known.difference(&found).collect();
    assert!(gone.is_empty(), "these may grow now, take them out of the list: {gone:?}");
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
