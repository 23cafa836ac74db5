//! Every shape against closed forms: area, perimeter, bevels, corners, messages; and openings that are turned.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

use std::f64::consts::{PI, SQRT_2, TAU};

use backline::checked::Checked;
use backline::geometry::{Outline, Segment};
use backline::job::{Syntax, WrittenJob};
use backline::mat::Mat;
use kurbo::{Point, Size, Vec2};

/// A board of 1.5 mm under a blade of 45 degrees: the bevel is as wide.
const BEVEL: f64 = 1.5;

fn resolve(opening: &str) -> Checked<Mat> {
    let job = format!("unit = 'mm'\nborder = 60\nboard.thickness = 1.5\n[opening]\n{opening}");
    WrittenJob::read(&job, Syntax::Toml).unwrap_or_else(|errors| panic!("{opening}: {errors:?}")).resolve()
}

fn mat(opening: &str) -> Mat {
    let resolved = resolve(opening);
    assert!(resolved.sound().is_some(), "{opening}: {:?}", resolved.problems);
    resolved.value.unwrap()
}

/// The sight outline and the outline on the face, which lies outside it by the bevel.
fn outlines(shape: &str, size: (f64, f64)) -> (Outline, Outline) {
    let mat = mat(&format!("size = [{}, {}]\nshape.{shape}", size.0, size.1));
    let opening = &mat.layers()[0].openings[0];
    (opening.sight.clone(), opening.face.clone())
}

#[track_caller]
fn assert_near(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() < 1e-9 * expected.abs().max(1.0), "{what}: {found} is not {expected}");
}

/// The perimeter of an ellipse: the trapezoid rule of a periodic function errs by less than any power of its step.
fn ellipse_perimeter(a: f64, b: f64) -> f64 {
    let sum: f64 = (0..4096).map(|k| (TAU * f64::from(k) / 4096.0).sin_cos()).map(|(s, c)| (a * s).hypot(b * c)).sum();
    TAU * sum / 4096.0
}

/// Every shape with its size, area and perimeter in closed form.
fn closed_forms() -> Vec<(&'static str, (f64, f64), f64, f64)> {
    let tall = (100.0, 150.0);
    let segment_radius = (50.0_f64.powi(2) + 30.0_f64.powi(2)) / 60.0;
    let segment = 2.0 * 50.0_f64.atan2(segment_radius - 30.0);
    let equilateral = 75.0_f64.sqrt() * 10.0;
    // Pointed, radius 60 over a span of 100: half the angle between the centres 20 apart.
    let drop_rise = (60.0_f64.powi(2) - 10.0_f64.powi(2)).sqrt();
    let drop = drop_rise.atan2(10.0);
    let drop_area = 60.0 * 60.0 * drop - 10.0 * drop_rise;
    let (outer, inner) = (1.0, (TAU / 5.0).cos() / (PI / 5.0).cos());
    let spread = Size::new(2.0 * (TAU / 5.0).sin(), 1.0 + (PI / 5.0).cos());
    let star = (100.0 / spread.width).min(150.0 / spread.height);
    let star_side = |n: f64, r: f64| (1.0 + r * r - 2.0 * r * (PI / n).cos()).sqrt();
    let r = 30.0;
    let heart = ((2.0 + SQRT_2) * r, (1.0 + 1.5 * SQRT_2) * r);
    vec![
        ("arch.curve = 'round'", tall, 1e4 + PI * 1250.0, 300.0 + PI * 50.0),
        ("arch.side = 'left'", (150.0, 100.0), 1e4 + PI * 1250.0, 300.0 + PI * 50.0),
        ("arch.side = 'bottom'", (100.0, 50.0), PI * 1250.0, 100.0 + PI * 50.0),
        (
            "arch = { curve = 'segmental', rise = 30 }",
            tall,
            12e3 + 0.5 * segment_radius.powi(2) * (segment - segment.sin()),
            340.0 + segment_radius * segment,
        ),
        (
            "arch = { curve = 'elliptical', rise = 30 }",
            tall,
            12e3 + 750.0 * PI,
            340.0 + 0.5 * ellipse_perimeter(50.0, 30.0),
        ),
        (
            "arch.curve = 'pointed'",
            tall,
            100.0 * (150.0 - equilateral) + 1e4 * (PI / 3.0 - 0.25 * 3.0_f64.sqrt()),
            400.0 - 2.0 * equilateral + 200.0 * PI / 3.0,
        ),
        (
            "arch = { curve = 'pointed', radius = 60, side = 'right' }",
            (150.0, 100.0),
            100.0 * (150.0 - drop_rise) + drop_area,
            400.0 - 2.0 * drop_rise + 120.0 * drop,
        ),
        ("rectangle.corners.all.rounded = 20", tall, 15e3 - (4.0 - PI) * 400.0, 500.0 - 160.0 + 40.0 * PI),
        ("rectangle.corners.all.clipped = [20, 10]", tall, 15e3 - 400.0, 500.0 - 120.0 + 4.0 * 500.0_f64.sqrt()),
        ("rectangle.corners.all.scooped = 20", tall, 15e3 - PI * 400.0, 500.0 - 160.0 + 40.0 * PI),
        ("rectangle.corners.all.stepped = 10", tall, 15e3 - 400.0, 500.0),
        ("rectangle.corners.all.stepped = { step = [10, 8], count = 3 }", tall, 15e3 - 4.0 * 80.0 * 6.0, 500.0),
        (
            "rectangle.corners = { all = { rounded = 50 }, bottom_left = 'square', bottom_right = 'square' }",
            tall,
            1e4 + PI * 1250.0,
            300.0 + PI * 50.0,
        ),
        (
            "rectangle.corners = { top_left = { scooped = 12 }, top_right = { stepped = 8 }, bottom_left = { clipped = 9 }, bottom_right = { rounded = 11 } }",
            tall,
            15e3 - PI * 36.0 - 64.0 - 40.5 - (1.0 - 0.25 * PI) * 121.0,
            500.0 - 24.0 + 6.0 * PI - 18.0 + 9.0 * SQRT_2 - 22.0 + 5.5 * PI,
        ),
        ("straight_oval = {}", tall, 5e3 + PI * 2500.0, 100.0 + PI * 100.0),
        ("straight_oval = {}", (150.0, 100.0), 5e3 + PI * 2500.0, 100.0 + PI * 100.0),
        ("straight_oval = {}", (100.0, 100.0), PI * 2500.0, PI * 100.0),
        ("star = {}", tall, 5.0 * star * star * outer * inner * (PI / 5.0).sin(), 10.0 * star * star_side(5.0, inner)),
        // A star of six with every corner at a twelfth of a turn: as wide as √3 radii, as high as two.
        (
            "star = { points = 6, inner = 0.5 }",
            (100.0, 110.0),
            6.0 * 55.0 * 55.0 * 0.5 * 0.5,
            12.0 * 55.0 * star_side(6.0, 0.5),
        ),
        (
            "star = { points = 4, depth = 30 }",
            (100.0, 100.0),
            4.0 * 50.0 * 20.0 * 0.5 * SQRT_2,
            400.0 * star_side(4.0, 0.4),
        ),
        ("heart = {}", heart, (4.0 + PI) * r * r, (4.0 + TAU) * r),
    ]
}

#[test]
fn areas_and_perimeters_are_those_of_the_closed_forms() {
    for (shape, size, area, perimeter) in closed_forms() {
        let (sight, _) = outlines(shape, size);
        assert_near(sight.area(), area, shape);
        assert_near(sight.perimeter(), perimeter, shape);
        if !shape.starts_with("star") {
            assert_near(sight.size().width, size.0, shape);
            assert_near(sight.size().height, size.1, shape);
        }
    }
}

#[test]
fn areas_are_those_of_dense_polygons() {
    for (shape, size, ..) in closed_forms() {
        for outline in <[Outline; 2]>::from(outlines(shape, size)) {
            let points = outline.flatten(1e-5);
            let following = points.iter().cycle().skip(1);
            let shoelace: f64 = points.iter().zip(following).map(|(a, b)| 0.5 * a.to_vec2().cross(b.to_vec2())).sum();
            // Chords of sagitta 1e-5 cut off at most two thirds of that along the whole outline.
            assert!((shoelace - outline.area()).abs() < 1e-5 * outline.perimeter(), "{shape}");
        }
    }
}

/// Area and perimeter of the mitred parallel: what Steiner's formula says of curves, and tan(τ/2) for τ/2 at corners
/// between straight sides; `None` where a curve ends in a corner.
fn moved_measures(outline: &Outline, distance: f64) -> Option<(f64, f64)> {
    let segments = outline.segments();
    let mut bend = 0.0;
    for (before, after) in segments.iter().cycle().skip(segments.len() - 1).zip(segments) {
        if let Segment::Arc(arc) = after {
            bend += arc.sweep;
        }
        let (incoming, outgoing) = (before.end_direction(), after.start_direction());
        let turn = incoming.cross(outgoing).atan2(incoming.dot(outgoing));
        if turn.abs() > 1e-9 {
            let straight = [before, after].iter().all(|piece| matches!(piece, Segment::Line(_)));
            bend += straight.then_some(2.0 * (0.5 * turn).tan())?;
        }
    }
    let area = outline.area() + distance * outline.perimeter() + 0.5 * distance * distance * bend;
    Some((area, outline.perimeter() + distance * bend))
}

#[test]
fn bevels_follow_steiner_and_the_mitres() {
    let mut compared = 0;
    for (shape, size, ..) in closed_forms() {
        let (sight, face) = outlines(shape, size);
        let Some((area, perimeter)) = moved_measures(&sight, BEVEL) else {
            continue;
        };
        assert_near(face.area(), area, shape);
        assert_near(face.perimeter(), perimeter, shape);
        compared += 1;
    }
    assert_eq!(compared, 14, "the shapes whose curves all touch their neighbours");
}

#[test]
fn moving_there_and_back_changes_nothing() {
    for (shape, size, ..) in closed_forms() {
        let (sight, face) = outlines(shape, size);
        let back = face.offset(-BEVEL).unwrap();
        for (a, b) in sight.segments().iter().zip(back.segments()) {
            assert!(a.start().distance(b.start()) < 1e-8 && a.end().distance(b.end()) < 1e-8, "{shape}");
        }
        let inner = sight.offset(-BEVEL).unwrap();
        assert!((inner.offset(BEVEL).unwrap().area() - sight.area()).abs() < 1e-7, "{shape}");
    }
}

#[test]
fn mitres_of_curves_lie_where_the_moved_circles_meet() {
    // A pointed arch: both radii grow to 101.5, the centres stay 100 apart on the springing line.
    let (sight, face) = outlines("arch.curve = 'pointed'", (100.0, 150.0));
    assert_near(sight.bounds().y0 - face.bounds().y0, (101.5_f64.powi(2) - 2500.0).sqrt() - 7500.0_f64.sqrt(), "apex");
    // A scooped corner: the radius shrinks to 18.5, the side lies 1.5 outside the centre.
    let (_, face) = outlines("rectangle.corners.top_left.scooped = 20", (100.0, 150.0));
    let corner = face.bounds().origin() + Vec2::new(BEVEL + (18.5_f64.powi(2) - 1.5 * 1.5).sqrt(), 0.0);
    assert!(face.segments().iter().any(|piece| piece.start().distance(corner) < 1e-9));
    // The dip of a heart: circles of radius 31.5 whose centres lie 30√2 apart.
    let (sight, face) = outlines("heart = {}", ((2.0 + SQRT_2) * 30.0, (1.0 + 1.5 * SQRT_2) * 30.0));
    let middle = sight.bounds().center().x;
    let dip = Point::new(middle, sight.bounds().y0 + 30.0 - (31.5_f64.powi(2) - 450.0).sqrt());
    assert!(face.segments().iter().any(|piece| piece.start().distance(dip) < 1e-9));
}

#[test]
fn steps_smaller_than_the_bevel_keep_their_size() {
    let (sight, face) = outlines("rectangle.corners.all.stepped = { step = 0.5, count = 4 }", (100.0, 150.0));
    assert_eq!(face.segments().len(), sight.segments().len());
    let short = |outline: &Outline| outline.segments().iter().filter(|side| (side.length() - 0.5).abs() < 1e-9).count();
    assert_eq!((short(&sight), short(&face)), (32, 32));
}

#[test]
fn free_outlines_read_bulges_and_through_points() {
    let lens = "path.points = [{ at = [0, 0], bulge = -0.5 }, { at = [80, 0], bulge = -0.5 }]";
    let outline = |shape: &str| mat(&format!("shape.{shape}")).layers()[0].openings[0].sight.clone();
    // Two arcs of 4 atan ½ over a chord of 80: sagitta 20, radius 50.
    let angle = 4.0 * 0.5_f64.atan();
    assert_near(outline(lens).area(), 2500.0 * (angle - angle.sin()), lens);
    assert_near(outline(lens).size().height, 40.0, lens);
    // From left to right along the top, clockwise as seen from the front: a bulge below zero bends up and outwards.
    let arch = "path.points = [{ at = [0, 50], bulge = -1 }, [100, 50], [100, 150], [0, 150]]";
    let (top, _) = outlines("arch.curve = 'round'", (100.0, 150.0));
    assert_near(outline(arch).area(), top.area(), arch);
    let bounds = outline(arch).bounds();
    assert_near(bounds.height(), 150.0, arch);
    // The same by a point on the curve; and above zero it is hollow.
    let through = "path.points = [{ at = [0, 50], through = [50, 0] }, [100, 50], [100, 150], [0, 150], [0, 50]]";
    assert_near(outline(through).area(), top.area(), through);
    let hollow = "path.points = [{ at = [0, 50], bulge = 0.5 }, [100, 50], [100, 150], [0, 150]]";
    assert_near(outline(hollow).area(), 1e4 - 0.5 * 62.5 * 62.5 * (angle - angle.sin()), hollow);
    // More than a semicircle: 270 degrees on a chord of 60√2 have a radius of 60.
    let keyhole = "path.points = [{ at = [0, 0], bulge = -2.414213562373095 }, [84.8528137423857, 0], [60, 90], [24.8528137423857, 90]]";
    assert_near(outline(keyhole).size().width, 120.0, keyhole);
}

#[test]
fn a_turned_opening_keeps_its_size_and_has_the_borders_of_its_bounds() {
    let mat = mat("size = [100, 60]\nturn = 30");
    let sight = &mat.layers()[0].openings[0].sight;
    assert_near(sight.area(), 6000.0, "area");
    let (sin, cos) = 30.0_f64.to_radians().sin_cos();
    assert_near(mat.outer().width, 120.0 + 100.0 * cos + 60.0 * sin, "width of the mat");
    assert_near(mat.outer().height, 120.0 + 100.0 * sin + 60.0 * cos, "height of the mat");
    assert_near(sight.bounds().x0, 60.0, "border");
    // Clockwise: the upper right corner comes down, so that the highest corner is the upper left one.
    let highest = sight.as_polygon().unwrap().into_iter().min_by(|a, b| a.y.total_cmp(&b.y)).unwrap();
    assert_near(highest.x - 60.0, 60.0 * sin, "highest corner");
}

#[test]
fn quarter_turns_are_exact_and_carry_the_art() {
    let turned = mat("size = [100, 150]\nshape.arch = {}\nturn = 90");
    let right = mat("size = [150, 100]\nshape.arch.side = 'right'");
    let (a, b) = (&turned.layers()[0].openings[0].sight, &right.layers()[0].openings[0].sight);
    assert_eq!(a.bounds(), b.bounds());
    assert_near(a.area(), b.area(), "area");
    let mat = mat("art = [100, 150]\noverlap = { left = 1, right = 2, top = 3, bottom = 4 }\nturn = -90");
    let (sight, art) = (mat.layers()[0].openings[0].sight.bounds(), mat.art()[0].rect);
    // Anticlockwise: what was on the right is on top.
    assert_eq!((art.width(), art.height()), (150.0, 100.0));
    assert_near(sight.y0 - art.y0, 2.0, "top");
    assert_near(sight.x0 - art.x0, 3.0, "left");
    assert_near(art.y1 - sight.y1, 1.0, "bottom");
    let square_on = resolve("size = [60, 60]\nturn = 45").value.unwrap();
    assert_near(square_on.layers()[0].openings[0].sight.size().width, 60.0 * SQRT_2, "corner to corner");
}

#[test]
fn art_is_turned_with_its_opening() {
    let mat = mat("art = [100, 60]\noverlap = { left = 1, right = 2, top = 3, bottom = 4 }\nturn = 30");
    let (sight, art) = (&mat.layers()[0].openings[0].sight, &mat.art()[0]);
    let corners = art.corners();
    assert_near(corners[0].distance(corners[1]), 100.0, "upper side");
    assert_near(corners[1].distance(corners[2]), 60.0, "right side");
    // Each corner of the sight opening lies inside the art by the overlaps of its two sides.
    let along = (corners[1] - corners[0]).normalize();
    assert_near(along.atan2().to_degrees(), 30.0, "clockwise, y down");
    let inside = sight.as_polygon().unwrap().into_iter().map(|corner| (corner - corners[0]).dot(along));
    assert_near(inside.clone().fold(f64::INFINITY, f64::min), 1.0, "left overlap");
    assert_near(inside.fold(0.0, f64::max), 98.0, "right overlap");
    let down = along.turn_90();
    let below = sight.as_polygon().unwrap().into_iter().map(|corner| (corner - corners[0]).dot(down));
    assert_near(below.fold(f64::INFINITY, f64::min), 3.0, "upper overlap");
}

#[test]
fn what_cannot_be_cut_is_refused_with_its_numbers() {
    for (opening, key, words) in [
        ("size = [100, 40]\nshape.arch = {}", "opening.shape.arch", "rises 50 mm"),
        ("size = [100, 150]\nshape.arch.curve = 'segmental'", "opening.shape.arch", "needs a rise"),
        ("size = [100, 150]\nshape.arch = { curve = 'segmental', rise = 60 }", "opening.shape.arch.rise", "100 mm"),
        (
            "size = [100, 150]\nshape.arch = { curve = 'pointed', radius = 50 }",
            "opening.shape.arch.radius",
            "do not meet in a point",
        ),
        ("size = [100, 150]\nshape.arch.rise = 20", "opening.shape.arch.rise", "does not take `rise`"),
        ("size = [100, 50]\nshape.heart = {}", "opening.shape.heart", "no tip"),
        ("size = [90, 90]\nshape.star.inner = 0.9", "opening.shape.star.inner", "0.9"),
        ("size = [90, 90]\nshape.star = { points = 4, depth = 45 }", "opening.shape.star.depth", "45 mm"),
        ("size = [90, 90]\nshape.rectangle.corners.all.scooped = 45", "opening.shape.rectangle.corners", "45 mm"),
        (
            "size = [90, 90]\nshape.rectangle.corners = { top_left = { scooped = 80 }, bottom_right = { scooped = 80 } }",
            "opening.shape.rectangle.corners",
            "crosses or touches itself",
        ),
        (
            "shape.path.points = [[0, 0], [90, 90], [90, 0], [0, 60]]",
            "opening.shape.path.points",
            "crosses or touches itself at x 36 mm, y 36 mm",
        ),
        ("shape.path.points = [[0, 0], [90, 0], [40, 0], [40, 60]]", "opening.shape.path.points", "x 90 mm, y 0 mm"),
        (
            "shape.path.points = [{ at = [0, 0], through = [20, 0] }, [90, 0], [40, 60]]",
            "opening.shape.path.points[0].through",
            "straight line",
        ),
        ("size = [90, 90]\nturn = inf", "opening.turn", "turned by inf degrees"),
    ] {
        let resolved = resolve(opening);
        let problem = resolved.problems.first().unwrap_or_else(|| panic!("{opening} is not refused"));
        let shown = format!("{} {}", problem.message, problem.help);
        assert!(shown.contains(words), "{opening}: {shown}");
        let path = problem.place.path.to_string();
        assert!(path.replace("opening[0]", "opening").starts_with(key), "{opening}: {path}");
    }
}
