//! Lower boards that are smaller, keep their fallout, or have openings of another shape.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

use crate::common::jobs::{INCH, assert_near, codes, mat, resolve};
use crate::common::marks::{draw, notes, outlines};
use backline::drawing::Role;
use backline::geometry::{Relation, clearance};
use backline::mat::FalloutUse;
use backline::summary::MatSummary;
use kurbo::Size;

const SEATED: &str = "unit = 'mm'\nouter = [200, 250]\nborder.bottom_extra = 20\nopening.size = [80, 100]\n[[layer]]\n\
                      [[layer]]\nreveal = 6\nsmaller = 3\nfallout = 'keep'\n[[layer]]\nreveal = 6\nsmaller = 2";

#[test]
fn a_lower_board_may_be_smaller_than_the_one_above() {
    let mat = mat(SEATED);
    let insets: Vec<f64> = mat.layers().iter().map(|layer| layer.inset).collect();
    assert_eq!(insets, [0.0, 3.0, 5.0]);
    let lowest = &mat.layers()[2];
    assert_eq!(mat.extent(lowest).size(), Size::new(190.0, 240.0));
    // Its openings keep their place on the mat, so that its own borders are narrower.
    let opening = &lowest.openings[0];
    assert_near(opening.borders(mat.outer().to_rect()).left - opening.borders(mat.extent(lowest)).left, 5.0, 1e-9);
    assert_eq!(mat.layers()[1].fallout, FalloutUse::Keep);
    assert_eq!(mat.layers()[2].fallout, FalloutUse::Discard);
}

#[test]
fn every_view_of_a_smaller_board_is_that_board() {
    let mat = mat(SEATED);
    let lowest = &mat.layers()[2];
    let borders = lowest.openings[0].borders(mat.extent(lowest));
    for (view, left, role) in [
        ("back", borders.right, Role::Cut),
        ("cut", borders.right, Role::Cut),
        ("cut-face", borders.left, Role::Cut),
        ("face", borders.left, Role::Sight),
    ] {
        let drawing = draw(view, &mat, 2);
        let edge = outlines(&drawing, Role::Edge)[0].bounds();
        assert_near(edge.width(), 190.0, 1e-9);
        assert_near(edge.height(), 240.0, 1e-9);
        let opening = outlines(&drawing, role)[0].bounds();
        // With a standard bevel the back outline is the sight outline; the face outline lies outside it.
        let bevel = if view == "cut-face" { lowest.bevel.width(lowest.board.thickness) } else { 0.0 };
        assert_near(opening.x0 - edge.x0, left - bevel, 1e-9);
        assert_near(opening.y0 - edge.y0, borders.top - bevel, 1e-9);
    }
    let notes = notes(&draw("back", &mat, 1));
    assert!(notes.contains("KEEP") && notes.contains("SMALLER"), "{notes}");
}

#[test]
fn a_smaller_board_is_checked_against_its_own_edges() {
    let job = |smaller: &str| {
        format!("unit = 'mm'\nouter = 200\nopening.size = 100\n[[layer]]\n[[layer]]\nreveal = 5\nsmaller = {smaller}")
    };
    assert_eq!(codes(&job("30")), Vec::<&str>::new());
    assert_eq!(codes(&job("45")), ["thin-border"]);
    assert_eq!(codes(&job("50")), ["off-board"]);
    assert!(codes(&job("100")).contains(&"does-not-fit"));
    assert_eq!(codes("unit = 'mm'\nouter = 200\nopening.size = 100\n[[layer]]\nsmaller = 3"), ["contradiction"]);
}

#[test]
fn boards_may_have_openings_of_different_shapes() {
    for shape in ["ellipse", "arch"] {
        let job = |art: &str| {
            format!(
                "unit = 'in'\nouter = [8, 10]\n[[layer]]\nopening = {{ shape = '{shape}', size = [5, 6.5] }}\n\
                 [[layer]]\nopening.art = {art}"
            )
        };
        let found = mat(&job("[3, 4]"));
        let (upper, lower) = (&found.layers()[0].openings[0], &found.layers()[1].openings[0]);
        assert_eq!((upper.shape, lower.shape), (shape, "rectangle"));
        assert_eq!(clearance(&lower.face, &upper.sight).relation, Relation::Inside);
        // The bounds of the rectangle fit into those of the curved opening, but its corners do not.
        assert_eq!(codes(&job("[4.5, 6]")), ["not-inside"], "{shape}");
    }
    // Without openings of its own the lower board repeats the oval as its parallel.
    let repeated = mat(
        "unit = 'in'\nouter = [8, 10]\nopening = { shape = 'ellipse', size = [4, 5] }\n[[layer]]\n[[layer]]\nreveal = 0.25",
    );
    let (upper, lower) = (&repeated.layers()[0].openings[0].back, &repeated.layers()[1].openings[0].back);
    assert_near(clearance(lower, upper).distance, 0.25 * INCH, 1e-9);
}

#[test]
fn check_lists_smaller_boards() {
    assert!(mat(SEATED).describe().contains("smaller than the mat: 194 mm × 244 mm"));
    let seated = serde_json::to_value(MatSummary::new("", &resolve(SEATED))).unwrap();
    assert!(seated["layers"][0].get("inset").is_none());
    assert_eq!(seated["layers"][1]["inset"], 3.0);
    assert_eq!(seated["layers"][1]["fallout"], "keep");
    assert_eq!(seated["layers"][2]["inset"], 5.0);
}
