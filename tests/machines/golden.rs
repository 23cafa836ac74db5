//! Every file in `golden-files/machines` is byte for byte what the library writes for that machine today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use crate::common::machine_goldens::{self, Golden, is_profile};

fn blessing() -> bool {
    std::env::var_os("BACKLINE_BLESS").is_some_and(|value| !value.is_empty() && value != "0")
}

/// Returns the names of the files in a folder that are written.
fn kept(golden: &Golden) -> BTreeSet<String> {
    let paths = fs::read_dir(&golden.folder).unwrap().map(|entry| entry.unwrap().path());
    let written = paths.filter(|path| !is_profile(path) && !path.ends_with("job.toml"));
    written.map(|path| path.file_name().unwrap().to_string_lossy().into_owned()).collect()
}

#[test]
fn every_golden_file_is_what_a_machine_gets_today() {
    let mut complaints = Vec::new();
    for golden in machine_goldens::all() {
        let mut left_over = kept(&golden);
        if blessing() {
            left_over.iter().for_each(|name| fs::remove_file(golden.folder.join(name)).unwrap());
        }
        for (name, bytes) in golden.files() {
            let path = golden.folder.join(&name);
            if blessing() {
                fs::write(path, bytes).unwrap();
            } else if !left_over.remove(&name) {
                complaints.push(format!("{}/{name} is missing", golden.name()));
            } else if fs::read(path).unwrap() != bytes {
                complaints.push(format!("{}/{name} differs", golden.name()));
            }
        }
        if !blessing() {
            complaints.extend(left_over.iter().map(|name| format!("{}/{name} is left over", golden.name())));
        }
    }
    assert!(
        complaints.is_empty(),
        "{}\nif the change is meant: BACKLINE_BLESS=1 cargo test golden",
        complaints.join("\n")
    );
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
