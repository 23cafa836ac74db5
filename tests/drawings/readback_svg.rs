//! SVG files hold what was drawn: read back by independent readers and measured.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::samples::{empty, every_outline, mark, text};
use crate::common::svg_reader;
use backline::drawing::{Anchor, Drawing, Mark, Role};
use backline::formats::{Exported, Options, Source, format};
use backline::geometry::Outline;
use kurbo::{Point, Rect};
use svg::node::element::tag::Type;
use svg::parser::Event;

fn export(drawing: &Drawing) -> Exported {
    let options = Options::default();
    format("svg").unwrap().export(&Source::new(drawing, &options)).unwrap()
}

fn exported_text(drawing: &Drawing) -> String {
    String::from_utf8(export(drawing).bytes).unwrap()
}

#[test]
fn every_outline_is_read_back_within_a_thousandth_of_a_millimetre() {
    let drawing = every_outline();
    let reading = svg_reader::read(&export(&drawing).bytes);
    reading.assert_matches(&drawing);
    reading.assert_same_words(&drawing);
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    assert_eq!(export(&every_outline()), export(&every_outline()));
}

#[test]
fn circles_and_ellipses_stay_what_they_are() {
    let mut drawing = empty("figures", 300.0, 300.0);
    let center = Point::new(150.0, 120.5);
    for (rx, ry, turn) in
        [(50.0, 50.0, 0.3), (60.0, 40.0, 0.0), (60.0, 40.0, std::f64::consts::FRAC_PI_2), (60.0, 40.0, 1.0)]
    {
        let outline = Outline::ellipse(center, rx, ry, turn).unwrap();
        mark(&mut drawing, Role::Sight, Mark::Outline { outline, opening: Some(3) });
    }
    let bevelled = Outline::ellipse(center, 60.0, 60.0, 0.0).unwrap().offset(1.4).unwrap();
    mark(&mut drawing, Role::Face, Mark::Outline { outline: bevelled, opening: Some(3) });
    let svg = exported_text(&drawing);
    for expected in [
        r#"<circle id="opening-3-sight" data-opening="3" cx="150" cy="120.5" r="50"/>"#,
        r#"<ellipse id="opening-3-sight-2" data-opening="3" cx="150" cy="120.5" rx="60" ry="40"/>"#,
        r#"<ellipse id="opening-3-sight-3" data-opening="3" cx="150" cy="120.5" rx="40" ry="60"/>"#,
        r#"<circle id="opening-3-face" data-opening="3" cx="150" cy="120.5" r="61.4"/>"#,
    ] {
        assert!(svg.contains(expected), "{expected} is missing in {svg}");
    }
    assert_eq!(svg.matches(" 0 1 ").count(), 4, "a turned ellipse is four arcs: {svg}");
    svg_reader::read(svg.as_bytes()).assert_matches(&drawing);
}

/// Programs for cutters that read nothing but paths once lost every round opening without a word.
#[test]
fn what_a_machine_follows_is_paths() {
    let mut drawing = empty("figures", 300.0, 300.0);
    for (row, role) in
        [Role::Edge, Role::Cut, Role::Groove, Role::Wash, Role::Ruling, Role::Register].into_iter().enumerate()
    {
        for (rx, ry) in [(20.0, 20.0), (20.0, 12.0)] {
            let outline = Outline::ellipse(Point::new(rx + ry, 30.0 + 40.0 * row as f64), rx, ry, 0.0).unwrap();
            mark(&mut drawing, role, Mark::Outline { outline, opening: Some(1) });
        }
    }
    let svg = exported_text(&drawing);
    assert!(!svg.contains("<circle") && !svg.contains("<ellipse"), "{svg}");
    assert_eq!(svg.matches("<path").count(), 12);
    svg_reader::read(svg.as_bytes()).assert_matches(&drawing);
}

#[test]
fn the_sheet_has_its_size_for_another_reader() {
    // 40 × 60 in; a millimetre is 96/25.4 of the pixels of CSS (CSS Values and Units, absolute lengths).
    let svg = export(&every_outline()).bytes;
    let mut options = usvg::Options::default();
    options.image_href_resolver.resolve_string = Box::new(|_, _| None);
    options.image_href_resolver.resolve_data = Box::new(|_, _, _| None);
    let tree = usvg::Tree::from_data(&svg, &options).unwrap();
    assert!((f64::from(tree.size().width()) - 3840.0).abs() < 1e-3);
    assert!((f64::from(tree.size().height()) - 5760.0).abs() < 1e-3);
    let strokes = tree.root().abs_bounding_box();
    let millimetres = |pixels: f32| f64::from(pixels) * 25.4 / 96.0;
    assert!((millimetres(strokes.width()) - 1016.0).abs() < 1e-3);
    assert!((millimetres(strokes.height()) - 1524.0).abs() < 1e-3);
    for role in ["edge", "face", "sight", "cut", "guide"] {
        assert!(tree.node_by_id(role).is_some(), "{role}");
    }
}

#[test]
fn sixty_fourths_of_an_inch_stay_exact_in_the_sheet() {
    let svg = exported_text(&empty("sheet", 25.4 * (16.0 + 3.0 / 64.0), 508.0));
    assert!(svg.contains(r#"width="407.590625mm" height="508mm" viewBox="0 0 407.590625 508""#), "{svg}");
}

#[test]
fn the_svg_crate_reads_every_path() {
    let svg = exported_text(&every_outline());
    let mut paths = 0;
    for event in svg::read(&svg).unwrap() {
        match event {
            Event::Tag("path", Type::Empty, attributes) => {
                let data = svg::node::element::path::Data::parse(&attributes["d"]).unwrap();
                assert!(data.len() > 2);
                paths += 1;
            }
            Event::Error(error) => panic!("{error}"),
            _ => {}
        }
    }
    assert_eq!(paths, svg.matches("<path").count());
}

#[test]
fn layers_look_as_their_roles_say_and_empty_ones_are_left_out() {
    let mut drawing = empty("layers", 100.0, 100.0);
    drawing.layers.push(backline::drawing::DrawingLayer { role: Role::Tick, marks: Vec::new() });
    let edge = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 100.0)).unwrap();
    mark(&mut drawing, Role::Cut, Mark::Outline { outline: edge, opening: None });
    mark(&mut drawing, Role::Guide, Mark::line(vec![Point::new(0.0, 10.0), Point::new(100.0, 10.0)]));
    let svg = exported_text(&drawing);
    assert!(!svg.contains("tick"));
    let (cut, guide) = (Role::Cut.style(), Role::Guide.style());
    let [red, green, blue] = cut.color;
    let width = cut.line_width;
    let expected =
        format!(r##"<g id="cut" fill="none" stroke="#{red:02x}{green:02x}{blue:02x}" stroke-width="{width}">"##);
    assert!(svg.contains(&expected), "{svg}");
    let [dash, gap] = guide.dash.unwrap();
    assert!(svg.contains(&format!(r#"stroke-dasharray="{dash} {gap}""#)), "{svg}");
    assert!(svg.contains("<path id=\"outline-cut\" d=\"M0 0L100 0L100 100L0 100Z\"/>"), "{svg}");
}

#[test]
fn any_name_survives_and_what_xml_forbids_is_noted() {
    for (words, read, notes) in [
        ("Öl & “Kreide” <2> 'a' \"b\"", "Öl & “Kreide” <2> 'a' \"b\"", 0),
        ("漢字 🖼 ]]> &amp;  --", "漢字 🖼 ]]> &amp;  --", 0),
        ("bell\u{7}", "bell\u{FFFD}", 1),
    ] {
        let mut drawing = empty(words, 100.0, 100.0);
        mark(&mut drawing, Role::Label, text(words, Point::new(10.0, 20.0), 3.59, Anchor::End));
        let exported = export(&drawing);
        assert_eq!(exported.notes.len(), notes, "{:?}", exported.notes);
        let reading = svg_reader::read(&exported.bytes);
        assert_eq!(reading.title, read);
        assert_eq!(reading.texts, [("label".to_owned(), read.to_owned(), Point::new(10.0, 20.0))]);
        // The capitals of Helvetica are 0.718 of the font size high (Adobe's AFM file).
        let svg = String::from_utf8(exported.bytes).unwrap();
        assert!(svg.contains("font-size=\"5\" text-anchor=\"end\""), "{svg}");
    }
}
