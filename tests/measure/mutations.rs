//! Files of machines that were altered in one way: each is found and named with its line, and files that are as written, or do the same
//! otherwise, are not.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use crate::common::machine_goldens;
use crate::common::mutations::{MUTATIONS, Written, started_elsewhere, written_programs};
use backline::formats::{self, ToolMark};
use backline::machine::Machine;
use backline::measure::{RunCheck, RunFault, Wanted};
use backline::program::Program;

/// Largest distance in millimetres that counts as agreement, as the command line has it.
const WITHIN: f64 = 0.05;

fn check(program: &Program, bytes: &[u8], ending: &str) -> (bool, RunCheck) {
    let reading = formats::read(bytes, ending, None).unwrap();
    let wanted = Wanted::of_program(program);
    let mut comparison = wanted.compare_fitted(&reading).unwrap();
    let run = wanted.compare_run(&reading, &comparison, WITHIN).unwrap();
    comparison.run = Some(run.clone());
    (comparison.agrees(WITHIN), run)
}

#[test]
fn files_as_they_were_written_have_no_differences() {
    let (mut count, mut wrong) = (0, Vec::new());
    for golden in machine_goldens::all() {
        for Written { machine, program, bytes, ending } in written_programs(&golden) {
            let (agrees, run) = check(&program, &bytes, ending);
            if !(agrees && run.agrees()) {
                let first = run.differences.first();
                wrong.push(format!("{} {}: {} {first:?}", golden.name(), machine.name, run.differences.len()));
            }
            count += 1;
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(count >= 50, "{count}");
}

/// Every alteration is made in a file of every machine in which it can be made, and found.
#[test]
fn every_alteration_is_found_and_named_with_its_line() {
    let mut wrong: Vec<String> = Vec::new();
    let mut made = BTreeSet::<(&str, String)>::new();
    // The folder with a tool of each kind first, since it has most to spoil.
    let mut goldens = machine_goldens::all();
    goldens.sort_by_key(|golden| golden.name() != "tool-kinds");
    for golden in goldens {
        for Written { machine, program, bytes, ending } in written_programs(&golden) {
            let text = String::from_utf8(bytes).unwrap().replace("\r\n", "\n");
            let wanted = Wanted::of_program(&program);
            let reading = |text: &str| formats::read(text.as_bytes(), ending, None).unwrap();
            let in_place = wanted.compare_fitted(&reading(&text)).unwrap();
            for mutation in MUTATIONS {
                if made.contains(&(mutation.name, machine.name.clone())) {
                    continue;
                }
                let Some(altered) = (mutation.alter)(&text, &program) else { continue };
                let run = wanted.compare_run(&reading(&altered), &in_place, WITHIN).unwrap();
                let mine = run.differences.iter().find(|difference| mutation.faults.contains(&difference.fault));
                let has_line = mine.is_some_and(|mine| mine.line.is_some() || mine.fault == RunFault::Missing);
                if !has_line || altered == text {
                    let found = run.differences.first();
                    let what = format!("{}: {} {}", mutation.name, golden.name(), machine.name);
                    wrong.push(format!("{what}: {} {found:?}", run.differences.len()));
                }
                made.insert((mutation.name, machine.name.clone()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    for mutation in MUTATIONS {
        let count = made.iter().filter(|(name, _)| *name == mutation.name).count();
        println!("{}: {count}", mutation.name);
        assert!(count >= mutation.least, "{}: {made:#?}", mutation.name);
    }
}

/// What does the same is accepted: closed cuts that start elsewhere, and openings in another order.
#[test]
fn a_program_that_cuts_the_same_is_accepted() {
    let golden = machine_goldens::all().into_iter().find(|golden| golden.name() == "nine-openings").unwrap();
    let machine = Machine::starter("cutting-plotter").unwrap();
    let program = machine.plan(golden.mat(), &golden.mat().layers()[0]).value.unwrap();
    let format = machine.format().into_result().unwrap();
    let text = String::from_utf8(format.write(&program).unwrap().bytes).unwrap();
    let reading = formats::read(text.as_bytes(), "plt", None).unwrap();
    assert_eq!(reading.format.tools, ToolMark::Pen);
    // Two openings change places.
    let strokes: Vec<&str> = text.split_inclusive("PU").collect();
    let mut other = strokes.clone();
    other.swap(1, 2);
    assert!(check(&program, other.concat().as_bytes(), "plt").0);
}

/// A closed cut may start at any place, as long as it runs on over its start as far as it should.
#[test]
fn a_cut_that_starts_elsewhere_is_accepted() {
    let mut formats = BTreeSet::new();
    for golden in machine_goldens::all() {
        for Written { machine, program, bytes, ending } in written_programs(&golden) {
            let text = String::from_utf8(bytes).unwrap().replace("\r\n", "\n");
            let Some(other) = started_elsewhere(&text, &program) else { continue };
            let (agrees, run) = check(&program, other.as_bytes(), ending);
            assert!(agrees && other != text, "{} {}: {:?}", golden.name(), machine.name, run.differences.first());
            formats.insert(program.controller.format.clone());
        }
    }
    assert!(formats.len() >= 3, "{formats:?}");
}
