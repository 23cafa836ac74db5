//! The files in `golden-files/print` are byte for byte what is laid out today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at every page.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;

use crate::common::kept::Kept;
use backline::drawing::Drawing;
use backline::formats::{Options, tiled_pdf, tiled_svg};
use backline::job::{Syntax, WrittenJob};
use backline::paper::Stretch;
use backline::tiling::{PrintedPart, Tiled, Tiling};
use backline::view::View;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The back template of the first board of a golden job.
fn template(idea: &str) -> Drawing {
    let text = fs::read_to_string(root().join("golden-files/mats").join(idea).join("job.toml")).unwrap();
    let resolved = WrittenJob::read(&text, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap();
    View::by_name("back").unwrap().draw(mat, mat.layers().first().unwrap())
}

fn laid_out(idea: &str, paper: &str, choices: Tiling) -> Tiled {
    Tiling { paper: paper.parse().unwrap(), ..choices }.lay_out(&template(idea)).unwrap()
}

/// Name and content of every file that ought to be there.
fn files() -> Vec<(&'static str, Vec<u8>)> {
    let pdf = |tiled: &Tiled| tiled_pdf(tiled, &Options::default()).unwrap().bytes;
    let usual = Tiling::default;
    let corrected =
        Tiling { stretch: Stretch { across: 1.01, down: 0.995 }, printer: "Door".to_owned(), overlap: 0.0, ..usual() };
    let first_page = tiled_svg(&laid_out("ellipse", "A4", usual())).unwrap().remove(0).bytes;
    vec![
        ("overlapping-a4.pdf", pdf(&laid_out("ellipse", "A4", usual()))),
        ("edge-to-edge-corrected-letter.pdf", pdf(&laid_out("single-rectangle", "letter", corrected))),
        ("only-corners-a4.pdf", pdf(&laid_out("octagon", "A4", Tiling { only: PrintedPart::Corners, ..usual() }))),
        (
            "only-opening-3-a4.pdf",
            pdf(&laid_out(
                "grid-2x3",
                "A4",
                Tiling { only: PrintedPart::Opening { number: 3, name: String::new() }, ..usual() },
            )),
        ),
        ("roll-24-in.pdf", pdf(&laid_out("single-rectangle", "roll 24 in", usual()))),
        ("first-page-a4.svg", first_page),
    ]
}

#[test]
fn every_golden_print_is_what_is_laid_out_today() {
    let mut kept = Kept::new();
    kept.compare(&root().join("golden-files/print"), |_| false, files());
    kept.end();
}
