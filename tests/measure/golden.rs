//! Every golden file is measured against its job: nothing of it is off by more than a thousandth of a millimetre, or by
//! half a plotter unit, and by the tolerance where chords stand for curves.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use crate::common::goldens::{self, Drawn, Golden};
use backline::formats;
use backline::formats::readers;
use backline::measure::Wanted;
use backline::tolerance::FLATTEN_MM;
use kurbo::Affine;

/// Measures the files of one drawing; returns how many there are.
fn measure(golden: &Golden, drawn: &Drawn<'_>) -> usize {
    let wanted = Wanted::new(&drawn.drawing);
    let mut measured = 0;
    for ending in ["svg", "dxf", "plt", "txt", "json"] {
        let path = golden.folder.join(format!("{}.{ending}", drawn.stem));
        let Ok(bytes) = std::fs::read(&path) else {
            continue;
        };
        let reading = formats::read(&bytes, ending, None).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let reader = readers().find(|reader| reader.facts() == reading.format).unwrap();
        assert!(reader.endings().contains(&ending), "{} was read as {}", path.display(), reading.format.name);
        assert!(reading.unit.stated && reading.left_out.is_empty() && reading.remarks.is_empty(), "{reading:?}");
        // The y axis of some runs up from the bottom edge of the sheet.
        let up = matches!(ending, "dxf" | "plt");
        let way = if up { Affine::translate((0.0, drawn.drawing.sheet.height)) } else { Affine::IDENTITY };
        let comparison = wanted.compare_placed(&reading, way);
        let bound = match ending {
            "svg" => 0.001,
            // Half a unit in both directions at once.
            "plt" => 0.5 * 0.025 * std::f64::consts::SQRT_2 + FLATTEN_MM + 1e-4,
            _ => 0.001 + FLATTEN_MM,
        };
        let largest = comparison.largest();
        assert!(largest <= bound, "{} is off by {largest} mm: {comparison:?}", path.display());
        measured += 1;
    }
    measured
}

#[test]
fn every_golden_file_is_the_drawing_of_its_job() {
    let goldens = goldens::all();
    let next = AtomicUsize::new(0);
    let work = || {
        let mine = std::iter::from_fn(|| goldens.get(next.fetch_add(1, Ordering::Relaxed)));
        mine.map(|golden| golden.drawings().iter().map(|drawn| measure(golden, drawn)).sum::<usize>()).sum::<usize>()
    };
    let measured: usize = thread::scope(|scope| {
        let workers: Vec<_> =
            (0..thread::available_parallelism().map_or(1, NonZero::get)).map(|_| scope.spawn(work)).collect();
        workers.into_iter().map(|worker| worker.join().unwrap()).sum()
    });
    assert!(measured >= 200, "only {measured} files were measured");
}
