//! Pages that are trimmed and laid together are the drawing, on every paper.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::samples::{empty, every_outline, mark};
use backline::drawing::{Anchor, Drawing, Mark, Role, Text};
use backline::formats::{Options, tiled_pdf, tiled_svg};
use backline::job::{Syntax, WrittenJob};
use backline::paper::{Paper, SHEET_SIZES, Stretch};
use backline::tiling::{Orientation, PrintedPart, TestPage, Tiled, Tiling};
use backline::view::VIEWS;
use kurbo::{Point, Rect, Size};

fn paper(name: &str) -> Paper {
    name.parse().unwrap()
}

fn tiling(paper_name: &str) -> Tiling {
    Tiling { paper: paper(paper_name), ..Tiling::default() }
}

/// The back template of a plain mat of a size in inches.
fn template(width: f64, height: f64) -> Drawing {
    let job = format!(
        "name = 'Plain'\nunit = 'in'\nouter = [{width}, {height}]\nborder = {}\n[[opening]]\n",
        (0.2 * width).min(3.0)
    );
    draw(&job, "back")
}

fn draw(job: &str, view: &str) -> Drawing {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    VIEWS.iter().find(|known| known.name == view).unwrap().draw(mat, &mat.layers()[0])
}

/// A drawing of one line of a length in millimetres.
fn line(length: f64) -> Drawing {
    let mut drawing = empty("Line", length + 20.0, 40.0);
    mark(&mut drawing, Role::Cut, Mark::line(vec![Point::new(10.0, 20.0), Point::new(10.0 + length, 20.0)]));
    drawing
}

fn inside(outer: Rect, inner: Rect) -> bool {
    let by = 1e-6;
    outer.x0 - by <= inner.x0 && inner.x1 <= outer.x1 + by && outer.y0 - by <= inner.y0 && inner.y1 <= outer.y1 + by
}

/// Checks what must hold of every layout: tiles meet without gap or overlap, and lie on their pages within the margins.
fn check(tiled: &Tiled, margin: f64, overlap: f64) {
    let printable = tiled.page.to_rect().inset(-margin);
    for page in &tiled.pages {
        assert!(inside(page.shown, page.tile), "a page shows its tile");
        assert!(inside(printable, page.shown + page.shift), "{:?} on {printable:?}", page.shown + page.shift);
        let next = tiled.pages.iter().find(|other| (other.row, other.column) == (page.row, page.column + 1));
        if let Some(next) = next {
            assert!((page.tile.x1 - next.tile.x0).abs() < 1e-9 && (page.tile.y0 - next.tile.y0).abs() < 1e-9);
            assert!((page.shown.x1 - page.tile.x1 - overlap.max(1.0)).abs() < 1e-9);
        }
        let below = tiled.pages.iter().find(|other| (other.row, other.column) == (page.row + 1, page.column));
        if let Some(below) = below {
            assert!((page.tile.y1 - below.tile.y0).abs() < 1e-9 && (page.tile.x0 - below.tile.x0).abs() < 1e-9);
            assert!((page.shown.y1 - page.tile.y1 - overlap.max(1.0)).abs() < 1e-9);
        }
        // Nothing that stands round a tile lies on it.
        let tile = page.tile + page.shift;
        for point in page.surround.layers.iter().flat_map(|layer| &layer.marks).flat_map(points) {
            assert!(!tile.contains(point) || on_edge(tile, point), "{point} lies on {tile:?}");
            assert!(inside(tiled.page.to_rect(), Rect::from_points(point, point)), "{point} lies off the page");
        }
    }
}

fn on_edge(rect: Rect, point: Point) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    near(point.x, rect.x0) || near(point.x, rect.x1) || near(point.y, rect.y0) || near(point.y, rect.y1)
}

fn points(mark: &Mark) -> Vec<Point> {
    match mark {
        Mark::Line { points, .. } => points.clone(),
        Mark::Text(Text { at, .. }) => vec![*at],
        other => panic!("pages have lines and words only, not {other:?}"),
    }
}

fn words(tiled: &Tiled, page: usize) -> String {
    let marks = tiled.pages[page].surround.layers.iter().flat_map(|layer| &layer.marks);
    let words = marks.filter_map(|mark| match mark {
        Mark::Text(text) => Some(text.content.as_str()),
        _ => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn tiles_meet_and_keep_the_margins_on_every_named_paper() {
    let drawing = template(16.0, 20.0);
    let mut laid_out = 0;
    for size in SHEET_SIZES {
        for (margin, overlap) in [(6.0, 10.0), (0.0, 0.0), (12.7, 25.4)] {
            let tiling = Tiling { margin, overlap, ..tiling(size.name) };
            match tiling.lay_out(&drawing) {
                Ok(tiled) => {
                    laid_out += 1;
                    check(&tiled, margin, overlap);
                    let off = (tiled.page.min_side() - size.short).abs() + (tiled.page.max_side() - size.long).abs();
                    assert!(off < 1e-9, "{}", size.name);
                }
                // Bars and words need some room.
                Err(error) => assert!(size.short < 110.0 && error.message.contains(size.name), "{error}"),
            }
        }
    }
    assert!(laid_out > 80, "{laid_out}");
}

#[test]
fn a_drawing_that_fits_on_one_page_is_one_page() {
    for (name, width, height, pages) in [
        ("A3", 8.0, 10.0, 1),
        ("A0", 16.0, 20.0, 1),
        ("ARCH E", 32.0, 40.0, 1),
        ("A4", 4.0, 6.0, 1),
        ("A4", 8.0, 10.0, 3),
        ("Letter", 16.0, 20.0, 8),
        ("A4", 16.0, 20.0, 8),
    ] {
        let tiled = tiling(name).lay_out(&template(width, height)).unwrap();
        assert_eq!(tiled.pages.len(), pages, "{width} × {height} in on {name}");
        assert!(tiled.pages.len() > 1 || !tiled.whole.layers.iter().any(|layer| layer.role == Role::Register));
    }
}

#[test]
fn the_paper_is_turned_for_the_fewest_sheets() {
    for name in ["A4", "Letter", "Tabloid", "13 x 19 in"] {
        for (width, height) in [(16.0, 20.0), (20.0, 16.0), (11.0, 14.0), (40.0, 60.0), (8.0, 30.0)] {
            let drawing = template(width, height);
            let pages = |orientation| Tiling { orientation, ..tiling(name) }.lay_out(&drawing).unwrap().pages.len();
            let best = pages(Orientation::Portrait).min(pages(Orientation::Landscape));
            assert_eq!(pages(Orientation::Fewest), best, "{width} × {height} in on {name}");
        }
    }
}

#[test]
fn a_roll_is_as_long_as_the_drawing_needs() {
    let drawing = template(32.0, 40.0);
    let tiled = tiling("roll 36 in").lay_out(&drawing).unwrap();
    assert_eq!(tiled.pages.len(), 1);
    assert!((tiled.page.width - 914.4).abs() < 1e-9 || (tiled.page.height - 914.4).abs() < 1e-9, "{}", tiled.page);
    check(&tiled, 6.0, 10.0);
    // Narrower than the board either way: strips of the roll.
    let strips = tiling("roll 24 in").lay_out(&drawing).unwrap();
    assert_eq!(strips.pages.len(), 2);
    assert_eq!(strips.rows.min(strips.columns), 1);
    check(&strips, 6.0, 10.0);
}

#[test]
fn every_page_says_where_it_lies_and_how_to_print_it() {
    let drawing = template(16.0, 20.0);
    let tiled = tiling("A4").lay_out(&drawing).unwrap();
    for (index, page) in tiled.pages.iter().enumerate() {
        let words = words(&tiled, index);
        for part in [
            format!("PAGE {} OF 8: row {} of 4, column {} of 2.", index + 1, page.row, page.column),
            "PRINT AT 100 %, NOT FITTED TO PAGE, on A4".to_owned(),
            "Plain - back template".to_owned(),
            "TOP".to_owned(),
            "Blades cut people".to_owned(),
            "200 mm and 8 in across, 150 mm and 6 in down".to_owned(),
        ] {
            assert!(words.contains(&part), "{part} is not in {words}");
        }
    }
    // The first tile starts left of and above the board, beside its 3 in border.
    assert!(words(&tiled, 0).contains("left of the left edge and"), "{}", words(&tiled, 0));
}

#[test]
fn bars_are_as_long_as_they_say() {
    let tiled = tiling("A4").lay_out(&template(16.0, 20.0)).unwrap();
    for page in &tiled.pages {
        let bars = page.surround.layers.iter().find(|layer| layer.role == Role::Scale).unwrap();
        let mut lengths: Vec<f64> = bars
            .marks
            .iter()
            .flat_map(|mark| points(mark).windows(2).map(|ends| ends[0].distance(ends[1])).collect::<Vec<_>>())
            .filter(|length| *length > 10.0)
            .collect();
        lengths.sort_by(f64::total_cmp);
        // 150 mm and 6 in, 200 mm and 8 in: the inches are longer.
        assert_eq!(lengths.len(), 2);
        assert!((lengths[0] - 152.4).abs() < 1e-9 && (lengths[1] - 203.2).abs() < 1e-9, "{lengths:?}");
    }
}

#[test]
fn register_marks_lie_on_seams_and_are_numbered_once() {
    let tiled = tiling("A4").lay_out(&template(16.0, 20.0)).unwrap();
    let marks = tiled.whole.layers.iter().find(|layer| layer.role == Role::Register).unwrap();
    let diamonds = marks.marks.iter().filter_map(|mark| match mark {
        Mark::Line { points, .. } if points.len() == 5 => Some(points[0].midpoint(points[2])),
        _ => None,
    });
    let diamonds: Vec<Point> = diamonds.collect();
    // Two on each of the 4 upright and 6 level seams.
    assert!(diamonds.len() >= 16 && diamonds.len() <= 20, "{}", diamonds.len());
    for at in &diamonds {
        let tiles =
            tiled.pages.iter().filter(|page| on_edge(page.tile, *at) && page.tile.inflate(1e-6, 1e-6).contains(*at));
        assert_eq!(tiles.count(), 2, "{at}");
    }
    let numbers = marks.marks.iter().filter(|mark| matches!(mark, Mark::Text(_))).count();
    assert_eq!(numbers, 2 * diamonds.len());
}

#[test]
fn blank_pages_are_left_out() {
    // A frame of lines with nothing inside.
    let mut drawing = empty("Hollow", 800.0, 800.0);
    let outline = backline::geometry::Outline::rectangle(Rect::new(10.0, 10.0, 790.0, 790.0)).unwrap();
    mark(&mut drawing, Role::Cut, Mark::Outline { outline, opening: Some(1) });
    let tiled = tiling("A4").lay_out(&drawing).unwrap();
    let edge = 2 * (tiled.rows + tiled.columns) - 4;
    assert_eq!(tiled.pages.len(), edge);
    check(&tiled, 6.0, 10.0);
}

#[test]
fn only_corners_saves_paper_and_keeps_every_corner() {
    let drawing = template(40.0, 60.0);
    let all = tiling("A4").lay_out(&drawing).unwrap();
    let corners = Tiling { only: PrintedPart::Corners, ..tiling("A4") }.lay_out(&drawing).unwrap();
    assert!(corners.pages.len() * 2 < all.pages.len(), "{} of {}", corners.pages.len(), all.pages.len());
    for layer in drawing.layers.iter().filter(|layer| layer.role == Role::Cut || layer.role == Role::Edge) {
        for mark in &layer.marks {
            let Mark::Outline { outline, .. } = mark else { panic!("{mark:?}") };
            for corner in outline.segments().iter().map(backline::geometry::Segment::start) {
                let seen = corners.pages.iter().filter(|page| page.tile.inflate(1e-6, 1e-6).contains(corner));
                assert!(seen.count() > 0, "{corner} is not printed");
                assert!(corners.regions.iter().any(|region| region.contains(corner)), "{corner} is not shown");
            }
        }
    }
}

#[test]
fn only_one_opening_is_printed() {
    let job = "unit = 'in'\nouter = [20, 16]\n[opening]\nart = [7, 10]\n[arrangement]\nrows = 1\ncolumns = 2\ncolumn_gap = 1\n";
    let drawing = draw(job, "back");
    let tiled = Tiling { only: PrintedPart::Opening { number: 2, name: String::new() }, ..tiling("A4") }
        .lay_out(&drawing)
        .unwrap();
    let openings = tiled.whole.layers.iter().flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
        Mark::Outline { opening, .. } => *opening,
        _ => None,
    });
    assert_eq!(openings.collect::<Vec<_>>(), [2]);
    assert!(words(&tiled, 0).contains("ONLY opening 2 is printed."));
    // The board is not on the page, but the page says where it lies.
    assert!(words(&tiled, 0).contains("right of the left edge and"), "{}", words(&tiled, 0));
    let error = Tiling { only: PrintedPart::Opening { number: 7, name: String::new() }, ..tiling("A4") }
        .lay_out(&drawing)
        .unwrap_err();
    assert_eq!(error.message, "there is no opening 7 in this view");
    assert!(error.help.contains("numbered up to 2"), "{error}");
}

#[test]
fn the_print_is_scaled_against_the_stretch_of_the_printer() {
    let stretch = Stretch { across: 1.01, down: 0.98 };
    let drawing = line(1000.0);
    for (orientation, across, down) in [(Orientation::Portrait, 1.01, 0.98), (Orientation::Landscape, 0.98, 1.01)] {
        let tiled = Tiling { stretch, orientation, ..tiling("A4") }.lay_out(&drawing).unwrap();
        let sent = tiled.correction().unwrap();
        let bar = [Point::new(30.0, 40.0), Point::new(130.0, 140.0)].map(|point| sent * point);
        // What the printer makes of it is true.
        assert!(((bar[1].x - bar[0].x) * across - 100.0).abs() < 1e-9);
        assert!(((bar[1].y - bar[0].y) * down - 100.0).abs() < 1e-9);
        let middle = tiled.page.to_rect().center();
        assert!((sent * middle).distance(middle) < 1e-9, "the middle of the page stays");
    }
    assert_eq!(tiling("A4").lay_out(&drawing).unwrap().correction(), None);
}

#[test]
fn a_large_mat_on_small_paper_is_a_small_file() {
    let tiled = tiling("A4").lay_out(&template(40.0, 60.0)).unwrap();
    // The middle is blank: of 42 tiles, 24 are printed.
    assert_eq!((tiled.rows * tiled.columns, tiled.pages.len()), (42, 24));
    let bytes = tiled_pdf(&tiled, &Options::default()).unwrap().bytes;
    assert!(bytes.len() < 2_000_000, "{}", bytes.len());
    let text = String::from_utf8_lossy(&bytes);
    assert_eq!(text.matches("/Subtype /Form").count(), 1);
    assert_eq!(text.matches("/Whole Do").count(), tiled.pages.len());
    assert!(text.contains("/PrintScaling /None") && text.contains("/PickTrayByPDFSize true"));
}

#[test]
fn the_same_choices_give_the_same_bytes() {
    let pages = || tiling("Letter").lay_out(&every_outline()).unwrap();
    assert_eq!(tiled_pdf(&pages(), &Options::default()), tiled_pdf(&pages(), &Options::default()));
    assert_eq!(tiled_svg(&pages()), tiled_svg(&pages()));
}

#[test]
fn what_cannot_be_laid_out_says_why() {
    let drawing = template(40.0, 60.0);
    for (choices, message) in [
        (tiling("A9"), "A9 is 37 mm × 52 mm; margins of 6 mm"),
        (Tiling { margin: 90.0, ..tiling("A4") }, "margins of 90 mm"),
        (Tiling { margin: 300.0, ..tiling("A4") }, "margins of 300 mm"),
        (Tiling { overlap: 170.0, ..tiling("A4") }, "overlap of 170 mm is too little"),
        (Tiling { overlap: f64::NAN, ..tiling("A4") }, "the overlap is NaN mm"),
        (Tiling { margin: -1.0, ..tiling("A4") }, "the margin is -1 mm"),
    ] {
        let error = choices.lay_out(&drawing).unwrap_err();
        assert!(error.message.contains(message), "{error}");
    }
    let error = tiling("A4").lay_out(&empty("Nothing", 300.0, 300.0)).unwrap_err();
    assert_eq!(error.message, "nothing is drawn in this view");
    let error = tiling("A6").lay_out(&line(60_000.0)).unwrap_err();
    assert!(error.message.contains("pages of A6"), "{error}");
}

#[test]
fn the_longest_names_leave_the_page_whole() {
    let mut drawing = template(16.0, 20.0);
    for title in ["W".repeat(200), "名".repeat(200), String::new(), "Łódź ".repeat(40)] {
        drawing.title = title;
        for name in ["A4", "A5", "Letter"] {
            let tiled = tiling(name).lay_out(&drawing).unwrap();
            check(&tiled, 6.0, 10.0);
            tiled_pdf(&tiled, &Options::default()).unwrap();
        }
    }
}

#[test]
fn a_test_page_has_the_bars_that_it_promises() {
    let page = TestPage::new(&paper("A4"), 6.0).unwrap();
    assert_eq!(page.drawing.sheet, Size::new(210.0, 297.0));
    let lines = page.drawing.layers.iter().flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
        Mark::Line { points, .. } => Some(points[0].distance(points[1])),
        _ => None,
    });
    let longest: Vec<f64> = lines.filter(|length| *length > 50.0).collect();
    assert!((longest[0] - page.short).abs() < 1e-9 && (longest[1] - page.long).abs() < 1e-9 && longest.len() == 2);
    assert!(page.drawing.layers.iter().flat_map(|layer| &layer.marks).all(|mark| match mark {
        Mark::Text(text) => text.anchor == Anchor::Start && text.at.y < 200.0,
        _ => true,
    }));
}

/// The proof that lines run on across seams: every page shows the one drawing of the file, moved and not otherwise changed,
/// through windows that together leave nothing of it out.
#[test]
fn pages_show_the_same_drawing_and_leave_nothing_of_it_out() {
    for (drawing, only, overlap) in [
        (every_outline(), PrintedPart::All, 10.0),
        (every_outline(), PrintedPart::All, 0.0),
        (every_outline(), PrintedPart::Corners, 10.0),
        (template(16.0, 20.0), PrintedPart::Opening { number: 1, name: String::new() }, 5.0),
    ] {
        let tiled = Tiling { only, overlap, ..tiling("A4") }.lay_out(&drawing).unwrap();
        let bytes = tiled_pdf(&tiled, &Options::default()).unwrap().bytes;
        let text = String::from_utf8_lossy(&bytes);
        let shown: Vec<&str> =
            text.split("q\n").skip(1).filter_map(|part| Some(part.split_once("/Whole Do\nQ")?.0)).collect();
        assert_eq!(shown.len(), tiled.pages.len());
        for (content, page) in shown.into_iter().zip(&tiled.pages) {
            let numbers = |line: &str| line.split(' ').filter_map(|word| word.parse().ok()).collect::<Vec<f64>>();
            let windows: Vec<Rect> = content
                .lines()
                .filter(|line| line.ends_with(" re"))
                .map(|line| {
                    Rect::from_origin_size((numbers(line)[0], numbers(line)[1]), (numbers(line)[2], numbers(line)[3]))
                })
                .collect();
            let map = numbers(content.lines().last().unwrap());
            assert!(map[..4].iter().zip([1.0, 0.0, 0.0, 1.0]).all(|(a, b)| (a - b).abs() < 1e-12), "{map:?}");
            assert!((map[4] - page.shift.x).abs() < 1e-8 && (map[5] - page.shift.y).abs() < 1e-8, "{map:?}");
            // Every place of the tile that is to be printed lies in a window.
            for region in &tiled.regions {
                let wanted = region.intersect(page.tile);
                if wanted.area() > 0.0 {
                    let placed = wanted + page.shift;
                    assert!(windows.iter().any(|window| inside(window.inflate(1e-3, 1e-3), placed)), "{placed:?}");
                }
            }
        }
        // Tiles that are left out have nothing on them: every stroke of the whole lies on pages from end to end.
        for mark in tiled.whole.layers.iter().flat_map(|layer| &layer.marks) {
            let Mark::Line { points: ends, .. } = mark else { continue };
            for step in 0..=40 {
                let at = ends[0].lerp(ends[1], f64::from(step) / 40.0);
                let wanted = tiled.regions.iter().any(|region| region.contains(at));
                let printed = tiled.pages.iter().any(|page| page.tile.inflate(1e-6, 1e-6).contains(at));
                assert!(printed || !wanted, "{at} of {mark:?} is on no page");
            }
        }
    }
}
