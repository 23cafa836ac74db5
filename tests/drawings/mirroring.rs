//! Left and right: a back template is the mirror image of the mat, its words are not, and a face view is not mirrored.
//!
//! Everything is told from the bytes of the files, in every format.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::mat;
use crate::common::strokes::Stroke;
use crate::common::{dxf_reader, hpgl_reader, pdf_reader, polylines_reader, svg_reader};
use backline::drawing::{Drawing, Mark, Role, Text};
use backline::formats::{Options, Source, format};
use backline::mat::Mat;
use backline::view::View;
use kurbo::{Point, Rect, Shape};

/// Formats that keep curves and words, and formats of strokes.
const WITH_WORDS: [&str; 2] = ["svg", "pdf"];
const OF_STROKES: [&str; 4] = ["dxf", "hpgl", "polylines", "json"];

/// Rounding of every format, and the flattening of curves.
const NEAR_MM: f64 = 0.05;

/// An opening near the left edge, a tall one near the right, an oval that is tilted to neither side but lies low.
const ASYMMETRIC: [&str; 3] = [
    "unit = 'mm'\nouter = [300, 200]\n[[opening]]\nsize = [40, 60]\nat = { left = 20, top = 30 }\n\
     [[opening]]\nsize = [100, 150]\nat = { right = 25, top = 25 }",
    "unit = 'in'\nouter = [10, 8]\nborder = { left = 1, right = 3, top = 1, bottom = 2 }\nbevel = 'reverse'\nopening = {}",
    "unit = 'mm'\nouter = [200, 200]\n[opening]\nat = { left = 30, bottom = 20 }\n\
     shape.polygon.corners = [[0, 0], [100, 0], [60, 40], [60, 110], [0, 110]]",
];

fn drawn(view: &str, mat: &Mat) -> Drawing {
    View::by_name(view).unwrap().draw(mat, &mat.layers()[0])
}

fn bytes(name: &str, drawing: &Drawing) -> Vec<u8> {
    let options = Options::default();
    format(name).unwrap().export(&Source::new(drawing, &options)).unwrap().bytes
}

/// Reads the strokes of a file; the roles of a plotter's strokes are its pens.
fn strokes(name: &str, drawing: &Drawing) -> Vec<Stroke> {
    let bytes = bytes(name, drawing);
    match name {
        "dxf" => dxf_reader::read(&bytes).strokes,
        "hpgl" => hpgl_reader::read(&bytes, drawing.sheet),
        "polylines" => polylines_reader::read_text(&bytes).strokes,
        "json" => polylines_reader::read_json(&bytes).strokes,
        other => panic!("{other} has no strokes"),
    }
}

/// Reads the closed outlines of a role in a file, as points that lie on them.
fn outlines(name: &str, drawing: &Drawing, role: Role) -> Vec<Vec<Point>> {
    let paths = match name {
        "svg" => svg_reader::read(&bytes(name, drawing)).paths,
        "pdf" => pdf_reader::read(&bytes(name, drawing)).paths,
        _ => {
            let wanted = if name == "hpgl" { format!("pen {}", role.style().pen) } else { role.name().to_owned() };
            let strokes = strokes(name, drawing).into_iter();
            return strokes
                .filter(|stroke| stroke.closed && stroke.role == wanted)
                .map(|stroke| stroke.points)
                .collect();
        }
    };
    let points = |path: kurbo::BezPath| path.segments().map(|segment| kurbo::ParamCurve::start(&segment)).collect();
    paths.into_iter().filter(|(found, _)| found == role.name()).map(|(_, path)| points(path)).collect()
}

fn bounds(points: &[Point]) -> Rect {
    let first = Rect::from_points(points[0], points[0]);
    points.iter().fold(first, |bounds, point| bounds.union_pt(*point))
}

/// Returns the board on the sheet: the largest figure drawn as its edge.
fn board(name: &str, drawing: &Drawing) -> Rect {
    let edges = outlines(name, drawing, Role::Edge);
    edges.iter().map(|points| bounds(points)).max_by(|a, b| a.area().total_cmp(&b.area())).unwrap()
}

/// Checks that the corners of each polygon of the mat are found on the board at `place`, and nothing else.
fn assert_corners(found: &[Vec<Point>], expected: &[Vec<Point>], place: impl Fn(Point) -> Point) {
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        assert_eq!(found.len(), expected.len());
        for corner in expected {
            let wanted = place(*corner);
            let nearest = found.iter().map(|point| point.distance(wanted)).fold(f64::INFINITY, f64::min);
            assert!(nearest < NEAR_MM, "no corner at {wanted}, the nearest is {nearest} mm away");
        }
    }
}

#[test]
fn views_from_the_back_are_mirrored_and_views_from_the_front_are_not_in_every_format() {
    for job in ASYMMETRIC {
        let mat = mat(job);
        let corners = |edge| -> Vec<Vec<Point>> {
            mat.layers()[0].openings.iter().map(|opening| opening.outline(edge).as_polygon().unwrap()).collect()
        };
        let (back, face) = (corners(backline::mat::Edge::Back), corners(backline::mat::Edge::Face));
        for name in WITH_WORDS.into_iter().chain(OF_STROKES) {
            for (view, role, expected, mirrored) in [
                ("back", Role::Cut, &back, true),
                ("cut", Role::Cut, &back, true),
                ("face", Role::Face, &face, false),
                ("cut-face", Role::Cut, &face, false),
            ] {
                let drawing = drawn(view, &mat);
                let board = board(name, &drawing);
                let place = |corner: Point| {
                    let from_left = if mirrored { mat.outer().width - corner.x } else { corner.x };
                    Point::new(board.x0 + from_left, board.y0 + corner.y)
                };
                assert_corners(&outlines(name, &drawing, role), expected, place);
            }
        }
    }
}

#[test]
fn what_is_near_the_left_edge_in_front_is_near_the_right_edge_of_the_back() {
    let mat = mat(ASYMMETRIC[0]);
    for name in WITH_WORDS.into_iter().chain(OF_STROKES) {
        for view in ["back", "cut"] {
            let drawing = drawn(view, &mat);
            let board = board(name, &drawing);
            let small = bounds(&outlines(name, &drawing, Role::Cut)[0]);
            assert!((board.x1 - small.x1 - 20.0).abs() < NEAR_MM, "{name} {view} {small}");
            assert!((small.y0 - board.y0 - 30.0).abs() < NEAR_MM, "top stays top");
        }
        let face = drawn("face", &mat);
        let small = bounds(&outlines(name, &face, Role::Sight)[0]);
        assert!((small.x0 - board(name, &face).x0 - 20.0).abs() < NEAR_MM, "{name} {small}");
    }
}

#[test]
fn words_are_never_mirrored() {
    for job in ASYMMETRIC {
        let mat = mat(job);
        for view in ["back", "face"] {
            let drawing = drawn(view, &mat);
            let texts: Vec<&Text> = drawing
                .layers
                .iter()
                .flat_map(|layer| &layer.marks)
                .filter_map(|mark| match mark {
                    Mark::Text(text) => Some(text),
                    _ => None,
                })
                .collect();
            // The readers fail at a transformed or inverted text; the words are there to be read.
            for name in WITH_WORDS {
                let reading = if name == "svg" {
                    svg_reader::read(&bytes(name, &drawing))
                } else {
                    pdf_reader::read(&bytes(name, &drawing))
                };
                for text in &texts {
                    assert!(
                        reading.texts.iter().any(|(_, words, _)| *words == text.content),
                        "{name}: {}",
                        text.content
                    );
                }
            }
            // The formats of strokes carry words with the point where they stand, or as labels of the plotter.
            let polylines = bytes("polylines", &drawing);
            let json = polylines_reader::read_json(&bytes("json", &drawing)).words;
            assert_eq!(polylines_reader::read_text(&polylines).words, json);
            for text in &texts {
                assert!(json.iter().any(|(_, words, _, at, _)| *words == text.content && at.distance(text.at) < 1e-5));
            }
            let (_, labels) = hpgl_reader::plot(&bytes("hpgl", &drawing), drawing.sheet);
            assert!(labels.iter().any(|label| label.content == "opening 1" && label.end.x > label.start.x));
        }
    }
}

#[test]
fn every_view_says_in_words_which_side_it_shows() {
    let mat = mat(ASYMMETRIC[0]);
    for (view, word, other) in [("back", "back", "front"), ("face", "front", "back")] {
        let drawing = drawn(view, &mat);
        for name in WITH_WORDS {
            let bytes = bytes(name, &drawing);
            let reading = if name == "svg" { svg_reader::read(&bytes) } else { pdf_reader::read(&bytes) };
            let seen = |word: &str| {
                let sentence = format!("seen from the {word}");
                reading.texts.iter().any(|(_, words, _)| words.to_lowercase().contains(&sentence))
            };
            assert!(seen(word) && !seen(other), "{name} {view}");
        }
    }
}

#[test]
fn a_sheet_has_a_mark_by_which_its_side_shows() {
    // The same mat from both sides, symmetric in itself: the drawings must still differ, by more than their words.
    let mat = mat("unit = 'mm'\nouter = [200, 150]\nopening.size = [100, 70]");
    let ticks = |view: &str| {
        let drawing = drawn(view, &mat);
        let board = board("svg", &drawing);
        let paths = svg_reader::read(&bytes("svg", &drawing)).paths.into_iter();
        let corner = paths.map(|(_, path)| path).filter(|path| {
            let bounds = path.bounding_box();
            bounds.width() > 0.0 && bounds.height() > 0.0 && bounds.width() < 15.0 && bounds.height() < 15.0
        });
        let marks: Vec<Rect> = corner.map(|path| path.bounding_box()).collect();
        (board, marks)
    };
    let (board_back, back) = ticks("back");
    let (board_face, face) = ticks("face");
    let near_top_right =
        |board: Rect, marks: &[Rect]| marks.iter().any(|mark| mark.x0 > board.x1 - 15.0 && mark.y1 < board.y0 + 15.0);
    let near_top_left =
        |board: Rect, marks: &[Rect]| marks.iter().any(|mark| mark.x1 < board.x0 + 15.0 && mark.y1 < board.y0 + 15.0);
    assert!(near_top_right(board_back, &back) && !near_top_left(board_back, &back), "{back:?}");
    assert!(near_top_left(board_face, &face) && !near_top_right(board_face, &face), "{face:?}");
}
