//! What each view, `check` and the starter show of grooves, ruled lines and bands of wash.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

use crate::common::jobs::{assert_near, mat, resolve};
use crate::common::marks::{draw, marks, notes, outlines, roles};
use backline::drawing::{Mark, Role};
use backline::geometry::clearance;
use backline::job::STARTER;
use backline::mat::GroovePath;
use backline::summary::MatSummary;
use backline::view::VIEWS;
use kurbo::{Point, Size};

const ORNATE: &str = "unit = 'mm'\nouter = [200, 150]\nopening = { size = [60, 50], at = { left = 40, top = 50 } }\n\
                      groove = { distance = 12 }\nruled = { lines = [6], bands = [[8, 10, 'ochre']] }";

#[test]
fn the_pen_path_is_seen_from_the_front() {
    let mat = mat(ORNATE);
    let layer = &mat.layers()[0];
    let pen = draw("pen", &mat, 0);
    assert_eq!(pen.sheet, Size::new(200.0, 150.0));
    assert_eq!(outlines(&pen, Role::Ruling), [layer.decoration.lines[0].outline.clone()]);
    let edges = &layer.decoration.washes[0].edges;
    assert_eq!(outlines(&pen, Role::Wash), [edges.inner.clone(), edges.outer.clone()]);
    assert_eq!(roles(&pen), [Role::Register, Role::Wash, Role::Ruling]);
}

#[test]
fn pen_and_cut_path_have_the_same_register_marks() {
    let mat = mat(ORNATE);
    let (pen, cut) = (draw("pen", &mat, 0), draw("cut-face", &mat, 0));
    let register = marks(&pen, Role::Register);
    assert_eq!(register.len(), 6);
    assert_eq!(register, marks(&cut, Role::Register));
    assert_eq!(pen.sheet, cut.sheet);
    // Three corners of four, so that a sheet that was turned or mirrored is found out.
    let mirrored: Vec<Mark> = register
        .iter()
        .map(|mark| match mark {
            Mark::Line { points, .. } => {
                Mark::line(points.iter().map(|p| Point::new(pen.sheet.width - p.x, p.y)).collect())
            }
            other => other.clone(),
        })
        .collect();
    assert!(!mirrored.iter().all(|mark| register.contains(mark)));
    assert_eq!(marks(&draw("cut", &mat, 0), Role::Register), []);
}

#[test]
fn grooves_are_cut_from_the_face_and_before_the_openings() {
    let mat = mat(ORNATE);
    let cut_face = draw("cut-face", &mat, 0);
    let GroovePath::Round { centre, .. } = &mat.layers()[0].decoration.grooves[0].course else { panic!() };
    assert_eq!(outlines(&cut_face, Role::Groove), std::slice::from_ref(centre));
    assert_eq!(roles(&cut_face), [Role::Register, Role::Groove, Role::Cut, Role::Edge]);
    assert_eq!(roles(&draw("cut", &mat, 0)), [Role::Cut, Role::Edge]);
}

#[test]
fn the_face_view_shows_every_ornament_and_the_template_says_what_it_lacks() {
    let mat = mat(ORNATE);
    let face = draw("face", &mat, 0);
    assert_eq!(outlines(&face, Role::Groove).len(), 3);
    assert_eq!(outlines(&face, Role::Wash).len(), 2);
    assert_eq!(outlines(&face, Role::Ruling).len(), 1);
    // Placed like the opening: the same distance from its face outline.
    let near = clearance(&outlines(&face, Role::Face)[0], &outlines(&face, Role::Ruling)[0]);
    assert_near(near.distance, 6.0, 1e-9);
    let back = draw("back", &mat, 0);
    for role in [Role::Groove, Role::Ruling, Role::Wash, Role::Register] {
        assert_eq!(marks(&back, role), []);
    }
    assert!(notes(&back).contains("NOT ON THIS TEMPLATE"));
    assert!(
        !notes(&draw("back", &crate::common::jobs::mat("unit = 'mm'\nborder = 50\nopening.size = 60"), 0))
            .contains("NOT ON")
    );
}

#[test]
fn only_a_board_with_pen_work_has_a_pen_path() {
    let views = |job: &str| -> Vec<&str> {
        let mat = mat(job);
        VIEWS.iter().filter(|view| view.applies(&mat.layers()[0])).map(|view| view.name).collect()
    };
    assert_eq!(views(ORNATE), ["back", "face", "cut", "cut-face", "pen"]);
    assert_eq!(
        views("unit = 'mm'\nborder = 50\nopening.size = 60\ngroove = { distance = 10 }"),
        ["back", "face", "cut", "cut-face"]
    );
}

#[test]
fn check_lists_every_ornament() {
    let words = mat(ORNATE).describe();
    for part in ["V-groove 12 mm", "ruled line 6 mm", "band 8 mm to 10 mm", "ochre"] {
        assert!(words.contains(part), "{part} is missing from {words}");
    }
    let json = |job: &str| serde_json::to_value(MatSummary::new("", &resolve(job))).unwrap();
    let layer = &json(ORNATE)["layers"][0];
    assert_eq!(layer["grooves"][0]["distance"], 12.0);
    assert_eq!(layer["lines"][0]["distance"], 6.0);
    assert_eq!(layer["washes"][0]["colour"], "ochre");
    let plain = json("unit = 'mm'\nborder = 50\nopening.size = 60");
    for key in ["grooves", "lines", "washes", "inset", "fallout"] {
        assert!(plain["layers"][0].get(key).is_none(), "{key}");
    }
}

#[test]
fn the_starter_names_every_ornament_and_its_examples_work() {
    // Uncomments the blocks on grooves and ruled lines, leaving out what stands instead of something else.
    let tail = STARTER.split("# V-grooves").nth(1).unwrap();
    let keys: Vec<&str> = tail
        .lines()
        .filter_map(|line| line.strip_prefix("# "))
        .filter(|line| (line.contains(" = ") || line.starts_with('[')) && !line.starts_with("points"))
        .collect();
    assert_eq!(keys.len(), 10, "{keys:?}");
    let job = format!("unit = 'in'\nframe = [20, 24]\nopening.art = [8, 10]\n{}", keys.join("\n"));
    let resolved = resolve(&job);
    assert!(resolved.sound().is_some(), "{:?}", resolved.problems);
}
