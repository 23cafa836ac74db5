//! Parallel outlines without what has no room in them, held against the mitred buffers of the crate `geo`.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

use crate::common::random::Random;
use crate::common::shapes::bulged_piece;
use backline::geometry::{OffsetError, Outline, Segment, Trimmed, TrimmedExtent, TrimmedStretch};
use geo::algorithm::buffer::{Buffer, BufferStyle, LineJoin};
use geo::{Area, BooleanOps, LineString, MultiPolygon};
use kurbo::{Point, Vec2};

fn polygon_of(points: &[Point]) -> geo::Polygon {
    geo::Polygon::new(LineString::from_iter(points.iter().map(|point| (point.x, point.y))), Vec::new())
}

/// The mitred buffer of a polygon; its mitres may be very long.
fn buffer(corners: &[Point], distance: f64) -> MultiPolygon {
    polygon_of(corners).buffer_with_style(BufferStyle::new(distance).line_join(LineJoin::Miter(0.01)))
}

/// Points of an outline, so near to each other at the ends of arcs that the last chord has the direction of the tangent.
fn chords(outline: &Outline) -> Vec<Point> {
    let mut points = Vec::new();
    for piece in outline.segments() {
        match piece {
            Segment::Line(line) => points.push(line.p0),
            Segment::Arc(arc) => {
                let near = 0.002 / arc.radius_at(arc.start) / arc.sweep.abs();
                let count = (arc.signed_length().abs() / 0.3).ceil() as usize;
                let between = (1..count).map(|k| k as f64 / count as f64);
                let shares = [0.0, near].into_iter().chain(between).chain([1.0 - near]);
                points.extend(shares.map(|share| arc.point(arc.start + share * arc.sweep)));
            }
        }
    }
    points
}

/// The smallest angle at a corner, inside or outside.
fn sharpest(corners: &[Point]) -> f64 {
    let count = corners.len();
    (0..count)
        .map(|at| {
            let [before, here, after] = [at + count - 1, at, at + 1].map(|k| corners[k % count]);
            let (a, b) = (before - here, after - here);
            a.cross(b).atan2(a.dot(b)).abs()
        })
        .fold(f64::INFINITY, f64::min)
}

/// A star of random corners, with notches and tongues.
fn corners(random: &mut Random) -> Vec<Point> {
    let count = 3 + random.below(9);
    let mut corners = Vec::new();
    for k in 0..count {
        let angle = std::f64::consts::TAU * (k as f64 + random.between(0.0, 0.7)) / count as f64;
        let at = Point::new(200.0, 200.0) + Vec2::from_angle(angle) * random.between(15.0, 150.0);
        corners.push(at);
        if random.once_in(3) {
            // A step, a notch or a tongue.
            let along = Vec2::from_angle(angle + random.between(1.2, 1.9));
            let width = random.between(1.0, 14.0);
            let out = Vec2::from_angle(angle) * random.between(-20.0, 20.0);
            corners.extend([at + out, at + out + along * width, at + along * width]);
        }
    }
    corners
}

fn given(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |number| number.parse().unwrap())
}

#[test]
fn what_is_left_of_polygons_is_what_another_library_leaves() {
    let (seed, cases) = (given("BACKLINE_SEED", 1), given("BACKLINE_CASES", 600));
    println!("BACKLINE_SEED={seed} BACKLINE_CASES={cases}");
    let mut random = Random::new(seed);
    let (mut whole, mut trimmed, mut refused) = (0, 0, std::collections::BTreeMap::<String, u64>::new());
    while whole + trimmed < cases {
        let corners = corners(&mut random);
        let Some(outline) = Outline::polygon(&corners).filter(|outline| outline.crossing().is_none()) else { continue };
        // The other library works on a grid, in which the direction of shorter sides drowns.
        let is_plain = outline.segments().iter().all(|side| side.length() > 1.0);
        if sharpest(&corners) < 6_f64.to_radians() || !is_plain {
            continue;
        }
        let distance = random.between(0.5, 14.0) * if random.once_in(2) { 1.0 } else { -1.0 };
        let other = buffer(&corners, distance);
        match outline.trimmed(distance) {
            Ok(Trimmed { outline: ours, lost, .. }) => {
                let differ =
                    MultiPolygon::new(vec![polygon_of(&ours.as_polygon().unwrap())]).xor(&other).unsigned_area();
                assert!(
                    differ < 1e-4 * outline.perimeter(),
                    "{differ} mm² of {} by {distance}: {corners:?} {ours:?}",
                    ours.area()
                );
                match outline.offset(distance) {
                    Ok(exact) => {
                        assert_eq!(lost, [], "by {distance}: {corners:?}");
                        assert!(
                            (exact.area() - ours.area()).abs() < 1e-6,
                            "{} {} {distance} {corners:?}",
                            exact.area(),
                            ours.area()
                        );
                        whole += 1;
                    }
                    Err(_) => trimmed += 1,
                }
            }
            Err(error) => {
                let (name, agrees) = match error {
                    OffsetError::NothingLeft { .. } => ("nothing left", other.0.is_empty()),
                    OffsetError::FallsApart { .. } => ("falls apart", other.0.len() > 1),
                    OffsetError::ClosesRound { .. } => {
                        ("closes round", other.0.iter().any(|polygon| !polygon.interiors().is_empty()))
                    }
                    _ => {
                        println!("{error} by {distance}: {corners:?} {}", other.0.len());
                        ("unclear", true)
                    }
                };
                assert!(agrees, "{error} by {distance}, but {} parts: {corners:?}", other.0.len());
                *refused.entry(name.to_owned()).or_default() += 1;
            }
        }
    }
    println!("{whole} whole, {trimmed} trimmed, refused: {refused:?}");
    let unclear = refused.get("unclear").copied().unwrap_or_default();
    assert!(trimmed * 10 > cases && unclear * 100 < cases, "{refused:?}");
}

/// Curves that grow tighter run on straight to their corners, as the last of many chords does.
#[test]
fn what_is_left_of_curves_is_what_another_library_leaves() {
    let (seed, cases) = (given("BACKLINE_SEED", 1), given("BACKLINE_CASES", 8));
    println!("BACKLINE_SEED={seed} BACKLINE_CASES={cases}");
    let mut random = Random::new(seed);
    let (mut with_loss, mut whole, mut refused) = (0, 0, 0);
    while with_loss + whole < cases {
        let way = if random.once_in(2) { 1.0 } else { -1.0 };
        let distance = random.between(1.0, 14.0) * way;
        let corners = corners(&mut random);
        let following = corners.iter().cycle().skip(1);
        let pieces = corners.iter().zip(following).map(|(&from, &to)| {
            let bulge = if random.once_in(3) { 0.0 } else { -way * random.between(0.02, 1.0) };
            bulged_piece(from, bulge, to)
        });
        let pieces: Vec<Segment> = pieces.collect();
        let Some(outline) = Outline::new(pieces.clone()).filter(|outline| outline.crossing().is_none()) else {
            continue;
        };
        // An outline may come out turned round, and then its curves grow wider.
        if outline.segments() != pieces || pieces.iter().any(|piece| piece.length() < 1.0) {
            continue;
        }
        let ahead = |(a, b): (&Segment, &Segment)| a.end_direction().dot(b.start_direction());
        let sharp = 25_f64.to_radians().cos();
        if pieces.iter().cycle().skip(pieces.len() - 1).zip(&pieces).any(|pair| ahead(pair) < -sharp) {
            continue;
        }
        let other = buffer(&chords(&outline), distance);
        match outline.trimmed(distance) {
            Ok(Trimmed { outline: ours, lost, .. }) => {
                let differ = MultiPolygon::new(vec![polygon_of(&ours.flatten(1e-4))]).xor(&other).unsigned_area();
                assert!(differ < 2e-3 * outline.perimeter(), "{differ} mm² by {distance}: {outline:?} {ours:?}");
                if lost.is_empty() { whole += 1 } else { with_loss += 1 }
            }
            Err(error) => {
                assert_ne!(other.0.len(), 1, "{error} by {distance}: {outline:?}");
                refused += 1;
            }
        }
    }
    println!("{whole} whole, {with_loss} trimmed, {refused} refused");
    assert!(with_loss > 0 && whole > 0);
}

/// Returns a polygon of corners.
fn polygon(corners: &[(f64, f64)]) -> Outline {
    Outline::polygon(&corners.iter().map(|&corner| Point::from(corner)).collect::<Vec<_>>()).unwrap()
}

#[test]
fn a_tongue_of_board_narrower_than_twice_the_distance_is_left_out() {
    let tongue = polygon(&[
        (0.0, 0.0),
        (50.0, 0.0),
        (50.0, 30.0),
        (55.0, 30.0),
        (55.0, 0.0),
        (100.0, 0.0),
        (100.0, 80.0),
        (0.0, 80.0),
    ]);
    let Trimmed { outline, lost, .. } = tongue.trimmed(3.0).unwrap();
    assert_eq!(outline, polygon(&[(-3.0, -3.0), (103.0, -3.0), (103.0, 83.0), (-3.0, 83.0)]));
    println!("{lost:?}");
    assert_eq!(lost.len(), 1);
    assert_eq!((lost[0].first, lost[0].pieces, lost[0].what), (1, 3, TrimmedExtent::Several));
    assert_eq!((lost[0].bounds.width(), lost[0].bounds.height()), (5.0, 30.0));
    // It stays where there is room for it.
    assert_eq!(tongue.trimmed(2.4).unwrap().outline.segments().len(), 8);
}

#[test]
fn a_rounded_corner_becomes_a_plain_one() {
    let rounded = Outline::rounded_rectangle(kurbo::Rect::new(0.0, 0.0, 100.0, 60.0), 1.0).unwrap();
    let Trimmed { outline, lost, .. } = rounded.trimmed(-1.5875).unwrap();
    println!("{outline:?} {lost:?}");
    assert_eq!(outline.segments().len(), 4);
    assert!((outline.area() - (100.0 - 3.175) * (60.0 - 3.175)).abs() < 1e-9);
    assert!(lost.len() == 4 && lost.iter().all(|lost| lost.what == TrimmedExtent::Curve(1.0)));
    assert!(outline.segments().iter().all(|piece| matches!(piece, Segment::Line(_))));
}

/// The parallel of an ellipse crosses itself at the axis beyond the centre of the smallest curvature: what is left are two arcs with tips.
#[test]
fn a_flat_oval_moved_beyond_its_smallest_radius_comes_to_points() {
    let oval = Outline::ellipse(Point::new(0.0, 0.0), 100.0, 10.0, 0.3).unwrap();
    let Trimmed { outline, lost, .. } = oval.trimmed(-3.0).unwrap();
    assert!(
        matches!(lost[..], [TrimmedStretch { what: TrimmedExtent::Tip(a), .. }, TrimmedStretch { what: TrimmedExtent::Tip(b), .. }] if (a - 1.0).abs() < 1e-9 && (b - 1.0).abs() < 1e-9),
        "{lost:?}"
    );
    let other = buffer(&oval.flatten(1e-3), -3.0);
    let differ = MultiPolygon::new(vec![polygon_of(&outline.flatten(1e-3))]).xor(&other).unsigned_area();
    assert!(
        differ < 1.0 && outline.segments().iter().all(|piece| matches!(piece, Segment::Arc(_))),
        "{differ} {outline:?}"
    );
    assert!(matches!(oval.trimmed(-10.1), Err(OffsetError::NothingLeft { .. })));
}
