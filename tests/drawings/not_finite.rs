//! Numbers that are not finite: they enter neither jobs nor outlines, and no format writes them.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::drawing::{Drawing, Mark, Role};
use backline::formats::{
    Options, Source, drawing_formats, pdf_pages, png, program_formats, svg_page, tiled_pdf, tiled_svg,
};
use backline::geometry::{OffsetError, Outline, Segment};
use backline::job::{self, Measure, SizeMeasure};
use backline::machine::STARTERS;
use backline::tiling::Tiling;
use backline::{Error, Format, Job, View};
use kurbo::{Line, Point, Rect, Size};

const WRONG: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];
const JOB: &str = "unit = 'mm'\nouter = [200, 250]\nopening.size = [100, 150]";

fn drawing(x: f64) -> Drawing {
    let sheet = Size::new(100.0, 100.0);
    let mut drawing = Drawing { title: "wrong".to_owned(), view: "cut", sheet, layers: Vec::new() };
    drawing.add(Role::Cut, Mark::line(vec![Point::new(1.0, 1.0), Point::new(x, 2.0)]));
    drawing
}

#[test]
fn no_format_writes_a_drawing_with_a_number_that_is_not_finite() {
    let options = Options::default();
    let good = drawing(5.0);
    for format in drawing_formats() {
        assert!(format.export(&Source::new(&good, &options)).is_ok(), "{}", format.name());
    }
    let mut tiled = Tiling::default().lay_out(&good).unwrap();
    for x in WRONG {
        let wrong = drawing(x);
        for format in drawing_formats() {
            let error = format.export(&Source::new(&wrong, &options)).unwrap_err();
            assert!(error.message.contains("not finite"), "{}: {error}", format.name());
        }
        assert!(Format::SVG.write(&wrong).is_err());
        assert!(
            svg_page(&wrong).is_err() && pdf_pages("wrong", [&wrong], &options).is_err() && png(&wrong, 72.0).is_err()
        );
        tiled.whole = wrong;
        assert!(tiled_pdf(&tiled, &options).is_err() && tiled_svg(&tiled).is_err());
    }
}

#[test]
fn no_format_for_machines_writes_such_a_program() {
    let mat = Job::parse(JOB).unwrap().mat().unwrap();
    for starter in STARTERS {
        let machine = starter.machine();
        let mut program = machine.plan(&mat, &mat.layers()[0]).value.unwrap();
        let Some(stroke) = program.passes.iter_mut().find_map(|pass| pass.strokes.first_mut()) else { continue };
        stroke.segments.push(Segment::Line(Line::new(Point::new(0.0, f64::NAN), Point::ORIGIN)));
        for format in program_formats() {
            assert!(format.write(&program).is_err(), "{} of {}", format.name(), starter.name);
        }
    }
}

#[test]
fn a_board_with_such_a_number_is_not_drawn() {
    let mat = Job::parse(JOB).unwrap().mat().unwrap();
    for x in WRONG {
        let mut board = mat.layers()[0].clone();
        board.inset = x;
        for view in [View::BACK, View::CUT] {
            let error = Format::PDF.write(&view.draw(&mat, &board)).unwrap_err();
            assert!(error.to_string().contains("not finite"), "{error}");
        }
    }
}

#[test]
fn outlines_have_no_such_number() {
    let square = Outline::rectangle(Rect::new(0.0, 0.0, 10.0, 10.0)).unwrap();
    let oval = Outline::ellipse(Point::ORIGIN, 20.0, 10.0, 0.3).unwrap();
    for x in WRONG {
        for outline in [&square, &oval] {
            assert!(matches!(outline.offset(x), Err(OffsetError::NotFinite { .. })), "{x}: {:?}", outline.offset(x));
        }
        assert_eq!(Outline::rectangle(Rect::new(0.0, 0.0, x, 10.0)), None);
        assert_eq!(Outline::ellipse(Point::ORIGIN, x, 10.0, 0.0), None);
        assert_eq!(Outline::ellipse(Point::new(x, 0.0), 10.0, 10.0, 0.0), None);
        assert_eq!(Outline::polygon(&[Point::ORIGIN, Point::new(x, 0.0), Point::new(0.0, 5.0)]), None);
        assert_eq!(Outline::rounded_rectangle(Rect::new(0.0, 0.0, 20.0, 10.0), x), None);
    }
}

#[test]
fn a_job_built_in_code_with_such_a_number_is_refused() {
    for x in WRONG {
        let side = Measure::Number(x);
        let built = job::WrittenJob {
            unit: Some(backline::length::Unit::Millimetre),
            outer: Some(SizeMeasure::Pair([side.clone(), Measure::Number(250.0)])),
            opening: vec![job::WrittenOpening {
                size: Some(SizeMeasure::Pair([side.clone(), side])),
                ..Default::default()
            }],
            ..job::WrittenJob::default()
        };
        assert!(built.resolve().sound().is_none(), "{x}");
        assert!(matches!(Job::from_written(built), Err(Error::Edit(_))), "{x}");
    }
    for text in ["outer = [nan, 250]", "outer = [200, 250]\nborder = inf", "outer = [200, 250]\nopening.turn = nan"] {
        let job = Job::parse(&format!("unit = 'mm'\n{text}\n")).map(|job| job.mat().is_ok());
        assert!(!matches!(job, Ok(true)), "{text}");
    }
}
