//! DXF files hold what was drawn: read back by an independent reader and measured.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

mod common {
    pub(crate) mod dxf_reader;
    pub(crate) mod samples;
    pub(crate) mod strokes;
}

use backline::drawing::{Anchor, Drawing, Mark, Role};
use backline::export::{Exported, FileUnit, Options, Source, format};
use common::samples::{empty, every_outline, mark, text};
use common::strokes::{assert_follows, assert_same_strokes, expected, outlines};
use common::{dxf_reader, dxf_reader::DxfReading};
use kurbo::{Point, Rect};

/// The largest distance in millimetres between a point of a file and the curve it lies on.
const READ_BACK_MM: f64 = 0.001;

fn export(drawing: &Drawing, options: &Options) -> Exported {
    format("dxf").unwrap().export(&Source::new(drawing, options)).unwrap()
}

fn read(drawing: &Drawing, options: &Options) -> DxfReading {
    dxf_reader::read(&export(drawing, options).bytes)
}

fn inches() -> Options {
    Options { unit: FileUnit::Inch, ..Options::default() }
}

#[test]
fn every_outline_is_read_back_within_a_thousandth_of_a_millimetre_in_both_units() {
    let drawing = every_outline();
    for options in [Options::default(), inches(), Options { tolerance: 0.1, ..Options::default() }] {
        let reading = read(&drawing, &options);
        assert!((reading.sheet - drawing.sheet).to_vec2().hypot() < READ_BACK_MM);
        assert_same_strokes(&reading.strokes, &expected(&drawing, options.tolerance), READ_BACK_MM / 100.0);
        let closed: Vec<_> = reading.strokes.iter().filter(|stroke| stroke.closed).collect();
        let outlines = outlines(&drawing);
        assert_eq!(closed.len(), outlines.len());
        for (stroke, (role, outline)) in closed.into_iter().zip(outlines) {
            assert_eq!(stroke.role, role.name());
            assert_follows(stroke, outline, READ_BACK_MM, options.tolerance);
        }
    }
}

#[test]
fn each_role_has_a_layer_with_its_colour_and_line_type() {
    let reading = read(&every_outline(), &Options::default());
    let layers: Vec<_> =
        reading.layers.iter().map(|(name, color, line)| (name.as_str(), *color, line.as_str())).collect();
    let expected = [
        ("EDGE", 7, "CONTINUOUS"),
        ("FACE", 5, "CONTINUOUS"),
        ("SIGHT", 6, "CONTINUOUS"),
        ("CUT", 1, "CONTINUOUS"),
        ("GUIDE", 8, "DASHED"),
    ];
    for layer in expected {
        assert!(layers.contains(&layer), "{layer:?} in {layers:?}");
    }
    assert_eq!(layers.len(), expected.len(), "layers that hold only words are left out");
}

#[test]
fn the_extents_are_the_bounds_of_the_polylines() {
    let mut drawing = empty("off the sheet", 300.0, 200.0);
    mark(&mut drawing, Role::Guide, Mark::Line(vec![Point::new(-3.125, 20.0), Point::new(310.1, 230.5)]));
    for drawing in [drawing, every_outline()] {
        let reading = read(&drawing, &inches());
        let points = reading.strokes.iter().flat_map(|stroke| &stroke.points);
        let up = points.map(|point| Point::new(point.x, reading.sheet.height - point.y));
        let bounds = up.fold(None, |bounds: Option<Rect>, point| {
            Some(bounds.map_or(Rect::from_points(point, point), |bounds| bounds.union_pt(point)))
        });
        let bounds = bounds.unwrap();
        for (a, b) in [
            (bounds.x0, reading.extents.x0),
            (bounds.y0, reading.extents.y0),
            (bounds.x1, reading.extents.x1),
            (bounds.y1, reading.extents.y1),
        ] {
            assert!((a - b).abs() < 1e-9, "{bounds} {}", reading.extents);
        }
    }
}

#[test]
fn comments_say_what_release_12_has_no_variable_for() {
    let mut drawing = empty("Öl\n0\nEOF 漢", 406.4, 508.0);
    mark(&mut drawing, Role::Label, text("漢 & ö", Point::new(10.0, 20.0), 4.0, Anchor::Start));
    let exported = export(&drawing, &inches());
    assert!(exported.bytes.is_ascii());
    let reading = dxf_reader::read(&exported.bytes);
    assert!(reading.strokes.is_empty(), "a cutter would cut words");
    assert_eq!(
        reading.comments,
        [
            "\\U+00D6l 0 EOF \\U+6F22",
            "unit: in (one drawing unit is one inch)",
            "sheet: 16 x 20, origin at its bottom left corner",
            "tolerance of curves: 0.01 mm",
        ]
    );
}

#[test]
fn a_drawing_with_nothing_in_it_is_a_file() {
    let drawing = empty("nothing", 100.0, 100.0);
    let reading = read(&drawing, &Options::default());
    assert!(reading.strokes.is_empty());
    assert!(export(&drawing, &Options::default()).notes.is_empty());
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    let options = Options::default();
    assert_eq!(export(&every_outline(), &options), export(&every_outline(), &options));
}
