//! Laws that hold for every outline: closed forms, dense sampling and an independent implementation of mitred offsets.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::f64::consts::{PI, TAU};

use crate::common::shapes::{
    any_outline, area, chord_distance, chords, convex_corners, dense, distance, ellipse, perimeter, smooth_convex,
    star_corners, winding,
};
use backline::geometry::{OffsetError, Outline, Relation, Segment, clearance};
use geo::algorithm::buffer::{Buffer, BufferStyle, LineJoin};
use geo::{Area, BooleanOps, LineString};
use kurbo::{Point, Rect, Vec2};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// Lengths of outlines here are up to two metres; `f64` holds them to a few picometres.
const EXACT_MM: f64 = 1e-9;
const EXACT_MM2: f64 = 1e-6;

/// The same cases on every run: a test that fails is then a change that broke it.
fn repeatable() -> ProptestConfig {
    ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(1874), ..ProptestConfig::default() }
}

/// The smallest radius of curvature of an outline, infinite if it has no arc.
fn tightest(outline: &Outline) -> f64 {
    let arcs = outline.segments().iter().filter_map(|segment| match segment {
        Segment::Arc(arc) => Some(arc.smallest_radius()),
        Segment::Line(_) => None,
    });
    arcs.fold(f64::INFINITY, f64::min)
}

/// Interior angle of each corner of a convex polygon.
fn interior_angles(corners: &[Point]) -> Vec<f64> {
    let count = corners.len();
    (0..count)
        .map(|k| {
            let (before, after) =
                (corners[(k + count - 1) % count] - corners[k], corners[(k + 1) % count] - corners[k]);
            before.cross(after).abs().atan2(before.dot(after))
        })
        .collect()
}

/// The distance of a point from the whole line through a side.
fn from_carrier(point: Point, (from, to): (Point, Point)) -> f64 {
    (to - from).normalize().cross(point - from).abs()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..repeatable() })]

    /// Steiner: a convex smooth outline moved out by w has the area A + P w + π w² and the perimeter P + 2π w
    /// (W&L geometric probability notes, problem 7); moved in likewise with −w, up to its tightest bend.
    #[test]
    fn steiner(outline in smooth_convex(), out in 0.1..60.0_f64, inwards in 0.01..0.99_f64) {
        for w in [out, -inwards * tightest(&outline)] {
            let moved = outline.offset(w).unwrap();
            let (a, p) = (outline.area(), outline.perimeter());
            prop_assert!((moved.area() - (a + p * w + PI * w * w)).abs() < EXACT_MM2);
            prop_assert!((moved.perimeter() - (p + TAU * w)).abs() < EXACT_MM);
        }
    }

    /// A convex polygon moved out by w with mitred corners has the area A + P w + w² Σ 1/tan(α/2), and every side grows by
    /// w/tan(α/2) at each end.
    #[test]
    fn mitres(corners in convex_corners(), w in 0.1..40.0) {
        let outline = Outline::polygon(&corners).unwrap();
        let moved = outline.offset(w).unwrap();
        let growth: Vec<f64> = interior_angles(&corners).iter().map(|angle| 1.0 / (0.5 * angle).tan()).collect();
        let sum: f64 = growth.iter().sum();
        let expected = outline.area() + outline.perimeter() * w + w * w * sum;
        prop_assert!((moved.area() - expected).abs() < 1e-9 * expected);
        let expected = outline.perimeter() + 2.0 * w * sum;
        prop_assert!((moved.perimeter() - expected).abs() < 1e-9 * expected);
    }

    #[test]
    fn out_and_in_again_is_where_it_was(outline in any_outline(), w in 0.1..8.0_f64) {
        for w in [w, -w] {
            let Ok(moved) = outline.offset(w) else { continue };
            let back = moved.offset(-w).unwrap();
            prop_assert_eq!(back.segments().len(), outline.segments().len());
            for (found, expected) in back.segments().iter().zip(outline.segments()) {
                prop_assert!(found.start().distance(expected.start()) < 1e-8, "{:?} {:?}", found, expected);
                prop_assert!(found.end().distance(expected.end()) < 1e-8);
            }
        }
    }

    /// Each side of a moved polygon lies at its distance from the line of its own side and no nearer to any other.
    #[test]
    fn a_moved_polygon_keeps_its_distance(corners in star_corners(), w in 0.5..25.0, out in any::<bool>()) {
        let outline = Outline::polygon(&corners).unwrap();
        let corners = outline.as_polygon().unwrap();
        let moved = match outline.offset(if out { w } else { -w }) {
            Ok(moved) => moved,
            Err(error) => {
                let at = error.place();
                prop_assert!(at.is_finite(), "{error}");
                return Ok(());
            }
        };
        let moved = moved.as_polygon().unwrap();
        prop_assert_eq!(moved.len(), corners.len());
        for (own, (from, to)) in chords(&corners).zip(chords(&moved)) {
            for step in 0..=16 {
                let point = from.lerp(to, f64::from(step) / 16.0);
                prop_assert!((from_carrier(point, own) - w).abs() < 1e-8);
                prop_assert!(distance(point, &corners) >= w - 1e-6, "{} nearer than {}", distance(point, &corners), w);
                // It lies on the side to which it was moved.
                prop_assert_eq!(winding(point, &corners) == 0, out);
            }
        }
    }

    /// Every point of a moved outline of any kind is at the distance w from the curve, at mitres farther.
    #[test]
    fn a_moved_outline_keeps_its_distance(outline in any_outline(), w in 0.5..8.0, out in any::<bool>()) {
        let Ok(moved) = outline.offset(if out { w } else { -w }) else { return Ok(()) };
        for point in dense(&moved, 24) {
            let nearest = outline.nearest(point).distance(point);
            prop_assert!(nearest >= w - 1e-6, "{nearest} is nearer than {w} at {point}");
            prop_assert_eq!(outline.contains(point), !out);
        }
    }

    /// Ellipses up to 10:1 can be moved inwards to just short of b²/a, and not beyond.
    #[test]
    fn eccentric_ellipses(outline in ellipse(), share in 0.001..0.999_f64) {
        let arc = *outline.as_closed_arc().unwrap();
        let (a, b) = (arc.rx.max(arc.ry), arc.rx.min(arc.ry));
        let limit = b * b / a;
        let w = share * limit;
        let moved = outline.offset(-w).unwrap();
        for point in dense(&moved, 100) {
            prop_assert!((outline.nearest(point).distance(point) - w).abs() < EXACT_MM);
        }
        let refused = outline.offset(-1.001 * limit);
        let is_refused = matches!(refused, Err(OffsetError::ArcVanishes { radius, .. }) if (radius - limit).abs() < 1e-9 * a);
        prop_assert!(is_refused, "{:?}", refused);
    }

    /// Area, perimeter and bounds are those of a polyline with very many points.
    #[test]
    fn measures_are_those_of_a_dense_polyline(outline in any_outline()) {
        let (points, finer) = (dense(&outline, 500), dense(&outline, 1000));
        // The errors of a polyline fall with the square of its points: two of them tell the limit (Richardson).
        let limit = |measure: fn(&[Point]) -> f64| (4.0 * measure(&finer) - measure(&points)) / 3.0;
        prop_assert!((outline.area() - limit(area)).abs() < 1e-6 * outline.area());
        prop_assert!((outline.perimeter() - limit(perimeter)).abs() < 1e-6 * outline.perimeter());
        let first = Rect::from_points(finer[0], finer[0]);
        let Rect { x0, y0, x1, y1 } = finer.iter().fold(first, |bounds, point| bounds.union_pt(*point));
        let bounds = outline.bounds();
        for (exact, sampled) in [(x0, bounds.x0), (y0, bounds.y0), (bounds.x1, x1), (bounds.y1, y1)] {
            // The exact bounds hold every point, and are not much larger.
            prop_assert!(exact - sampled > -EXACT_MM && exact - sampled < 1e-2, "{} {}", exact, sampled);
        }
    }

    /// The nearest point of an outline is as near as the nearest of very many of its points.
    #[test]
    fn the_nearest_point_is_the_nearest(
        outline in any_outline(),
        shares in proptest::collection::vec((-0.5..1.5, -0.5..1.5), 20),
    ) {
        let points = dense(&outline, 400);
        let bounds = outline.bounds();
        for (across, down) in shares {
            let point = bounds.origin() + Vec2::new(bounds.width() * across, bounds.height() * down);
            let nearest = outline.nearest(point);
            prop_assert!(distance(nearest, &points) < 0.05);
            let (found, sampled) = (nearest.distance(point), distance(point, &points));
            prop_assert!((found - sampled).abs() < 0.05, "{found} {sampled} at {point}");
        }
    }

    #[test]
    fn inside_and_outside_agree_with_the_winding_number(
        outline in any_outline(),
        shares in proptest::collection::vec((-0.1..1.1, -0.1..1.1), 40),
    ) {
        let points = dense(&outline, 400);
        let bounds = outline.bounds();
        for (across, down) in shares {
            let point = bounds.origin() + Vec2::new(bounds.width() * across, bounds.height() * down);
            // So near to the outline the polyline cannot tell.
            if distance(point, &points) > 0.05 {
                prop_assert_eq!(outline.contains(point), winding(point, &points) != 0, "{}", point);
            }
        }
    }
}

/// Longest distance in millimetres between a curve of [`any_outline`] and a chord over a 240th of it.
const SAGITTA_MM: f64 = 0.1;

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..repeatable() })]

    /// The clearance of two outlines is the smallest distance of two dense polylines.
    #[test]
    fn clearance_agrees_with_brute_force(a in any_outline(), b in any_outline(), angle in -PI..PI, gap in 0.05..1.3) {
        // Side by side, so that near, crossing and far pairs all come up.
        let reach = 0.5 * (a.size().width.hypot(a.size().height) + b.size().width.hypot(b.size().height));
        let wanted = a.bounds().center() + Vec2::from_angle(angle) * (gap * reach);
        let b = b.translated(wanted - b.bounds().center());
        let (points_a, points_b) = (dense(&a, 240), dense(&b, 240));
        let one_way = |from: &[Point], to: &[Point]| {
            from.iter().map(|point| distance(*point, to)).fold(f64::INFINITY, f64::min)
        };
        let brute = one_way(&points_a, &points_b).min(one_way(&points_b, &points_a));
        let found = clearance(&a, &b);
        let cross = crossing(&points_a, &points_b);
        if cross && brute > 0.0 {
            prop_assert_eq!(found.relation, Relation::Crossing);
            prop_assert!(found.distance == 0.0);
        } else if brute > 2.0 * SAGITTA_MM {
            prop_assert!((found.distance - brute).abs() < 2.0 * SAGITTA_MM, "{} {}", found.distance, brute);
            // No pair of points of the two curves is nearer.
            prop_assert!(found.distance <= brute + SAGITTA_MM);
            let inside = winding(points_a[0], &points_b) != 0;
            let around = winding(points_b[0], &points_a) != 0;
            let expected = match (inside, around) {
                (true, _) => Relation::Inside,
                (_, true) => Relation::Around,
                _ => Relation::Apart,
            };
            prop_assert_eq!(found.relation, expected);
        }
        if found.relation != Relation::Crossing {
            prop_assert!((found.from.distance(found.to) - found.distance).abs() < EXACT_MM);
            prop_assert!(distance(found.from, &points_a) < SAGITTA_MM);
            prop_assert!(distance(found.to, &points_b) < SAGITTA_MM);
        }
    }
}

/// Tells whether two closed polylines cross.
fn crossing(a: &[Point], b: &[Point]) -> bool {
    let side = |(from, to): (Point, Point), point: Point| (to - from).cross(point - from) > 0.0;
    chords(a).any(|one| {
        let box_one = Rect::from_points(one.0, one.1);
        chords(b).any(|other| {
            box_one.overlaps(Rect::from_points(other.0, other.1).inflate(1e-9, 1e-9))
                && side(one, other.0) != side(one, other.1)
                && side(other, one.0) != side(other, one.1)
        })
    })
}

fn polygon_of(points: &[Point]) -> geo::Polygon {
    geo::Polygon::new(LineString::from_iter(points.iter().map(|point| (point.x, point.y))), Vec::new())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, ..repeatable() })]

    /// Mitred offsets agree with those of the crate `geo`, which snaps to a grid of its own.
    #[test]
    fn mitred_offsets_agree_with_another_implementation(
        corners in prop_oneof![star_corners(), convex_corners()],
        w in 0.5..12.0_f64,
        out in any::<bool>(),
    ) {
        let outline = Outline::polygon(&corners).unwrap();
        let w = if out { w } else { -w };
        let Ok(moved) = outline.offset(w) else { return Ok(()) };
        // The other implementation cuts mitres off beyond a limit, which it counts as a sharp angle.
        if !all_blunt(&outline.as_polygon().unwrap()) {
            return Ok(());
        }
        let style = BufferStyle::new(w).line_join(LineJoin::Miter(0.01));
        let other = polygon_of(&outline.as_polygon().unwrap()).buffer_with_style(style);
        let ours = geo::MultiPolygon::new(vec![polygon_of(&moved.as_polygon().unwrap())]);
        let differ = ours.xor(&other).unsigned_area();
        prop_assert!(differ < 1e-4 * outline.perimeter(), "{} of {}", differ, moved.area());
    }
}

/// Tells whether no corner is sharper than five degrees, inside or outside.
fn all_blunt(corners: &[Point]) -> bool {
    interior_angles(corners).iter().all(|angle| *angle > 5.0_f64.to_radians())
}

/// A dense polyline of an outline lies on it: the sampling that the laws rest on is itself checked.
#[test]
fn dense_points_lie_on_a_circle() {
    let circle = Outline::ellipse(Point::new(3.0, 4.0), 50.0, 50.0, 0.3).unwrap();
    for point in dense(&circle, 97) {
        assert!((point.distance(Point::new(3.0, 4.0)) - 50.0).abs() < 1e-12);
        assert!(chord_distance(point, (Point::new(3.0, 4.0), point)) < 1e-12);
    }
}
