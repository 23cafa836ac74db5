//! Any bytes as a file to be measured, in every format: read, described, and held against a job without a panic.
#![no_main]

use std::sync::LazyLock;

use backline::job::{Job, Syntax};
use backline::machine::Machine;
use backline::formats;
use backline::formats::reading::{Reading};
use backline::formats::readers;
use backline::measure::{Found, Wanted};
use backline::view::View;
use libfuzzer_sys::fuzz_target;

const JOB: &str = "unit = 'mm'\nouter = [400, 500]\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n\
                   [[opening]]\nsize = [90, 70]\nat = { left = 240, top = 300 }\n";

/// The cut drawing of a job, and its program for a machine.
static WANTED: LazyLock<Vec<Wanted>> = LazyLock::new(|| {
    let Some(mat) = Job::read(JOB, Syntax::Toml).ok().and_then(|job| job.resolve().mat) else {
        return Vec::new();
    };
    let drawing = View::by_name("cut").map(|view| Wanted::new(&view.draw(&mat, &mat.layers()[0])));
    let machine = Machine::starter("straight-head-cutter").and_then(|machine| {
        let program = machine.plan(&mat, &mat.layers()[0]).program?;
        Some(Wanted::of_program(&program, &machine))
    });
    drawing.into_iter().chain(machine).collect()
});

fn look_at(reading: &Reading) {
    let strokes: usize = reading.paths.iter().map(|path| path.pieces.len()).sum();
    // What is large takes long, as it may.
    if strokes > 2_000 {
        return;
    }
    let found = Found::new("fuzz", reading);
    assert!(!found.describe().is_empty());
    // Curves far larger than any mat have very many chords.
    let is_small = reading.bounds().is_none_or(|bounds| bounds.width().max(bounds.height()) < 5_000.0);
    if strokes < 40 && is_small {
        for wanted in WANTED.iter() {
            let _ = wanted.compare_fitted(reading).map(|comparison| comparison.agrees(0.05));
        }
    }
}

fuzz_target!(|bytes: &[u8]| {
    let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
    for reader in readers() {
        if reader.recognises(&text) {
            if let Ok(reading) = backline::formats::read(bytes, reader.endings()[0], None) {
                look_at(&reading);
            }
        } else if text.len() < 300 {
            let _ = reader.read(&text, None);
        }
    }
});
