//! V-grooves, ruled lines and bands of wash: true distances, widths, choices and checks.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

use crate::common::jobs::{INCH, assert_near, codes, mat, resolve};
use backline::geometry::{Outline, Relation, Segment, clearance};
use backline::job::{Syntax, WrittenJob};
use backline::layout::RULED_PATTERNS;
use backline::mat::{Groove, GroovePath};
use backline::problem::Problem;
use kurbo::Point;

/// Returns points on a piece of an outline, its ends among them.
fn samples(segment: &Segment) -> Vec<Point> {
    let shares = (0..=40).map(|step| f64::from(step) / 40.0);
    match segment {
        Segment::Line(line) => shares.map(|share| line.p0.lerp(line.p1, share)).collect(),
        Segment::Arc(arc) => shares.map(|share| arc.point(arc.start + share * arc.sweep)).collect(),
    }
}

/// Asserts that `ring` is the mitred parallel of `face` at a distance: no point is nearer, and one is farther only
/// between a corner of the opening and its mitre.
fn assert_parallel(ring: &Outline, face: &Outline, distance: f64) {
    let near = clearance(face, ring);
    assert_eq!(near.relation, Relation::Inside);
    assert_near(near.distance, distance, 1e-9);
    let corners: Vec<Point> = face.segments().iter().map(Segment::start).collect();
    for point in ring.segments().iter().flat_map(samples) {
        let foot = face.nearest(point);
        let found = point.distance(foot);
        let at_corner = corners.iter().any(|corner| corner.distance(foot) < 1e-9);
        assert!(found > distance - 1e-9, "{found} at {point}");
        assert!(at_corner || found < distance + 1e-9, "{found} at {point}");
    }
}

#[test]
fn grooves_run_at_their_true_distance_round_every_shape() {
    for (shape, corner) in [
        ("shape = 'rectangle'", 2.0_f64.sqrt()),
        ("shape.rectangle.corner_radius = 0.5", 1.0),
        ("shape = 'ellipse'", 1.0),
        ("shape.regular_polygon = { sides = 6 }", 1.0 / (std::f64::consts::PI / 3.0).sin()),
    ] {
        let mat = mat(&format!(
            "unit = 'in'\nouter = [10, 12]\ngroove.distance = [0.5, 0.75]\n[opening]\nsize = [4, 5]\n{shape}"
        ));
        let layer = &mat.layers()[0];
        assert_eq!(layer.decoration.grooves.len(), 2);
        for (groove, expected) in layer.decoration.grooves.iter().zip([0.5, 0.75]) {
            let GroovePath::Round { opening, distance, centre, edges } = &groove.course else {
                panic!("{groove:?}");
            };
            assert_eq!(*opening, 1);
            assert_near(*distance, expected * INCH, 1e-9);
            let face = &layer.openings[0].face;
            let half = 0.5 * groove.width();
            assert_parallel(centre, face, *distance);
            assert_parallel(&edges.inner, face, distance - half);
            assert_parallel(&edges.outer, face, distance + half);
            // A mitre lies 1 / sin(α/2) times the distance from its corner of angle α.
            let farthest =
                centre.flatten(0.001).into_iter().map(|point| face.nearest(point).distance(point)).fold(0.0, f64::max);
            assert!((farthest - corner * distance).abs() < 0.002, "{shape}: {farthest}");
        }
    }
}

#[test]
fn curved_grooves_are_true_parallels_at_every_sample() {
    let mat = mat("unit = 'in'\nouter = [12, 10]\ngroove = {}\n[opening]\nsize = [6, 2.5]\nshape = 'ellipse'");
    let layer = &mat.layers()[0];
    // The usual distance: about 1 in (heirlooms.ca).
    let GroovePath::Round { centre, .. } = &layer.decoration.grooves[0].course else { panic!() };
    let arc = centre.as_closed_arc().unwrap();
    for step in 0..500 {
        let point = arc.point(f64::from(step) / 500.0 * std::f64::consts::TAU);
        assert!((layer.openings[0].face.nearest(point).distance(point) - INCH).abs() < 1e-9);
    }
}

#[test]
fn the_width_follows_from_angle_and_depth() {
    let width = |keys: &str| {
        mat(&format!("unit = 'in'\nouter = 10\nopening.size = 4\nboard = '1.5 mm'\n[groove]\n{keys}")).layers()[0]
            .decoration
            .grooves[0]
            .width()
    };
    // 2 · depth · tan(angle / 2); a third of the board is common practice, no source.
    assert_near(width(""), 1.0, 1e-9);
    assert_near(width("depth = '0.4 mm'"), 0.8, 1e-9);
    assert_near(width("depth = '0.9 mm'\nangle = 60"), 2.0 * 0.9 / 3.0_f64.sqrt(), 1e-9);
    assert_near(Groove::width_of(120.0, 0.5), 3.0_f64.sqrt(), 1e-9);
}

#[test]
fn a_groove_may_have_a_line_of_its_own() {
    let job = |points: &str| {
        format!("unit = 'mm'\nouter = 200\nopening.size = 60\ngroove = {{ depth = 0.5, points = {points} }}")
    };
    let open = mat(&job("[[20, 20], [180, 20], [180, 60]]"));
    let GroovePath::Open { centre, edge } = &open.layers()[0].decoration.grooves[0].course else { panic!() };
    assert_eq!(centre, &[Point::new(20.0, 20.0), Point::new(180.0, 20.0), Point::new(180.0, 60.0)]);
    // 1 mm wide, 160 + 40 mm long: a mitre adds outside what it takes inside.
    assert_near(edge.area(), 200.0, 1e-9);
    assert_eq!(edge.segments().len(), 6);
    let closed = mat(&job("[[20, 20], [180, 20], [180, 180], [20, 180], [20, 20]]"));
    let GroovePath::Closed { centre, edges } = &closed.layers()[0].decoration.grooves[0].course else { panic!() };
    assert_parallel(&edges.outer, centre, 0.5);
    assert_parallel(centre, &edges.inner, 0.5);
    for (points, why) in [
        ("[[20, 20]]", "one point"),
        ("[[20, 20], [20, 20]]", "one point twice"),
        ("[[20, 20], [90, 20], [20, 20]]", "there and back"),
        ("[[20, 20], [180, 20], [180, 40], [100, 40], [100, 10]]", "across itself"),
    ] {
        assert_eq!(codes(&job(points)), ["groove"], "{why}");
    }
}

#[test]
fn ornaments_choose_their_openings() {
    let job = "unit = 'mm'\nouter = [400, 200]\nopening.size = 60\narrangement = { columns = 3, gap = 50 }\n";
    let numbers = |around: &str| -> Vec<usize> {
        let mat = mat(&format!("{job}groove = {{ distance = 10, {around} }}"));
        mat.layers()[0].decoration.grooves.iter().filter_map(Groove::opening).collect()
    };
    assert_eq!(numbers("around = 'all'"), [1, 2, 3]);
    assert_eq!(numbers("around = 2"), [2]);
    assert_eq!(numbers("around = [3, 1]"), [3, 1]);
    assert_eq!(codes(&format!("{job}groove = {{ distance = 10, around = 4 }}")), ["unknown-opening"]);
    assert_eq!(codes(&format!("{job}groove = {{ distance = 10, around = 'most' }}")), ["unknown-opening"]);
    let named = "unit = 'mm'\nouter = [400, 200]\narrangement = { columns = 3, gap = 50 }\n\
        opening = [{ name = 'Anna', size = 60 }, { name = 'Bert', size = 60 }, { name = 'Anna', size = 60 }]\n";
    let of_names = |around: &str| -> Vec<usize> {
        let mat = mat(&format!("{named}groove = {{ distance = 10, around = {around} }}"));
        mat.layers()[0].decoration.grooves.iter().filter_map(Groove::opening).collect()
    };
    assert_eq!(of_names("'bert'"), [2]);
    assert_eq!(of_names("['Anna', 1]"), [1, 3], "all of a name, and each once");
    let error = WrittenJob::read(&format!("{job}groove = {{ around = -1 }}"), Syntax::Toml).unwrap_err();
    assert!(error.message.contains("all") && error.message.contains("-1"), "{error}");
}

#[test]
fn the_six_line_pattern_is_the_published_one() {
    // https://www.thegrumble.com/threads/french-mats-to-be-a-no-brainer.4853/: the first line 1/2 in out, then steps
    // of 1/8, 1/4, 3/8, 5/8 (this gap is the wash panel) and 3/8 in.
    let mut line = 0.5;
    let mut published = vec![line];
    for step in [1.0 / 8.0, 1.0 / 4.0, 3.0 / 8.0, 5.0 / 8.0, 3.0 / 8.0] {
        line += step;
        published.push(line);
    }
    assert_eq!(published, [0.5, 0.625, 0.875, 1.25, 1.875, 2.25]);
    let mat = mat("unit = 'in'\nouter = [12, 14]\nopening.size = [5, 7]\nruled.pattern = 'six-line'");
    let layer = &mat.layers()[0];
    assert_eq!(layer.decoration.lines.len(), published.len());
    for (line, inches) in layer.decoration.lines.iter().zip(published) {
        assert_near(line.distance, inches * INCH, 1e-9);
        assert_parallel(&line.outline, &layer.openings[0].face, inches * INCH);
    }
    let [wash] = layer.decoration.washes.as_slice() else { panic!() };
    assert_near(wash.from, 1.25 * INCH, 1e-9);
    assert_near(wash.to, 1.875 * INCH, 1e-9);
    assert_parallel(&wash.edges.inner, &layer.openings[0].face, 1.25 * INCH);
    assert_parallel(&wash.edges.outer, &layer.openings[0].face, 1.875 * INCH);
    assert!(RULED_PATTERNS.iter().all(|pattern| pattern.source.contains("https://")));
}

#[test]
fn lines_and_bands_of_ones_own() {
    let mat = mat(
        "unit = 'mm'\nouter = 200\nopening.size = 60\n[ruled]\nwidth = 0.4\ncolour = 'grey'\nlines = [5, '1 cm', { distance = 15, width = 1 }]\n\
         bands = [[6, 9, 'ochre'], { from = 11, to = 14 }]",
    );
    let decoration = &mat.layers()[0].decoration;
    let lines: Vec<(f64, f64)> = decoration.lines.iter().map(|line| (line.distance, line.width)).collect();
    assert_eq!(lines, [(5.0, 0.4), (10.0, 0.4), (15.0, 1.0)]);
    let bands: Vec<(f64, f64, &str)> =
        decoration.washes.iter().map(|wash| (wash.from, wash.to, wash.colour.as_str())).collect();
    assert_eq!(bands, [(6.0, 9.0, "ochre"), (11.0, 14.0, "grey")]);
}

#[test]
fn each_check_speaks() {
    let one = "unit = 'mm'\nouter = 200\nboard = '1.5 mm'\nopening.size = 100\n";
    // The bar is 30 mm at the back and 26.825 mm at the face; two grooves 1.058 mm wide share it from 12.883 mm on.
    let two = "unit = 'mm'\nouter = [300, 200]\nopening.size = 80\narrangement = { columns = 2, gap = 30 }\n";
    for (job, keys, expected) in [
        (one, "groove = { distance = 10 }", None),
        (one, "groove = { distance = 10, depth = 1.5 }", Some("groove-too-deep")),
        (one, "groove = { distance = 10, depth = 0 }", Some("groove")),
        (one, "groove = { distance = 10, angle = 180 }", Some("groove")),
        (one, "groove = { distance = 48 }", Some("off-board")),
        (one, "groove = { distance = 60 }", Some("off-board")),
        (one, "groove = { distance = 0.5 }", Some("too-near-opening")),
        (one, "groove = { distance = 0.52 }", None),
        // Under a reverse bevel the board is too thin to be grooved.
        (one, "groove = { distance = 1.9 }\nbevel = 'reverse'", Some("too-near-opening")),
        (one, "groove = { distance = 2.1 }\nbevel = 'reverse'", None),
        (one, "groove = { points = [[30, 30], [100, 100]] }", Some("meets-opening")),
        (one, "groove = { points = [[90, 90], [100, 100]] }", Some("meets-opening")),
        (one, "groove = { points = [[-5, 30], [100, 30]] }", Some("off-board")),
        (one, "groove = [{ distance = 20 }, { points = [[20, 40], [40, 40]] }]", Some("ornaments-meet")),
        (one, "groove = { distance = [10, 10.5] }", Some("ornaments-meet")),
        (one, "groove = { distance = 10 }\nruled.lines = [10.2]", Some("ornaments-meet")),
        (one, "groove = { distance = 10, points = [[1, 1], [5, 5]] }", Some("contradiction")),
        (two, "groove = { distance = 40, around = 1 }", Some("meets-opening")),
        (two, "groove = { distance = 12.8 }", None),
        (two, "groove = { distance = 12.9 }", Some("ornaments-meet")),
        (two, "ruled.lines = [15]", Some("ornaments-meet")),
        (two, "ruled.bands = [[5, 40, 'grey']]\nruled.around = 2", Some("meets-opening")),
        (one, "ruled.lines = [55]", Some("off-board")),
        (one, "ruled.lines = [0]", Some("too-near-opening")),
        (one, "ruled.bands = [[9, 9, 'grey']]", Some("ruled")),
        (one, "ruled = {}", Some("not-enough")),
        (one, "ruled.pattern = 'seven-line'", Some("unknown-pattern")),
    ] {
        let found = codes(&format!("{keys}\n{job}"));
        assert_eq!(found.first().copied(), expected, "{keys}: {found:?}");
    }
}

#[test]
fn a_groove_may_surround_two_openings() {
    let job = "unit = 'mm'\nouter = [300, 200]\nopening.size = 80\narrangement = { columns = 2, gap = 30 }\n\
               [groove]\npoints = [[35, 40], [265, 40], [265, 160], [35, 160], [35, 40]]";
    assert_eq!(codes(job), Vec::<&str>::new());
}

#[test]
fn no_parallel_is_explained() {
    // A hook goes round a piece of board that 20 mm join to the rest: 60 mm out there is nothing left to run on but an island.
    let job = "unit = 'mm'\nouter = 500\ngroove = { distance = 60 }\n[opening]\n\
               shape.polygon.corners = [[0, 0], [250, 0], [250, 90], [230, 90], [230, 20], [20, 20], [20, 230], [230, 230], [230, 110], [250, 110], [250, 250], [0, 250]]";
    let resolved = resolve(job);
    let [problem] = resolved.problems.as_slice() else { panic!("{:?}", resolved.problems) };
    assert_eq!(problem.code, "no-parallel");
    assert_eq!(problem.place.path.to_string(), "groove[0].distance[0]");
}

#[test]
fn a_layer_has_ornaments_of_its_own() {
    let mat = mat("unit = 'in'\nouter = 12\nopening.size = 4\n[groove]\n[[layer]]\n[[layer]]\nreveal = 0.5\n\
         [layer.groove]\ndistance = '6 mm'\ndepth = '0.3 mm'");
    let distances: Vec<f64> = mat
        .layers()
        .iter()
        .map(|layer| match layer.decoration.grooves.as_slice() {
            [Groove { course: GroovePath::Round { distance, .. }, .. }] => *distance,
            other => panic!("{other:?}"),
        })
        .collect();
    assert_near(distances[0], INCH, 1e-9);
    assert_near(distances[1], 6.0, 1e-9);
}

#[test]
fn inks_are_named_and_coloured() {
    let job = "unit = 'mm'\nouter = [400, 500]\nopening.size = [200, 250]\n[ruled]\nink = 'sepia'\n\
               lines = [6, { distance = 12, ink = 'darkgoldenrod' }, 14]\nbands = [[8, 10, 'ochre']]";
    let mat = mat(job);
    let decoration = &mat.layers()[0].decoration;
    assert_eq!(decoration.inks(), ["sepia", "darkgoldenrod"]);
    // CSS Color Module, level 4, named colours.
    let gold = backline::colour::Colour::new(184, 134, 11);
    assert_eq!(decoration.lines[1].tint, Some(gold));
    let words = decoration.describe(mat.ruler(), &mat.layers()[0].openings);
    assert_eq!(words[0], "ruled lines 6 mm, 14 mm from the face edge of opening 1 (0.3 mm wide, in sepia)");
    let pen = backline::view::View::by_name("pen").unwrap().draw(&mat, &mat.layers()[0]);
    assert!(pen.title.ends_with(" - in sepia, darkgoldenrod"), "{}", pen.title);
    // Without a name nothing is said.
    let plain = self::mat(&job.replace("ink = 'sepia'\n", "").replace(", ink = 'darkgoldenrod'", ""));
    assert_eq!(plain.layers()[0].decoration.inks(), [] as [&str; 0]);
    assert!(!plain.layers()[0].decoration.describe(plain.ruler(), &plain.layers()[0].openings)[0].contains(" in "));
}

/// A short job must not fill the memory: 10,000 lines round each of 992 openings took more than 5 GB.
#[test]
fn too_many_ornaments_are_refused_before_they_are_made() {
    let lines: Vec<String> = (0..10_000).map(|line| format!("{}", 3.0 + 0.01 * f64::from(line))).collect();
    let many = |lines: &str, shape: &str| {
        format!(
            "unit = 'mm'\nborder = 60\narrangement = {{ rows = 31, columns = 32, gap = 50 }}\n\
            ruled = [{{ lines = [{lines}] }}]\n[opening]\n{shape}\n"
        )
    };
    let errors = |job: &str| -> Vec<Problem> { resolve(job).problems.into_iter().filter(Problem::is_error).collect() };
    let found = errors(&many(&lines.join(", "), "size = [30, 40]"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].code, "too-much");
    assert_eq!(found[0].message, "10000 ornaments round opening 1 are too many");
    // Few lines round many openings of many sides are much as well.
    let few = (3..13).map(|line| line.to_string()).collect::<Vec<_>>().join(", ");
    let round = "shape = { regular_polygon = { sides = 120, across_flats = 40 } }";
    let found = errors(&many(&few, round));
    assert_eq!(found[0].code, "too-much");
    assert!(found[0].message.starts_with("the ornaments of this board have more than 1000000 lines and arcs"));
    assert_eq!(errors(&many("3, 5, 7", "size = [30, 40]")), []);
}
