//! Every file in `golden-files/machines` is byte for byte what the library writes for that machine today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::fs;

use crate::common::kept::Kept;
use crate::common::machine_goldens::{self, is_profile};

#[test]
fn every_golden_file_is_what_a_machine_gets_today() {
    let mut kept = Kept::new();
    for golden in machine_goldens::all() {
        let given = |name: &str| name == "job.toml" || is_profile(&golden.folder.join(name));
        kept.compare(&golden.folder, given, golden.files());
    }
    kept.end();
}

#[test]
fn every_profile_and_job_says_what_it_is_for() {
    for golden in machine_goldens::all() {
        for entry in fs::read_dir(&golden.folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                assert!(fs::read_to_string(&path).unwrap().starts_with("# "), "{}", path.display());
            }
        }
    }
}
