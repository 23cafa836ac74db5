//! Groups of openings: bars that follow, rings, titles, sight lines and repeated groups.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may stop at the first surprise")]

use backline::job::{Syntax, WrittenJob};
use backline::mat::Mat;
use backline::summary::suggest;
use kurbo::{Point, Rect};

const INCH: f64 = 25.4;

fn mat(job: &str) -> Mat {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
    assert!(resolved.sound().is_some(), "{:?}", resolved.problems);
    resolved.value.unwrap()
}

/// The sight openings in inches.
fn sights(mat: &Mat) -> Vec<Rect> {
    let inches = |bounds: Rect| Rect::new(bounds.x0 / INCH, bounds.y0 / INCH, bounds.x1 / INCH, bounds.y1 / INCH);
    mat.layers()[0].openings.iter().map(|opening| inches(opening.sight.bounds())).collect()
}

fn assert_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
}

#[test]
fn equal_bars_equal_the_borders() {
    // 10 ft, two of 1 1/4 ft, all gaps equal: 2 1/2 ft (numerade.com question 85007).
    let mat = mat(
        "outer = [\"10 ft\", \"3 ft\"]\narrangement.gap = 'equal'\narrangement.columns = 2\nopening.size = [\"1.25 ft\", \"1 ft\"]",
    );
    let sights = sights(&mat);
    assert_near(sights[0].x0, 30.0);
    assert_near(sights[1].x0 - sights[0].x1, 30.0);
    assert_near(120.0 - sights[1].x1, 30.0);
}

#[test]
fn bars_fill_what_fixed_ends_leave() {
    // 33 in, four items of 5 in, ends 2 in: gap 3 in (documen.tv question 24143636).
    let mat = mat(
        "unit = 'in'\nouter = [33, 12]\nborder.sides = 2\n[arrangement]\ncolumn_gap = 'fill'\ncolumns = 4\n[opening]\nsize = [5, 5]",
    );
    let lefts: Vec<f64> = sights(&mat).iter().map(|sight| sight.x0).collect();
    for (left, expected) in lefts.iter().zip([2.0, 10.0, 18.0, 26.0]) {
        assert_near(*left, expected);
    }
}

#[test]
fn bars_that_leave_nothing_or_clash_are_refused() {
    for (job, code) in [
        (
            "unit = 'in'\nouter = [10, 10]\narrangement = { columns = 3, gap = 'equal' }\nopening.size = [4, 4]",
            "does-not-fit",
        ),
        (
            "unit = 'in'\nouter = [20, 10]\nborder = 1\narrangement = { columns = 3, gap = 'equal' }\nopening.size = [4, 4]",
            "contradiction",
        ),
        ("unit = 'in'\nborder = 1\narrangement = { columns = 3, gap = 'fill' }\nopening.size = [4, 4]", "not-enough"),
        (
            "unit = 'in'\nouter = [20, 10]\narrangement = { columns = 3, gap = 'fill' }\nopening.size = [4, 4]",
            "not-enough",
        ),
    ] {
        let problems = WrittenJob::read(job, Syntax::Toml).unwrap().resolve().problems;
        assert!(problems.iter().any(|problem| problem.is_error() && problem.code == code), "{job}: {problems:?}");
    }
}

#[test]
fn a_ring_lies_round_its_centre_piece() {
    let mat = mat(
        "unit = 'in'\nouter = [20, 20]\narrangement.ring = { radius = 6.5, count = 6, centre_piece = true, start = 30 }\n\
         [[opening]]\nsize = 7\nshape = 'circle'\n[[opening]]\nsize = [3, 2]\nshape = 'ellipse'",
    );
    let sights = sights(&mat);
    assert_eq!(sights.len(), 7);
    let middle = sights[0].center();
    for (index, sight) in sights[1..].iter().enumerate() {
        let (sin, cos) = (30.0 + 60.0 * index as f64).to_radians().sin_cos();
        let expected = Point::new(middle.x + 6.5 * sin, middle.y - 6.5 * cos);
        assert!(sight.center().distance(expected) < 1e-9, "{index}: {sight:?}");
    }
}

#[test]
fn a_title_lies_centred_below_its_opening() {
    let mat =
        mat("unit = 'in'\nouter = [12, 16]\n[opening]\nsize = [7, 9]\ntitle_gap = 1\ntitle = { size = [3, 0.5] }");
    let [picture, title] = sights(&mat)[..] else { panic!("two openings") };
    assert_near(title.y0 - picture.y1, 1.0);
    assert_near(title.center().x, picture.center().x);
    assert_near(picture.y0, 0.5 * (16.0 - 10.5));
}

#[test]
fn a_sight_line_runs_through_all_openings_at_the_same_share_of_their_height() {
    let mat = mat(
        "unit = 'in'\nouter = [30, 16]\narrangement.sight_line = 0.4\n[[opening]]\nsize = [4, 8]\n[[opening]]\nsize = [8, 4]\n[[opening]]\nsize = [5, 5]",
    );
    let lines: Vec<f64> = sights(&mat).iter().map(|sight| sight.y0 + 0.4 * sight.height()).collect();
    assert_near(lines[0], lines[1]);
    assert_near(lines[0], lines[2]);
}

#[test]
fn a_group_is_repeated_as_it_is() {
    let job = |repeat: &str| {
        format!(
            "unit = 'in'\nouter = [24, 20]\n{repeat}\n[[opening]]\nsize = [5, 7]\nat = {{ left = 3, top = 2 }}\n\
             [[opening]]\nsize = [2, 2]\nat = {{ left = 5, top = 10 }}"
        )
    };
    let once = sights(&mat(&job("")));
    let twice = sights(&mat(&job("arrangement.repeat = { columns = 2, gap = 1.5 }")));
    assert_eq!(twice[..2], once[..]);
    for (copy, original) in twice[2..].iter().zip(&once) {
        // The group is as wide as its wider opening.
        assert_near(copy.x0, original.x0 + 5.0 + 1.5);
        assert_near(copy.y0, original.y0);
    }
}

#[test]
fn suggestions_answer_what_a_framer_asks_next() {
    let mat = mat("unit = 'in'\nouter = [15.875, 19.875]\nopening.art = [8, 10]");
    let of = |code: &str| suggest(&mat).into_iter().find(|suggestion| suggestion.code == code).unwrap().message;
    assert!(of("united-inches").starts_with("35 3/4 "));
    assert!(of("standard-sizes").contains("16 × 20 in (student)"));
    assert!(of("sheets").contains("32 × 40 in either way"));
    assert!(of("rounder-borders").contains("left 4 1/8, right 4 1/8, top 5 1/8, bottom 5 1/8, on a mat of 16 × 20 in"));
    // 7 3/4 × 9 3/4 of 8 × 10.
    let hidden = 100.0 * (1.0 - 7.75 * 9.75 / 80.0);
    assert!(of("hidden-art").contains(&format!("{hidden:.1} %")));
}

#[test]
fn who_measures_in_metric_units_gets_no_inches() {
    let mat = mat("unit = 'mm'\nouter = [403, 502]\nopening.size = [200, 250]");
    let suggestions = suggest(&mat);
    assert!(suggestions.iter().all(|suggestion| suggestion.code != "united-inches"));
    let rounder = suggestions.iter().find(|suggestion| suggestion.code == "rounder-borders").unwrap();
    // 101.5 and 126 mm.
    let expected =
        "to the nearest 5 mm: left 100 mm, right 100 mm, top 125 mm, bottom 125 mm, on a mat of 400 × 500 mm";
    assert!(rounder.message.contains(expected), "{}", rounder.message);
}

#[test]
fn united_inches_are_width_plus_height() {
    // 16 × 20 in is 36, 32 × 40 in is 72 (common practice, no source).
    for (outer, expected) in [("[16, 20]", "36 "), ("[32, 40]", "72 ")] {
        let mat = mat(&format!("unit = 'in'\nouter = {outer}\nopening.size = [8, 10]"));
        assert!(suggest(&mat)[0].message.starts_with(expected));
    }
}

#[test]
fn ten_thousand_openings_are_worked_out() {
    let grid = |rows: usize| {
        format!(
            "unit = 'mm'\nborder = 60\narrangement = {{ rows = {rows}, columns = 100, gap = 4 }}\nopening.size = [20, 20]\n"
        )
    };
    let resolved = WrittenJob::read(&grid(100), Syntax::Toml).unwrap().resolve();
    let found = resolved.sound().unwrap();
    assert_eq!(found.layers()[0].openings.len(), 10_000);
    assert_eq!(found.layers()[0].openings[9_999].number, 10_000);
    let found = WrittenJob::read(&grid(1_000), Syntax::Toml).unwrap().resolve().problems;
    assert_eq!(found.iter().map(|problem| problem.code).collect::<Vec<_>>(), ["arrangement"]);
}
