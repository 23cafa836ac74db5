//! DXF files hold what was drawn: read back by an independent reader and measured.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use crate::common::samples::{empty, every_outline, mark, text};
use crate::common::strokes::{assert_follows, assert_same_strokes, expected, outlines};
use crate::common::{dxf_reader, dxf_reader::DxfReading};
use backline::drawing::{Anchor, Drawing, Mark, Role};
use backline::formats::{DxfFigures, Exported, FileUnit, Options, Source, drawing_formats, format};
use backline::geometry::Flattening;
use kurbo::{ParamCurveArclen, Point, Rect};

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
    mark(&mut drawing, Role::Guide, Mark::line(vec![Point::new(-3.125, 20.0), Point::new(310.1, 230.5)]));
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
fn comments_name_the_drawing_its_unit_and_its_sheet() {
    let mut drawing = empty("Öl\n0\nEOF 漢", 406.4, 508.0);
    mark(&mut drawing, Role::Label, text("漢 & ö", Point::new(10.0, 20.0), 4.0, Anchor::Start));
    let exported = export(&drawing, &inches());
    assert!(exported.bytes.is_ascii());
    let reading = dxf_reader::read(&exported.bytes);
    assert!(reading.strokes.is_empty(), "a cutter would cut words");
    assert_eq!(
        reading.comments,
        [
            "Ol 0 EOF Han",
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

/// A file says its unit in both variables that programs look at, in both releases: with one of them or none some program
/// takes inches for millimetres.
#[test]
fn the_header_says_the_unit() {
    for name in ["dxf", "dxf-r2000"] {
        for (unit, insunits, measurement) in [(FileUnit::Millimetre, 4, 1), (FileUnit::Inch, 1, 0)] {
            let options = Options { unit, ..Options::default() };
            let bytes = format(name).unwrap().export(&Source::new(&every_outline(), &options)).unwrap().bytes;
            let text = String::from_utf8(bytes).unwrap();
            for (variable, value) in [("$INSUNITS", insunits), ("$MEASUREMENT", measurement)] {
                assert_eq!(
                    text.matches(&format!("9\r\n{variable}\r\n70\r\n{value}\r\n")).count(),
                    1,
                    "{name} {unit:?}"
                );
            }
        }
    }
}

/// There are readers that take the name of a layer for its handle where a record has none.
#[test]
fn records_of_layers_have_handles() {
    for name in ["dxf", "dxf-r2000"] {
        let bytes = format(name).unwrap().export(&Source::new(&every_outline(), &Options::default())).unwrap().bytes;
        let text = String::from_utf8(bytes).unwrap();
        let records: Vec<&str> = text.split("0\r\nLAYER\r\n").skip(1).collect();
        assert!(records.len() >= 5);
        let mut handles: Vec<&str> = records.iter().map(|record| record.strip_prefix("5\r\n").unwrap()).collect();
        handles.iter_mut().for_each(|handle| *handle = handle.lines().next().unwrap());
        handles.sort_unstable();
        handles.dedup();
        assert_eq!(handles.len(), records.len(), "{name}");
    }
}

#[test]
fn no_two_formats_and_no_two_units_share_a_name() {
    let names = |options: &Options| drawing_formats().map(|format| format.file_end(options)).collect::<Vec<_>>();
    let (metric, imperial) = (names(&Options::default()), names(&inches()));
    assert_eq!(metric, [".svg", ".pdf", ".dxf", "-r2000.dxf", ".plt", ".txt", ".json"]);
    // SVG, PDF and HP-GL have a unit of their own.
    assert_eq!(imperial, [".svg", ".pdf", "-in.dxf", "-r2000-in.dxf", ".plt", "-in.txt", "-in.json"]);
}

/// The kinds of entities that are written, in every combination of release and figures, with all lengths and places.
#[test]
fn every_choice_of_figures_is_the_same_drawing() {
    const LINES: &[&str] = &["LINE"];
    let drawing = every_outline();
    let outlines = outlines(&drawing);
    let guides = 700.123_456 + (1016.0 - 80.9625);
    let wanted = guides + outlines.iter().map(|(_, outline)| outline.perimeter()).sum::<f64>();
    for (name, figures, kinds) in [
        ("dxf", Some(DxfFigures::Polylines), &["POLYLINE"][..]),
        ("dxf", Some(DxfFigures::Bulges), &["POLYLINE"]),
        ("dxf", Some(DxfFigures::Lines), LINES),
        ("dxf", Some(DxfFigures::Arcs), &["ARC", "CIRCLE", "LINE"]),
        ("dxf-r2000", None, &["CIRCLE", "ELLIPSE", "LWPOLYLINE"]),
        ("dxf-r2000", Some(DxfFigures::Bulges), &["CIRCLE", "ELLIPSE", "LWPOLYLINE"]),
        ("dxf-r2000", Some(DxfFigures::Polylines), &["LWPOLYLINE"]),
        ("dxf-r2000", Some(DxfFigures::Lines), LINES),
        ("dxf-r2000", Some(DxfFigures::Arcs), &["ARC", "CIRCLE", "ELLIPSE", "LINE"]),
    ] {
        for (unit, flattening) in [(FileUnit::Millimetre, Flattening::Inside), (FileUnit::Inch, Flattening::BothSides)]
        {
            let options = Options { unit, flattening, dxf_figures: figures, ..Options::default() };
            let bytes = format(name).unwrap().export(&Source::new(&drawing, &options)).unwrap().bytes;
            let (file, made) = crate::common::machine_reader::read_dxf(&bytes, unit.millimetres());
            let what = format!("{name} {figures:?} {unit:?}");
            let mut found: Vec<&str> = made.iter().map(|made| made.kind).collect();
            found.sort_unstable();
            found.dedup();
            assert_eq!(found, kinds, "{what}");
            let mut length = 0.0;
            for made in &made {
                let layer = file.layers().find(|layer| layer.name == made.tool).unwrap();
                assert_eq!(layer.line_type_name.eq_ignore_ascii_case("dashed"), made.tool == "GUIDE", "{what}");
                length += made.segments().iter().map(|segment| segment.arclen(1e-6)).sum::<f64>();
                for place in
                    crate::common::machine_reader::places(&made.path).step_by(3).filter(|_| made.tool != "GUIDE")
                {
                    let place = Point::new(place.x, drawing.sheet.height - place.y);
                    let off = |(role, outline): &(Role, &backline::geometry::Outline)| {
                        let is_same = role.name().eq_ignore_ascii_case(&made.tool)
                            && outline.bounds().inflate(1.0, 1.0).contains(place);
                        if is_same { outline.nearest(place).distance(place) } else { f64::INFINITY }
                    };
                    let off = outlines.iter().map(off).fold(f64::INFINITY, f64::min);
                    assert!(
                        off <= options.tolerance + READ_BACK_MM,
                        "{what}: {off} mm off at {place} on {}",
                        made.tool
                    );
                }
            }
            assert!((length / wanted - 1.0).abs() < 1e-4, "{what}: {length} of {wanted}");
        }
    }
}

/// The choices of a profile: without the variables of the unit, and with every line and arc for itself.
#[test]
fn a_profile_leaves_the_unit_out_and_takes_polylines_apart() {
    use backline::machine::{Machine, WrittenMachine};
    use backline::program::Curves;
    let text = "unit = 'mm'\nouter = [400, 500]\n[opening]\nshape = 'ellipse'\nsize = [200, 250]\n";
    let resolved = backline::job::WrittenJob::read(text, backline::job::Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    let written = |format: &str, keys: &str| {
        let text = format!("format = '{format}'\n{keys}\n[tools.cut]\nkind = 'line'\n[tools.edge]\nkind = 'line'\n");
        let profile = WrittenMachine::read(&text, backline::job::Syntax::Toml).unwrap();
        let machine: Machine = profile.resolve("test").into_result().unwrap();
        let program = machine.plan(mat, &mat.layers()[0]).value.unwrap();
        let bytes = machine.format().into_result().unwrap().write(&program).unwrap().bytes;
        let (_, made) = crate::common::machine_reader::read_dxf(&bytes, 1.0);
        let mut kinds: Vec<&str> = made.iter().map(|made| made.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        assert!(machine.controller.curves == Curves::Lines || keys.contains("curves"));
        (String::from_utf8(bytes).unwrap(), kinds.join(" "))
    };
    for format in ["dxf-r12", "dxf-r12-lines", "dxf-r2000"] {
        assert!(written(format, "").0.contains("$INSUNITS\r\n70\r\n4\r\n9\r\n$MEASUREMENT\r\n70\r\n1\r\n"));
        let (without, _) = written(format, "dxf.unit_variables = false");
        assert!(!without.contains("$INSUNITS") && !without.contains("$MEASUREMENT"), "{format}");
        assert!(without.contains("unit: mm (one drawing unit is one millimetre)"), "{format}");
        // A length of the profile's own is said in the comment alone.
        assert!(written(format, "unit = '0.025 mm'").0.contains("$INSUNITS\r\n70\r\n0\r\n"), "{format}");
    }
    for (format, keys, kinds) in [
        ("dxf-r12", "", "POLYLINE"),
        ("dxf-r12", "dxf.separate = true", "LINE"),
        ("dxf-r12", "curves = 'arcs'\ndxf.separate = true", "ARC LINE"),
        ("dxf-r2000", "curves = 'arcs'", "LWPOLYLINE"),
        ("dxf-r2000", "curves = 'arcs'\ndxf.separate = true", "ARC LINE"),
        ("dxf-r2000", "curves = 'native'\ndxf.separate = true", "ELLIPSE LINE"),
    ] {
        assert_eq!(written(format, keys).1, kinds, "{format} {keys}");
    }
    let inside = written("dxf-r12", "").0.matches("VERTEX").count();
    let both_sides = written("dxf-r12", "chords = 'both-sides'").0.matches("VERTEX").count();
    assert!((0.68..0.76).contains(&(both_sides as f64 / inside as f64)), "{both_sides} points instead of {inside}");
}
