//! PDF files hold what was drawn: read back by an independent reader and measured.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::sync::Arc;

use crate::common::pdf_reader;
use crate::common::samples::{empty, every_outline, mark, text};
use backline::drawing::{Anchor, Drawing, Mark, Role};
use backline::formats::{ExportError, Exported, Options, Source, format};
use backline::geometry::Outline;
use kurbo::{Point, Rect};
use lopdf::Document;

fn export_with(drawing: &Drawing, options: &Options) -> Result<Exported, ExportError> {
    format("pdf").unwrap().export(&Source::new(drawing, options))
}

fn export(drawing: &Drawing) -> Exported {
    export_with(drawing, &Options::default()).unwrap()
}

fn labelled(words: &str, anchor: Anchor) -> Drawing {
    let mut drawing = empty(words, 100.0, 100.0);
    mark(&mut drawing, Role::Label, text(words, Point::new(50.0, 20.0), 7.18, anchor));
    drawing
}

fn contains(bytes: &[u8], part: &str) -> bool {
    bytes.windows(part.len()).any(|window| window == part.as_bytes())
}

#[test]
fn every_outline_is_read_back_within_a_thousandth_of_a_millimetre() {
    let drawing = every_outline();
    let exported = export(&drawing);
    assert!(exported.notes.is_empty(), "{:?}", exported.notes);
    let reading = pdf_reader::read(&exported.bytes);
    reading.assert_matches(&drawing);
    reading.assert_same_words(&drawing);
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    assert_eq!(export(&every_outline()), export(&every_outline()));
    assert_eq!(export(&labelled("漢字 Łódź", Anchor::Start)), export(&labelled("漢字 Łódź", Anchor::Start)));
}

#[test]
fn the_page_has_the_size_of_the_sheet() {
    // Points are 72 to the inch (ISO 32000-1, 8.3.2.3).
    for (width, height, points) in [
        (215.9, 279.4, "[0 0 612 792]"),
        (1016.0, 1524.0, "[0 0 2880 4320]"),
        (406.4, 508.0, "[0 0 1152 1440]"),
        (5080.0, 5080.0, "[0 0 14400 14400]"),
    ] {
        let bytes = export(&empty("sheet", width, height)).bytes;
        assert!(contains(&bytes, &format!("/MediaBox {points}")), "{points}");
        assert!(bytes.starts_with(b"%PDF-1.7"));
    }
}

#[test]
fn a_side_beyond_two_hundred_inches_is_refused() {
    let error = export_with(&empty("sheet", 5080.1, 900.0), &Options::default()).unwrap_err();
    assert!(error.message.contains("5080.1 × 900 mm"), "{error}");
    assert!(error.message.contains("5080 mm (200 in)"), "{error}");
}

#[test]
fn the_document_is_printed_at_full_scale_and_says_nothing_of_its_maker() {
    let bytes = export(&every_outline()).bytes;
    for part in ["/PrintScaling /None", "/PickTrayByPDFSize true", "/Producer (Backline)"] {
        assert!(contains(&bytes, part), "{part}");
    }
    let document = Document::load_mem(&bytes).unwrap();
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let keys: Vec<_> = document.get_dictionary(info).unwrap().iter().map(|(key, _)| key.clone()).collect();
    assert_eq!(keys, [b"Title".to_vec(), b"Producer".to_vec()]);
    assert!(document.trailer.get(b"ID").is_err());
}

#[test]
fn layers_look_as_their_roles_say_and_empty_ones_are_left_out() {
    let mut drawing = empty("layers", 100.0, 100.0);
    drawing.layers.push(backline::drawing::DrawingLayer { role: Role::Tick, marks: Vec::new() });
    let edge = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 100.0)).unwrap();
    mark(&mut drawing, Role::Cut, Mark::Outline { outline: edge, opening: None });
    mark(&mut drawing, Role::Guide, Mark::line(vec![Point::new(0.0, 10.0), Point::new(100.0, 10.0)]));
    let bytes = export(&drawing).bytes;
    assert!(!contains(&bytes, "tick"));
    let (cut, guide) = (Role::Cut.style(), Role::Guide.style());
    assert!(contains(&bytes, &format!("/OC /cut BDC\n{}RG ", components(cut.color))));
    assert!(contains(&bytes, &format!(" {} w [] 0 d\n0 0 m\n100 0 l\n100 100 l\n0 100 l\nh S\nEMC", cut.line_width)));
    let [dash, gap] = guide.dash.unwrap();
    assert!(contains(&bytes, &format!(" {} w [{dash} {gap} ] 0 d\n0 10 m\n100 10 l\nS\nEMC", guide.line_width)));
}

fn components(color: [u8; 3]) -> String {
    color.map(|part| format!("{} ", (f64::from(part) / 255.0 * 1e4).round() / 1e4)).concat()
}

#[test]
fn text_in_helvetica_stands_at_its_anchor() {
    // Widths in Adobe's AFM file of Helvetica: M 833, a 556, t 278, odieresis 556; at 10 mm the word is 22.23 mm wide.
    for (anchor, left) in [(Anchor::Start, 50.0), (Anchor::Middle, 38.885), (Anchor::End, 27.77)] {
        let bytes = export(&labelled("Matö", anchor)).bytes;
        assert!(contains(&bytes, "/F1 10 Tf"), "{anchor:?}");
        assert!(contains(&bytes, "(Mat\\366) Tj"), "{anchor:?}");
        assert!(!contains(&bytes, "FontFile"));
        let (_, words, at) = pdf_reader::read(&bytes).texts.remove(0);
        assert_eq!(words, "Matö");
        assert!(at.distance(Point::new(left, 20.0)) < 0.001, "{anchor:?}: {at}");
    }
}

#[test]
fn other_letters_come_with_their_font_and_can_be_copied() {
    let words = "Łódź Αθήνα Київ ⅜″";
    let exported = export(&labelled(words, Anchor::End));
    assert!(exported.notes.is_empty(), "{:?}", exported.notes);
    assert!(contains(&exported.bytes, "DejaVuSans"));
    let reading = pdf_reader::read(&exported.bytes);
    assert_eq!(reading.texts[0].1, words);
    assert_eq!(reading.title, words);
    let document = Document::load_mem(&exported.bytes).unwrap();
    assert_eq!(document.extract_text(&[1]).unwrap().trim(), words);
    // The width by another reader of the same font.
    let face = ttf_parser::Face::parse(dejavu::sans::regular(), 0).unwrap();
    let units = |letter| f64::from(face.glyph_hor_advance(face.glyph_index(letter).unwrap()).unwrap());
    let capital = f64::from(face.glyph_bounding_box(face.glyph_index('H').unwrap()).unwrap().y_max);
    let width = words.chars().map(units).sum::<f64>() * 7.18 / capital;
    assert!((reading.texts[0].2.x - (50.0 - width)).abs() < 0.001);
}

#[test]
fn letters_that_no_font_has_are_boxes_and_noted() {
    let exported = export(&labelled("漢 ö 漢字", Anchor::Start));
    assert_eq!(
        exported.notes,
        ["the PDF font has no letters for “漢字”; they are drawn as boxes; give a font that has them with --font"]
    );
    assert_eq!(pdf_reader::read(&exported.bytes).texts[0].1, "\u{FFFD} ö \u{FFFD}\u{FFFD}");
}

#[test]
fn a_given_font_is_used_for_what_helvetica_lacks() {
    let options = Options { font: Some(Arc::from(dejavu::sans_mono::regular())), ..Options::default() };
    let exported = export_with(&labelled("Łódź", Anchor::Start), &options).unwrap();
    assert!(contains(&exported.bytes, "DejaVuSansMono"));
    assert_eq!(pdf_reader::read(&exported.bytes).texts[0].1, "Łódź");

    let options = Options { font: Some(Arc::from(&b"not a font"[..])), ..Options::default() };
    let error = export_with(&labelled("Łódź", Anchor::Start), &options).unwrap_err();
    assert!(error.message.contains("font file") && error.help.contains("--font"), "{error}");
}
