//! Every file in `golden-files/machines` is byte for byte what the library writes for that machine today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::fs;

use crate::common::kept::Kept;
use crate::common::machine_goldens::{self, is_profile};
use backline::program::ToolKind;

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

/// Every kind of tool has a program that is kept, so that a change of what it does is seen.
#[test]
fn every_kind_of_tool_has_a_golden_program() {
    let mut kinds = std::collections::BTreeMap::<ToolKind, usize>::new();
    for golden in machine_goldens::all() {
        for layer in golden.mat().layers() {
            let programs = golden.machines.iter().filter_map(|machine| machine.plan(golden.mat(), layer).value);
            for pass in programs.flat_map(|program| program.passes) {
                *kinds.entry(pass.tool.kind).or_default() += 1;
            }
        }
    }
    println!("{kinds:?}");
    assert!(ToolKind::ALL.iter().all(|kind| kinds.contains_key(kind)), "{kinds:?}");
}

/// Whatever is kept of a machine warns of its blade, but for formats whose readers take no comments.
#[test]
fn every_golden_program_warns_of_blades() {
    for golden in machine_goldens::all() {
        for (name, bytes) in golden.files() {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let takes_comments = !name.ends_with(".plt") && !name.ends_with(".problems");
            assert!(!takes_comments || text.contains("CAUTION"), "{}/{name}", golden.name());
        }
    }
}

#[test]
fn every_document_about_machines_warns_of_blades() {
    let mut count = 0;
    for entry in fs::read_dir("docs").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "md") {
            let text = fs::read_to_string(&path).unwrap();
            let is_about_machines = text.contains("--machine ");
            assert!(!is_about_machines || text.contains("Blades cut people"), "{}", path.display());
            count += usize::from(is_about_machines);
        }
    }
    assert!(count > 0);
}
