//! Every file in `golden-files/package` is what the library makes today of the job beside it: what a frame holds and shows.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::kept::Kept;
use backline::formats::{Options, Source, format, svg_page};
use backline::job::{Syntax, WrittenJob};
use backline::picture::{Scene, draw};
use backline::summary::MatSummary;
use backline::workshop::{Letterhead, pages};
use kurbo::Size;

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/package");
    let entries = fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path());
    let mut folders: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    folders.sort();
    folders
}

/// Returns the name and the bytes of every file that belongs into a folder.
fn files(folder: &Path) -> Vec<(&'static str, Vec<u8>)> {
    let text = fs::read_to_string(folder.join("job.toml")).unwrap();
    assert!(text.starts_with("# "), "{} does not open with a comment", folder.display());
    let job = WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let resolved = job.resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{}: {:?}", folder.display(), resolved.problems));
    let problems: String = resolved.problems.iter().map(|problem| format!("{problem}\n")).collect();
    let data = serde_json::to_string_pretty(&MatSummary::new(mat.name(), &resolved)).unwrap() + "\n";
    let letterhead = Letterhead { paper: Size::new(210.0, 297.0), margin: backline::page::MARGIN };
    let page = pages(&[(mat, resolved.problems.as_slice())], &letterhead).remove(0);
    let picture = draw(mat, &Scene { longest: Some(120.0), pixels_per_inch: 60.0 });
    let source = |drawing| format("svg").unwrap().export(&Source::new(drawing, &Options::default())).unwrap().bytes;
    vec![
        ("check.txt", (mat.describe() + &problems).into_bytes()),
        ("check.json", data.into_bytes()),
        ("workshop.svg", svg_page(&page).unwrap().bytes),
        ("picture.svg", source(&picture.drawing)),
    ]
}

#[test]
fn every_golden_package_is_what_is_made_today() {
    let folders = folders();
    assert!(folders.len() >= 3, "there are only {} folders", folders.len());
    let mut kept = Kept::new();
    for folder in &folders {
        kept.compare(folder, |name| name == "job.toml", files(folder));
    }
    kept.end();
}
