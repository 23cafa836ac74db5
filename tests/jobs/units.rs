//! The unit in which lengths are reported: the declared one, else that of the lengths as they are written.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{mat, resolve};
use backline::job::{Syntax, WrittenJob, locate};
use backline::length::Unit;
use backline::sheets::{Order, Request, Stock};

/// Returns the unit of an order's readings, and the sizes of the sheets that it is planned on.
fn planned(order: &str) -> (Unit, Vec<String>) {
    let order = Order::read(order, Syntax::Toml).unwrap();
    let mut problems = Vec::new();
    let ruler = order.ruler();
    let blanks = order.resolve().take(&mut problems).unwrap();
    let request = Request {
        name: "units".into(),
        ruler,
        blanks,
        shelf: Stock::default().resolve(ruler).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: backline::length::Ratio::ZERO,
        turnable: true,
    };
    let prepared = request.prepare().take(&mut problems).unwrap_or_else(|| panic!("{problems:?}"));
    let sheets = prepared.shelf.entries.iter().map(|entry| {
        let [width, height] = entry.size.map(backline::length::Ratio::to_f64);
        ruler.show_size(width, height)
    });
    (ruler.unit(), sheets.collect())
}

#[test]
fn an_order_in_millimetres_is_planned_on_metric_sheets_however_the_word_is_spelt() {
    for size in ["300 x 400 millimetres", "300 x 400 mm", "300 x 400 MM", "300 x 400 millimeters", "A3", "0.3 x 0.4 m"]
    {
        let (unit, sheets) = planned(&format!("[[blank]]\nsize = \"{size}\"\n"));
        assert_eq!((unit, sheets[0].as_str()), (Unit::Millimetre, "815 × 1120 mm"), "{size}");
    }
    for size in ["30 x 40 cm", "30 x 40 centimeters"] {
        let (unit, sheets) = planned(&format!("[[blank]]\nsize = \"{size}\"\n"));
        assert_eq!((unit, sheets[0].as_str()), (Unit::Centimetre, "81.5 × 112 cm"), "{size}");
    }
    for size in ["12 x 16 in", "12 x 16 inches", "1 ft x 1' 4", "Letter"] {
        let (unit, sheets) = planned(&format!("[[blank]]\nname = 'mm'\nsize = \"{size}\"\n"));
        assert_eq!((unit, sheets[0].as_str()), (Unit::Inch, "32 × 40 in"), "{size}");
    }
}

#[test]
fn a_job_is_reported_in_the_unit_of_its_lengths_and_of_nothing_else() {
    for (job, unit) in [
        ("frame = '40 x 50 centimetres'\nopening.art = '20 x 25 cm'", Unit::Centimetre),
        ("outer = 'A3'\nopening.size = '8 x 10 in'\nborder.top = '60 mm'", Unit::Millimetre),
        // The thickness of a board is bought, not measured.
        ("outer = '16 x 20 in'\nboard.thickness = '1.4 mm'\nopening.size = '8 x 10 in'", Unit::Inch),
        ("outer = '16 x 20 in'\nopening.art = '8 x 10 in'\nopening.margin = '5 mm'", Unit::Inch),
        ("name = 'mmm'\nouter = '16 x 20 in'\nopening.art = '8 x 10 in'", Unit::Inch),
        ("unit = 'Inches'\nouter = '400 x 500 mm'\nopening.art = '200 x 250 mm'", Unit::Inch),
        ("unit = 'millimeters'\nouter = [400, 500]\nopening.art = [200, 250]", Unit::Millimetre),
    ] {
        assert_eq!(mat(job).ruler().unit(), unit, "{job}");
    }
}

#[test]
fn sizes_may_be_named() {
    let named = mat("frame = 'A1'\nopening.art = 'a3 landscape'");
    let written = mat("frame = '594 x 841 mm'\nopening.art = '420 x 297 mm'");
    assert_eq!((named.outer(), &named.layers()), (written.outer(), &written.layers()));
    let wrong = resolve("frame = 'A2'\nopening.art = 'A33'");
    assert_eq!(wrong.problems[0].message, "there is no size called `A33`");
}

#[test]
fn a_fraction_that_may_lack_a_space_is_warned_of_at_its_place() {
    let job = "unit = 'in'\nframe = [16, 20]\nborder = '31/4'\nopening.shape = { rectangle = { corners.all.rounded = '11/4' } }\n";
    let read = WrittenJob::read(job, Syntax::Toml).unwrap();
    let problems = read.resolve().problems;
    let doubtful: Vec<&str> = problems
        .iter()
        .filter(|problem| problem.code == "doubtful-length" && !problem.is_error())
        .map(|problem| &job[locate(job, Syntax::Toml, &problem.place).unwrap()])
        .collect();
    assert_eq!(doubtful, ["31/4", "11/4"], "{problems:?}");
    let order = Order::read("unit = 'in'\n[[blank]]\nsize = ['101/2', '13']\n", Syntax::Toml).unwrap();
    let mut problems = Vec::new();
    assert_eq!(order.resolve().take(&mut problems).unwrap().len(), 1);
    assert!(problems[0].help.contains("10 1/2") && problems[0].place.path.to_string() == "blank[0].size[0]");
}
