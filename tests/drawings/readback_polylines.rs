//! Polyline files, text and JSON, hold what was drawn: read back and measured.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::polylines_reader::{PolylinesReading, Words, read_json, read_text};
use crate::common::samples::{empty, every_outline, mark, text};
use crate::common::strokes::{assert_follows, assert_same_strokes, expected, outlines};
use backline::drawing::{Anchor, Drawing, Mark, Role};
use backline::formats::{Exported, FileUnit, Options, Source, format};
use backline::geometry::Outline;
use kurbo::{Point, Rect};

/// The largest distance in millimetres between a point of a file and the curve it lies on.
const READ_BACK_MM: f64 = 0.001;

fn export(name: &str, drawing: &Drawing, options: &Options) -> Exported {
    format(name).unwrap().export(&Source::new(drawing, options)).unwrap()
}

fn read(drawing: &Drawing, options: &Options) -> [PolylinesReading; 2] {
    let text = read_text(&export("polylines", drawing, options).bytes);
    [text, read_json(&export("json", drawing, options).bytes)]
}

fn options(unit: FileUnit) -> Options {
    Options { unit, ..Options::default() }
}

#[test]
fn every_outline_is_read_back_within_a_thousandth_of_a_millimetre_in_both_units() {
    let drawing = every_outline();
    for unit in [FileUnit::Millimetre, FileUnit::Inch] {
        let options = options(unit);
        let expected = expected(&drawing, options.tolerance);
        let [text, json] = read(&drawing, &options);
        for reading in [&text, &json] {
            assert_eq!((reading.unit.as_str(), reading.view.as_str()), (unit.name(), "back template"));
            assert_eq!(reading.title, drawing.title);
            assert_eq!(reading.tolerance.to_bits(), options.tolerance.to_bits());
            assert!((reading.sheet - drawing.sheet).to_vec2().hypot() < READ_BACK_MM);
            assert_same_strokes(&reading.strokes, &expected, READ_BACK_MM / 100.0);
            for (stroke, (_, line)) in reading.strokes.iter().zip(&expected) {
                assert_eq!(stroke.opening, line.opening);
            }
        }
        assert_eq!(text, json);
        let drawn = words(&drawing);
        assert_eq!(text.words.len(), drawn.len());
        for (read, drawn) in text.words.iter().zip(&drawn) {
            assert_eq!((&read.0, &read.1, &read.2), (&drawn.0, &drawn.1, &drawn.2));
            assert!(read.3.distance(drawn.3) < READ_BACK_MM && (read.4 - drawn.4).abs() < READ_BACK_MM);
        }
        let closed = text.strokes.iter().filter(|stroke| stroke.closed);
        for (stroke, (_, outline)) in closed.zip(outlines(&drawing)) {
            assert_follows(stroke, outline, READ_BACK_MM, options.tolerance);
        }
    }
}

/// Returns the words that a file should hold.
fn words(drawing: &Drawing) -> Vec<Words> {
    let marks = drawing.layers.iter().flat_map(|layer| layer.marks.iter().map(|mark| (layer.role, mark)));
    let words = marks.filter_map(|(role, mark)| match mark {
        Mark::Text(text) => Some((
            role.name().to_owned(),
            text.content.clone(),
            text.anchor.name().to_owned(),
            text.at,
            text.cap_height,
        )),
        _ => None,
    });
    words.collect()
}

/// Makes a small drawing whose title is hard to quote.
fn small() -> Drawing {
    let mut drawing = empty("a \"b\" \\ <c>\n0 0", 25.4, 50.8);
    let outline = Outline::rectangle(Rect::new(0.0, 0.0, 25.4, 50.8)).unwrap();
    mark(&mut drawing, Role::Edge, Mark::Outline { outline: outline.offset(-3.175).unwrap(), opening: Some(2) });
    mark(&mut drawing, Role::Guide, Mark::line(vec![Point::new(0.0, 3.175), Point::new(25.4, 3.175)]));
    mark(&mut drawing, Role::Label, text("8 \"x\" ¾", Point::new(12.7, 3.175), 2.54, Anchor::Middle));
    drawing
}

#[test]
fn the_text_is_as_described() {
    let bytes = export("polylines", &small(), &options(FileUnit::Inch)).bytes;
    let expected = "\
# Backline polylines, version 1
# title: a \"b\" \\ <c> 0 0
# view: back template
# sheet: 1 x 2 in; origin at its top left corner, x to the right, y down
# curves: within 0.01 mm
# polyline ROLE OPENING closed|open POINTS UNIT, then one point a line: X Y
polyline edge 2 closed 4 in
0.125 0.125
0.875 0.125
0.875 1.875
0.125 1.875
polyline guide - open 2 in
0 0.125
1 0.125
text label middle 0.1 in 0.5 0.125 8 \"x\" ¾
";
    assert_eq!(String::from_utf8(bytes).unwrap(), expected);
}

#[test]
fn the_json_is_as_described() {
    let bytes = export("json", &small(), &options(FileUnit::Inch)).bytes;
    let expected = r#"{"format":"backline-polylines/1","title":"a \"b\" \\ <c>\n0 0","view":"back template","unit":"in","sheet":{"width":1,"height":2},"tolerance_mm":0.01,"polylines":[
{"role":"edge","opening":2,"closed":true,"points":[[0.125,0.125],[0.875,0.125],[0.875,1.875],[0.125,1.875]]},
{"role":"guide","opening":null,"closed":false,"points":[[0,0.125],[1,0.125]]}
],"texts":[
{"role":"label","content":"8 \"x\" ¾","at":[0.5,0.125],"anchor":"middle","cap_height":0.1}
]}
"#;
    assert_eq!(String::from_utf8(bytes).unwrap(), expected);
}

#[test]
fn a_drawing_with_nothing_in_it_is_a_file() {
    for reading in read(&empty("nothing", 100.0, 100.0), &Options::default()) {
        assert!(reading.strokes.is_empty() && reading.words.is_empty());
    }
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    for name in ["polylines", "json"] {
        let export = || export(name, &every_outline(), &Options::default());
        assert_eq!(export(), export());
    }
}
