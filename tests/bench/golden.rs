//! Every file in `golden-files/bench` is byte for byte what the settings of a hand cutter are written as today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::common::kept::Kept;
use backline::bench::{
    Assembly, Cutter, End, Settings, SettingsData, WholeOrder, WholeOrderData, WrittenCutter, bench_cards, order_cards,
};
use backline::drawing::Mark;
use backline::formats::{Options, pdf_pages};
use backline::job::{Syntax, WrittenJob};
use backline::length::{Ruler, Unit};
use kurbo::Size;

fn folders() -> Vec<PathBuf> {
    folders_in("bench")
}

fn folders_in(kind: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files").join(kind);
    let paths = fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path());
    let mut folders: Vec<PathBuf> = paths.filter(|path| path.is_dir()).collect();
    folders.sort();
    folders
}

fn settings(folder: &Path) -> Settings {
    settings_of(folder, "job.toml")
}

fn settings_of(folder: &Path, job: &str) -> Settings {
    let job = WrittenJob::read(&fs::read_to_string(folder.join(job)).unwrap(), Syntax::Toml).unwrap();
    let resolved = job.resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{}: {:?}", folder.display(), resolved.problems));
    let cutter = match fs::read_to_string(folder.join("cutter.toml")) {
        Ok(text) => WrittenCutter::read(&text, Syntax::Toml).unwrap().resolve().into_result().unwrap(),
        Err(_) => Cutter::usual(mat.ruler()),
    };
    let mut settings = Settings::new(mat, &cutter, Assembly::Taped);
    settings.sheet = Some(Size::new(812.8, 1016.0));
    settings
}

/// The files that belong beside the job and the cutter.
fn files(settings: &Settings) -> BTreeMap<&'static str, Vec<u8>> {
    let json = serde_json::to_string_pretty(&SettingsData::new(settings)).unwrap() + "\n";
    let pages = bench_cards(settings, Size::new(210.0, 297.0));
    assert!(pages.len() >= settings.boards.len(), "a page a board, or more");
    let card = pdf_pages(&format!("{}: bench card", settings.name), &pages, &Options::default()).unwrap();
    BTreeMap::from([
        ("settings.txt", settings.to_table().into_bytes()),
        ("steps.txt", settings.to_text().into_bytes()),
        ("settings.md", settings.to_markdown().into_bytes()),
        ("settings.json", json.into_bytes()),
        ("card.pdf", card.bytes),
    ])
}

/// The jobs in a folder, cut together.
fn whole_order(folder: &Path) -> WholeOrder {
    let mut jobs: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".toml") && name != "cutter.toml")
        .collect();
    jobs.sort();
    WholeOrder::new(jobs.iter().map(|job| settings_of(folder, job)).collect()).unwrap()
}

fn files_of_order(order: &WholeOrder) -> BTreeMap<&'static str, Vec<u8>> {
    let json = serde_json::to_string_pretty(&WholeOrderData::new(order)).unwrap() + "\n";
    let pages = order_cards(order, Size::new(210.0, 297.0));
    let cards = pdf_pages("cards of a whole order", &pages, &Options::default()).unwrap();
    BTreeMap::from([
        ("order.txt", order.to_text().into_bytes()),
        ("order.md", order.to_markdown().into_bytes()),
        ("order.json", json.into_bytes()),
        ("cards.pdf", cards.bytes),
    ])
}

#[test]
fn every_golden_whole_order_is_what_is_written_today() {
    let mut kept = Kept::new();
    let folders = folders_in("whole-order");
    assert!(!folders.is_empty());
    for folder in folders {
        kept.compare(&folder, |name| name.ends_with(".toml"), files_of_order(&whole_order(&folder)));
    }
    kept.end();
}

#[test]
fn every_golden_file_is_what_is_written_today() {
    let mut kept = Kept::new();
    for folder in folders() {
        kept.compare(&folder, |name| name.ends_with(".toml"), files(&settings(&folder)));
    }
    kept.end();
}

#[test]
fn every_job_and_cutter_says_what_it_is_for() {
    assert!(folders().len() >= 5);
    for folder in folders() {
        for file in ["job.toml", "cutter.toml"].map(|name| folder.join(name)).iter().filter(|path| path.exists()) {
            assert!(fs::read_to_string(file).unwrap().starts_with("# "), "{}", file.display());
        }
    }
}

#[test]
fn everything_for_the_bench_carries_the_cautions() {
    for folder in folders() {
        let settings = settings(&folder);
        let caution = settings.cutter.cautions()[0];
        for (name, bytes) in files(&settings) {
            // On a page the sentence may be broken between lines.
            let text = String::from_utf8_lossy(&bytes).replace('\n', " ");
            assert!(text.contains(caution) || name == "card.pdf", "{name}");
            assert!(text.contains("Blades cut people"), "{name}");
        }
    }
}

#[test]
fn a_blade_that_is_pulled_is_not_said_to_go_away_from_the_body() {
    let cutter = |starts| Cutter { starts, ..Cutter::usual(Ruler::usual(Unit::Inch)) };
    let said = |starts| cutter(starts).cautions()[0].to_owned();
    assert!(said(End::Far).contains("comes towards you") && !said(End::Far).contains("away from"));
    assert!(said(End::Near).contains("goes away from you"));
}

/// Em of Helvetica in points for a height of its capitals in millimetres (Adobe font metrics of Helvetica: CapHeight 718).
fn points(cap_height: f64) -> f64 {
    cap_height / 0.718 * 72.0 / 25.4
}

#[test]
fn what_is_set_is_read_at_arms_length() {
    for folder in folders() {
        let settings = settings(&folder);
        for page in bench_cards(&settings, Size::new(210.0, 297.0)) {
            let marks = page.layers.iter().flat_map(|layer| &layer.marks);
            let texts: Vec<_> =
                marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None }).collect();
            for text in &texts {
                assert!(points(text.cap_height) >= 9.0, "{}: {:?}", folder.display(), text.content);
            }
            // A setting stands alone, such as `3 1/32 in` or `50.5 mm`.
            let is_setting = |words: &str| {
                let figures = words.trim_end_matches(" in").trim_end_matches(" mm");
                figures.len() < words.len()
                    && figures.chars().all(|letter| letter.is_ascii_digit() || " ./".contains(letter))
            };
            // What belongs to it stands beside it, such as `+0.31 ±0.12`.
            let is_beside = |words: &str| {
                words.starts_with(['+', '-', '±'])
                    && words.chars().all(|letter| letter.is_ascii_digit() || " ./+-±?".contains(letter))
            };
            for text in texts.iter().filter(|text| is_beside(&text.content)) {
                assert!(points(text.cap_height) >= 14.0, "{}: {:?}", folder.display(), text.content);
            }
            let read = texts.iter().filter(|text| is_setting(&text.content));
            let mut count = 0;
            for text in read {
                count += 1;
                assert!(points(text.cap_height) >= 14.0, "{}: {:?}", folder.display(), text.content);
            }
            let has_steps = texts.iter().any(|text| text.content == "guide" || text.content == "> guide");
            assert!(count > 0 || !has_steps, "{}: no settings were found", folder.display());
        }
    }
}
