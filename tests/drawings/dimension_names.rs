//! Names of sizes in SVG drawings: every figure has the name of the size that it tells, and sizes agree with the outlines in the
//! file as other crates read them (roxmltree for the markup, svgtypes for path data, kurbo for curves).
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Rect, Shape as _, Size};
use roxmltree::{Document, Node};

use crate::common::framed_jobs::framed_job;
use crate::common::random_jobs::random_job;
use crate::common::svg_reader;
use backline::dimensions::{Dimension, DimensionKind, Side, dimensions};
use backline::formats::svg_page;
use backline::length::Ruler;
use backline::summary::MatSummary;
use backline::view::VIEWS;
use backline::workshop::{Letterhead, pages};
use backline::{Format, Job, Mat, View};

/// The decimals of SVG, twice, for a difference of two numbers.
const ROUNDING_MM: f64 = 2e-5;

/// The jobs at random, each with its number for messages.
fn jobs() -> impl Iterator<Item = (String, Job, Mat)> {
    let texts = (0..60).map(|seed| (format!("framed job {seed}"), framed_job(seed)));
    let texts = texts.chain((0..40).map(|seed| (format!("random job {seed}"), random_job(seed))));
    texts.filter_map(|(name, text)| {
        let job = Job::parse(&text).unwrap_or_else(|error| panic!("{name}: {error}\n{text}"));
        let mat = job.mat().ok()?;
        Some((name, job, mat))
    })
}

/// A drawing as the SVG file has it.
struct Shown {
    /// The words of each figure that has names, and the names.
    texts: Vec<(String, Vec<String>)>,
    /// The same of paragraphs, whose lines are joined.
    paragraphs: Vec<(String, Vec<String>)>,
    /// The names of each line that has some.
    lines: BTreeSet<Vec<String>>,
    /// The bounds of each outline by its id.
    outlines: BTreeMap<String, Rect>,
}

fn names(node: Node<'_, '_>) -> Option<Vec<String>> {
    node.attribute("data-dimension").map(|names| names.split(' ').map(str::to_owned).collect())
}

/// Reads a file; all its ids differ and are names by the rules of XML (production 5, of ASCII).
fn read(name: &str, bytes: &[u8]) -> Shown {
    let text = std::str::from_utf8(bytes).unwrap();
    let document = Document::parse(text).unwrap();
    let mut ids = BTreeSet::new();
    let mut shown =
        Shown { texts: Vec::new(), paragraphs: Vec::new(), lines: BTreeSet::new(), outlines: BTreeMap::new() };
    for node in document.descendants().filter(Node::is_element) {
        if let Some(id) = node.attribute("id") {
            assert!(ids.insert(id), "{name}: {id} twice");
            let plain = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
            assert!(id.starts_with(|letter: char| letter.is_ascii_alphabetic()) && id.chars().all(plain), "{id}");
            if node.tag_name().name() != "g" {
                shown.outlines.insert(id.to_owned(), svg_reader::figure(node).bounding_box());
            }
        }
        match (node.tag_name().name(), names(node)) {
            ("text", Some(names)) => {
                let words = node.text().unwrap_or_default();
                if node.parent().and_then(|group| group.attribute("id")) != Some("note") {
                    shown.texts.push((words.to_owned(), names));
                    continue;
                }
                match shown.paragraphs.last_mut().filter(|(_, before)| *before == names) {
                    Some((paragraph, _)) => *paragraph += &format!(" {words}"),
                    None => shown.paragraphs.push((words.to_owned(), names)),
                }
            }
            (_, Some(names)) => {
                shown.lines.insert(names);
            }
            (_, None) => {}
        }
    }
    shown
}

/// Checks that the words of a text tell every size whose name it has.
fn assert_tells(name: &str, words: &str, names: &[String], sizes: &BTreeMap<&str, &Dimension>, ruler: Ruler) {
    for id in names {
        let size = sizes.get(id.as_str()).unwrap_or_else(|| panic!("{name}: {words:?} is {id}, which is no size"));
        let below_zero = matches!(size.kind, DimensionKind::Overlap { .. }) && size.mm < 0.0;
        assert!(!below_zero || words.contains("paper shows"), "{name}: {words:?}");
        let number = ruler.read(if below_zero { -size.mm } else { size.mm }).text;
        let in_mm = format!("{} mm", (size.mm * 100.0).round() / 100.0);
        let told = words.split([' ', ',', '×']).any(|word| word == number);
        assert!(told || words.contains(&number) || words == in_mm, "{name}: {words:?} tells no {number} of {id}");
    }
}

fn by_id(sizes: &[Dimension]) -> BTreeMap<&str, &Dimension> {
    let by_id: BTreeMap<&str, &Dimension> = sizes.iter().map(|size| (size.id.as_str(), size)).collect();
    assert_eq!(by_id.len(), sizes.len(), "names differ");
    by_id
}

#[test]
fn every_figure_of_a_template_has_the_name_of_its_size() {
    let mut told = BTreeMap::new();
    for (name, job, mat) in jobs() {
        let sizes = job.dimensions();
        let sizes = by_id(&sizes);
        for board in mat.boards() {
            for (view, part) in [(View::FACE, "sight"), (View::BACK, "cut")] {
                let name = format!("{name}, board {}, {}", board.number(), view.name);
                let shown = read(&name, &board.write(view, Format::SVG).unwrap().bytes);
                let mut seen = BTreeSet::new();
                for (words, names) in &shown.texts {
                    assert_tells(&name, words, names, &sizes, mat.ruler());
                    seen.extend(names.iter().map(String::as_str));
                }
                for opening in &board.layer().openings {
                    let own = format!("board-{}-opening-{}", board.number(), opening.number);
                    let wanted = ["left", "right", "top", "bottom"].map(|side| format!("{own}-{part}-{side}"));
                    let size = ["width", "height"].map(|axis| format!("{own}-sight-{axis}"));
                    let all: Vec<&String> = wanted.iter().chain(&size).collect();
                    let found = all.iter().filter(|id| seen.contains(id.as_str())).count();
                    // A small opening has its number only.
                    assert!(found == 0 || found == all.len(), "{name}: {found} of {all:?}");
                    *told.entry(view.name).or_insert(0) += usize::from(found > 0);
                }
                // Whatever is measured between the same places is the same figure.
                for size in sizes.values() {
                    let same = |id: &&str| {
                        let other = sizes[id];
                        other.from.distance(size.from) < 1e-6 && other.to.distance(size.to) < 1e-6
                    };
                    if matches!(size.kind, DimensionKind::Border { opening: None, .. }) && seen.iter().any(same) {
                        assert!(seen.contains(size.id.as_str()), "{name}: {} is shown without its name", size.id);
                        *told.entry("borders of groups").or_insert(0) += 1;
                    }
                }
            }
        }
    }
    println!("{told:?}");
    assert!(told["face"] > 100 && told["back"] > 100 && told["borders of groups"] > 50, "{told:?}");
}

#[test]
fn every_figure_of_a_workshop_sheet_has_the_name_of_its_size() {
    let letterhead = Letterhead { paper: Size::new(210.0, 297.0), margin: backline::page::MARGIN };
    let (mut figures, mut paragraphs, mut sections) = (0, 0, 0);
    for (name, job, mat) in jobs() {
        let sizes = job.dimensions();
        let sizes = by_id(&sizes);
        let mut seen = BTreeSet::new();
        let mut lines = BTreeSet::new();
        for page in pages(&[(&mat, &[])], &letterhead) {
            let shown = read(&name, &svg_page(&page).unwrap().bytes);
            for (words, names) in &shown.texts {
                assert_tells(&name, words, names, &sizes, mat.ruler());
                seen.insert(names.clone());
                figures += 1;
            }
            for (words, names) in &shown.paragraphs {
                assert_tells(&name, words, names, &sizes, mat.ruler());
                paragraphs += 1;
            }
            lines.extend(shown.lines);
        }
        assert!(seen.is_subset(&lines), "{name}: each figure stands on a line of the same name");
        let of_lines: BTreeSet<&String> = lines.iter().flatten().collect();
        assert_eq!(of_lines, seen.iter().flatten().collect(), "{name}: lines have the names of figures");
        let all: BTreeSet<&str> = seen.iter().flatten().map(String::as_str).collect();
        assert!(all.contains("outer-width") && all.contains("outer-height"), "{name}: {all:?}");
        // Of a section in which there is no room the distances are left out, all of them.
        let section: Vec<&&str> = sizes.keys().filter(|id| id.starts_with("section-")).collect();
        let shown = section.iter().filter(|id| all.contains(**id)).count();
        assert!(shown == 0 || shown == section.len(), "{name}: {section:?} in {all:?}");
        sections += usize::from(shown > 0);
    }
    println!("{figures} figures, {paragraphs} paragraphs, {sections} sections");
    assert!(figures > 500 && paragraphs > 300 && sections > 40, "{figures} figures, {paragraphs}, {sections} sections");
}

/// Returns every name of a size in the drawings of a job: all views of all boards, and the workshop sheet.
fn all_names(name: &str, mat: &Mat, letterhead: &Letterhead) -> BTreeSet<String> {
    let views = VIEWS.iter().filter(|view| ["face", "back"].contains(&view.name));
    let drawn = views.flat_map(|view| mat.boards().map(|board| board.write(*view, Format::SVG).unwrap().bytes));
    let sheets = pages(&[(mat, &[])], letterhead).into_iter().map(|page| svg_page(&page).unwrap().bytes);
    let shown = drawn.chain(sheets).map(|bytes| read(name, &bytes));
    shown
        .flat_map(|Shown { texts, paragraphs, lines, .. }| {
            texts.into_iter().chain(paragraphs).flat_map(|(_, names)| names).chain(lines.into_iter().flatten())
        })
        .collect()
}

/// Kinds of sizes of which every one is told, in whatever job. Of the others some have no room, and of the reveals those that
/// differ round an opening are told by the sizes of the openings.
const ALWAYS_TOLD: [&str; 9] =
    ["art", "board", "frame-outside", "frame-sight", "lip", "moulding", "outer", "overlap", "rabbet"];

#[test]
fn sizes_of_check_are_in_the_drawings_and_those_of_the_drawings_in_check() {
    let letterhead = Letterhead::new(Size::new(420.0, 594.0));
    let (mut drawn, mut left_out) = (BTreeMap::new(), BTreeMap::new());
    for (name, job, mat) in jobs() {
        let data = serde_json::to_value(MatSummary::new(&name, &job.resolve()).with_dimensions(job.written())).unwrap();
        let known: BTreeMap<String, String> = data["dimensions"]
            .as_array()
            .unwrap()
            .iter()
            .map(|size| (size["id"].as_str().unwrap().to_owned(), size["kind"]["what"].as_str().unwrap().to_owned()))
            .collect();
        let names = all_names(&name, &mat, &letterhead);
        for id in &names {
            assert!(known.contains_key(id), "{name}: {id} of a drawing is not in the data");
        }
        for (id, kind) in known {
            *if names.contains(&id) { &mut drawn } else { &mut left_out }.entry(kind).or_insert(0) += 1;
        }
    }
    println!("drawn {drawn:?}\nleft out {left_out:?}");
    for kind in left_out.keys() {
        assert!(drawn.contains_key(kind) && !ALWAYS_TOLD.contains(&kind.as_str()), "{kind} is left out");
    }
    assert!(ALWAYS_TOLD.iter().all(|kind| drawn.contains_key(*kind)), "{drawn:?}");
}

/// Sizes are what the outlines in SVG files measure, and their ends lie on the sides of those outlines.
#[test]
fn sizes_agree_with_the_outlines_that_are_drawn() {
    let mut measured = BTreeMap::new();
    for (name, job, mat) in jobs() {
        let sizes = dimensions(job.written());
        for board in mat.boards() {
            let seen_from = |view: View| {
                let shown = read(&name, &board.write(view, Format::SVG).unwrap().bytes);
                let edge = shown.outlines["outline-edge"];
                (edge, shown.outlines)
            };
            let (edge, face) = seen_from(View::FACE);
            let (_, back) = seen_from(View::BACK);
            let inset = 0.5 * (mat.outer().width - edge.width());
            // From the sheet to the mat: the board lies in the middle of it.
            let on_mat = |rect: &Rect| *rect - edge.origin().to_vec2() + kurbo::Vec2::new(inset, inset);
            let mirrored =
                |rect: Rect| Rect::new(mat.outer().width - rect.x1, rect.y0, mat.outer().width - rect.x0, rect.y1);
            let sight = |number: usize| on_mat(&face[&format!("opening-{number}-sight")]);
            let cut = |number: usize| mirrored(on_mat(&back[&format!("opening-{number}-cut")]));
            let extent = on_mat(&edge);
            let mut check = |size: &Dimension, from: f64, to: f64, ends: [f64; 2], what: &'static str| {
                let close = |a: f64, b: f64| (a - b).abs() < ROUNDING_MM;
                assert!(close(to - from, size.mm), "{name}: {size:?} is {} in the file", to - from);
                assert!(
                    close(ends[0].min(ends[1]), from.min(to)) && close(ends[0].max(ends[1]), from.max(to)),
                    "{name}: {size:?}"
                );
                *measured.entry(what).or_insert(0) += 1;
            };
            let border = |side: Side, inner: Rect| match side {
                Side::Left => (extent.x0, inner.x0),
                Side::Right => (inner.x1, extent.x1),
                Side::Top => (extent.y0, inner.y0),
                Side::Bottom => (inner.y1, extent.y1),
            };
            for size in &sizes {
                let (xs, ys) = ([size.from.x, size.to.x], [size.from.y, size.to.y]);
                let along = |side: Side| if matches!(side, Side::Left | Side::Right) { xs } else { ys };
                let pick = |axis, rect: Rect| match axis {
                    backline::dimensions::Axis::Width => (rect.x0, rect.x1, xs),
                    _ => (rect.y0, rect.y1, ys),
                };
                match size.kind {
                    DimensionKind::Outer { axis } if inset == 0.0 => {
                        let (from, to, ends) = pick(axis, extent);
                        check(size, from, to, ends, "outer");
                    }
                    DimensionKind::Board { axis, board: of } if of == board.number() => {
                        let (from, to, ends) = pick(axis, extent);
                        check(size, from, to, ends, "board");
                    }
                    DimensionKind::Sight { axis, opening, board: of } if of == board.number() => {
                        let (from, to, ends) = pick(axis, sight(opening));
                        check(size, from, to, ends, "sight");
                    }
                    DimensionKind::SightBorder { side, opening: Some(opening), board: of } if of == board.number() => {
                        let (from, to) = border(side, sight(opening));
                        check(size, from, to, along(side), "sight border");
                    }
                    DimensionKind::CutBorder { side, opening, board: of } if of == board.number() => {
                        let (from, to) = border(side, cut(opening));
                        check(size, from, to, along(side), "cut border");
                    }
                    DimensionKind::SightBar { axis, between: [a, b], board: of } if of == board.number() => {
                        let (_, from, ends) = pick(axis, sight(a));
                        let (to, _, _) = pick(axis, sight(b));
                        check(size, from, to, ends, "bar");
                    }
                    DimensionKind::SightGroup { axis, board: of } if of == board.number() => {
                        let all = board.layer().openings.iter().map(|opening| sight(opening.number));
                        let (from, to, ends) = pick(axis, all.reduce(|a, b| a.union(b)).unwrap());
                        check(size, from, to, ends, "group");
                    }
                    _ => {}
                }
            }
        }
    }
    println!("{measured:?}");
    for what in ["outer", "board", "sight", "sight border", "cut border", "bar", "group"] {
        assert!(measured.get(what).is_some_and(|count| *count > 10), "{what}: {measured:?}");
    }
}
