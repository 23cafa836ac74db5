//! Polylines stay within their tolerance of every curve, with hardly a point more than that takes.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use backline::geometry::{Arc, Flattening, Outline, Segment};
use kurbo::{Line, Point, Vec2};
use proptest::prelude::*;

/// Rounding of `f64` at the size of a board, with a margin.
const ROUNDING_MM: f64 = 1e-9;
/// Places on a curve where its distance from the polyline is measured.
const SAMPLES: usize = 2000;

/// The parallel curve of an ellipse, told from the library's arcs by its own formulas: angles are eccentric anomalies.
#[derive(Debug, Clone, Copy)]
struct Oval {
    center: Point,
    a: f64,
    b: f64,
    turn: f64,
    distance: f64,
}

impl Oval {
    fn outline(&self) -> Outline {
        Outline::ellipse(self.center, self.a, self.b, self.turn).unwrap().offset(self.distance).unwrap()
    }

    /// Makes the library's arc between two normal angles.
    fn arc(&self, start: f64, sweep: f64) -> Arc {
        Arc::elliptical(self.center, self.a, self.b, self.turn, start, sweep).grown(self.distance)
    }

    fn local(&self, anomaly: f64) -> Vec2 {
        let (sin, cos) = anomaly.sin_cos();
        let normal = Vec2::new(self.b * cos, self.a * sin).normalize();
        Vec2::new(self.a * cos, self.b * sin) + normal * self.distance
    }

    fn point(&self, anomaly: f64) -> Point {
        let local = self.local(anomaly);
        let (sin, cos) = self.turn.sin_cos();
        self.center + Vec2::new(cos * local.x - sin * local.y, sin * local.x + cos * local.y)
    }

    /// Returns the anomaly of a point with a normal angle, on the same turn.
    fn anomaly(&self, normal: f64) -> f64 {
        let anomaly = (self.b * normal.sin()).atan2(self.a * normal.cos());
        anomaly + TAU * ((normal - anomaly) / TAU).round()
    }

    /// Returns how far a point is from the curve: its distance from the ellipse is known by bisection (D. Eberly,
    /// *Distance from a Point to an Ellipse*, 2013, from memory), without any of the library's formulas.
    fn miss(&self, point: Point) -> f64 {
        let from_center = point - self.center;
        let (sin, cos) = self.turn.sin_cos();
        let x = (cos * from_center.x + sin * from_center.y).abs();
        let y = (cos * from_center.y - sin * from_center.x).abs();
        let (a, b) = (self.a, self.b);
        let value = |t: f64| (a * x / (t + a * a)).powi(2) + (b * y / (t + b * b)).powi(2) - 1.0;
        let smaller = a.min(b);
        let start = if a < b { -a * a + a * x } else { -b * b + b * y };
        let (mut low, mut high) = (start.max(-smaller * smaller), a.hypot(b) * x.hypot(y) + 1.0);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if value(middle) > 0.0 { low = middle } else { high = middle }
        }
        let foot = Vec2::new(a * a * x / (high + a * a), b * b * y / (high + b * b));
        let inside = (x / a).powi(2) + (y / b).powi(2) < 1.0;
        let distance = (Vec2::new(x, y) - foot).hypot();
        ((if inside { -distance } else { distance }) - self.distance).abs()
    }

    /// Returns the largest distance of the curve from its chord between two anomalies, by golden section.
    fn chord_error(&self, from: f64, to: f64) -> f64 {
        let (start, end) = (self.local(from), self.local(to));
        let along = (end - start).normalize();
        let error = |anomaly: f64| along.cross(self.local(anomaly) - start).abs();
        let share = 0.5 * (5.0_f64.sqrt() - 1.0);
        let (mut low, mut high) = (from, to);
        for _ in 0..24 {
            let (left, right) = (high - share * (high - low), low + share * (high - low));
            if error(left) > error(right) { high = right } else { low = left }
        }
        error(0.5 * (low + high))
    }

    /// Returns the least number of chords within the tolerance between two anomalies: each as long as may be.
    fn fewest_chords(&self, from: f64, to: f64, tolerance: f64) -> usize {
        let (mut count, mut at, mut step) = (0, from, (to - from) * 0.1);
        while at < to {
            count += 1;
            let fits = |step: f64| self.chord_error(at, at + step) <= tolerance;
            if to - at < FRAC_PI_2 && fits(to - at) {
                break;
            }
            let (mut low, mut high) = (0.5 * step, 2.0 * step);
            while !fits(low) {
                low *= 0.5;
            }
            while fits(high) && high < FRAC_PI_2 {
                high *= 2.0;
            }
            for _ in 0..20 {
                let middle = 0.5 * (low + high);
                if fits(middle) { low = middle } else { high = middle }
            }
            step = low;
            at += step;
        }
        count
    }

    /// Returns the least number of chords of the whole curve with corners where it is farthest left, right, up and down.
    fn fewest_chords_round(&self, tolerance: f64) -> usize {
        let extreme = |quarter: i32| self.anomaly(f64::from(quarter) * FRAC_PI_2 - self.turn);
        (0..4).map(|quarter| self.fewest_chords(extreme(quarter), extreme(quarter + 1), tolerance)).sum()
    }

    /// Returns the point outside the curve at an anomaly, as far as is said.
    fn raised(&self, anomaly: f64, rise: f64) -> Vec2 {
        Oval { distance: self.distance + rise, ..*self }.local(anomaly)
    }

    /// Returns how far the curve between two anomalies lies outside the chord between two points, at 600 places.
    fn outside_chord(&self, (from, start): (f64, Vec2), (to, end): (f64, Vec2)) -> f64 {
        let along = (end - start).normalize();
        let off = |sample: i32| (self.local(from + (to - from) * f64::from(sample) / 600.0) - start).cross(along);
        (0..=600).map(off).fold(0.0, f64::max)
    }

    /// Returns the least number of chords between two anomalies whose points between the ends lie outside the curve by the
    /// tolerance, which leaves each chord the farthest to go: each is as long as may be.
    fn fewest_cuts(&self, from: f64, to: f64, tolerance: f64) -> usize {
        let (mut count, mut at, mut start) = (0, from, self.local(from));
        loop {
            count += 1;
            if to - at < FRAC_PI_2 && self.outside_chord((at, start), (to, self.local(to))) <= tolerance {
                return count;
            }
            let (mut low, mut high) = (0.0, (to - at).min(FRAC_PI_2));
            for _ in 0..30 {
                let middle = at + 0.5 * (low + high);
                let fits = self.outside_chord((at, start), (middle, self.raised(middle, tolerance))) <= tolerance;
                if fits { low = middle - at } else { high = middle - at }
            }
            at += low;
            start = self.raised(at, tolerance);
        }
    }

    /// Checks that a polyline is nowhere farther than the tolerance from the curve between two anomalies.
    fn assert_near(&self, polyline: &[Point], from: f64, to: f64, tolerance: f64) -> Result<(), TestCaseError> {
        for sample in 0..=SAMPLES {
            let point = self.point(from + (to - from) * sample as f64 / SAMPLES as f64);
            let distance = distance(point, polyline);
            prop_assert!(distance <= tolerance + ROUNDING_MM, "{distance} mm off at {point}, tolerance {tolerance}");
        }
        Ok(())
    }
}

/// Returns the distance of a point from a closed polyline.
fn distance(point: Point, polyline: &[Point]) -> f64 {
    let following = polyline.iter().cycle().skip(1);
    let squares = polyline.iter().zip(following).map(|(&from, &to)| {
        let along = to - from;
        let share = if along.hypot2() > 0.0 { (point - from).dot(along) / along.hypot2() } else { 0.0 };
        point.distance_squared(from + along * share.clamp(0.0, 1.0))
    });
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

fn tolerances() -> impl Strategy<Value = f64> {
    (-3.0..-1.0).prop_map(|power: f64| 10_f64.powf(power))
}

/// Ellipses up to 30 : 1 either way, turned at will, and their parallel curves inside and outside.
fn ovals() -> impl Strategy<Value = Oval> {
    let turn = prop_oneof![Just(0.0), Just(FRAC_PI_2), -PI..PI];
    // A share of the smallest radius of curvature inside, or a distance in millimetres outside.
    let distance = prop_oneof![Just(0.0), -0.9..0.0, 0.1..10.0];
    let place = (0.0..1000.0, 0.0..1500.0);
    (2.0..400.0, 1.0_f64..30.0, any::<bool>(), turn, distance, place).prop_map(
        |(major, aspect, upright, turn, distance, place): (f64, f64, bool, f64, f64, (f64, f64))| {
            let minor = major / aspect;
            let smallest_radius = minor * minor / major;
            Oval {
                center: place.into(),
                a: if upright { minor } else { major },
                b: if upright { major } else { minor },
                turn,
                distance: if distance < 0.0 { distance * smallest_radius } else { distance },
            }
        },
    )
}

/// The last point before the end of a quarter lay 0.00004 mm beyond it.
#[test]
fn a_flat_oval_with_chords_on_both_sides_is_no_larger_than_its_outline() {
    let (center, distance) = (Point::ORIGIN, 0.0);
    let (a, b, turn) = (21.414_806_252_338_423, 0.914_576_309_278_875_7, -0.709_949_144_214_641_1);
    let outline = Oval { center, a, b, turn, distance }.outline();
    let bounds = outline.bounds().inflate(ROUNDING_MM, ROUNDING_MM);
    for point in outline.flatten_by(0.017_268_152_818_780_587, Flattening::BothSides) {
        assert!(bounds.contains(point), "{point} lies outside {bounds}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_whole_oval_is_within_the_tolerance_with_few_points(oval in ovals(), tolerance in tolerances()) {
        let polyline = oval.outline().flatten(tolerance);
        for &point in &polyline {
            prop_assert!(oval.miss(point) <= ROUNDING_MM, "{point} is {} mm off the curve", oval.miss(point));
        }
        oval.assert_near(&polyline, 0.0, TAU, tolerance)?;
        let fewest = oval.fewest_chords_round(tolerance);
        prop_assert!(polyline.len() as f64 <= 1.1 * fewest as f64 + 4.0, "{} points, {fewest} would do", polyline.len());
    }

    #[test]
    fn a_polyline_is_as_large_as_its_outline(oval in ovals(), tolerance in tolerances()) {
        let outline = oval.outline();
        let polyline = outline.flatten(tolerance);
        let bounds = outline.bounds();
        let [left, top] = [|point: &Point| point.x, |point: &Point| point.y]
            .map(|along| polyline.iter().map(along).fold(f64::INFINITY, f64::min));
        let [right, bottom] = [|point: &Point| point.x, |point: &Point| point.y]
            .map(|along| polyline.iter().map(along).fold(f64::NEG_INFINITY, f64::max));
        for (a, b) in [(left, bounds.x0), (top, bounds.y0), (right, bounds.x1), (bottom, bounds.y1)] {
            prop_assert!((a - b).abs() <= ROUNDING_MM, "{a} is not {b}");
        }
    }

    #[test]
    fn a_part_of_an_oval_is_within_the_tolerance(
        oval in ovals(), tolerance in tolerances(), start in -PI..PI, sweep in 0.2..6.0,
    ) {
        let arc = oval.arc(start, sweep);
        let chord = Line::new(arc.point(arc.end()), arc.point(arc.start));
        let polyline = Outline::new(vec![Segment::Arc(arc), Segment::Line(chord)]).unwrap().flatten(tolerance);
        for &point in &polyline {
            prop_assert!(oval.miss(point) <= ROUNDING_MM, "{point} is {} mm off the curve", oval.miss(point));
        }
        oval.assert_near(&polyline, oval.anomaly(start), oval.anomaly(start + sweep), tolerance)?;
    }

    #[test]
    fn chords_on_both_sides_are_within_the_tolerance_with_few_points(oval in ovals(), tolerance in tolerances()) {
        let outline = oval.outline();
        let polyline = outline.flatten_by(tolerance, Flattening::BothSides);
        for &point in &polyline {
            let miss = oval.miss(point);
            prop_assert!(miss <= tolerance + ROUNDING_MM, "{point} is {miss} mm off the curve");
        }
        oval.assert_near(&polyline, 0.0, TAU, tolerance)?;
        // Between its points the polyline is no farther out than they are, and as far in as the curve is near.
        let bounds = outline.bounds();
        for point in &polyline {
            prop_assert!(bounds.inflate(ROUNDING_MM, ROUNDING_MM).contains(*point), "{point} lies outside {bounds}");
        }
        let extreme = |quarter: i32| oval.anomaly(f64::from(quarter) * FRAC_PI_2 - oval.turn);
        let fewest: usize =
            (0..4).map(|quarter| oval.fewest_cuts(extreme(quarter), extreme(quarter + 1), tolerance)).sum();
        prop_assert!(polyline.len() as f64 <= 1.1 * fewest as f64 + 4.0, "{} points, {fewest} would do", polyline.len());
    }

    #[test]
    fn part_of_an_oval_between_corners_keeps_them(
        oval in ovals(), tolerance in tolerances(), start in -PI..PI, sweep in 0.001..6.0, is_reversed in any::<bool>(),
    ) {
        let arc = oval.arc(start, sweep);
        let arc = if is_reversed { arc.reversed() } else { arc };
        let mut points = Vec::new();
        arc.append_points(tolerance, Flattening::BothSides, &mut points);
        prop_assert_eq!(points[0], arc.point(arc.start));
        // Back the same way, so that the polyline is closed.
        points.push(arc.point(arc.end()));
        points.extend(points.clone().into_iter().rev().skip(1));
        for &point in &points {
            let miss = oval.miss(point);
            prop_assert!(miss <= tolerance + ROUNDING_MM, "{point} is {miss} mm off the curve");
        }
        oval.assert_near(&points, oval.anomaly(start), oval.anomaly(start + sweep), tolerance)?;
    }

    #[test]
    fn a_bite_is_within_the_tolerance(oval in ovals(), tolerance in tolerances()) {
        let oval = Oval { turn: 0.0, ..oval };
        let arc = oval.arc(PI, PI);
        let (left, right) = (arc.point(PI), arc.point(TAU));
        let (far_left, far_right) = (left - Vec2::new(20.0, 0.0), right + Vec2::new(20.0, 0.0));
        let down = Vec2::new(0.0, -(oval.b + oval.distance + 20.0));
        let corners = [right, far_right, far_right + down, far_left + down, far_left, left];
        let mut pieces = vec![Segment::Arc(arc)];
        pieces.extend(corners.windows(2).map(|pair| Segment::Line(Line::new(pair[0], pair[1]))));
        let polyline = Outline::new(pieces).unwrap().flatten(tolerance);
        let in_bite = polyline.iter().filter(|point| point.x > left.x - 1.0 && point.x < right.x + 1.0);
        for &point in in_bite {
            prop_assert!(oval.miss(point) <= ROUNDING_MM, "{point} is {} mm off the curve", oval.miss(point));
        }
        oval.assert_near(&polyline, PI, TAU, tolerance)?;
    }
}

/// The least number of chords of a circle is ⌈π / arccos(1 − e/r)⌉ (documentation of a library for polygon clipping,
/// <https://documentation.help/polyclipping/offset_triginometry2.svg>, which rounds 44.4 down to 44; a guarantee needs
/// 45). A polyline that touches all four sides of a circle has a multiple of four.
#[test]
fn a_circle_has_the_least_number_of_chords() {
    for (radius, tolerance, fewest) in
        [(100.0_f64, 0.25, 45), (100.0, 0.05, 100), (100.0, 0.01, 223), (127.0, 0.025, 159), (4.0, 0.01, 45)]
    {
        assert_eq!((PI / (1.0 - tolerance / radius).acos()).ceil() as usize, fewest);
        let circle = Outline::ellipse(Point::new(300.0, 200.0), radius, radius, 0.0).unwrap();
        let chords = circle.flatten(tolerance).len();
        assert_eq!(chords, fewest.next_multiple_of(4), "radius {radius}, tolerance {tolerance}");
    }
}

/// From a point on the circle to one outside it a chord spans `acos(1 − e/r) + acos((r − e)/(r + e))`, between two points
/// outside it twice the latter (plane trigonometry). The circle is touched on all four sides.
#[test]
fn a_circle_that_is_cut_through_has_the_least_number_of_chords() {
    let mut shares = Vec::new();
    for (radius, tolerance) in
        [(100.0_f64, 0.25), (100.0, 0.05), (100.0, 0.01), (127.0, 0.025), (4.0, 0.01), (0.3, 0.2)]
    {
        let (at_end, between) =
            ((1.0 - tolerance / radius).acos(), ((radius - tolerance) / (radius + tolerance)).acos());
        let fewest = 4 * (1 + ((0.25 * PI - at_end) / between).ceil().max(0.0) as usize);
        let circle = Outline::ellipse(Point::new(300.0, 200.0), radius, radius, 0.0).unwrap();
        let points = circle.flatten_by(tolerance, Flattening::BothSides);
        assert_eq!(points.len(), fewest, "radius {radius}, tolerance {tolerance}");
        let oval = Oval { center: Point::new(300.0, 200.0), a: radius, b: radius, turn: 0.0, distance: 0.0 };
        oval.assert_near(&points, 0.0, TAU, tolerance).unwrap();
        shares.push(fewest as f64 / circle.flatten(tolerance).len() as f64);
    }
    assert!(shares[..5].iter().all(|share| (0.7..0.8).contains(share)), "{shares:?}");
    println!("{shares:?}");
}

/// A short rest of a curve that bends more and more was once made longer than the tolerance allows: 0.0137 mm at the
/// tip of this ellipse.
#[test]
fn the_last_chord_before_a_tip_is_within_the_tolerance() {
    let oval = Oval { center: Point::new(200.0, 630.0), a: 150.0, b: 15.0, turn: 0.0, distance: 1.4 };
    for oval in [oval, Oval { distance: -1.4, ..oval }, Oval { distance: 0.0, ..oval }] {
        oval.assert_near(&oval.outline().flatten(0.01), 0.0, TAU, 0.01).unwrap();
    }
}

#[test]
fn a_tolerance_of_nothing_still_ends() {
    let circle = Outline::ellipse(Point::ORIGIN, 1.0, 0.5, 0.0).unwrap();
    for tolerance in [0.0, -1.0, f64::NAN] {
        assert_eq!(circle.flatten(tolerance), circle.flatten(1e-6));
    }
}
