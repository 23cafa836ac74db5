//! Any bytes as a file to be measured, in every format: read, described, and held against a job.

use std::sync::LazyLock;

use backline::formats;
use backline::formats::readers;
use backline::formats::reading::ReadDrawing;
use backline::job::{Syntax, WrittenJob};
use backline::machine::Machine;
use backline::measure::{Found, Wanted};
use backline::view::View;

const JOB: &str = "unit = 'mm'\nouter = [400, 500]\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n\
                   [[opening]]\nsize = [90, 70]\nat = { left = 240, top = 300 }\n";

/// The cut drawing of a job, and its program for a machine.
static WANTED: LazyLock<Vec<Wanted>> = LazyLock::new(|| {
    let Some(mat) = WrittenJob::read(JOB, Syntax::Toml).ok().and_then(|job| job.resolve().value) else {
        return Vec::new();
    };
    let drawing = Wanted::new(&View::CUT.draw(&mat, &mat.layers()[0]));
    let machine = Machine::starter("straight-head-cutter")
        .and_then(|machine| Some(Wanted::of_program(&machine.plan(&mat, &mat.layers()[0]).value?)));
    [drawing].into_iter().chain(machine).collect()
});

fn look_at(reading: &ReadDrawing) {
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

pub fn run(bytes: &[u8]) {
    let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
    for reader in readers() {
        if reader.recognises(&text) {
            if let Ok(reading) = formats::read(bytes, reader.endings()[0], None) {
                look_at(&reading);
            }
        } else if text.len() < 300 {
            let _ = reader.read(&text, None);
        }
    }
}
