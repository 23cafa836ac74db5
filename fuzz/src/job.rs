//! Any bytes as a job file in both syntaxes: located, resolved, drawn, and read back as it was drawn.

use backline::formats::{Options, Source, drawing_formats};
use backline::job::{Syntax, WrittenJob, locate};
use backline::limits::WorkLimits;
use backline::mat::Mat;
use backline::measure::{is_read_back, verify_drawing};
use backline::view::VIEWS;

/// Drawings with more pieces than this are written, but not read back: that takes long, as it may.
const MOST_PIECES: usize = 400;

pub fn run(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for syntax in [Syntax::Toml, Syntax::Json] {
        let Ok(mut job) = WrittenJob::read(text, syntax) else { continue };
        let mut none = |_: &str| Err("there are no files here".to_owned());
        job.load_outlines(&mut none);
        job.load_pictures(&mut none);
        let Ok(resolved) = WorkLimits::strict().watch(|| job.resolve()) else { continue };
        for problem in &resolved.problems {
            let range = locate(text, syntax, &problem.place);
            assert!(range.is_none_or(|range| text.get(range).is_some()), "{problem}");
        }
        if let Some(mat) = resolved.sound() {
            let _ = WorkLimits::strict().watch(|| draw(mat));
        }
    }
}

fn draw(mat: &Mat) {
    for layer in mat.layers() {
        let pieces: usize = layer.openings.iter().map(|opening| opening.sight.segments().len()).sum();
        for view in VIEWS.iter().filter(|view| view.applies(layer)) {
            let drawing = view.draw(mat, layer);
            let options = Options::default();
            let source = Source::new(&drawing, &options);
            for format in drawing_formats() {
                let Ok(written) = format.export(&source) else { continue };
                if pieces <= MOST_PIECES && is_read_back(format.extension()) {
                    let verified = verify_drawing(&written.bytes, format.extension(), &drawing, &options);
                    assert!(verified.as_ref().is_ok_and(|verified| verified.agrees()), "{}: {verified:?}", view.name);
                }
            }
        }
    }
}
