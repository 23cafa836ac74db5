//! The framed package: what the frame shows, how it holds the mat, and whether everything fits into it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{INCH, assert_near, mat, resolve};
use backline::drawing::{Drawing, Mark, Role};
use backline::mat::{Mat, PartKind};
use backline::picture::{Scene, draw};
use backline::problem::{Problem, Severity};
use backline::summary::MatSummary;
use backline::workshop::{Letterhead, pages};
use kurbo::{Rect, Size};
use serde_json::Value;

const JOB: &str = "unit = 'in'\nopening.art = [8, 10]\n";

fn found(job: &str, code: &str) -> Option<Problem> {
    resolve(job).problems.into_iter().find(|problem| problem.code == code)
}

fn data(job: &str) -> Value {
    serde_json::to_value(MatSummary::new("job", &resolve(job))).unwrap()
}

fn page(mat: &Mat) -> Drawing {
    let letterhead = Letterhead { paper: Size::new(210.0, 297.0), margin: backline::page::MARGIN };
    pages(&[(mat, &[])], &letterhead).remove(0)
}

/// All words of a drawing, run together so that the ends of lines do not matter.
fn words(drawing: &Drawing) -> String {
    let marks = drawing.layers.iter().flat_map(|layer| &layer.marks);
    let texts = marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text.content.as_str()) } else { None });
    texts.collect::<Vec<_>>().join(" ")
}

fn largest(drawing: &Drawing, role: Role) -> Rect {
    let layers = drawing.layers.iter().filter(|layer| layer.role == role);
    let outlines = layers.flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
        Mark::Outline { outline, .. } => Some(outline.bounds()),
        _ => None,
    });
    outlines.max_by(|a, b| a.area().total_cmp(&b.area())).unwrap()
}

/// The edge of the frame towards the mat in a picture: the inner outline of the last ring that reaches the edge of the sheet.
fn frame_in_picture(drawing: &Drawing) -> Rect {
    let areas = drawing.layers.iter().flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
        Mark::Area(area) => Some(area),
        _ => None,
    });
    let mut rings = areas.filter(|area| {
        let reaches = |outer: Rect| (outer.size() - drawing.sheet).to_vec2().hypot() < 1e-6;
        area.outlines.len() == 2 && reaches(area.outlines[0].bounds())
    });
    rings.next_back().unwrap().outlines[1].bounds()
}

/// The visible border used to leave out half the clearance, and the picture showed a frame of 17 7/8 × 21 7/8 in where the
/// workshop sheet said 18 × 22.
#[test]
fn check_data_sheet_and_picture_agree_on_what_the_frame_shows() {
    let jobs = [
        "unit = 'in'\nframe = { rabbet = [16, 20], moulding = 1.25 }\nopening.art = [8, 10]",
        "unit = 'mm'\nframe = { rabbet = [400, 500], clearance = 4, lip = 7, moulding = 30 }\nopening.art = [200, 250]",
        "unit = 'mm'\nouter = [396, 498]\nframe = { rabbet = [400, 500], lip = 6, moulding = 30 }\nopening.art = [200, 250]",
        "unit = 'mm'\nframe = { rabbet = [400, 500], moulding = 30 }\nopening = { art = [200, 250], at = { left = 60, top = 70 } }\n\
         [[layer]]\n[[layer]]\nsmaller = 5",
    ];
    for job in jobs {
        let mat = mat(job);
        let frame = mat.package().frame.as_ref().unwrap();
        let (shows, outside) = (frame.sight(), frame.outside().unwrap());
        // The definition: what the frame shows less the opening is what is seen on both sides together.
        let opening = &mat.layers()[0].openings[0];
        let visible = mat.package().visible(opening.sight.bounds());
        assert_near(visible.left + visible.right, shows.width - opening.sight.size().width, 1e-9);
        assert_near(visible.top + visible.bottom, shows.height - opening.sight.size().height, 1e-9);
        let borders = opening.borders(mat.outer().to_rect());
        let clearance = frame.rabbet - mat.outer();
        assert_near(visible.left, borders.left - frame.lip + 0.5 * clearance.width, 1e-9);
        assert_near(visible.top, borders.top - frame.lip + 0.5 * clearance.height, 1e-9);

        let read = |size: Size| format!("{} × {}", mat.ruler().read(size.width), mat.ruler().read(size.height));
        let (text, page) = (mat.describe(), page(&mat));
        for words in [text, words(&page)] {
            assert!(words.contains(&format!("shows {}", read(shows))), "{words}");
            assert!(words.contains(&format!("outside {}", read(outside))), "{words}");
        }
        let line = mat.describe().lines().find(|line| line.contains("visible")).unwrap().to_owned();
        assert!(line.contains(&mat.ruler().read(visible.left).to_string()), "{line}");

        let data = data(job);
        let number =
            |path: &str| data.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path}: {data}"));
        assert_near(number("/package/frame/shows/width"), shows.width, 1e-8);
        assert_near(number("/package/frame/outside/height"), outside.height, 1e-8);
        for (side, width) in
            [("left", visible.left), ("right", visible.right), ("top", visible.top), ("bottom", visible.bottom)]
        {
            assert_near(number(&format!("/layers/0/openings/0/visible/{side}")), width, 1e-8);
        }

        let (edge, guide) = (largest(&page, Role::Edge), largest(&page, Role::Guide));
        let scale = edge.width() / mat.outer().width;
        assert_near(guide.width(), scale * shows.width, 1e-9);
        assert_near(guide.height(), scale * shows.height, 1e-9);

        let picture = draw(&mat, &Scene::default()).drawing;
        assert_near(picture.sheet.width, outside.width, 1e-9);
        assert_near(picture.sheet.height, outside.height, 1e-9);
        let inner = frame_in_picture(&picture);
        assert_near(inner.width(), shows.width, 1e-9);
        assert_near(inner.height(), shows.height, 1e-9);
    }
}

#[test]
fn the_lip_of_a_frame_without_a_moulding_covers_what_it_hides() {
    let mat = mat("unit = 'mm'\nframe = { rabbet = [400, 500], clearance = 4, lip = 7 }\nopening.art = [200, 250]");
    let picture = draw(&mat, &Scene::default()).drawing;
    assert_eq!(picture.sheet, Size::new(396.0, 496.0));
    assert_eq!(frame_in_picture(&picture), Rect::new(5.0, 5.0, 391.0, 491.0));
}

#[test]
fn a_mat_that_can_slip_out_is_an_error_and_a_poor_hold_a_warning() {
    let with = |lip: &str, clearance: &str| {
        format!("frame = {{ rabbet = [16, 20], lip = {lip}, clearance = {clearance} }}\n{JOB}")
    };
    for (lip, clearance) in [("0.125", "0.125"), ("0.125", "0.25")] {
        let problem = found(&with(lip, clearance), "slips-out").unwrap();
        assert!(problem.is_error() && problem.message.contains("1/8 in"), "{problem}");
        assert_eq!(problem.place.path.to_string(), "frame.lip");
    }
    let problem = found(&with("'3/16 in'", "'5/32 in'"), "poor-hold").unwrap();
    assert_eq!(problem.severity, Severity::Warning);
    // 3/16 less 5/32 is 1/32 in, 0.79 mm.
    assert!(problem.message.contains("1/16 in (-0.79 mm)"), "{problem}");
    assert_eq!(found(&format!("limits.hold = '1/64 in'\n{}", with("'3/16 in'", "'5/32 in'")), "poor-hold"), None);
    assert_eq!(found(&with("0.25", "0.125"), "poor-hold"), None);
    // The clearance may also come from the size of the mat.
    let small = format!("outer = [15.5, 20]\nframe = {{ rabbet = [16, 20], lip = 0.25 }}\n{JOB}");
    assert!(found(&small, "slips-out").unwrap().is_error());
}

#[test]
fn outer_and_clearance_that_disagree_are_told() {
    let job = format!("outer = [15.5, 19.5]\nframe = {{ rabbet = [16, 20], clearance = 0.125 }}\n{JOB}");
    let problem = found(&job, "contradiction").unwrap();
    assert!(
        problem.message.contains("15 7/8 × 19 7/8 in") && problem.message.contains("15 1/2 × 19 1/2 in"),
        "{problem}"
    );
    let job = format!("outer = [15.5, 19.5]\nframe = {{ rabbet = [16, 20], clearance = 0.5, lip = 1 }}\n{JOB}");
    assert!(resolve(&job).sound().is_some());
}

/// The lip hides its whole width of a border where the mat lies to that side, less half the clearance in the middle.
#[test]
fn an_opening_under_the_lip_is_an_error_and_one_that_can_get_there_a_warning() {
    let with = |left: f64| {
        format!(
            "unit = 'mm'\nlimits.border = 0\nframe = {{ rabbet = [400, 500], clearance = 4, lip = 10 }}\n\
             opening = {{ size = [200, 250], shape.path = {{ }}, at = {{ left = {left}, top = 100 }} }}"
        )
        .replace(", shape.path = { }", "")
    };
    // The face lies a bevel of 1.5875 mm outside the sight outline.
    for (left, expected) in [(9.0, Some(Severity::Error)), (10.5, Some(Severity::Warning)), (12.0, None)] {
        let problem = found(&with(left), "hidden-by-lip");
        assert_eq!(problem.as_ref().map(|problem| problem.severity), expected, "{left}: {problem:?}");
    }
}

/// An eighth of acrylic, a sixteenth of 4-ply and three sixteenths of foam board are 3/8 in deep
/// (https://sites.google.com/site/framingtips/home/works-on-paper).
#[test]
fn the_stack_is_measured_against_the_rabbet() {
    let with = |depth: &str, rest: &str| {
        format!("frame = {{ rabbet = [16, 20], depth = {depth} }}\nboard = '4-ply'\n{rest}\n{JOB}")
    };
    let stack = "glass = '1/8 in acrylic'\nbacking = '3/16 foam board'";
    let package = mat(&with("'3/8 in'", stack)).package().clone();
    assert_near(package.height().unwrap(), 0.375 * INCH, 1e-9);
    assert_near(package.depth_left().unwrap(), 0.0, 1e-9);
    let problem = found(&with("'5/16 in'", stack), "too-deep").unwrap();
    assert!(problem.is_error(), "{problem}");
    for words in
        ["glass 3.175 mm", "board 1.5875 mm", "backing 4.7625 mm", "9.525 mm deep", "1.5875 mm more", "7.9375 mm"]
    {
        assert!(problem.message.contains(words), "{words}: {problem}");
    }
    // What is not known is not guessed.
    let problem = found(&with("'3/8 in'", "glass = 'museum glass'"), "depth-not-checked").unwrap();
    assert!(problem.message.contains("glass and backing is not known"), "{problem}");
    assert_eq!(mat(&with("'3/8 in'", "glass = 'museum glass'")).package().depth_left(), None);
    assert!(found(&with("'1/16 in'", "glass = '2 mm'"), "too-deep").is_some(), "too deep without the backing");
    // What is not there takes no room.
    let package = mat(&with("'3/8 in'", "glass = 'none'\nbacking = 'none'")).package().clone();
    assert_near(package.depth_left().unwrap(), 0.3125 * INCH, 1e-9);
    assert!(package.part(PartKind::Glass).is_none());
    // Without a depth nothing is checked, and that is said.
    let words = mat(&format!("frame = [16, 20]\n{JOB}")).describe();
    assert!(words.contains("not checked: no `depth` of the frame, no thickness of glass and backing"), "{words}");
}

#[test]
fn every_part_has_its_place_and_its_depth() {
    let job = "unit = 'mm'\nframe = { rabbet = [400, 500], depth = 30 }\nglass = 2\nspacers = { under_glass = 3, under_mat = '10 mm' }\n\
        mount = { name = 'rag', thickness = 1 }\nbacking = '5 mm foam board'\nopening.art = [200, 250]\n\
        [[layer]]\nboard = '1.5 mm'\n[[layer]]\nboard = '2 mm'";
    let package = mat(job).package().clone();
    let parts: Vec<_> = package.parts.iter().map(|part| (part.kind, part.thickness.unwrap())).collect();
    let expected = [
        (PartKind::Glass, 2.0),
        (PartKind::Spacers, 3.0),
        (PartKind::Board, 1.5),
        (PartKind::Board, 2.0),
        (PartKind::Spacers, 10.0),
        (PartKind::Art, 0.0),
        (PartKind::Mount, 1.0),
        (PartKind::Backing, 5.0),
    ];
    assert_eq!(parts, expected);
    assert_near(package.depth_left().unwrap(), 5.5, 1e-9);
}

#[test]
fn art_with_depth_takes_room_or_stands_in_it() {
    let with = |opening: &str, rest: &str| {
        format!(
            "unit = 'mm'\nframe = [400, 500]\nboard = '2 mm'\n{rest}\nglass = 2\nopening = {{ art = [200, 250], {opening} }}"
        )
    };
    // Behind the mat it pushes mat and mount apart.
    let package = mat(&with("art_depth = 18", "")).package().clone();
    assert_eq!(package.part(PartKind::Art).unwrap().thickness, Some(18.0));
    assert!(package.standing.is_empty());
    // Spacers of that height do so already.
    let package = mat(&with("art_depth = 18", "spacers.under_mat = 20")).package().clone();
    assert_eq!(package.part(PartKind::Art).unwrap().thickness, Some(0.0));
    assert_eq!((package.standing[0].room, package.standing[0].below), (Some(20.0), PartKind::Board));
    let problem = found(&with("art_depth = 21", "spacers.under_mat = 20"), "touches-mat").unwrap();
    assert!(problem.is_error() && problem.message.contains("21 mm") && problem.message.contains("20 mm"), "{problem}");
    assert_eq!(found(&with("art_depth = 20", "spacers.under_mat = 20"), "touches-mat"), None);
    // Floated in the window it has the boards and all spacers as room.
    let floated = |depth: f64, rest: &str| with(&format!("margin = 10, art_depth = {depth}"), rest);
    let package = mat(&floated(6.0, "spacers = 5")).package().clone();
    assert_eq!((package.standing[0].room, package.standing[0].below), (Some(7.0), PartKind::Glass));
    let problem = found(&floated(7.0, "spacers = 5"), "touches-glass").unwrap();
    assert!(problem.is_error(), "{problem}");
    assert_eq!(found(&floated(7.0, "spacers = 5").replace("glass = 2", "glass = 'none'"), "touches-glass"), None);
    assert!(found(&floated(3.0, "spacers = 'thin ones'"), "depth-not-checked").is_some());
    assert_eq!(
        found("unit = 'mm'\nopening = { size = [10, 20], art_depth = 3 }\nborder = 50", "not-enough")
            .map(|p| p.is_error()),
        Some(true)
    );
}
