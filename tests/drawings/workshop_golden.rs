//! Every file in `golden-files/workshop` is what the library makes today of the job beside it: pages and pictures.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::kept::{Kept, difference};
use backline::formats::{Options, Source, format, pdf_pages, png, svg_page};
use backline::job::{Syntax, WrittenJob};
use backline::picture::{Scene, draw};
use backline::workshop::{Letterhead, pages};
use kurbo::Size;

/// Largest difference of a channel, and largest mean difference, that two renderings of a picture may have.
const LARGEST_DIFFERENCE: u8 = 3;
const MEAN_DIFFERENCE: f64 = 0.05;
/// Pixels to the inch of the pictures.
const PIXELS_PER_INCH: f64 = 60.0;

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/workshop");
    let mut folders: Vec<PathBuf> =
        fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_dir()).collect();
    folders.sort();
    folders
}

/// Returns the name and the bytes of every file that belongs into a folder.
fn files(folder: &Path) -> Vec<(&'static str, Vec<u8>)> {
    let text = fs::read_to_string(folder.join("job.toml")).unwrap();
    assert!(text.starts_with("# "), "{} does not open with a comment", folder.display());
    let mut job = WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    job.load_pictures(&mut |file| fs::read(folder.join(file)).map_err(|error| error.to_string()));
    let resolved = job.resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{}: {:?}", folder.display(), resolved.problems));
    let options = Options::default();
    let sheet = |width: f64, height: f64| {
        let letterhead = Letterhead { paper: Size::new(width, height), margin: backline::page::MARGIN };
        let mut pages = pages(&[(mat, resolved.problems.as_slice())], &letterhead);
        assert_eq!(pages.len(), 1, "{}", folder.display());
        pages.remove(0)
    };
    let (a4, letter) = (sheet(210.0, 297.0), sheet(215.9, 279.4));
    let picture = draw(mat, &Scene { longest: Some(120.0), pixels_per_inch: PIXELS_PER_INCH });
    assert!(picture.notes.is_empty(), "{:?}", picture.notes);
    let write = |name: &str, drawing| format(name).unwrap().export(&Source::new(drawing, &options)).unwrap().bytes;
    vec![
        ("workshop-a4.pdf", pdf_pages(mat.name(), [&a4], &options).unwrap().bytes),
        ("workshop-letter.svg", svg_page(&letter).unwrap().bytes),
        ("picture.svg", write("svg", &picture.drawing)),
        ("picture.pdf", write("pdf", &picture.drawing)),
        ("picture.png", png(&picture.drawing, PIXELS_PER_INCH).unwrap().bytes),
    ]
}

/// Says how two pictures differ, if they differ by more than rounding.
fn pixels_differ(kept: &[u8], drawn: &[u8]) -> Option<String> {
    let [kept, drawn] = [kept, drawn].map(|bytes| image::load_from_memory(bytes).unwrap().into_rgb8());
    if kept.dimensions() != drawn.dimensions() {
        return Some(format!("has {:?} pixels, {:?} were drawn", kept.dimensions(), drawn.dimensions()));
    }
    let differences: Vec<u8> = kept.as_raw().iter().zip(drawn.as_raw()).map(|(a, b)| a.abs_diff(*b)).collect();
    let largest = *differences.iter().max().unwrap();
    let mean = differences.iter().map(|difference| f64::from(*difference)).sum::<f64>() / differences.len() as f64;
    let same = largest <= LARGEST_DIFFERENCE && mean <= MEAN_DIFFERENCE;
    (!same).then(|| format!("differs by up to {largest} and {mean:.3} on average"))
}

#[test]
fn every_golden_page_and_picture_is_what_is_drawn_today() {
    let folders = folders();
    assert!(folders.len() >= 6, "there are only {} folders", folders.len());
    let mut kept = Kept::new();
    for folder in &folders {
        let given = |name: &str| matches!(name, "job.toml" | "harbour.png");
        kept.compare_by(folder, given, files(folder), |name, kept, made| match name.ends_with(".png") {
            true => pixels_differ(kept, made),
            false => difference(kept, made),
        });
    }
    kept.end();
}

#[test]
fn a_png_file_states_its_density_and_size() {
    let folder = folders().into_iter().find(|folder| folder.ends_with("single-opening")).unwrap();
    let (_, bytes) = files(&folder).into_iter().find(|(name, _)| *name == "picture.png").unwrap();
    let reader = ::png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let info = reader.info();
    // 120 mm high: 4.724 in of 60 pixels; 16 × 20 in.
    assert_eq!((info.width, info.height), (227, 283));
    let dims = info.pixel_dims.unwrap();
    // Pixels to the metre (PNG specification, pHYs).
    assert_eq!((dims.xppu, dims.yppu, dims.unit), (2362, 2362, ::png::Unit::Meter));
}
