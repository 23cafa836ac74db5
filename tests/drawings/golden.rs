//! Every file in `golden-files/mats` is byte for byte what the library writes today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use crate::common::goldens::{self, Golden};

/// Writes the golden files anew instead of comparing them.
fn blessing() -> bool {
    std::env::var_os("BACKLINE_BLESS").is_some_and(|value| !value.is_empty() && value != "0")
}

/// Returns the names of the files in a folder that are neither the job nor read by it.
fn kept(golden: &Golden) -> BTreeSet<String> {
    let job = fs::read_to_string(golden.folder.join("job.toml")).unwrap();
    let names = fs::read_dir(&golden.folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name != "job.toml" && !job.contains(name.as_str())).collect()
}

fn bless(golden: &Golden) {
    for name in kept(golden) {
        fs::remove_file(golden.folder.join(name)).unwrap();
    }
    for (name, bytes) in golden.files() {
        fs::write(golden.folder.join(name), bytes).unwrap();
    }
}

/// Adds what differs, a line a file.
fn compare(golden: &Golden, complaints: &mut Vec<String>) {
    let mut left_over = kept(golden);
    for (name, bytes) in golden.files() {
        left_over.remove(&name);
        let path = format!("{}/{name}", golden.name());
        match fs::read(golden.folder.join(&name)) {
            Err(_) => complaints.push(format!("{path} is missing")),
            Ok(kept) if kept != bytes => complaints.push(format!("{path} {}", difference(&kept, &bytes))),
            Ok(_) => {}
        }
    }
    complaints.extend(left_over.iter().map(|name| format!("{}/{name} is left over", golden.name())));
}

/// Describes the first line that differs.
fn difference(kept: &[u8], drawn: &[u8]) -> String {
    let line = kept.split(|byte| *byte == b'\n').zip(drawn.split(|byte| *byte == b'\n')).position(|(a, b)| a != b);
    match line {
        Some(line) => format!("differs in line {}", line + 1),
        None => format!("has {} bytes, {} were drawn", kept.len(), drawn.len()),
    }
}

#[test]
fn every_golden_file_is_what_is_drawn_today() {
    let goldens = goldens::all();
    assert!(goldens.len() >= 12, "there are only {} golden folders", goldens.len());
    if blessing() {
        goldens.iter().for_each(bless);
        println!("blessed {} golden folders; look at what changed before you keep it", goldens.len());
        return;
    }
    let mut complaints = Vec::new();
    for golden in &goldens {
        compare(golden, &mut complaints);
    }
    assert!(
        complaints.is_empty(),
        "{}\nif the change is meant: BACKLINE_BLESS=1 cargo test golden",
        complaints.join("\n")
    );
}

#[test]
fn every_golden_job_says_what_it_is_for() {
    for golden in goldens::all() {
        let job = fs::read_to_string(golden.folder.join("job.toml")).unwrap();
        assert!(job.starts_with("# "), "{}/job.toml does not open with a comment", golden.name());
    }
}
