//! What is missing or contradicts itself is refused with the numbers; what a framer would look at is found with its place.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{INCH, assert_near, mat, resolve};
use backline::checked::Checked;
use backline::mat::Mat;
use backline::problem::{Problem, Severity};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// Returns the one problem of a job with a code.
#[track_caller]
fn only<'r>(resolved: &'r Checked<Mat>, code: &str, job: &str) -> &'r Problem {
    let found: Vec<&Problem> = resolved.problems.iter().filter(|problem| problem.code == code).collect();
    let [problem] = found[..] else { panic!("not one {code}: {:#?}\n{job}", resolved.problems) };
    problem
}

/// Checks that a job has one problem of a severity and code, at a place, whose message holds some words.
#[track_caller]
fn assert_problem(job: &str, severity: Severity, code: &str, place: &str, words: &[&str]) {
    let resolved = resolve(job);
    let problem = only(&resolved, code, job);
    assert_eq!(problem.severity, severity, "{problem}");
    assert_eq!(problem.place.path.to_string(), place, "{problem}\n{job}");
    for words in words {
        assert!(problem.message.contains(words), "no \"{words}\" in: {problem}");
    }
    assert!(!problem.help.is_empty(), "{problem}");
    assert_eq!(resolved.sound().is_none(), severity == Severity::Error);
}

#[test]
fn contradictions_name_the_numbers_and_the_difference() {
    for (job, place, words) in [
        // Three of {borders, opening, outer} settle the fourth; all four must agree, across and down.
        (
            "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = ['7 3/4', 14]",
            "border",
            &["left 3 in", "7 3/4 in", "right 3 in", "13 3/4 in", "16 in wide", "2 1/4 in too little"][..],
        ),
        (
            "unit = 'mm'\nouter = [300, 400]\nborder = { top = 120, bottom = 90 }\nopening.size = [200, 250]",
            "border",
            &["top 120 mm", "250 mm", "bottom 90 mm", "460 mm", "400 mm high", "60 mm too much"],
        ),
        // Overlap counts per side: 8 × 10 less twice 1/4 is 7 1/2 × 9 1/2, not the 7 3/4 × 9 3/4 of an eighth.
        (
            "unit = 'in'\nouter = [16, 20]\n[opening]\nart = [8, 10]\nsize = ['7 3/4', '9 3/4']\noverlap = 0.25",
            "opening[0].size",
            &["7 1/2 × 9 1/2 in", "7 3/4 × 9 3/4 in", "1/4 in apart"],
        ),
        (
            "unit = 'mm'\nouter = [300, 400]\n[opening]\nart = [100, 200]\nsize = [100, 200]\noverlap_total = 6",
            "opening[0].size",
            &["94 × 194 mm", "100 × 200 mm", "6 mm apart"],
        ),
        (
            "unit = 'mm'\nouter = [300, 400]\n[opening]\nart = [100, 200]\nsize = [104, 206]\nmargin = 2",
            "opening[0].size",
            &["104 × 204 mm", "104 × 206 mm", "2 mm apart"],
        ),
        (
            "unit = 'in'\nframe = [16, 20]\nouter = ['16 1/4', 20]\nopening.art = [8, 10]",
            "outer",
            &["16 1/4 × 20 in", "1/4 in too large", "16 × 20 in"],
        ),
        ("unit = 'in'\nouter = [16, 20]\nstandard = 'cci'\nopening.art = [8, 10]", "standard", &["already 16 × 20 in"]),
        (
            "outer = '20 in'\n[opening]\nart = '8 x 10 in'\noverlap = '3 mm'\nmargin = '5 mm'",
            "opening[0].margin",
            &["`overlap` and `margin`"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nborder = { bottom_extra = 10, optical_centre = true }\nopening.size = [9, 9]",
            "border.optical_centre",
            &["`bottom_extra` and `optical_centre`"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\n[opening]\nsize = [90, 90]\nat = { left = 20, right = 20, top = 20 }",
            "opening[0].at.right",
            &["`left` and `right`"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\n[opening]\nsize = [90, 90]\nshape.polygon.corners = [[0, 0], [90, 0], [0, 90]]",
            "opening[0].size",
            &["`polygon`"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nopening.size = [90, 90]\n[[layer]]\nreveal = 5\n[[layer]]",
            "layer[0].reveal",
            &["top board"],
        ),
    ] {
        assert_problem(job, Severity::Error, "contradiction", place, words);
    }
}

#[test]
fn numbers_that_agree_do_not_clash() {
    for job in [
        "unit = 'in'\nouter = [16, 20]\nborder = { left = 4, right = 4, top = 5, bottom = 5 }\nopening.size = [8, 10]",
        // Thirds of an inch do not add up in binary; a hundredth of a millimetre does not matter.
        "outer = ['11 in', '11 in']\nborder = '3 2/3 in'\nopening.size = '3 2/3 in'",
        "outer = ['279.4 mm', '279.405 mm']\nborder = '93.13 mm'\nopening.size = ['93.14 mm', '93.14 mm']",
        "unit = 'in'\nouter = [16, 20]\n[opening]\nart = [8, 10]\nsize = [7.75, 9.75]\noverlap = 0.125",
        "unit = 'in'\nframe = [16, 20]\nouter = [16, 20]\nopening.art = [8, 10]",
    ] {
        mat(job);
    }
}

#[test]
fn what_does_not_follow_is_said() {
    for (job, place, words) in [
        ("name = 'nothing'", "", &["no opening"][..]),
        (
            "opening.size = ['8 in', '10 in']",
            "",
            &["it does not follow how wide the mat is", "8 in", "left and right borders"],
        ),
        (
            "unit = 'in'\nborder.sides = 3\nopening.size = [8, 10]",
            "border",
            &["it does not follow how high the mat is", "10 in", "top and bottom"],
        ),
        (
            "unit = 'in'\nouter = [16, 20]\nopening = {}",
            "",
            &["it does not follow how wide the opening is", "16 in wide"],
        ),
        ("border = '3 in'\nopening = {}", "border", &["neither the mat nor the opening says how wide it is"]),
        (
            "outer = '20 in'\nopening = { size = '8 in', overlap = '3 mm' }",
            "opening[0]",
            &["`overlap` and `margin` say", "no `art`"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\n[opening]\nart = [90, 90]\noverlap = { left = 3, right = 3, top = 3 }",
            "opening[0].overlap",
            &["bottom side"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\n[opening]\nsize = [90, 90]\nat = { left = 20 }",
            "opening[0].at",
            &["top or the bottom"],
        ),
        ("opening = { size = '90 mm', at = { left = '2 mm', top = '2 mm' } }", "", &["size of the mat"]),
        (
            "unit = 'mm'\nouter = [300, 300]\n[[opening]]\nsize = [90, 90]\n[[opening]]\nshape = 'ellipse'",
            "opening[1]",
            &["no size"],
        ),
    ] {
        assert_problem(job, Severity::Error, "not-enough", place, words);
    }
}

#[test]
fn what_does_not_fit_is_said_with_its_numbers() {
    for (job, place, words) in [
        (
            "unit = 'in'\nouter = [8, 10]\nopening.size = [9, 5]",
            "",
            &["9 in wide", "8 in wide", "1/2 in below zero"][..],
        ),
        (
            "unit = 'mm'\nouter = [300, 200]\nborder.top = 120\nopening.size = [100, 90]",
            "border",
            &["90 mm high", "200 mm high", "bottom", "10 mm below zero"],
        ),
        (
            "unit = 'mm'\nouter = [100, 200]\nborder = 60\nopening = {}",
            "border",
            &["60 mm left", "60 mm right", "100 mm wide"],
        ),
        ("unit = 'mm'\nouter = 300\n[opening]\nart = [10, 90]\noverlap = 5", "opening[0].art", &["10 × 90 mm"]),
        (
            "unit = 'in'\nstandard = { list = 'student', minimum_border = 6 }\nopening.art = [8, 10]",
            "",
            &["6 in", "round the openings"],
        ),
        ("unit = 'mm'\nframe = { rabbet = [50, 90], clearance = 50 }\nopening.size = 9", "frame", &["50 mm"]),
    ] {
        assert_problem(job, Severity::Error, "does-not-fit", place, words);
    }
}

#[test]
fn an_overlap_is_meant_per_side() {
    // Written four ways, the same opening.
    for overlap in [
        "overlap = 4",
        "overlap_total = 8",
        "overlap = { all = 4 }",
        "overlap = { left = 4, right = 4, top = 4, bottom = 4 }",
    ] {
        let mat = mat(&format!("unit = 'mm'\nborder = 50\n[opening]\nart = [100, 200]\n{overlap}"));
        let sight = mat.layers()[0].openings[0].sight.size();
        assert_near(sight.width, 92.0, 1e-9);
        assert_near(sight.height, 192.0, 1e-9);
    }
    // Sides of their own move the art behind the opening.
    let mat = mat("unit = 'mm'\nborder = 50\n[opening]\nart = [100, 200]\noverlap = { all = 2, left = 10 }");
    let sight = mat.layers()[0].openings[0].sight.bounds();
    assert_near(sight.width(), 88.0, 1e-9);
    let art = mat.art()[0].rect;
    assert_near(sight.x0 - art.x0, 10.0, 1e-9);
    assert_near(art.x1 - sight.x1, 2.0, 1e-9);
    assert_near(art.height(), 200.0, 1e-9);
}

#[test]
fn all_problems_are_told_at_once() {
    let job = "unit = 'mm'\nouter = [300, 300]\n[[opening]]\nsize = '8 x 1O in'\n[[opening]]\nart = [9, 90]\noverlap = 5\n\
               [[opening]]\nsize = [-4, 20]";
    let resolved = resolve(job);
    let errors = resolved.problems.iter().filter(|problem| problem.is_error());
    let places: Vec<String> = errors.map(|problem| problem.place.path.to_string()).collect();
    assert_eq!(places, ["opening[0].size", "opening[1].art", "opening[2].size[0]"], "{:#?}", resolved.problems);
    assert!(resolved.value.is_none());
    // Warnings and errors of a mat that could be worked out come together too.
    let job = "unit = 'mm'\nouter = [200, 200]\n[[opening]]\nsize = [80, 180]\nat = { left = 4, top = 10 }\n\
               [[opening]]\nsize = [80, 100]\nat = { left = 82, top = 10 }\n\
               [[opening]]\nsize = [30, 30]\nat = { right = -5, bottom = 20 }";
    let codes: Vec<&str> = resolve(job).problems.iter().map(|problem| problem.code).collect();
    for code in ["thin-border", "openings-overlap", "off-board"] {
        assert!(codes.contains(&code), "{codes:?}");
    }
}

/// Two openings in board of 1.5 mm with standard bevels, the second at a place.
fn pair(first: &str, second: &str) -> String {
    format!(
        "unit = 'mm'\nouter = [400, 300]\nboard = '1.5 mm'\n[[opening]]\n{first}\nat = {{ left = 50, top = 50 }}\n\
         [[opening]]\n{second}"
    )
}

#[test]
fn every_doubtful_place_is_found() {
    use Severity::{Error, Warning};
    let beside =
        |left: f64| pair("size = [100, 100]", &format!("size = [100, 100]\nat = {{ left = {left}, top = 80 }}"));
    for (job, severity, code, place, words) in [
        // The face is 1.5 mm larger all round: a border of 13 mm is 11.5 mm wide there, half a millimetre below 12 mm.
        (
            "unit = 'mm'\nboard = '1.5 mm'\nouter = [200, 200]\nborder.left = 13\nopening.size = [100, 100]".to_owned(),
            Warning,
            "thin-border",
            "opening[0]",
            &["left", "11.5 mm", "face", "below 12 mm"][..],
        ),
        (
            "unit = 'mm'\nboard = '1.5 mm'\nouter = [200, 200]\nborder.top = 1\nopening.size = [100, 100]".to_owned(),
            Error,
            "off-board",
            "opening[0]",
            &["top edge", "0.5 mm"],
        ),
        (beside(164.0), Warning, "thin-bar", "opening[1]", &["opening 1", "11 mm", "face", "below 12 mm"]),
        (beside(152.0), Error, "openings-overlap", "opening[1]", &["opening 1", "opening 2", "face"]),
        (beside(140.0), Error, "openings-overlap", "opening[1]", &["opening 1", "opening 2"]),
        // One inside the other is not a bar at all.
        (
            pair("size = [200, 200]", "size = [50, 50]\nat = { left = 100, top = 100 }"),
            Error,
            "openings-overlap",
            "opening[1]",
            &["opening 1"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\n[[layer]]\nopening.size = [100, 100]\n[[layer]]\nopening.size = [110, 50]"
                .to_owned(),
            Error,
            "not-inside",
            "layer[1].opening[0]",
            &["opening 2 of the second board", "top board"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nboard = '3 mm'\nopening.size = [100, 100]\n[[layer]]\n[[layer]]\nreveal = 2"
                .to_owned(),
            Warning,
            "hidden-bevel",
            "opening[0]",
            &["opening 1 of the second board", "3 mm wide"],
        ),
        (
            "unit = 'mm'\nboard = '1.5 mm'\nframe = { rabbet = [200, 200], clearance = 0, lip = 15 }\n\
             opening = { size = [170, 100] }"
                .to_owned(),
            Error,
            "hidden-by-lip",
            "opening[0]",
            &["15 mm", "opening 1", "13.5 mm"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nopening = { size = [100, 100], art = [110, 94] }".to_owned(),
            Error,
            "art-too-small",
            "opening[0]",
            &["opening 1", "3 mm short"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nopening = { size = [100, 100], art = [110, 100] }".to_owned(),
            Warning,
            "no-overlap",
            "opening[0]",
            &["opening 1"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nopening = { size = [100, 100], art = [310, 110] }".to_owned(),
            Warning,
            "art-beyond-mat",
            "opening[0]",
            &["opening 1", "beyond the board"],
        ),
        (
            pair("size = [100, 100]\nart = [140, 110]", "size = [100, 100]\nart = [140, 110]\nat = { left = 180, top = 50 }"),
            Warning,
            "art-overlaps",
            "opening[1]",
            &["opening 1 and opening 2", "10 mm"],
        ),
        // Turned works are checked as they lie: along their own sides, and with their corners.
        (
            "unit = 'mm'\nouter = [400, 400]\nopening = { size = [100, 100], art = [110, 94], turn = 33 }".to_owned(),
            Error,
            "art-too-small",
            "opening[0]",
            &["opening 1", "3 mm short", "top"],
        ),
        (
            "unit = 'mm'\nouter = [300, 300]\nopening = { size = [150, 150], art = [250, 250], turn = 45 }".to_owned(),
            Warning,
            "art-beyond-mat",
            "opening[0]",
            &["opening 1", "beyond the board"],
        ),
        (
            pair(
                "size = [60, 60]\nart = [100, 100]\nturn = 45",
                "size = [60, 60]\nart = [100, 100]\nat = { left = 150, top = 50 }",
            ),
            Warning,
            "art-overlaps",
            "opening[1]",
            &["opening 1 and opening 2"],
        ),
        // A blunt tip of a polygon, moved in by 1.5 mm: sizes at the face.
        (
            "unit = 'mm'\nsizes = 'face'\nboard = '1.5 mm'\nouter = [300, 300]\n\
             opening.shape.polygon.corners = [[0, 0], [40, 0], [40, 48], [41, 49.9], [41, 50.1], [40, 52], [40, 100], [0, 100]]"
                .to_owned(),
            Warning,
            "trimmed",
            "opening[0]",
            &["opening 1", "the side of 0.2 mm at", "inwards by 1.5 mm takes 0.7413 mm of it"],
        ),
        (
            "unit = 'mm'\nsizes = 'face'\nboard = '3 mm'\nouter = [300, 300]\nopening = { size = [120, 100], shape.rectangle.corner_radius = 2 }"
                .to_owned(),
            Warning,
            "trimmed",
            "opening[0]",
            &["opening 1", "4 curves of radius 2 mm", "3 mm"],
        ),
        (
            "unit = 'mm'\nsizes = 'face'\nboard = '3 mm'\nouter = [300, 300]\nopening = { size = [200, 20], shape = 'ellipse' }"
                .to_owned(),
            Warning,
            "trimmed",
            "opening[0]",
            // b²/a = 10² / 100.
            &["opening 1", "2 round ends of radius 1 mm", "3 mm"],
        ),
    ] {
        assert_problem(&job, severity, code, place, words);
    }
}

#[test]
fn bars_between_curves_are_measured_along_the_true_distance() {
    let oval = "shape = 'ellipse'\nsize = [100, 100]";
    // The boxes come as near as 3 mm in both directions, the circles stay 100√2 · 1.03 − 100 apart less both bevels.
    let diagonal = pair(oval, &format!("{oval}\nat = {{ left = 153, top = 153 }}"));
    let gap = 103.0 * std::f64::consts::SQRT_2 - 100.0 - 3.0;
    assert!(gap > 12.0);
    assert!(resolve(&diagonal).problems.is_empty());
    // Nearer along the diagonal: 94√2 − 103 is 29.9 mm; a limit of 30 mm finds it and says where.
    let job = format!("limits.bar = '30 mm'\n{}", pair(oval, &format!("{oval}\nat = {{ left = 144, top = 144 }}")));
    let gap = 94.0 * std::f64::consts::SQRT_2 - 103.0;
    let middle = 50.0 + 50.0 + 47.0;
    let words =
        [format!("30 mm ({:.2} mm)", gap - 30.0), "below 30 mm".to_owned(), format!("{middle} mm from the left")];
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    assert_problem(&job, Severity::Warning, "thin-bar", "opening[1]", &words);
    // A rectangle reaches into the hollow of a polygon without touching it.
    let hollow = "shape.polygon.corners = [[0, 0], [120, 0], [120, 20], [40, 20], [40, 130], [0, 130]]";
    let nested = pair(hollow, "size = [60, 60]\nat = { left = 108, top = 90 }");
    let resolved = resolve(&nested);
    assert!(resolved.problems.is_empty(), "{:?}", resolved.problems);
}

#[test]
fn limits_are_the_users() {
    let job = |limits: &str| {
        format!(
            "unit = 'mm'\n{limits}\nouter = [200, 200]\nboard = '1.5 mm'\nborder.left = 13\nopening.size = [100, 100]"
        )
    };
    assert!(resolve(&job("limits.border = 11.5")).problems.is_empty());
    assert_problem(&job("limits.border = 12"), Severity::Warning, "thin-border", "opening[0]", &["11.5 mm", "12 mm"]);
}

#[test]
fn sizes_may_be_those_of_the_face_or_the_back() {
    for (edge, bevel, outwards) in [
        ("sight", "standard", 0.0),
        ("back", "standard", 0.0),
        ("face", "standard", -1.5),
        ("sight", "reverse", 0.0),
        ("face", "reverse", 0.0),
        ("back", "reverse", -1.5),
        ("face", "straight", 0.0),
    ] {
        let mat = mat(&format!(
            "unit = 'mm'\nboard = '1.5 mm'\nsizes = '{edge}'\nbevel = '{bevel}'\nborder = 40\nopening.size = [100, 60]"
        ));
        let opening = &mat.layers()[0].openings[0];
        assert_near(opening.sight.size().width, 100.0 + 2.0 * outwards, 1e-9);
        let named = match edge {
            "face" => &opening.face,
            "back" => &opening.back,
            _ => &opening.sight,
        };
        // Size and borders both belong to the outline that is named.
        assert_near(named.size().height, 60.0, 1e-9);
        assert_near(named.bounds().x0, 40.0, 1e-9);
        assert_near(mat.outer().width, 180.0, 1e-9);
    }
}

#[test]
fn three_boards_are_revealed_step_by_step() {
    // Border 2 in, reveals 1/8 and 1/4: windows at 2, 2 1/8 and 2 3/8 in (practitioners' thread).
    let mat = mat(
        "unit = 'in'\nouter = [16, 20]\nborder = 2\nopening = {}\nlayer = [{}, { reveal = '1/8' }, { reveal = '1/4' }]",
    );
    for (layer, window) in mat.layers().iter().zip([2.0, 2.125, 2.375]) {
        assert_near(layer.openings[0].back.bounds().x0 / INCH, window, 1e-9);
        assert_near(layer.openings[0].back.bounds().y0 / INCH, window, 1e-9);
    }
}

/// What a random job gives: enough to work out the rest.
#[derive(Debug, Clone)]
struct Sufficient {
    columns: usize,
    rows: usize,
    gap: f64,
    opening: (f64, f64),
    borders: [f64; 4],
    given: Given,
}

/// Which of outer size, opening and borders are left out.
#[derive(Debug, Clone, Copy)]
enum Given {
    BordersAndOpening,
    BordersAndOuter,
    OuterAndOpening,
    OneBorder,
    Everything,
}

fn sufficient() -> impl Strategy<Value = Sufficient> {
    let given = prop_oneof![
        Just(Given::BordersAndOpening),
        Just(Given::BordersAndOuter),
        Just(Given::OuterAndOpening),
        Just(Given::OneBorder),
        Just(Given::Everything),
    ];
    let border = 13.0..150.0_f64;
    (
        1_usize..4,
        1_usize..4,
        17.0..60.0_f64,
        (20.0..300.0_f64, 20.0..300.0_f64),
        [border.clone(), border.clone(), border.clone(), border],
        given,
    )
        .prop_map(|(columns, rows, gap, opening, borders, given)| Sufficient {
            columns,
            rows,
            gap,
            opening,
            borders,
            given,
        })
}

impl Sufficient {
    fn outer(&self) -> (f64, f64) {
        let [left, right, top, bottom] = self.borders;
        let along = |count: usize, size: f64| count as f64 * size + (count - 1) as f64 * self.gap;
        (left + along(self.columns, self.opening.0) + right, top + along(self.rows, self.opening.1) + bottom)
    }

    fn job(&self) -> String {
        let [left, right, top, bottom] = self.borders;
        let (width, height) = self.opening;
        let (outer_width, outer_height) = self.outer();
        let outer = format!("outer = [{outer_width:?}, {outer_height:?}]\n");
        let borders =
            format!("border = {{ left = {left:?}, right = {right:?}, top = {top:?}, bottom = {bottom:?} }}\n");
        let size = format!("size = [{width:?}, {height:?}]\n");
        let one = format!("border = {{ right = {right:?}, top = {top:?} }}\n");
        let (outer, borders, size) = match self.given {
            Given::BordersAndOpening => ("", borders.as_str(), size.as_str()),
            Given::BordersAndOuter => (outer.as_str(), borders.as_str(), ""),
            Given::OuterAndOpening => (outer.as_str(), "", size.as_str()),
            Given::OneBorder => (outer.as_str(), one.as_str(), size.as_str()),
            Given::Everything => (outer.as_str(), borders.as_str(), size.as_str()),
        };
        let (rows, columns, gap) = (self.rows, self.columns, self.gap);
        format!(
            "unit = 'mm'\n{outer}{borders}[arrangement]\nrows = {rows}\ncolumns = {columns}\ngap = {gap:?}\n[opening]\n{size}"
        )
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(1874),
        ..ProptestConfig::default()
    })]

    /// Borders, openings and gaps make up the mat, whichever of them was left out.
    #[test]
    fn borders_openings_and_gaps_make_up_the_mat(sufficient in sufficient()) {
        let mat = mat(&sufficient.job());
        let (width, height) = sufficient.outer();
        prop_assert!((mat.outer().width - width).abs() < 1e-9 && (mat.outer().height - height).abs() < 1e-9);
        let Sufficient { columns, rows, gap, borders: [left, right, top, bottom], .. } = sufficient;
        let sights: Vec<_> = mat.layers()[0].openings.iter().map(|opening| opening.sight.bounds()).collect();
        prop_assert_eq!(sights.len(), columns * rows);
        let (first, last) = (sights[0], sights[sights.len() - 1]);
        let found = [first.x0, mat.outer().width - last.x1, first.y0, mat.outer().height - last.y1];
        let expected = match sufficient.given {
            Given::OuterAndOpening => {
                let (across, down) = (0.5 * (left + right), 0.5 * (top + bottom));
                [across, across, down, down]
            }
            _ => [left, right, top, bottom],
        };
        for (found, expected) in found.into_iter().zip(expected) {
            prop_assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
        for row in sights.chunks(columns) {
            for pair in row.windows(2) {
                prop_assert!((pair[1].x0 - pair[0].x1 - gap).abs() < 1e-9);
            }
            let sum: f64 = row.iter().map(|sight| sight.width()).sum();
            let total = found[0] + sum + (columns - 1) as f64 * gap + found[1];
            prop_assert!((total - mat.outer().width).abs() < 1e-9);
        }
        for column in 0..columns {
            let column: Vec<_> = sights.iter().skip(column).step_by(columns).collect();
            for pair in column.windows(2) {
                prop_assert!((pair[1].y0 - pair[0].y1 - gap).abs() < 1e-9);
            }
        }
    }
}
