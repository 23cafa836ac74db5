//! Several drawings are the pages of one PDF file, which keeps what each of them alone would show.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::pdf_reader;
use crate::common::samples::{empty, every_outline, mark, text};
use backline::drawing::{Anchor, Drawing, Role};
use backline::formats::{Options, Source, format, pdf_pages};
use kurbo::Point;

fn labelled(words: &str) -> Drawing {
    let mut drawing = empty(words, 100.0, 60.0);
    mark(&mut drawing, Role::Label, text(words, Point::new(50.0, 20.0), 7.18, Anchor::Start));
    drawing
}

#[test]
fn each_page_is_read_back_as_its_drawing() {
    let pages = [every_outline(), labelled("Łódź"), empty("blank", 210.0, 297.0), labelled("second")];
    let bytes = pdf_pages("Four pages", &pages, &Options::default()).unwrap().bytes;
    let readings = pdf_reader::read_pages(&bytes);
    assert_eq!(readings.len(), pages.len());
    for (reading, drawing) in readings.iter().zip(&pages) {
        assert_eq!(reading.title, "Four pages");
        let drawing = Drawing { title: "Four pages".to_owned(), ..drawing.clone() };
        reading.assert_matches(&drawing);
        reading.assert_same_words(&drawing);
    }
}

#[test]
fn a_document_of_one_page_is_what_the_format_writes() {
    let drawing = every_outline();
    let options = Options::default();
    let one = format("pdf").unwrap().export(&Source::new(&drawing, &options)).unwrap();
    assert_eq!(pdf_pages(&drawing.title, [&drawing], &options).unwrap(), one);
}

#[test]
fn pages_share_one_set_of_layers() {
    let pages = [labelled("first"), labelled("second")];
    let bytes = pdf_pages("", &pages, &Options::default()).unwrap().bytes;
    let text = String::from_utf8_lossy(&bytes);
    assert_eq!(text.matches("/Type /OCG").count(), 1);
    assert_eq!(text.matches("/Type /Page\n").count(), 2);
}

#[test]
fn a_document_without_pages_or_with_an_endless_one_is_refused() {
    assert!(pdf_pages("", &[], &Options::default()).unwrap_err().message.contains("no page"));
    let pages = [labelled("good"), empty("wide", 5081.0, 10.0)];
    assert!(pdf_pages("", &pages, &Options::default()).unwrap_err().message.contains("5081 × 10 mm"));
}
