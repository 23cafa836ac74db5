//! What calibration, squareness and trouble shooting write is byte for byte what is kept in `golden-files/calibration`.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::kept::Kept;
use backline::bench::{
    CalibrationRecord, CalibrationReport, Cutter, Evidence, Number, Pivot, RailSide, SquareDemand, SquareReport,
    SquareTest, TROUBLES, TroubleTable, WrittenCutter, record_form,
};
use backline::bench::{calibration_pages, draw_test_piece, square_picture};
use backline::checked::Checked;
use backline::formats::{Options, Source, format, svg_page};
use backline::job::{FoundProblem, Syntax};
use backline::length::{Ruler, Unit};
use kurbo::Size;

/// A file name below the golden folder, and what belongs there.
type File = (String, Vec<u8>);

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/calibration")
}

fn text_of(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn cutter(folder: &str) -> Cutter {
    let text = text_of(&format!("{folder}/cutter.toml"));
    WrittenCutter::read(&text, Syntax::Toml).unwrap().resolve().into_result().unwrap()
}

fn json(value: &impl serde::Serialize) -> Vec<u8> {
    (serde_json::to_string_pretty(value).unwrap() + "\n").into_bytes()
}

/// Test pieces as drawings and jobs, and the form.
fn form() -> Vec<File> {
    let cutter = cutter("form");
    let pieces = cutter.test_pieces(2, 1).unwrap();
    let mut files = vec![("form/measured.toml".to_owned(), record_form(&cutter, &pieces).into_bytes())];
    for piece in &pieces {
        let stem = format!("form/test-piece-{}", piece.number);
        files.push((format!("{stem}.toml"), toml::to_string(&piece.job()).unwrap().into_bytes()));
        let drawing = draw_test_piece(piece).into_result().unwrap();
        for name in ["svg", "pdf"] {
            let bytes = format(name).unwrap().export(&Source::new(&drawing, &Options::default())).unwrap().bytes;
            files.push((format!("{stem}.{name}"), bytes));
        }
    }
    files
}

/// What a record says, or why it says nothing.
fn fitted(folder: &str) -> Vec<File> {
    let record = CalibrationRecord::read(&text_of(&format!("{folder}/measured.toml")), Syntax::Toml).unwrap();
    let lines = |problems: &[backline::problem::Problem]| {
        problems.iter().map(|problem| format!("{problem}\n")).collect::<String>()
    };
    let file = |name: &str, bytes: Vec<u8>| (format!("{folder}/{name}"), bytes);
    let Checked { value, problems, .. } = record.calibrate(&cutter(folder));
    let found = problems.iter().map(FoundProblem::new).collect();
    match value {
        Some(calibration) => vec![
            file("picture.svg", svg_page(&calibration_pages(&calibration, Size::new(210.0, 297.0))[0]).unwrap().bytes),
            file("report.txt", (lines(&problems) + &calibration.describe()).into_bytes()),
            file("report.json", json(&CalibrationReport::new(&calibration, found))),
            file("profile.toml", calibration.cutter.to_toml(&calibration.remarks()).into_bytes()),
        ],
        None => vec![
            file("problems.txt", lines(&problems).into_bytes()),
            file("report.json", json(&CalibrationReport::refused(found))),
        ],
    }
}

fn square() -> Vec<File> {
    let demand = |bracket| SquareDemand {
        largest: Size::new(812.8, 1016.0),
        tolerance: 0.8,
        reading: 0.1,
        bracket,
        pivot: Pivot::Rail,
        ruler: Ruler::usual(Unit::Millimetre),
    };
    let tests = [
        ("diagonals", SquareTest::Diagonals { width: 300.0, height: 400.0, first: 500.0, second: 501.0 }, Some(350.0)),
        ("gap", SquareTest::Gap { length: 600.0, gap: -0.5 }, None),
        ("triangle", SquareTest::Triangle { arm: 600.0, cut: 800.0, across: 1000.0 }, None),
        ("sides", SquareTest::Sides { arm: 300.0, opposite: 300.8, cut: 400.0 }, Some(350.0)),
    ];
    let mut files = Vec::new();
    for (name, test, bracket) in tests {
        let report = SquareReport::new(&test, &demand(bracket)).unwrap();
        let words = report.describe(Ruler::usual(Unit::Millimetre));
        files.push((format!("square/{name}.txt"), words.into_bytes()));
        let picture = square_picture(&report, RailSide::Left, Ruler::usual(Unit::Millimetre));
        files.push((format!("square/{name}.svg"), svg_page(&picture).unwrap().bytes));
        files.push((format!("square/{name}.json"), json(&report)));
    }
    files
}

fn trouble() -> Vec<File> {
    let table = TroubleTable::read(TROUBLES, Syntax::Toml).unwrap();
    let known: [(&str, &[(&str, f64)]); 3] = [
        ("hook", &[]),
        ("overcut", &[("far_over", 2.0), ("near_over", 1.9), ("board", 1.5)]),
        ("drift", &[("border_far", 51.0), ("border_near", 50.0), ("length", 250.0)]),
    ];
    let mut files = Vec::new();
    for (sign, numbers) in known {
        let mut evidence = Evidence::default();
        numbers.iter().for_each(|(name, value)| evidence.give(Number::by_name(name).unwrap(), *value));
        let diagnosis = table.by_name(sign).unwrap().diagnose(&evidence);
        files.push((format!("trouble/{sign}.txt"), diagnosis.describe().into_bytes()));
        files.push((format!("trouble/{sign}.json"), json(&diagnosis)));
    }
    files
}

fn all() -> Vec<File> {
    [form(), fitted("fitted"), fitted("slip"), fitted("refused"), square(), trouble()].concat()
}

/// What a person wrote and the library reads.
fn is_source(name: &str) -> bool {
    name == "README.md"
        || name.ends_with("cutter.toml")
        || (name.ends_with("measured.toml") && name != "form/measured.toml")
}

#[test]
fn every_golden_file_is_what_is_written_today() {
    let mut kept = Kept::new();
    kept.compare(&root(), is_source, all());
    kept.end();
}
