//! Openings of a ratio, borders from an area, borders counted to the art, and openings placed by their centre.
//!
//! Published examples have their source beside them; sources without an institution are test material for arithmetic.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{INCH, assert_near, mat, resolve};
use backline::mat::Mat;
use backline::problem::Severity;

const CM: f64 = 10.0;
/// Largest error in millimetres of a length that follows from exact fractions.
const EXACT_MM: f64 = 1e-9;

/// Returns the left, right, top and bottom border of the first opening, in a unit.
fn borders(mat: &Mat, unit: f64) -> [f64; 4] {
    let sight = mat.layers()[0].openings[0].sight.bounds();
    [sight.x0, mat.outer().width - sight.x1, sight.y0, mat.outer().height - sight.y1].map(|border| border / unit)
}

#[track_caller]
fn assert_all_round(job: &str, border: f64, outer: [f64; 2], unit: f64) {
    let mat = mat(job);
    for found in borders(&mat, unit) {
        assert_near(found, border, EXACT_MM);
    }
    assert_near(mat.outer().width / unit, outer[0], EXACT_MM);
    assert_near(mat.outer().height / unit, outer[1], EXACT_MM);
}

/// Checks that a job is refused with a code at a place, and that message and help hold some words.
#[track_caller]
fn assert_refused(job: &str, code: &str, place: &str, words: &[&str]) {
    let resolved = resolve(job);
    let errors: Vec<_> = resolved.problems.iter().filter(|problem| problem.severity == Severity::Error).collect();
    let [problem] = errors[..] else { panic!("not one error: {:#?}\n{job}", resolved.problems) };
    assert_eq!((problem.code, problem.place.path.to_string().as_str()), (code, place), "{problem}\n{job}");
    for words in words {
        assert!(problem.to_string().contains(words), "no \"{words}\" in: {problem}");
    }
}

#[test]
fn equal_borders_follow_from_the_whole_area() {
    let job = |size: &str, area: u32| format!("unit = 'in'\nborder.total_area = {area}\nopening.size = {size}");
    // Picture 9 × 21, mat and picture 325: border 2, 13 × 25 (algebra.com, solution 289037).
    assert_all_round(&job("[9, 21]", 325), 2.0, [13.0, 25.0], INCH);
    // 10 × 19, in all 400: 3 in, 16 × 25 (algebra.com, question 187106).
    assert_all_round(&job("[10, 19]", 400), 3.0, [16.0, 25.0], INCH);
    // 11 × 15, in all 285: 2 in, 15 × 19 (Introductory Algebra, after algebra.com, questions 115522 and 173624).
    assert_all_round(&job("[11, 15]", 285), 2.0, [15.0, 19.0], INCH);
}

#[test]
fn equal_borders_follow_from_the_area_of_the_mat() {
    // Frame 20 × 30 cm, the mat hides 264 cm²: border 3 cm, 14 × 24 visible (algebra.com, solution 149417).
    for area in ["264", "'264 sq cm'", "'264 cm²'", "'26400 sq mm'"] {
        let job = format!("unit = 'cm'\nouter = [20, 30]\nborder.mat_area = {area}\nopening = {{}}");
        assert_all_round(&job, 3.0, [20.0, 30.0], CM);
    }
    // The same from the opening.
    assert_all_round("unit = 'cm'\nborder.mat_area = 264\nopening.size = [14, 24]", 3.0, [20.0, 30.0], CM);
}

#[test]
fn equal_borders_follow_from_the_share_of_the_mat() {
    // 8 × 10, the mat as large as the picture: x = (√161 − 9) / 2 (phototipsforbeginners.net, "Frame: find x").
    let x = 0.5 * (161.0_f64.sqrt() - 9.0);
    for share in ["0.5", "'1/2'", "'50 %'"] {
        let job = format!("unit = 'in'\nborder.mat_share = {share}\nopening.size = [8, 10]");
        assert_all_round(&job, x, [8.0 + 2.0 * x, 10.0 + 2.0 * x], INCH);
    }
    // Outside 40 × 60 cm, the mat twice the picture: border 10 cm, picture 20 × 40 (algebra.com, solution 613426).
    let job = "unit = 'cm'\nouter = [40, 60]\nborder.mat_share = '2/3'\nopening = {}";
    assert_all_round(job, 10.0, [40.0, 60.0], CM);
}

#[test]
fn areas_are_those_of_the_true_outline() {
    // An oval has π/4 of its box (closed form), and the board is what it leaves.
    for job in [
        "unit = 'cm'\nouter = [40, 60]\nborder.mat_share = 0.6\nopening.shape = 'oval'",
        "unit = 'cm'\nborder.mat_share = 0.6\n[opening]\nshape = 'oval'\nsize = [20, 30]",
        "unit = 'cm'\nouter = [40, 60]\nborder.mat_share = 0.6\nopening = {}\narrangement = { rows = 2, columns = 2, gap = 2 }",
    ] {
        let mat = mat(job);
        let openings: f64 = mat.layers()[0].openings.iter().map(|opening| opening.sight.area()).sum();
        assert_near(openings / mat.outer().area(), 0.4, 1e-12);
        let sight = mat.layers()[0].openings.iter().map(|o| o.sight.bounds()).reduce(|a, b| a.union(b)).unwrap();
        assert_near(sight.x0, sight.y0, EXACT_MM);
        assert_near(mat.outer().width - sight.x1, mat.outer().height - sight.y1, EXACT_MM);
    }
}

#[test]
fn areas_that_cannot_be_are_refused_with_the_numbers() {
    let small = "unit = 'in'\nborder.total_area = 70\nopening.size = [8, 10]";
    assert_refused(small, "does-not-fit", "border.total_area", &["8 × 10 in"]);
    let clash = "unit = 'in'\nouter = [16, 20]\nborder.mat_share = 0.5\nopening.size = [8, 10]";
    assert_refused(
        clash,
        "contradiction",
        "border.mat_share",
        &["16 × 20 in", "borders of 1 7/8 in", "11 11/16 × 13 11/16 in"],
    );
    let two = "unit = 'in'\nborder = { mat_share = 0.5, mat_area = 20 }\nopening.size = [8, 10]";
    assert_refused(two, "contradiction", "border.mat_share", &["`mat_area` and `mat_share`"]);
    let own = "unit = 'in'\nborder = { mat_share = 0.5, left = 3 }\nopening.size = [8, 10]";
    assert_refused(own, "contradiction", "border.left", &["`mat_share` makes all four borders equal"]);
    let outside = "unit = 'in'\nouter = [16, 20]\nborder.total_area = 300\nopening = {}";
    assert_refused(outside, "contradiction", "border.total_area", &["the size of the mat is given"]);
    let nothing = "unit = 'in'\nborder.mat_share = 0.5\nopening = {}";
    assert_refused(nothing, "not-enough", "border.mat_share", &["outer"]);
    for (value, words) in [("0", "not a share"), ("1", "not a share"), ("'half'", "not a share"), ("-1", "not a share")]
    {
        let job = format!("unit = 'in'\nborder.mat_share = {value}\nopening.size = [8, 10]");
        assert_refused(&job, "area", "border.mat_share", &[words]);
    }
    let length = "unit = 'in'\nborder.mat_area = '20 in'\nopening.size = [8, 10]";
    assert_refused(length, "area", "border.mat_area", &["\"20 in\" is not an area", "sq cm"]);
    let large = "unit = 'in'\nouter = [16, 20]\nborder.mat_area = 320\nopening = {}";
    assert_refused(large, "does-not-fit", "border.mat_area", &["16 × 20 in"]);
}

#[test]
fn an_opening_of_a_ratio_has_equal_borders_all_round() {
    // (16 − 2b) : (20 − 2b) = 2 : 3 gives b = 4 and an opening of 8 × 12 (arithmetic).
    for (ratio, border) in [("'2:3'", ""), ("[2, 3]", "border = 'equal'"), ("'4 / 6'", "border.equal = true")] {
        let job = format!("unit = 'in'\nouter = [16, 20]\n{border}\nopening.ratio = {ratio}");
        assert_all_round(&job, 4.0, [16.0, 20.0], INCH);
    }
    // Outside 40 × 60 cm and an opening of 1 : 2 make a border of 10 cm (algebra.com, solution 613426, from its sizes).
    assert_all_round("unit = 'cm'\nouter = [40, 60]\nopening.ratio = 0.5", 10.0, [40.0, 60.0], CM);
    // A quarter turn turns the ratio with it.
    assert_all_round("unit = 'cm'\nouter = [40, 60]\nopening = { ratio = '2:1', turn = 90 }", 10.0, [40.0, 60.0], CM);
    // Two in a row: all four borders come out as wide as the left one (the definition).
    let mat = mat("unit = 'cm'\nouter = [52, 40]\nopening.ratio = '2:1'\narrangement = { columns = 2, gap = 3 }");
    let [first, second] = &mat.layers()[0].openings[..] else { panic!("not two openings") };
    let (a, b) = (first.sight.bounds(), second.sight.bounds());
    assert_near(a.width(), 2.0 * a.height(), EXACT_MM);
    assert_near(b.x0 - a.x1, 30.0, EXACT_MM);
    for border in [a.x0, a.y0, 520.0 - b.x1, 400.0 - b.y1] {
        assert_near(border, a.x0, EXACT_MM);
    }
}

#[test]
fn a_ratio_goes_with_borders_of_one_direction() {
    let mat = mat("unit = 'in'\nouter = [16, 20]\nborder.sides = 4\nopening.ratio = '4:5'");
    for (found, expected) in borders(&mat, INCH).into_iter().zip([4.0, 4.0, 5.0, 5.0]) {
        assert_near(found, expected, EXACT_MM);
    }
    let mat = resolve("unit = 'in'\nouter = [16, 20]\nborder = { top = 4, bottom = 6 }\nopening.ratio = '4:5'")
        .value
        .unwrap();
    for (found, expected) in borders(&mat, INCH).into_iter().zip([4.0, 4.0, 4.0, 6.0]) {
        assert_near(found, expected, EXACT_MM);
    }
}

#[test]
fn ratios_that_clash_are_refused_with_the_numbers() {
    let ratio = |rest: &str| format!("unit = 'in'\n{rest}");
    let same = ratio("outer = [16, 20]\nopening.ratio = '4:5'");
    assert_refused(&same, "does-not-fit", "opening[0].ratio", &["4 in narrower", "16 × 20 in", "4 : 5"]);
    let square = ratio("outer = [16, 16]\nopening.ratio = '1:1'");
    assert_refused(&square, "does-not-fit", "opening[0].ratio", &["however wide"]);
    let lying = ratio("outer = [16, 20]\nopening.ratio = '3:2'");
    assert_refused(&lying, "does-not-fit", "opening[0].ratio", &["4 in narrower"]);
    let size = ratio("outer = [16, 20]\nopening = { ratio = '2:3', size = [8, 12] }");
    assert_refused(&size, "contradiction", "opening[0].ratio", &["2 : 3", "`size`"]);
    let art = ratio("outer = [16, 20]\nopening = { ratio = '2:3', art = [8, 12] }");
    assert_refused(&art, "contradiction", "opening[0].ratio", &["`art`"]);
    let all = ratio("outer = [16, 20]\nborder = 3\nopening.ratio = '2:3'");
    assert_refused(&all, "contradiction", "opening[0].ratio", &["10 × 14 in", "2 : 3", "9 5/16 in"]);
    let open = ratio("opening.ratio = '2:3'");
    assert_refused(&open, "not-enough", "opening[0].ratio", &["outer"]);
    let slant = ratio("outer = [16, 20]\nopening = { ratio = '2:3', turn = 10 }");
    assert_refused(&slant, "not-enough", "opening[0].ratio", &["slant"]);
}

#[test]
fn borders_that_are_to_be_equal_and_are_not() {
    let job = "unit = 'in'\nouter = [16, 20]\nborder = 'equal'\nopening.size = [8, 10]";
    assert_refused(
        job,
        "contradiction",
        "border",
        &["8 × 10 in", "16 × 20 in", "4 in", "5 in", "2 in longer or shorter"],
    );
    assert_all_round(
        "unit = 'in'\nouter = [16, 20]\nborder = 'equal'\nopening.size = [8, 12]",
        4.0,
        [16.0, 20.0],
        INCH,
    );
    let both = "unit = 'in'\nborder = { equal = true, optical_centre = true }\nopening.size = [8, 12]";
    assert_refused(both, "contradiction", "border.optical_centre", &["`equal`"]);
}

#[test]
fn borders_are_counted_to_the_art() {
    // Art 8 × 10, overlap 1/8, "2 in border": window 7 3/4 × 9 3/4 and a border of 2 1/8 (a retail page that counts from the
    // edge of the art).
    let job = "unit = 'in'\nborder = { all = 2, counted_to = 'art' }\n[opening]\nart = [8, 10]\noverlap = '1/8'";
    assert_all_round(job, 2.125, [12.0, 14.0], INCH);
    // With a margin the paper shows, and the border to the opening is narrower.
    let job = "unit = 'in'\nborder = { all = 2, counted_to = 'art' }\n[opening]\nart = [8, 10]\nmargin = '1/4'";
    assert_all_round(job, 1.75, [12.0, 14.0], INCH);
    // Weighted: 3 to the art at the top, 4 at the bottom.
    let mat = mat(
        "unit = 'in'\nouter = [16, 17]\nborder = { bottom_extra = 1, counted_to = 'art' }\n[opening]\nart = [8, 10]\noverlap = { all = '1/8', bottom = '1/2' }",
    );
    for (found, expected) in borders(&mat, INCH).into_iter().zip([4.125, 4.125, 3.125, 4.5]) {
        assert_near(found, expected, EXACT_MM);
    }
}

#[test]
fn borders_counted_to_the_art_need_art() {
    let none = "unit = 'in'\nborder = { all = 2, counted_to = 'art' }\nopening.size = [8, 10]";
    assert_refused(none, "not-enough", "opening[0]", &["opening 1 has none"]);
    let open = "unit = 'in'\nouter = [16, 20]\nborder = { all = 2, counted_to = 'art' }\nopening = {}";
    assert_refused(open, "not-enough", "border.counted_to", &["art"]);
    let clash = "unit = 'in'\nouter = [16, 20]\nborder = { all = 3, counted_to = 'art' }\nopening.art = [8, 10]";
    assert_refused(clash, "contradiction", "border", &["left 3 in + art 8 in + right 3 in"]);
    let area = "unit = 'in'\nborder = { mat_area = 300, counted_to = 'art' }\nopening.art = [8, 10]";
    assert_refused(area, "contradiction", "border.counted_to", &["`mat_area`"]);
}

#[test]
fn openings_are_placed_by_their_centre() {
    let place = |at: &str| format!("unit = 'in'\nouter = [16, 20]\n[opening]\nsize = [8, 10]\nat = {{ {at} }}");
    for (at, [left, top]) in [
        ("centre_x = 8, centre_y = 9", [4.0, 4.0]),
        ("center_x = 'middle', centre_y = 'middle'", [4.0, 5.0]),
        ("centre_x = 'middle', top = 3", [4.0, 3.0]),
        ("right = 3, centre_y = 9", [5.0, 4.0]),
    ] {
        let [found_left, _, found_top, _] = borders(&mat(&place(at)), INCH);
        assert_near(found_left, left, EXACT_MM);
        assert_near(found_top, top, EXACT_MM);
    }
    // A title below does not move the centre of the opening.
    let titled = "unit = 'in'\nouter = [16, 20]\n[opening]\nsize = [8, 10]\nat = { centre_x = 8, centre_y = 9 }\ntitle = { size = [10, 1] }";
    let sight = mat(titled).layers()[0].openings[0].sight.bounds();
    assert_near(sight.center().x / INCH, 8.0, EXACT_MM);
    assert_near(sight.center().y / INCH, 9.0, EXACT_MM);
    assert_refused(
        &place("left = 2, centre_x = 8, top = 3"),
        "contradiction",
        "opening[0].at.centre_x",
        &["`left` and `centre_x`"],
    );
    assert_refused(&place("centre_x = 8"), "not-enough", "opening[0].at", &["`centre_y`"]);
    assert_refused(&place("centre_x = 'left', top = 3"), "length", "opening[0].at.centre_x", &["left"]);
}

#[test]
fn an_angle_says_from_what_it_is_counted() {
    let job = |bevel: &str| format!("unit = 'in'\nborder = 3\nbevel = {{ {bevel} }}\nopening.size = [8, 10]");
    let angle = |bevel: &str| mat(&job(bevel)).layers()[0].bevel.angle_deg;
    assert_near(angle("angle_from_face = 52"), 38.0, 0.0);
    assert_near(angle("angle_from_upright = 38"), 38.0, 0.0);
    assert_near(angle("angle = 45"), 45.0, 0.0);
    assert_refused(&job("angle = 52"), "bevel", "bevel.angle", &["38 degrees from upright", "angle_from_face = 52"]);
    let both = job("angle_from_face = 52, angle_from_upright = 38");
    assert_refused(&both, "contradiction", "bevel.angle_from_upright", &["52", "38"]);
    assert_refused(
        &job("angle_from_face = 10"),
        "bevel",
        "bevel.angle_from_face",
        &["80 degrees from upright", "15 to 90"],
    );
    let straight = job("direction = 'straight', angle_from_face = 45");
    assert_refused(&straight, "contradiction", "bevel.angle_from_face", &["straight"]);
    assert_near(angle("direction = 'straight', angle_from_face = 90"), 0.0, 0.0);
}
