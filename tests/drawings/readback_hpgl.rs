//! HP-GL files draw what was drawn: plotted by a plotter in software and measured.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::hpgl_reader::{Label, UNIT_MM, instructions, plot, read};
use crate::common::samples::{empty, every_outline, mark, text};
use crate::common::strokes::{Stroke, assert_follows, expected, outlines};
use backline::drawing::{Anchor, Drawing, Mark, Polyline, Role, StrokeFont};
use backline::formats::{Exported, Options, Source, format};
use backline::geometry::Outline;
use kurbo::{Point, Rect};

/// Rounding moves a point by at most half a unit in each direction.
const HALF_UNIT_MM: f64 = 0.5 * UNIT_MM + 1e-9;

fn export(drawing: &Drawing) -> Exported {
    let options = Options::default();
    format("hpgl").unwrap().export(&Source::new(drawing, &options)).unwrap()
}

/// Sorts what belongs to roles by pens, in the order in which the layers first need them.
fn by_pen<T>(items: Vec<(Role, T)>) -> Vec<(u8, T)> {
    let pen = |role: Role| role.style().pen;
    let mut pens: Vec<u8> = Vec::new();
    for (role, _) in &items {
        if !pens.contains(&pen(*role)) {
            pens.push(pen(*role));
        }
    }
    let mut items: Vec<(u8, T)> = items.into_iter().map(|(role, item)| (pen(role), item)).collect();
    items.sort_by_key(|(pen, _)| pens.iter().position(|other| other == pen));
    items
}

fn assert_same_stroke(stroke: &Stroke, line: &Polyline) {
    let close = |a: Point, b: Point| (a.x - b.x).abs() <= HALF_UNIT_MM && (a.y - b.y).abs() <= HALF_UNIT_MM;
    let back = |points: &[Point], closed: bool| points.first().copied().filter(|_| closed);
    let mut read = stroke.points.iter().copied().chain(back(&stroke.points, stroke.closed)).peekable();
    for drawn in line.points.iter().copied().chain(back(&line.points, line.closed)) {
        // Neighbours that round to the same place are drawn once.
        while !close(*read.peek().unwrap(), drawn) {
            read.next();
            assert!(read.peek().is_some(), "{drawn} was not reached");
        }
    }
    assert_eq!(read.count(), 1, "nothing is drawn beyond the end");
}

#[test]
fn every_stroke_is_drawn_within_half_a_unit() {
    let mut drawing = every_outline();
    drawing.layers.iter_mut().for_each(|layer| layer.marks.retain(|mark| !matches!(mark, Mark::Text(_))));
    let strokes = read(&export(&drawing).bytes, drawing.sheet);
    let tolerance = Options::default().tolerance;
    let lines = by_pen(expected(&drawing, tolerance));
    assert_eq!(strokes.len(), lines.len());
    for (stroke, (pen, line)) in strokes.iter().zip(&lines) {
        assert_eq!(stroke.role, format!("pen {pen}"));
        assert_same_stroke(stroke, line);
    }
    let outlines = by_pen(outlines(&drawing));
    let closed = strokes.iter().zip(&lines).filter(|(_, (_, line))| line.closed).map(|(stroke, _)| stroke);
    assert_eq!(closed.clone().count(), outlines.len());
    for (stroke, (_, outline)) in closed.zip(outlines) {
        // Half a unit in x and in y at once.
        assert_follows(stroke, outline, HALF_UNIT_MM * std::f64::consts::SQRT_2, tolerance);
    }
}

#[test]
fn upright_sides_are_within_half_a_unit() {
    let mut drawing = empty("sides", 406.4, 508.0);
    let outline = Outline::rectangle(Rect::new(80.9625, 79.375, 325.4375, 404.8125)).unwrap();
    mark(&mut drawing, Role::Cut, Mark::Outline { outline: outline.clone(), opening: Some(1) });
    let strokes = read(&export(&drawing).bytes, drawing.sheet);
    let [stroke] = &strokes[..] else { panic!("{strokes:?}") };
    for (read, drawn) in stroke.points.iter().zip(outline.as_polygon().unwrap()) {
        assert!((read.x - drawn.x).abs() <= HALF_UNIT_MM && (read.y - drawn.y).abs() <= HALF_UNIT_MM);
    }
}

#[test]
fn instructions_are_few_short_and_in_order() {
    let exported = export(&every_outline());
    let all: Vec<&str> = instructions(&exported.bytes).collect();
    assert_eq!(all.first(), Some(&"IN;"));
    assert!(exported.bytes.ends_with(b"PU;\nSP0;\n"));
    // Common practice, no source: the smallest instruction buffers hold 255 characters.
    assert!(all.iter().all(|instruction| instruction.len() <= 255));
    assert!(all.iter().any(|instruction| instruction.len() > 200), "long lists are not cut shorter than need be");
    let mut pens: Vec<&str> = all.iter().copied().filter(|instruction| instruction.starts_with("SP")).collect();
    assert_eq!(pens.len(), 6, "five pens and none: {pens:?}");
    pens.sort_unstable();
    pens.dedup();
    assert_eq!(pens.len(), 6, "no pen is taken twice");
}

#[test]
fn a_forty_inch_sheet_is_noted_and_written_in_full() {
    let sheet = |width: f64| {
        let mut drawing = empty("edge", width, 812.8);
        let outline = Outline::rectangle(Rect::new(0.0, 0.0, width, 812.8)).unwrap();
        mark(&mut drawing, Role::Edge, Mark::Outline { outline, opening: None });
        export(&drawing)
    };
    // 32 in are 32,512 units and fit; 40 in are 40,640 and do not.
    assert_eq!(sheet(812.8).notes, Vec::<String>::new());
    let exported = sheet(1016.0);
    assert_eq!(
        exported.notes,
        [
            "the sheet is 1016.0 × 812.8 mm, and 2 positions lie beyond 32,767 plotter units (819.175 mm), where plotters \
          with 16-bit numbers stop; check that yours reads larger numbers"
        ]
    );
    let text = String::from_utf8(exported.bytes).unwrap();
    assert_eq!(text, "IN;\nSP1;\nPU0,32512;\nPD40640,32512,40640,0,0,0,0,32512;\nPU;\nSP0;\n");
}

#[test]
fn words_in_ascii_are_labels_as_large_as_on_the_drawing() {
    for (anchor, words, written) in [
        (Anchor::Start, "opening 12", "opening 12"),
        (Anchor::Middle, "7 3/4 × 9¾ in; 50 %", "7 3/4 x 9 3/4 in; 50 %"),
        (Anchor::End, "W", "W"),
    ] {
        let at = Point::new(120.0, 80.0);
        let mut drawing = empty("words", 300.0, 100.0);
        mark(&mut drawing, Role::Label, text(words, at, 4.0, anchor));
        let exported = export(&drawing);
        assert_eq!(exported.notes, Vec::<String>::new());
        let (strokes, labels) = plot(&exported.bytes, drawing.sheet);
        let [Label { content, start, end, height }] = &labels[..] else { panic!("{labels:?}") };
        assert_eq!((strokes.len(), content.as_str()), (0, written));
        let width = StrokeFont::width(words, 4.0);
        let left = at.x - width * anchor.share();
        assert!((start.x - left).abs() <= HALF_UNIT_MM && (start.y - at.y).abs() <= HALF_UNIT_MM, "{start}");
        // SI has four decimals of a centimetre, and each of the letters is rounded alike.
        let rounding = 0.0005 * 1.5 * content.len() as f64 + HALF_UNIT_MM;
        assert!((end.x - left - width).abs() <= rounding, "{content}: {} for {width}", end.x - left);
        assert!((height - 4.0).abs() < 1e-9);
    }
}

#[test]
fn letters_outside_ascii_are_strokes_and_missing_ones_are_noted() {
    let mut drawing = empty("words", 200.0, 100.0);
    mark(&mut drawing, Role::Label, text("Größe 漢", Point::new(10.0, 50.0), 4.0, Anchor::Start));
    let exported = export(&drawing);
    assert_eq!(exported.notes, ["the stroke font has no letters for “漢”; they are drawn as boxes"]);
    let strokes = read(&exported.bytes, drawing.sheet);
    let top = strokes.iter().flat_map(|stroke| &stroke.points).map(|point| point.y).fold(f64::INFINITY, f64::min);
    assert!((40.0..=46.1).contains(&top), "the letters stand on their line: {top}");
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    assert_eq!(export(&every_outline()), export(&every_outline()));
}
