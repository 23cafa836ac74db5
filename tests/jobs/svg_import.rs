//! Openings drawn in SVG files: true and wanted sizes, exact arcs, and files that mean no good.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use backline::checked::Checked;
use backline::formats::{Options, Source, format};
use backline::geometry::{Outline, Segment};
use backline::job::{ShapeChoice, SvgOutline, Syntax, WrittenJob};
use backline::mat::Mat;
use backline::view::View;
use kurbo::{Affine, BezPath, ParamCurve, Point, Rect, Shape, Vec2};
use proptest::prelude::*;

/// Resolves a job with one opening from an SVG file; `keys` are those of the shape beside `file`.
fn resolved(svg: &[u8], keys: &str) -> Checked<Mat> {
    let text = format!("unit = \"mm\"\nborder = 50\nopening.shape.svg = {{ file = \"a.svg\"{keys} }}\n");
    let mut job = WrittenJob::read(&text, Syntax::Toml).unwrap();
    job.load_outlines(&mut |file| {
        assert_eq!(file, "a.svg");
        Ok(svg.to_vec())
    });
    job.resolve()
}

fn sight(svg: &str, keys: &str) -> Outline {
    let resolved = resolved(svg.as_bytes(), keys);
    assert!(resolved.sound().is_some(), "{:?}", resolved.problems);
    resolved.value.unwrap().layers()[0].openings[0].sight.clone()
}

fn page(content: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">{content}</svg>"#
    )
}

fn assert_size(outline: &Outline, width: f64, height: f64) {
    let size = outline.size();
    assert!((size.width - width).abs() < 1e-4 && (size.height - height).abs() < 1e-4, "{size:?}");
}

#[test]
fn the_units_of_the_file_count() {
    let rect = r#"<path d="M0 0H96V48H0Z"/>"#;
    let with = |attributes: &str| format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {attributes}>{rect}</svg>"#);
    // 96 pixels are an inch (CSS Values 4, 6.2).
    assert_size(&sight(&with(r#"width="300" height="300""#), ""), 25.4, 12.7);
    assert_size(&sight(&with(""), ""), 25.4, 12.7);
    assert_size(&sight(&with(r#"width="96mm" height="96mm" viewBox="0 0 96 96""#), ""), 96.0, 48.0);
    assert_size(&sight(&with(r#"width="2in" height="2in" viewBox="0 0 192 192""#), ""), 25.4, 12.7);
}

#[test]
fn a_wanted_width_or_height_is_exact() {
    let svg = page(r#"<ellipse cx="70" cy="50" rx="33.3" ry="21.7" transform="rotate(20)"/>"#);
    let outline = sight(&svg, ", width = 222.25");
    assert!((outline.size().width - 222.25).abs() < 1e-9);
    let outline = sight(&svg, ", height = \"5 1/4 in\"");
    assert!((outline.size().height - 133.35).abs() < 1e-9);
    assert!(outline.as_closed_arc().is_some(), "an ellipse stays an ellipse");
    for (keys, word) in [(", width = 5, height = 5", "both"), (", width = 0", "cannot"), (", width = 9000", "cannot")] {
        assert!(problem(&resolved(svg.as_bytes(), keys)).contains(word));
    }
}

/// Three windows of a wall, of which two are in a group.
const WINDOWS: &str = r#"<rect width="60" height="30" x="10" y="10"/>
    <g id="low"><circle cx="30" cy="70" r="10"/><rect id="door" x="50" y="60" width="20" height="40"/></g>"#;

#[test]
fn all_closed_paths_are_openings_in_their_places() {
    let svg = page(WINDOWS);
    let bounds = |keys: &str| -> Vec<Rect> {
        let resolved = resolved(svg.as_bytes(), keys);
        assert!(resolved.sound().is_some(), "{:?}", resolved.problems);
        let mat = resolved.value.unwrap();
        let openings = &mat.layers()[0].openings;
        assert!(openings.iter().enumerate().all(|(index, opening)| opening.number == index + 1));
        openings.iter().map(|opening| opening.sight.bounds()).collect()
    };
    let same = |found: &[Rect], expected: &[Rect]| {
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().zip(expected) {
            let off = (found.origin() - expected.origin()).hypot() + (found.size() - expected.size()).to_vec2().hypot();
            assert!(off < 1e-3, "{found} is not {expected}");
        }
    };
    // The borders are 50 mm, and the group starts at 10, 10.
    let rect = |x: f64, y: f64, width: f64, height: f64| Rect::new(x, y, x + width, y + height);
    let (long, clock, door) =
        (rect(50.0, 50.0, 60.0, 30.0), rect(60.0, 100.0, 20.0, 20.0), rect(90.0, 100.0, 20.0, 40.0));
    same(&bounds(", all = true"), &[long, clock, door]);
    // Twice as wide all together.
    let corner = Vec2::new(50.0, 50.0);
    let twice = |rect: Rect| Affine::scale_about(2.0, corner.to_point()).transform_rect_bbox(rect);
    same(&bounds(", all = true, width = 120"), &[twice(long), twice(clock), twice(door)]);
    // Those of one element.
    same(&bounds(", all = true, id = \"low\""), &[rect(50.0, 50.0, 20.0, 20.0), rect(80.0, 50.0, 20.0, 40.0)]);
    same(&bounds(", all = true, id = \"door\""), &[rect(50.0, 50.0, 20.0, 40.0)]);
}

#[test]
fn what_cannot_be_several_openings_is_refused() {
    let svg = page(WINDOWS);
    assert!(problem(&resolved(svg.as_bytes(), "")).contains("3 closed paths, but an opening needs exactly one"));
    let island = page(r#"<path d="M0 0H60V60H0ZM20 20H40V40H20Z"/><rect x="80" width="20" height="20"/>"#);
    assert!(problem(&resolved(island.as_bytes(), ", all = true")).contains("has a hole"));
    let text = "unit = 'mm'\nborder = 50\nopening = { shape.svg = { file = 'a.svg', all = true }, art = [100, 120] }";
    let mut job = WrittenJob::read(text, Syntax::Toml).unwrap();
    job.load_outlines(&mut |_| Ok(svg.clone().into_bytes()));
    assert!(problem(&job.resolve()).contains("one work lies behind one opening, but the outline makes 3"));
    // Openings that lie in each other are found like any others.
    let nested = page(r#"<rect width="60" height="60"/><rect x="20" y="20" width="20" height="20"/>"#);
    let told = problem(&resolved(nested.as_bytes(), ", all = true"));
    assert!(told.contains("opening 1") && told.contains("opening 2"), "{told}");
}

#[test]
fn shapes_groups_transforms_and_use_are_honoured() {
    let circle = sight(&page(r#"<g transform="translate(5 5)"><g transform="scale(2)"><circle r="20"/></g></g>"#), "");
    assert!((circle.as_closed_arc().unwrap().circle_radius().unwrap() - 40.0).abs() < 1e-4);
    let turned = sight(&page(r#"<rect width="60" height="30" transform="rotate(30)"/>"#), "");
    let (sin, cos) = 30_f64.to_radians().sin_cos();
    assert_size(&turned, 60.0 * cos + 30.0 * sin, 60.0 * sin + 30.0 * cos);
    let used = sight(
        &page(r##"<defs><polygon id="p" points="0,0 40,0 20,30"/></defs><use href="#p" transform="scale(3)"/>"##),
        "",
    );
    assert_size(&used, 120.0, 90.0);
    let styled = sight(
        &page(
            r#"<style>.o{fill:none} .x{display:none}</style><rect class="o" width="60" height="30"/><path class="x" d="M0 0H9V9Z"/>"#,
        ),
        "",
    );
    assert_size(&styled, 60.0, 30.0);
    let one = page(
        r#"<path id="one" d="M0 0H30V20H0Z"/><g id="two"><rect width="50" height="40"/></g><circle id="three" r="10"/>"#,
    );
    assert_size(&sight(&one, ", id = \"one\""), 30.0, 20.0);
    assert_size(&sight(&one, ", id = \"two\""), 50.0, 40.0);
    assert_size(&sight(&one, ", id = \"three\""), 20.0, 20.0);
}

#[test]
fn a_rounded_rectangle_has_four_lines_that_touch_four_arcs() {
    for content in [
        r#"<rect x="3.1" y="4.7" width="123.3" height="77.7" rx="11.1" transform="rotate(7.7)"/>"#,
        r#"<path d="M20 10H100A10 10 0 0 1 110 20V60C110 65.523 105.523 70 100 70H20C14.478 70 10 65.523 10 60V20C10 14.4775 14.477 10 20 10Z"/>"#,
    ] {
        let outline = sight(&page(content), "");
        assert_eq!(outline.segments().len(), 8, "{outline:?}");
        assert_smooth(&outline);
        for distance in [3.0, -3.0] {
            assert_smooth(&outline.offset(distance).unwrap());
        }
    }
}

/// Asserts that all pieces meet and that none of them meet in a corner.
fn assert_smooth(outline: &Outline) {
    let segments = outline.segments();
    for (before, after) in segments.iter().zip(segments.iter().cycle().skip(1)) {
        assert!(before.end().distance(after.start()) < 1e-7, "{before:?} {after:?}");
        assert!(before.end_direction().cross(after.start_direction()).abs() < 1e-9, "{before:?} {after:?}");
    }
}

#[test]
fn arcs_that_meet_in_corners_stay_arcs() {
    // A pointed arch and a vesica: (lines, arcs).
    for (data, lines, arcs) in [
        ("M0 90V60A60 60 0 0 1 30 8.0385A60 60 0 0 1 60 60V90Z", 3, 2),
        ("M50 0A60 60 0 0 1 50 80A60 60 0 0 1 50 0Z", 0, 2),
    ] {
        let outline = sight(&page(&format!(r#"<path d="{data}"/>"#)), "");
        let straight = outline.segments().iter().filter(|segment| matches!(segment, Segment::Line(_))).count();
        assert_eq!((straight, outline.segments().len() - straight), (lines, arcs), "{outline:?}");
        outline.offset(4.0).unwrap();
        outline.offset(-4.0).unwrap();
    }
}

#[test]
fn our_own_cut_path_comes_back() {
    for shape in [
        r#""rectangle""#,
        r#"{ rectangle = { corner_radius = 17.3 } }"#,
        r#""ellipse""#,
        r#""circle""#,
        r#"{ regular_polygon = { sides = 7 } }"#,
    ] {
        let text =
            format!("unit = \"mm\"\nname = \"a\"\nborder = 60\n[opening]\nsize = [271.3, 203.7]\nshape = {shape}\n");
        let mat = WrittenJob::read(&text, Syntax::Toml).unwrap().resolve().value.unwrap();
        let drawing = View::by_name("cut-face").unwrap().draw(&mat, &mat.layers()[0]);
        let svg = format("svg").unwrap().export(&Source::new(&drawing, &Options::default())).unwrap();
        let svg = String::from_utf8(svg.bytes).unwrap();
        let cut = &mat.layers()[0].openings[0].face;
        let back = sight(&svg, ", id = \"cut\"");
        let back = back.translated(cut.bounds().origin() - back.bounds().origin());
        assert!((back.area() - cut.area()).abs() < 1e-3 * cut.perimeter(), "{shape}: {} {}", back.area(), cut.area());
        let apart = both_ways(&back, cut);
        assert!(apart < 0.001, "{shape}: {apart} mm");
        // The parallel curve of an ellipse is written as Bézier curves.
        let is_exact = !shape.contains("ellipse");
        assert!(!is_exact || back.segments().len() == cut.segments().len(), "{shape}");
    }
}

/// Returns the largest distance of sampled points of each outline from the other one.
fn both_ways(a: &Outline, b: &Outline) -> f64 {
    let one = |from: &Outline, to: &Outline| {
        from.flatten(0.0001).into_iter().map(|point| to.nearest(point).distance(point)).fold(0.0, f64::max)
    };
    one(a, b).max(one(b, a))
}

/// Returns the first error in words; empty if there is none.
fn problem(resolved: &Checked<Mat>) -> String {
    let error = resolved.problems.iter().find(|problem| problem.is_error());
    error.map(|error| format!("{}; {}", error.message, error.help)).unwrap_or_default()
}

/// Each file with a part of its message; an empty one is a file that can be cut.
const NASTY: &[(&str, &str)] = &[
    ("bow-tie.svg", "crosses or touches itself at x 10"),
    ("broken-data.svg", "has no closed path"),
    ("empty-file.svg", "is not an SVG file"),
    ("endless-arc.svg", "numbers that are too large"),
    ("endless-page.svg", "numbers that are too large: 1e30"),
    ("endless-path.svg", "numbers that are too large: 1e38"),
    ("endless-transform.svg", "numbers that are too large: 1e30"),
    ("entity-bomb.svg", "expands its entities to more than 8 MiB"),
    ("far-away.svg", "too coarse"),
    ("large-page.svg", "larger than 3000 mm, which is larger than any board"),
    ("flattened.svg", "has no closed path"),
    ("hole.svg", "has a hole: a part of 15.9 × 15.9 mm lies inside one of 26.5 × 26.5 mm"),
    ("not-svg.svg", "is not an SVG file"),
    ("nothing-drawn.svg", "has no closed path"),
    ("open-paths.svg", "2 open paths are left out; the ends lie up to 37.42 mm apart"),
    ("other-xml.svg", "its first element is `html`"),
    ("out-of-sight.svg", "has no closed path"),
    ("outside-entity.svg", "is not an SVG file"),
    ("outside-images.svg", "2 images are left out"),
    ("page-not-a-number.svg", "`NaN`"),
    ("text-only.svg", "1 text is left out"),
    ("two-parts.svg", "break the path apart"),
    ("two-paths.svg", "2 closed paths, but an opening needs exactly one: `door` 10.6 × 26.5 mm, (no id) 5.3 × 5.3 mm"),
    ("unclosed.svg", "is not an SVG file"),
    ("use-bomb.svg", "draws more than 10000 elements"),
    ("use-elsewhere.svg", "1 link to another file is left out"),
    ("use-itself.svg", "used within itself"),
    ("use-loop.svg", "used within itself"),
    ("zero-page.svg", "a.svg"),
];

#[test]
fn nasty_files_are_refused_with_a_reason() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/nasty");
    let listed: BTreeSet<String> = NASTY.iter().map(|(name, _)| (*name).to_owned()).collect();
    let there = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    assert_eq!(listed, there.filter(|name| name != "README.md").collect(), "every file has an outcome");
    for (name, reason) in NASTY {
        let resolved = resolved(&std::fs::read(folder.join(name)).unwrap(), "");
        let found = problem(&resolved);
        assert!(found.contains(reason) && found.is_empty() == reason.is_empty(), "{name}: {found}");
        assert!(!format!("{:?}", resolved.problems).contains("root:"), "{name} shows another file");
    }
}

#[test]
fn large_and_deep_files_are_refused() {
    let million = format!(r#"<path d="M0 0{}Z"/>"#, "l1 0".repeat(1_000_000));
    let detailed = format!(r#"<path d="M0 0{}Z"/>"#, "l1 1".repeat(100_000));
    let nested = |depth: usize| format!("{}<path d=\"M0 0H9V9Z\"/>{}", "<g>".repeat(depth), "</g>".repeat(depth));
    let chain: String = (0..5000).map(|k| format!(r##"<g id="u{k}"><use href="#u{}"/></g>"##, k + 1)).collect();
    let crowd = "<path d=\"M0 0H9V9Z\"/>".repeat(30_000);
    let styles = format!("<style>{}</style>", ".a{display:none}".repeat(5000));
    for (content, reason) in [
        (million, "path data"),
        (detailed, "too detailed"),
        (nested(100), "nested deeper than 64"),
        (nested(100_000), "a.svg"),
        (chain, "nested deeper than 64"),
        (crowd, "elements"),
        (styles, "style sheet"),
        (" ".repeat(9 << 20), "8 MiB"),
    ] {
        let found = problem(&resolved(page(&content).as_bytes(), ""));
        assert!(found.contains(reason), "{found}");
    }
}

#[test]
fn what_nests_within_reason_is_drawn() {
    let groups = format!("{}<path d=\"M0 0H60V90Z\"/>{}", "<g transform=\"scale(1)\">".repeat(60), "</g>".repeat(60));
    assert_size(&sight(&page(&groups), ""), 60.0, 90.0);
    let chain: String = (0..29).map(|k| format!(r##"<g id="u{k}"><use href="#u{}"/></g>"##, k + 1)).collect();
    let chain = format!(r##"<defs>{chain}<path id="u29" d="M0 0H60V90Z"/></defs><use href="#u0"/>"##);
    assert_size(&sight(&page(&chain), ""), 60.0, 90.0);
}

#[test]
fn a_program_without_files_sets_the_path_itself() {
    let mut shape = SvgOutline::default();
    shape.set_path(kurbo::Circle::new((7.0, 7.0), 30.0).to_path(0.1));
    let mut job = WrittenJob::read("border = \"50 mm\"\n[opening]\n", Syntax::Toml).unwrap();
    job.opening[0].shape = ShapeChoice::SvgOutline(shape);
    let mat = job.resolve().value.unwrap();
    assert_size(&mat.layers()[0].openings[0].sight, 60.0, 60.0);
}

#[test]
fn what_is_left_out_is_said_once() {
    let svg = page(
        r##"<path d="M0 0H90V60Z" stroke-width="8" clip-path="url(#c)"/><text>a</text><image href="b.png"/><path d="M0 0V9"/>"##,
    );
    let resolved = resolved(svg.as_bytes(), "");
    assert!(resolved.sound().is_some(), "{:?}", resolved.problems);
    let said: Vec<&str> = resolved.problems.iter().map(|problem| problem.message.as_str()).collect();
    for words in ["1 text", "1 image", "1 open path", "1 clip", "middle of the stroke"] {
        assert_eq!(said.iter().filter(|message| message.contains(words)).count(), 1, "{words}: {said:?}");
    }
}

#[test]
fn a_file_is_read_once_and_only_when_asked() {
    let text = "unit = \"mm\"\nouter = [600, 400]\nborder = 40\n[[opening]]\nshape.svg = { file = \"a.svg\", id = \"p\" }\n\
                [[opening]]\nshape.svg = { file = \"a.svg\", id = \"q\" }\n";
    let mut job = WrittenJob::read(text, Syntax::Toml).unwrap();
    assert!(problem(&job.resolve()).contains("has not been read"));
    let mut reads = 0;
    job.load_outlines(&mut |_| {
        reads += 1;
        Err("it is gone".to_owned())
    });
    assert_eq!(reads, 1);
    assert!(problem(&job.resolve()).contains("cannot read a.svg: it is gone"));
}

fn point() -> impl Strategy<Value = Point> {
    (-60.0..60.0, -60.0..60.0).prop_map(|(x, y)| Point::new(x, y))
}

/// A closed smooth path: a ring of points with random handles along the direction in which each is passed.
fn smooth_path() -> impl Strategy<Value = BezPath> {
    prop::collection::vec((40.0..90.0_f64, 5.0..25.0_f64, 5.0..25.0_f64, -0.4..0.4_f64), 3..8).prop_map(|ring| {
        let step = std::f64::consts::TAU / ring.len() as f64;
        let place = |k: usize| {
            let (radius, before, after, lean) = ring[k % ring.len()];
            let angle = step * k as f64;
            let at = (Vec2::from_angle(angle) * radius).to_point();
            let along = Vec2::from_angle(angle + std::f64::consts::FRAC_PI_2 + lean);
            (at - along * before, at, at + along * after)
        };
        let mut path = BezPath::new();
        path.move_to(place(0).1);
        for k in 0..ring.len() {
            let (handle, (next, to, _)) = (place(k).2, place(k + 1));
            path.curve_to(handle, next, to);
        }
        path.close_path();
        path
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn arcs_keep_to_smooth_curves_and_have_no_corners(path in smooth_path(), turn in 0.0..6.0_f64) {
        let path = Affine::rotate(turn) * path;
        let outline = Outline::from_bezier(&path, 0.001).unwrap();
        assert_smooth(&outline);
        let farthest = path
            .segments()
            .flat_map(|segment| (0..200).map(move |k| segment.eval(f64::from(k) / 200.0)))
            .map(|point| outline.nearest(point).distance(point))
            .fold(0.0, f64::max);
        prop_assert!(farthest <= 0.001, "{} mm", farthest);
        prop_assert!((outline.area() - path.area().abs()).abs() <= 0.001 * outline.perimeter());
    }

    #[test]
    fn arcs_keep_to_any_curves(corners in prop::collection::vec((point(), point(), point()), 1..5)) {
        let mut path = BezPath::new();
        path.move_to(Point::ORIGIN);
        for (a, b, c) in &corners {
            path.curve_to(*a, *b, *c);
        }
        path.close_path();
        if let Some(outline) = Outline::from_bezier(&path, 0.001) {
            for segment in path.segments() {
                for k in 0..=300 {
                    let point = segment.eval(f64::from(k) / 300.0);
                    let apart = outline.nearest(point).distance(point);
                    // Half a thousandth for pieces that are dropped as too short.
                    prop_assert!(apart <= 0.0015, "{} mm at {:?}", apart, point);
                }
            }
            let joined = outline.segments().iter().zip(outline.segments().iter().cycle().skip(1));
            for (before, after) in joined {
                prop_assert!(before.end().distance(after.start()) < 1e-6);
            }
        }
    }

    #[test]
    fn outlines_written_as_curves_come_back(radius in 1.0..30.0_f64, width in 61.0..300.0_f64, turn in 0.0..6.0_f64) {
        let rect = kurbo::RoundedRect::new(0.0, 0.0, width, 70.0, radius);
        let path = Affine::rotate(turn) * rect.to_path(1e-3);
        let outline = Outline::from_bezier(&path, 0.001).unwrap();
        let exact = Outline::rounded_rectangle(rect.rect(), radius).unwrap();
        prop_assert!((outline.area() - exact.area()).abs() < 1e-3 * exact.perimeter());
        prop_assert_eq!(outline.segments().len(), 8);
        assert_smooth(&outline);
    }
}
