//! Every file in `golden-files/nest` is byte for byte what is made of its order today.
//!
//! After a change that is meant: `BACKLINE_BLESS=1 cargo test golden`, then look at what changed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use crate::common::kept::Kept;
use crate::common::nests::nest;
use backline::checked::Checked;
use backline::formats::{Options, Source, format};
use backline::machine::Machine;
use backline::mat::Mat;
use backline::sheets::{Nest, NestedSheet};
use backline::view::View;

/// What is drawn of each sheet.
const DRAWINGS: [(&str, &str); 4] = [("back", "svg"), ("cut", "dxf"), ("cut-face", "svg"), ("pen", "hpgl")];
const MACHINES: [&str; 4] = ["flatbed-cutter-back", "flatbed-cutter-face", "straight-head-cutter", "drag-knife-router"];

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

fn is_given(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "toml")
}

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/nest");
    sorted(&root).into_iter().filter(|path| path.is_dir()).collect()
}

fn mats(folder: &Path) -> Vec<Mat> {
    let jobs = sorted(folder).into_iter().filter(|path| is_given(path) && !path.ends_with("stock.toml"));
    jobs.map(|path| crate::common::jobs::mat(&fs::read_to_string(path).unwrap())).collect()
}

/// Returns the name and the bytes of every file that belongs into a folder.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mats = mats(folder);
    let stock = fs::read_to_string(folder.join("stock.toml")).unwrap();
    let nest = nest(&mats, &stock, &[]);
    let mut files = vec![("plan.txt".to_owned(), plan(&nest).into_bytes())];
    for sheet in &nest.sheets {
        let stem = format!("sheet-{}", sheet.numbers.start());
        for (view, ending) in DRAWINGS {
            let view = View::by_name(view).unwrap();
            if sheet.is_shown_by(view) {
                let drawing = sheet.draw(view);
                let format = format(ending).unwrap();
                let written = format.export(&Source::new(&drawing, &Options::default())).unwrap();
                files.push((format!("{stem}-{}.{}", view.name, format.extension()), written.bytes));
            }
        }
        for machine in MACHINES {
            files.extend(of_machine(&Machine::starter(machine).unwrap(), sheet, &stem));
        }
    }
    files
}

fn plan(nest: &Nest<'_>) -> String {
    let mut text = String::new();
    for sheet in &nest.sheets {
        let (width, height) = (sheet.size.width, sheet.size.height);
        writeln!(text, "{}: {width:.3} × {height:.3} mm: {}", sheet.title(), sheet.content_words()).unwrap();
        for board in &sheet.boards {
            let turned = if board.turned { ", turned" } else { "" };
            writeln!(text, "  {} at {:.3}, {:.3}{turned}", board.name(), board.corner.x, board.corner.y).unwrap();
        }
    }
    text
}

fn of_machine(machine: &Machine, sheet: &NestedSheet<'_>, stem: &str) -> Vec<(String, Vec<u8>)> {
    let Checked { value: program, problems, .. } = machine.plan_sheet(sheet);
    let mut seen: Vec<(usize, &str)> = Vec::new();
    let mut words = String::new();
    for board in &sheet.boards {
        if !seen.contains(&(board.place, &board.layer.name)) {
            seen.push((board.place, &board.layer.name));
            let own = machine.check(board.mat, board.layer);
            words.extend(own.iter().map(|problem| format!("{}: {problem}\n", board.name())));
        }
    }
    words.extend(problems.iter().map(|problem| format!("{problem}\n")));
    let mut files = Vec::new();
    if let Some(program) = program.filter(|program| !program.passes.is_empty()) {
        let format = machine.format().into_result().unwrap();
        let written = format.write(&program).unwrap();
        words.extend(written.notes.iter().map(|note| format!("note: {note}\n")));
        files.push((format!("{stem}-{}.{}", machine.name, format.extension()), written.bytes));
    }
    if !words.is_empty() {
        files.push((format!("{stem}-{}.problems", machine.name), words.into_bytes()));
    }
    files
}

#[test]
fn every_golden_sheet_is_what_is_made_today() {
    let mut kept = Kept::new();
    for folder in folders() {
        kept.compare(&folder, |name| is_given(&folder.join(name)), files(&folder));
    }
    kept.end();
}

#[test]
fn every_golden_job_says_what_it_is_for() {
    for path in folders().iter().flat_map(|folder| sorted(folder)).filter(|path| is_given(path)) {
        assert!(fs::read_to_string(&path).unwrap().starts_with("# "), "{}", path.display());
    }
}
