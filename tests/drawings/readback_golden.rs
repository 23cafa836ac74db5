//! Every golden job in every format, read back by readers of others and measured against the mat itself.
//!
//! What is read is brought to the frame of the mat here, mirror and margin undone by this file's own arithmetic, so that
//! neither the drawing nor its views are trusted.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::goldens::{self, Drawn};
use crate::common::reading::{READ_BACK_MM, Reading, assert_same_outline};
use crate::common::strokes::{Stroke, assert_follows};
use crate::common::{dxf_reader, hpgl_reader, pdf_reader, polylines_reader, svg_reader};
use backline::drawing::Role;
use backline::geometry::Outline;
use backline::mat::{Edge, Layer, Mat};
use backline::tolerance::FLATTEN_MM;
use kurbo::{Affine, Point, Rect, Shape, Size};

/// A plotter rounds each coordinate to half a unit, so that a point may lie off by that in both directions.
const HPGL_MM: f64 = 0.5 * hpgl_reader::UNIT_MM * std::f64::consts::SQRT_2;

/// Largest error in millimetres of the size of a sheet: pages of PDF have numbers of 32 bits, others six decimals.
const SHEET_MM: f64 = 5e-5;

/// The roles whose outlines are measured.
const MEASURED: [Role; 5] = [Role::Cut, Role::Face, Role::Sight, Role::Wash, Role::Ruling];

/// What a view must show of a board, in the frame of the mat.
fn expected<'m>(view: &str, layer: &'m Layer) -> Vec<(Role, &'m Outline)> {
    let all = |role: Role, edge: Edge| layer.openings.iter().map(move |opening| (role, opening.outline(edge)));
    let washes = layer.decoration.washes.iter().flat_map(|wash| [&wash.edges.inner, &wash.edges.outer]);
    let lines = layer.decoration.lines.iter().map(|line| (Role::Ruling, &line.outline));
    let pen = washes.map(|edge| (Role::Wash, edge)).chain(lines);
    match view {
        "back" | "cut" => all(Role::Cut, Edge::Back).collect(),
        "cut-face" => all(Role::Cut, Edge::Face).collect(),
        "face" => all(Role::Face, Edge::Face).chain(all(Role::Sight, Edge::Sight)).chain(pen).collect(),
        "pen" => pen.collect(),
        other => panic!("say what the view {other} must show"),
    }
}

/// Tells whether a view is seen from the back.
fn is_mirrored(view: &str) -> bool {
    matches!(view, "back" | "cut")
}

/// Size of a board: that of the mat, or less on every side where the board seats inside another.
fn board_size(drawn: &Drawn<'_>, mat: &Mat) -> Size {
    mat.outer() - 2.0 * Size::new(drawn.layer.inset, drawn.layer.inset)
}

/// Returns the way from the sheet to the frame of the mat; the board has its top left corner at `corner` on the sheet.
fn to_mat(drawn: &Drawn<'_>, mat: &Mat, corner: Point) -> Affine {
    let inset = drawn.layer.inset;
    if is_mirrored(drawn.view.name) {
        // The board is as far from the left edge of the mat as from the right one.
        let right = mat.outer().width - inset;
        Affine::new([-1.0, 0.0, 0.0, 1.0, right + corner.x, inset - corner.y])
    } else {
        Affine::translate((inset - corner.x, inset - corner.y))
    }
}

#[track_caller]
fn assert_same_size(found: Size, expected: Size, bound: f64) {
    let off = (found.width - expected.width).abs().max((found.height - expected.height).abs());
    assert!(off <= bound, "{found} instead of {expected}");
}

/// The sheet of a path for a machine is the board; the sheets of other views have room round it.
fn assert_sheet(found: Size, drawn: &Drawn<'_>, mat: &Mat) {
    let board = board_size(drawn, mat);
    if matches!(drawn.view.name, "back" | "face") {
        assert_same_size(found, drawn.drawing.sheet, SHEET_MM);
        assert!(found.width > board.width && found.height > board.height);
    } else {
        assert_same_size(found, board, SHEET_MM);
    }
}

/// Checks a format that keeps curves.
fn assert_curves(reading: &Reading, drawn: &Drawn<'_>, mat: &Mat) {
    assert_sheet(reading.sheet, drawn, mat);
    let of = |role: Role| reading.paths.iter().filter(move |(name, _)| name == role.name()).map(|(_, path)| path);
    // A pen path has no edge: its sheet is the board.
    let edge = of(Role::Edge).next().map_or(reading.sheet.to_rect(), Shape::bounding_box);
    assert_same_size(edge.size(), board_size(drawn, mat), READ_BACK_MM);
    let to_mat = to_mat(drawn, mat, edge.origin());
    let expected = expected(drawn.view.name, drawn.layer);
    for role in MEASURED {
        let outlines: Vec<_> = expected.iter().filter(|(expected, _)| *expected == role).collect();
        assert_eq!(of(role).count(), outlines.len(), "{role:?}");
        for (path, (_, outline)) in of(role).zip(outlines) {
            assert_same_outline(outline, &(to_mat * path.clone()));
        }
    }
}

/// Checks a format of polylines; `name` gives the name of a role in the format, `bound` the rounding of its points.
fn assert_polylines(strokes: &[Stroke], drawn: &Drawn<'_>, mat: &Mat, name: impl Fn(Role) -> String, bound: f64) {
    let of = |role: Role| {
        let name = name(role);
        strokes.iter().filter(move |stroke| stroke.closed && stroke.role == name)
    };
    let bounds = |stroke: &Stroke| {
        let first = stroke.points[0];
        stroke.points.iter().fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(*point))
    };
    // Where a pen draws letters too, the edge of the board is the largest of its figures.
    let edge = of(Role::Edge).map(bounds).max_by(|a, b| a.area().total_cmp(&b.area()));
    let edge = edge.filter(|_| drawn.view.name != "pen").unwrap_or(drawn.drawing.sheet.to_rect());
    assert_same_size(edge.size(), board_size(drawn, mat), 2.0 * bound);
    let to_mat = to_mat(drawn, mat, edge.origin());
    let expected = expected(drawn.view.name, drawn.layer);
    let mut names: Vec<String> = MEASURED.into_iter().map(&name).collect();
    names.sort();
    names.dedup();
    for pen in names {
        let strokes: Vec<&Stroke> = strokes.iter().filter(|stroke| stroke.closed && stroke.role == pen).collect();
        let outlines: Vec<_> = expected.iter().filter(|(role, _)| name(*role) == pen).collect();
        assert_eq!(strokes.len(), outlines.len(), "{pen}");
        for (stroke, (_, outline)) in strokes.into_iter().zip(outlines) {
            let points = stroke.points.iter().map(|point| to_mat * *point).collect();
            // The corner of the board itself is off by the rounding too.
            assert_follows(&Stroke { points, ..stroke.clone() }, outline, 2.0 * bound, FLATTEN_MM);
        }
    }
}

fn assert_every_format(drawn: &Drawn<'_>, mat: &Mat) {
    let bytes = |name: &str| drawn.bytes(backline::formats::format(name).unwrap());
    assert_curves(&svg_reader::read(&bytes("svg")), drawn, mat);
    let pdf = bytes("pdf");
    let mut reading = pdf_reader::read(&pdf);
    // The reader of the structure has numbers of 32 bits only.
    assert_same_size(reading.sheet, media_box(&pdf), 1e-3);
    reading.sheet = media_box(&pdf);
    assert_curves(&reading, drawn, mat);

    let dxf = dxf_reader::read(&bytes("dxf"));
    assert_sheet(dxf.sheet, drawn, mat);
    assert_polylines(&dxf.strokes, drawn, mat, |role| role.name().to_owned(), 0.5 * READ_BACK_MM);
    let text = polylines_reader::read_text(&bytes("polylines"));
    assert_sheet(text.sheet, drawn, mat);
    assert_polylines(&text.strokes, drawn, mat, |role| role.name().to_owned(), 0.5 * READ_BACK_MM);
    let json = polylines_reader::read_json(&bytes("json"));
    assert_eq!(json.strokes, text.strokes);
    assert_sheet(json.sheet, drawn, mat);

    let strokes = hpgl_reader::read(&bytes("hpgl"), drawn.drawing.sheet);
    assert_polylines(&strokes, drawn, mat, |role| format!("pen {}", role.style().pen), HPGL_MM);
}

/// Reads the size of the page from the bytes themselves, in millimetres.
fn media_box(pdf: &[u8]) -> Size {
    let text = String::from_utf8_lossy(pdf);
    let (_, sides) = text.split_once("/MediaBox [0 0 ").unwrap();
    let (width, height) = sides.split_once(']').unwrap().0.split_once(' ').unwrap();
    Size::new(width.parse().unwrap(), height.parse().unwrap()) * (25.4 / 72.0)
}

#[test]
fn every_outline_is_read_back_from_every_format() {
    for golden in goldens::all() {
        for drawn in golden.drawings_where(|_, _| true) {
            println!("{} {}", golden.name(), drawn.stem);
            assert_every_format(&drawn, golden.mat());
        }
    }
}
