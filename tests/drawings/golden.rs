//! Every file in `golden-files/mats` is byte for byte what the library writes today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::fs;

use crate::common::goldens;
use crate::common::kept::Kept;

#[test]
fn every_golden_file_is_what_is_drawn_today() {
    let goldens = goldens::all();
    assert!(goldens.len() >= 12, "there are only {} golden folders", goldens.len());
    let mut kept = Kept::new();
    for golden in &goldens {
        let job = fs::read_to_string(golden.folder.join("job.toml")).unwrap();
        // Whatever the job reads lies beside it.
        kept.compare(&golden.folder, |name| name == "job.toml" || job.contains(name), golden.files());
    }
    kept.end();
}

#[test]
fn every_golden_job_says_what_it_is_for() {
    for golden in goldens::all() {
        let job = fs::read_to_string(golden.folder.join("job.toml")).unwrap();
        assert!(job.starts_with("# "), "{}/job.toml does not open with a comment", golden.name());
    }
}
