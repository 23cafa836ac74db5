//! What has no room in a parallel outline is left out of every board, view and ornament alike, and said with its numbers.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic, reason = "a test fails by panicking")]

use crate::common::jobs::{assert_near, resolve};
use backline::geometry::{Outline, Relation, Segment, relation};
use backline::mat::Mat;
use kurbo::Rect;

/// Returns the code and the message of every problem of a job.
fn problems(job: &str) -> Vec<(&'static str, String)> {
    resolve(job).problems.into_iter().map(|problem| (problem.code, problem.message)).collect()
}

/// Returns the mat of a job that has warnings of what is left out and no other problem, with those warnings.
fn trimmed(job: &str) -> (Mat, Vec<String>) {
    let found = problems(job);
    assert!(!found.is_empty() && found.iter().all(|(code, _)| *code == "trimmed"), "{found:?}");
    let resolved = resolve(job);
    (resolved.sound().unwrap().clone(), found.into_iter().map(|(_, message)| message).collect())
}

/// Checks that each outline lies round the next: faces round sights, upper boards round lower ones.
fn assert_nested(mat: &Mat) {
    let openings: Vec<_> = mat.layers().iter().map(|layer| &layer.openings[0]).collect();
    let outlines: Vec<&Outline> = openings.iter().flat_map(|opening| [&opening.face, &opening.sight]).collect();
    for pair in outlines.windows(2) {
        assert_eq!(relation(pair[1], pair[0]), Relation::Inside);
    }
}

fn scooped(radius: f64, reveal: f64) -> String {
    format!(
        "unit = 'mm'\nborder = 60\nlayer = [{{}}, {{ reveal = {reveal} }}]\n\
         opening = {{ size = [160, 200], shape.rectangle.corners.all.scooped = {radius} }}"
    )
}

/// A scooped corner of half an inch with a reveal of a quarter was refused: its circle only touched the side, or did not reach it.
#[test]
fn scooped_corners_run_on_straight_where_their_circles_do_not_reach_the_sides() {
    for (radius, reveal) in [(12.7, 6.35), (14.0, 6.35), (10.0, 6.0), (8.0, 6.0)] {
        let (mat, said) = trimmed(&scooped(radius, reveal));
        assert!(said.iter().any(|said| said.contains("run straight")), "{said:?}");
        assert_nested(&mat);
        let sight = &mat.layers()[0].openings[0].sight;
        let arcs = sight.segments().iter().filter_map(|piece| match piece {
            Segment::Arc(arc) => arc.circle_radius(),
            Segment::Line(_) => None,
        });
        let arcs: Vec<f64> = arcs.collect();
        assert_eq!(arcs.len(), 4);
        arcs.into_iter().for_each(|found| assert_near(found, radius - reveal, 1e-9));
        // What the two sides enclose less what lies beyond the arc and its legs.
        let hollow = (radius * radius) - (radius - reveal).powi(2) * (1.0 - std::f64::consts::FRAC_PI_4);
        assert_near(sight.area(), (160.0 + 2.0 * reveal) * (200.0 + 2.0 * reveal) - 4.0 * hollow, 1e-6);
    }
    // Where the circles reach, nothing changes and nothing is said.
    assert_eq!(problems(&scooped(20.0, 6.0)), []);
}

/// At twice the bevel the circle of the scoop touches the side, and below it no longer meets it; a hollow arc that is smaller than the
/// bevel vanishes.
#[test]
fn hollow_curves_hardly_larger_than_the_bevel_are_cut() {
    let head = "unit = 'mm'\nouter = [210, 210]\nboard.thickness = 1.5\n[opening]\n";
    for radius in ["2.9", "3"] {
        let (mat, said) = trimmed(&format!("{head}size = [90, 90]\nshape.rectangle.corners.all.scooped = {radius}"));
        assert!(said[0].contains("run straight") && said[0].contains("outwards by 1.5 mm"), "{said:?}");
        assert_nested(&mat);
    }
    let path = "[{ at = [0, 0], bulge = 1 }, [2, 0], [30, 0], [30, 60], [-30, 60], [-30, 0]]";
    let (mat, said) = trimmed(&format!("{head}shape.path.points = {path}"));
    assert!(said[0].contains("the curve of radius 1 mm at x 106 mm, y 76 mm"), "{said:?}");
    assert_nested(&mat);
    assert_near(mat.layers()[0].openings[0].face.area(), 63.0 * 63.0, 1e-6);
}

/// A scooped corner of 4 mm with a reveal of 6 mm was refused without a word of the reveal.
#[test]
fn a_scooped_corner_that_vanishes_is_left_out_and_the_reveal_is_named() {
    let (mat, said) = trimmed(&scooped(4.0, 6.0));
    assert!(said[0].contains("4 curves of radius 4 mm") && said[0].contains("outwards by 6 mm"), "{said:?}");
    assert!(resolve(&scooped(4.0, 6.0)).problems[0].help.contains("reveal"));
    assert_nested(&mat);
    let sight = &mat.layers()[0].openings[0].sight;
    assert!(sight.segments().len() == 12 && sight.as_polygon().is_some());
    assert_near(sight.area(), 172.0 * 212.0 - 4.0 * 16.0, 1e-6);
}

#[test]
fn a_radius_smaller_than_the_bevel_is_left_out_of_the_smaller_outline() {
    for direction in ["standard", "reverse"] {
        let sizes = if direction == "standard" { "face" } else { "back" };
        let job = format!(
            "unit = 'mm'\nborder = 60\nsizes = '{sizes}'\nbevel = '{direction}'\n\
             opening = {{ size = [160, 200], shape.rectangle.corners.all.rounded = 1 }}"
        );
        let (mat, said) = trimmed(&job);
        assert!(said[0].contains("curves of radius 1 mm") && said[0].contains("inwards by 1.5875 mm"), "{said:?}");
        let opening = &mat.layers()[0].openings[0];
        let sight = Outline::rectangle(Rect::new(0.0, 0.0, 160.0 - 3.175, 200.0 - 3.175)).unwrap();
        assert_near(opening.sight.area(), sight.area(), 1e-9);
        assert_eq!((opening.sight.segments().len(), opening.trims[0].lost.len()), (4, 4));
        assert_eq!(if direction == "standard" { &opening.face } else { &opening.back }.segments().len(), 8);
    }
}

fn polygon(head: &str, corners: &str) -> String {
    format!("unit = 'mm'\nouter = [400, 360]\n{head}\nopening.shape.polygon.corners = [{corners}]")
}

const TONGUE: &str = "[0, 0], [50, 0], [50, 40], [57, 40], [57, 0], [150, 0], [150, 120], [0, 120]";

#[test]
fn a_tongue_of_board_is_left_out_where_the_reveal_closes_it() {
    let (mat, said) = trimmed(&polygon("layer = [{}, { reveal = 6 }]", TONGUE));
    assert!(said[0].contains("a part of 7 mm × 40 mm") && said[0].contains("top board"), "{said:?}");
    assert_nested(&mat);
    let [upper, lower] = [0, 1].map(|layer: usize| &mat.layers()[layer].openings[0]);
    assert_eq!((upper.sight.segments().len(), lower.sight.segments().len()), (4, 8));
    assert_near(upper.sight.area(), 162.0 * 132.0, 1e-6);
    // The board with the sizes keeps it, and so do both if the reveal leaves room, as narrow as it is.
    assert!(lower.trims.is_empty());
    let kept = problems(&polygon("layer = [{}, { reveal = 1.9 }]", TONGUE));
    assert!(kept.iter().all(|(code, _)| *code == "sliver"), "{kept:?}");
}

#[test]
fn ornaments_run_straight_past_what_has_no_room_and_say_so() {
    for head in ["ruled = { lines = [1, 8] }", "groove = { distance = 8 }", "ruled = { bands = [[1, 8, 'grey']] }"] {
        let (mat, said) = trimmed(&polygon(head, TONGUE));
        assert!(said.len() == 1 && said[0].contains("x 178.5 mm"), "{said:?}");
        let decoration = &mat.layers()[0].decoration;
        let outlines: Vec<&Outline> = decoration.lines.iter().map(|line| &line.outline).collect();
        let edges = decoration.washes.iter().map(|wash| &wash.edges.outer);
        let farthest = edges.chain(outlines).last();
        assert!(farthest.is_none_or(|outline| outline.segments().len() == 4));
    }
}

#[test]
fn what_falls_apart_closes_or_vanishes_is_refused_with_numbers() {
    let neck = "[0, 0], [60, 0], [60, 50], [90, 50], [90, 0], [150, 0], [150, 100], [90, 100], [90, 53], [60, 53], [60, 100], [0, 100]";
    let mouth = "[0, 0], [150, 0], [150, 58], [100, 58], [100, 30], [50, 30], [50, 90], [100, 90], [100, 62], [150, 62], [150, 120], [0, 120]";
    for (job, words) in [
        (polygon("sizes = 'face'", neck), "y 181.5 mm"),
        (polygon("sizes = 'face'", neck), "inwards by 1.5875 mm"),
        (polygon("layer = [{}, { reveal = 6 }]", mouth), "closes round a piece of board"),
        (polygon("sizes = 'face'", "[0, 0], [100, 0], [100, 3], [0, 3]"), "nothing is left"),
    ] {
        let found = problems(&job);
        assert!(found.iter().any(|(code, message)| *code == "no-bevel" && message.contains(words)), "{found:?}");
    }
}

/// What is drawn is what is said: borders count to the trimmed outline, and every view draws it.
#[test]
fn a_spike_that_vanishes_does_not_count_for_the_size() {
    let spike = "[0, 0], [100, 0], [100, 59], [130, 59], [130, 61], [100, 61], [100, 120], [0, 120]";
    let (mat, _) = trimmed(&polygon("sizes = 'face'", spike));
    let sight = &mat.layers()[0].openings[0].sight;
    assert_near(sight.size().width, 100.0 - 3.175, 1e-9);
    assert_near(mat.layers()[0].openings[0].face.size().width, 130.0, 1e-9);
}
