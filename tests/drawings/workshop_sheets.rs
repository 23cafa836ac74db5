//! Workshop sheets of 200 jobs at random: no two texts overlap, nothing leaves the page, and no word is lost.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use crate::common::jobs::resolve;
use crate::common::random_jobs::random_job;
use backline::checked::Checked;
use backline::drawing::{ABOVE_CAPS, BELOW_BASELINE, Drawing, Lettering, Mark, Role, Text};
use backline::job::{Syntax, WrittenJob};
use backline::mat::Mat;
use backline::workshop::{Letterhead, pages};
use kurbo::{Point, Rect, Size};

const A4: Size = Size::new(210.0, 297.0);
const LETTER: Size = Size::new(215.9, 279.4);
const MARGIN: f64 = backline::page::MARGIN;
/// Rounding of sums of millimetres.
const HAIR: f64 = 1e-6;

fn draw(resolved: &Checked<Mat>, paper: Size) -> Vec<Drawing> {
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    pages(&[(mat, &resolved.problems)], &Letterhead { paper, margin: MARGIN })
}

fn texts(page: &Drawing) -> Vec<&Text> {
    let marks = page.layers.iter().flat_map(|layer| &layer.marks);
    marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None }).collect()
}

/// The room that a text takes in print, with accents and tails.
fn room(text: &Text) -> Rect {
    let width = Lettering::width(&text.content, text.cap_height);
    let left = text.at.x - width * text.anchor.share();
    let (top, bottom) =
        (text.at.y - text.cap_height * (1.0 + ABOVE_CAPS), text.at.y + text.cap_height * BELOW_BASELINE);
    Rect::new(left, top, left + width, bottom)
}

/// The letters of a text themselves: capitals on their line.
fn body(text: &Text) -> Rect {
    let room = room(text);
    Rect::new(room.x0, text.at.y - text.cap_height, room.x1, text.at.y)
}

fn bounds(mark: &Mark) -> Rect {
    let of_points = |points: &[Point]| {
        let rects = points.iter().map(|point| Rect::from_origin_size(*point, Size::ZERO));
        rects.reduce(|a, b| a.union(b)).unwrap()
    };
    match mark {
        Mark::Outline { outline, .. } => outline.bounds(),
        Mark::Line { points, .. } => of_points(points),
        Mark::Text(text) => room(text),
        Mark::Area(area) => {
            area.outlines.iter().map(backline::geometry::Outline::bounds).reduce(|a, b| a.union(b)).unwrap_or_default()
        }
        Mark::Image(image) => image.seen,
    }
}

fn complain_of_overlaps(page: &Drawing, complaints: &mut Vec<String>) {
    let texts = texts(page);
    for (index, a) in texts.iter().enumerate() {
        for b in texts.iter().skip(index + 1) {
            let both = room(a).intersect(room(b));
            if both.width() > HAIR && both.height() > HAIR {
                complaints.push(format!("“{}” and “{}” overlap", a.content, b.content));
            }
        }
    }
}

/// No dimension or witness line runs through a text.
fn complain_of_crossed_texts(page: &Drawing, complaints: &mut Vec<String>) {
    let lines = page.layers.iter().filter(|layer| layer.role == Role::Dimension).flat_map(|layer| &layer.marks);
    let lines: Vec<Rect> = lines.map(bounds).collect();
    for text in texts(page) {
        let body = body(text);
        let crossed = lines.iter().any(|line| {
            line.x0 < body.x1 - HAIR && line.x1 > body.x0 + HAIR && line.y0 < body.y1 - HAIR && line.y1 > body.y0 + HAIR
        });
        if crossed {
            complaints.push(format!("a line runs through “{}” at {:?}", text.content, text.at));
        }
    }
}

fn complain_of_what_leaves(page: &Drawing, complaints: &mut Vec<String>) {
    let printable = page.sheet.to_rect().inset(-MARGIN).inflate(HAIR, HAIR);
    for layer in &page.layers {
        for mark in &layer.marks {
            let bounds = bounds(mark);
            if printable.union(bounds) != printable {
                complaints.push(format!("{mark:?} leaves the page"));
            }
        }
    }
}

/// Returns what the pages say, without spaces and hyphens at which lines could be broken.
fn said(pages: &[Drawing]) -> String {
    pages
        .iter()
        .flat_map(texts)
        .flat_map(|text| text.content.chars())
        .filter(|letter| !letter.is_whitespace())
        .collect()
}

fn squeezed(words: &str) -> String {
    words.chars().filter(|letter| !letter.is_whitespace()).collect()
}

#[test]
fn two_hundred_random_jobs_are_readable() {
    let mut complaints = Vec::new();
    let (mut drawn, mut seen, mut layers, mut openings) = (0, 0, BTreeSet::new(), BTreeSet::new());
    for seed in 0.. {
        if drawn == 200 {
            break;
        }
        seen += 1;
        assert!(seen < 2000, "only {drawn} of {seen} jobs are sound");
        let job = random_job(seed);
        let resolved = WrittenJob::read(&job, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{job}")).resolve();
        let Some(mat) = resolved.sound() else {
            continue;
        };
        drawn += 1;
        layers.insert(mat.layers().len());
        openings.insert(mat.layers()[0].openings.len());
        let paper = if seed % 2 == 0 { A4 } else { LETTER };
        let pages = draw(&resolved, paper);
        let mut found = Vec::new();
        for page in &pages {
            complain_of_overlaps(page, &mut found);
            complain_of_crossed_texts(page, &mut found);
            complain_of_what_leaves(page, &mut found);
        }
        let said = said(&pages);
        let notes = mat.extras().notes.iter().map(String::as_str);
        let boards = mat.layers().iter().map(|layer| layer.board.name.as_str());
        let words = notes.chain([mat.name()]).chain(boards);
        let lost = words.flat_map(str::split_whitespace).filter(|word| !said.contains(word));
        found.extend(lost.map(|word| format!("“{word}” is cut off")));
        complaints.extend(found.into_iter().take(3).map(|complaint| format!("job {seed}: {complaint}")));
    }
    assert!(complaints.is_empty(), "{}\n{}", complaints.len(), complaints[..complaints.len().min(12)].join("\n"));
    assert!(layers.len() >= 4 && openings.len() >= 12, "{layers:?} {openings:?}");
}

/// Returns the numbers of the dimensions: labels of the height of figures.
fn figures(page: &Drawing) -> Vec<String> {
    let labels = page.layers.iter().filter(|layer| layer.role == Role::Label).flat_map(|layer| &layer.marks);
    let mut figures: Vec<String> = labels
        .filter_map(|mark| match mark {
            Mark::Text(text) if (text.cap_height - backline::drawing::letter_height::TEXT).abs() < HAIR => {
                Some(text.content.clone())
            }
            _ => None,
        })
        .collect();
    figures.sort();
    figures
}

#[test]
fn a_single_opening_shows_its_borders_its_size_and_the_whole() {
    let resolved = resolve("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]");
    // Borders, opening and mat of the example of the README, and the bevel of 4-ply board in the section.
    let mut expected = ["4 1/16", "4 1/16", "7 3/4", "15 7/8", "5 1/16", "5 1/16", "9 3/4", "19 7/8", "1/16 in"];
    expected.sort_unstable();
    assert_eq!(figures(&draw(&resolved, A4)[0]), expected);
}

#[test]
fn a_grid_shows_every_gap_and_says_no_places_in_words() {
    let job =
        "unit = 'in'\nborder = 2\nopening = { size = [3.5, 5] }\narrangement = { rows = 4, columns = 6, gap = 0.875 }";
    let pages = draw(&resolve(job), LETTER);
    assert_eq!(pages.len(), 1);
    let figures = figures(&pages[0]);
    let count = |number: &str| figures.iter().filter(|figure| figure.as_str() == number).count();
    assert_eq!((count("3 1/2"), count("5"), count("7/8"), count("2")), (6, 4, 5 + 3, 4));
    assert!(said(&pages).contains("1–24rectangle31/2×5in"));
    assert!(!said(&pages).contains("left2"));
}

#[test]
fn openings_in_disorder_are_listed_with_their_places() {
    let job = "unit = 'mm'\nouter = [600, 500]\n\
        [[opening]]\nsize = [100, 150]\nat = { left = 60, top = 60 }\n\
        [[opening]]\nsize = [150, 100]\nat = { left = 200, top = 180 }\n\
        [[opening]]\nsize = [120, 120]\nat = { left = 130, top = 320 }";
    let said = said(&draw(&resolve(job), A4));
    assert!(
        said.contains(&squeezed(
            "2 rectangle 150 × 100 mm (face 153 × 103 mm); left 200, right 250, top 180, bottom 220"
        ))
    );
}

#[test]
fn a_small_and_a_large_mat_fill_the_page_alike() {
    for (job, scale) in [
        ("unit = 'in'\nouter = [5, 7]\nopening.art = [3, 5]", "1 : 1.5"),
        ("unit = 'in'\nouter = [40, 60]\nopening.art = [30, 50]", "1 : 10"),
        ("unit = 'mm'\nouter = [20, 20]\nlimits = { border = 1 }\nopening.size = [10, 10]", "5 : 1"),
    ] {
        let said = said(&draw(&resolve(job), A4));
        let found = said.split("front,scale").nth(1).unwrap().split(".Sizes").next().unwrap();
        assert_eq!(found, squeezed(scale), "{job}");
    }
}

#[test]
fn the_sheet_says_what_the_bench_needs() {
    let job = "name = 'Hall'\nquantity = 3\nunit = 'in'\n\
        frame = { rabbet = [16, 20], moulding = { width = 1.25, name = 'Plain 32' } }\n\
        glass = 'clear 2 mm'\nbacking = 'foam 5 mm'\nnotes = 'Ring before Friday.'\nlimits.border = 6\n\
        opening.art = [8, 10]\n[[layer]]\nboard = { name = 'our cream', colour = '#f3e7c9' }\n[[layer]]\nboard = 'burgundy'";
    let said = said(&draw(&resolve(job), A4));
    for words in [
        "3 mats",
        "1. top – our cream (#f3e7c9): 3 blanks 15 7/8 × 19 7/8 in",
        "4-ply, 1.5875 mm thick; standard bevel, 45°, 1.5875 mm wide",
        "2. second – burgundy (#6c1b2c)",
        "cut 1/4 in inside the cut of the board above; a strip of 3/16 in shows",
        "Frame: rabbet 16 in × 20 in, clearance 1/8 in, lip 1/4 in: shows 15 1/2 in × 19 1/2 in",
        "hides 3/16 in of each border",
        "moulding Plain 32, 1 1/4 in wide, outside 18 in × 22 in",
        "depth: glass 2 mm + board 1.5875 mm + board 1.5875 mm + art (taken as flat) + backing 5 mm = 10.175 mm",
        "Glass 15 7/8 × 19 7/8 in: clear 2 mm",
        "Backing 15 7/8 × 19 7/8 in: foam 5 mm",
        "Art 8 × 10 in",
        "Ring before Friday.",
        "WARNINGS",
        "Blades cut people: keep yourself and your free hand out of the line in which the blade travels",
        "openings cut",
        "Seen from the front",
        "Section: standard bevel 45°",
    ] {
        assert!(said.contains(&squeezed(words)), "{words}");
    }
}

#[test]
fn many_notes_go_on_to_further_pages() {
    let note = "Hinge with paste made of wheat starch and leave to dry under weight. ".repeat(8);
    let notes: Vec<String> = (0..30).map(|index| format!("'{index} {note}'")).collect();
    let resolved =
        resolve(&format!("unit = 'in'\nnotes = [{}]\nframe = [16, 20]\nopening.art = [8, 10]", notes.join(",")));
    let pages = draw(&resolved, A4);
    assert!(pages.len() > 2, "{}", pages.len());
    assert!(said(&pages).contains(&squeezed(&notes[29]).replace('\'', "")));
    let mut complaints = Vec::new();
    pages.iter().for_each(|page| complain_of_what_leaves(page, &mut complaints));
    pages.iter().for_each(|page| complain_of_overlaps(page, &mut complaints));
    assert!(complaints.is_empty(), "{complaints:?}");
}

#[test]
fn several_mats_have_a_cover_that_names_their_pages() {
    let jobs: Vec<Checked<Mat>> = (0..120)
        .map(|index| resolve(&format!("name = 'Job {index}'\nunit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")))
        .collect();
    let mats: Vec<_> = jobs.iter().map(|job| (job.sound().unwrap(), job.problems.as_slice())).collect();
    let pages = pages(&mats, &Letterhead { paper: A4, margin: MARGIN });
    let covers = pages.len() - 120;
    assert!(covers > 1, "{covers}");
    let mut complaints = Vec::new();
    for page in &pages[..covers] {
        complain_of_what_leaves(page, &mut complaints);
        complain_of_overlaps(page, &mut complaints);
    }
    assert!(complaints.is_empty(), "{complaints:?}");
    let list = said(&pages[..covers]);
    for index in [0, 57, 119] {
        assert!(list.contains(&format!("Job{index}")) && list.contains(&format!("page{}", covers + index + 1)));
        assert!(said(&pages[covers + index..=covers + index]).contains(&format!("Job{index}")));
    }
}

#[test]
fn the_same_job_gives_the_same_pages() {
    let resolved = resolve(&random_job(7).replace("quantity = 0", ""));
    if resolved.sound().is_some() {
        assert_eq!(draw(&resolved, A4), draw(&resolved, A4));
    }
}
