//! Any bytes as a job file in both syntaxes: read, located, resolved and drawn without a panic.
#![no_main]

use backline::formats::{drawing_formats, Options, Source};
use backline::job::{Job, Syntax, locate};
use backline::view::View;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for syntax in [Syntax::Toml, Syntax::Json] {
        let Ok(mut job) = Job::read(text, syntax) else {
            continue;
        };
        job.load_outlines(&mut |_| Err("there are no files here".to_owned()));
        let resolved = job.resolve();
        for problem in &resolved.problems {
            let range = locate(text, syntax, &problem.place);
            assert!(range.is_none_or(|range| text.get(range).is_some()), "{problem}");
        }
        let Some(mat) = resolved.sound() else {
            continue;
        };
        let Some(back) = View::by_name("back") else {
            continue;
        };
        for layer in mat.layers() {
            let drawing = back.draw(mat, layer);
            let options = Options::default();
            let source = Source::new(&drawing, &options);
            for format in drawing_formats() {
                let _ = format.export(&source);
            }
        }
    }
});
