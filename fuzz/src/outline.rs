//! Any bytes as the SVG file of an opening: read, scaled and bevelled.

use std::sync::LazyLock;

use backline::job::{Syntax, WrittenJob};

static JOBS: LazyLock<Vec<WrittenJob>> = LazyLock::new(|| {
    ["", ", width = 120", ", height = 90, id = \"a\""]
        .into_iter()
        .filter_map(|keys| {
            let text = format!("unit = \"mm\"\nborder = 50\nopening.shape.svg = {{ file = \"a.svg\"{keys} }}\n");
            WrittenJob::read(&text, Syntax::Toml).ok()
        })
        .collect()
});

pub fn run(bytes: &[u8]) {
    for job in JOBS.iter() {
        let mut job = job.clone();
        job.load_outlines(&mut |_| Ok(bytes.to_vec()));
        let resolved = job.resolve();
        let Some(mat) = resolved.sound() else {
            continue;
        };
        for opening in mat.layers().iter().flat_map(|layer| &layer.openings) {
            for (a, b) in opening.sight.segments().iter().zip(opening.sight.segments().iter().skip(1)) {
                assert!(a.end().distance(b.start()) < 1e-3, "{a:?} does not reach {b:?}");
            }
        }
    }
}
