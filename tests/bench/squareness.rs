//! How square an arm stands: exact formulas, published values, honest uncertainty, and the way to move it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::bench::{Pivot, SquareDemand, SquareReport, SquareTest, Squareness, Verdict, sine_from_diagonals};
use backline::length::{Ruler, Unit};
use kurbo::{Point, Size, Vec2};

const READING: f64 = 0.25;

fn demand() -> SquareDemand {
    SquareDemand {
        largest: Size::new(800.0, 1000.0),
        tolerance: 0.8,
        reading: READING,
        bracket: Some(350.0),
        pivot: Pivot::Rail,
        ruler: Ruler::usual(Unit::Millimetre),
    }
}

#[track_caller]
fn assert_near(found: f64, known: f64, within: f64) {
    assert!((found - known).abs() <= within, "{found} is not {known}");
}

/// Corners of a blank whose corner between arm and blade, the first, is too wide by some radians; the arm lies along x.
fn parallelogram(width: f64, height: f64, wide: f64) -> [Point; 4] {
    let up = Vec2::new(-height * wide.sin(), height * wide.cos());
    let (first, second) = (Point::ORIGIN, Point::new(width, 0.0));
    [first, second, second + up, first + up]
}

#[test]
fn published_diagonals_are_square() {
    // Facts of the trade, by Pythagoras: 8 × 10 to 32 × 40 in, 300 × 400 and 400 × 500 mm. Six decimals as printed.
    for (width, height, diagonal) in [
        (8.0, 10.0, 12.806_248),
        (9.0, 12.0, 15.0),
        (11.0, 14.0, 17.804_494),
        (16.0, 20.0, 25.612_497),
        (32.0, 40.0, 51.224_994),
        (300.0, 400.0, 500.0),
        (400.0, 500.0, 640.312_424),
    ] {
        let test = SquareTest::Diagonals { width, height, first: diagonal, second: diagonal };
        assert_near(test.evaluate(READING).unwrap().angle, 0.0, 1e-12);
        assert_eq!(test.contradiction(1e-6), None);
        // The triangle of two sides and a diagonal says the same, to the printed decimals.
        let test = SquareTest::Triangle { arm: width, cut: height, across: diagonal };
        assert_near(test.evaluate(READING).unwrap().angle, 0.0, 2e-7);
    }
}

#[test]
fn three_four_five_is_square() {
    // boulderlibrary.net and willyknows.com: 3-4-5 and its multiples, such as 15-20-25.
    for factor in [1.0, 5.0, 100.0] {
        let test = SquareTest::Triangle { arm: 3.0 * factor, cut: 4.0 * factor, across: 5.0 * factor };
        assert_near(test.evaluate(READING).unwrap().angle, 0.0, 1e-12);
    }
}

#[test]
fn every_test_finds_the_angle_that_was_cut() {
    for wide in [-0.02, -1e-4, 0.0, 3e-3, 0.05] {
        let [a, b, c, d] = parallelogram(320.0, 410.0, wide);
        let diagonals =
            SquareTest::Diagonals { width: 320.0, height: 410.0, first: a.distance(c), second: b.distance(d) };
        let triangle = SquareTest::Triangle { arm: 320.0, cut: 410.0, across: b.distance(d) };
        let gap = SquareTest::Gap { length: 300.0, gap: 300.0 * wide.tan() };
        // Both ends cut with the same edge on the arm: wide at both corners.
        let opposite = 320.0 + 2.0 * 410.0 * wide.sin();
        let sides = SquareTest::Sides { arm: 320.0, opposite, cut: 410.0 };
        for test in [diagonals, triangle, gap, sides] {
            assert_near(test.evaluate(READING).unwrap().angle, wide, 1e-12);
        }
        assert_eq!(diagonals.contradiction(1e-6), None);
    }
}

#[test]
fn the_cuts_of_a_blank_one_after_the_other_show_in_its_diagonals_too() {
    // Each fresh edge goes on the arm for the next cut: three corners are wide, the last one makes up for them.
    let (width, height, wide) = (300.0_f64, 400.0_f64, 1e-4_f64);
    let turned = |corners: f64| {
        let direction = corners * (std::f64::consts::FRAC_PI_2 - wide);
        Vec2::new(direction.cos(), direction.sin())
    };
    let first = Point::ORIGIN;
    let second = first + height * turned(1.0);
    let third = second + width * turned(2.0);
    // The last edge ends on the line of the factory edge, which runs along x through the first corner.
    let last = third - third.y / turned(3.0).y * turned(3.0);
    let sine = sine_from_diagonals(width, height, first.distance(third), last.distance(second));
    assert_near(sine, wide, 0.01 * wide);
}

#[test]
fn diagonals_differ_by_the_exact_formula_and_nearly_by_the_simple_one() {
    for (width, height) in [(300.0_f64, 400.0_f64), (812.8, 1016.0)] {
        for wide in [1e-5, 1e-3, 5e-3] {
            let found = Squareness::new(wide, 0.0);
            let [a, b, c, d] = parallelogram(width, height, wide);
            assert_near(found.diagonals_differ(width, height), b.distance(d) - a.distance(c), 1e-9);
            // 2·W·H·ε / √(W² + H²), good to the square of the angle.
            let simple = 2.0 * width * height * wide / width.hypot(height);
            assert_near(found.diagonals_differ(width, height), simple, simple * wide * wide + 1e-12);
        }
    }
}

/// Numbers that spread evenly, the same on every run (constants of D. Knuth's MMIX).
fn uniform(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    ((*state >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
}

#[test]
fn stated_uncertainty_holds_in_95_of_100_cases_at_least() {
    const TRIALS: usize = 1000;
    let wide = 2e-3;
    let [a, b, c, d] = parallelogram(320.0, 410.0, wide);
    let mut state = 5;
    let mut held = [0; 4];
    for _ in 0..TRIALS {
        let mut off = |length: f64| length + READING * (2.0 * uniform(&mut state) - 1.0);
        let tests = [
            SquareTest::Diagonals {
                width: off(320.0),
                height: off(410.0),
                first: off(a.distance(c)),
                second: off(b.distance(d)),
            },
            SquareTest::Triangle { arm: off(320.0), cut: off(410.0), across: off(b.distance(d)) },
            SquareTest::Gap { length: off(300.0), gap: off(300.0 * wide.tan()) },
            SquareTest::Sides { arm: off(320.0), opposite: off(320.0 + 820.0 * wide.sin()), cut: off(410.0) },
        ];
        for (held, test) in held.iter_mut().zip(tests) {
            let found = test.evaluate(READING).unwrap();
            *held += usize::from((found.angle - wide).abs() <= found.uncertainty);
        }
    }
    println!("{held:?} of {TRIALS}");
    // A single evenly spread error never leaves its interval (1.13 times its bound); sums of several come near the normal 95 %.
    assert!(held.iter().all(|held| (935..=TRIALS).contains(held)), "{held:?}");
}

#[test]
fn the_verdict_counts_the_uncertainty() {
    // Gaps at the corner over 500 mm: 0, 0.4 and 2 mm make 0, 0.8 and 4 mm over the longest cut of 1,000 mm.
    let verdict = |gap: f64| SquareReport::new(&SquareTest::Gap { length: 500.0, gap }, &demand()).unwrap().verdict();
    assert_eq!(verdict(0.0), Verdict::Square);
    assert_eq!(verdict(0.4), Verdict::Unsure);
    assert_eq!(verdict(-0.4), Verdict::Unsure);
    assert_eq!(verdict(2.0), Verdict::OutOfSquare);
    assert_eq!(verdict(-2.0), Verdict::OutOfSquare);
}

#[test]
fn a_wide_corner_is_closed_by_moving_the_arm_toward_the_board() {
    let ruler = Ruler::usual(Unit::Millimetre);
    let words =
        |gap: f64| SquareReport::new(&SquareTest::Gap { length: 500.0, gap }, &demand()).unwrap().describe(ruler);
    assert!(words(2.0).contains("wider than a right angle"), "{}", words(2.0));
    // 2 / 500 · 350.
    assert!(words(2.0).contains("Move the arm towards the board by 1.40 mm ± "), "{}", words(2.0));
    assert!(words(2.0).contains("FAIL: more than the allowed 0.80 mm."));
    assert!(words(-2.0).contains("Move the arm away from the board by 1.40 mm ± "), "{}", words(-2.0));
    assert!(words(0.05).contains("Leave the arm as it is"), "{}", words(0.05));
    assert!(words(0.0).contains("Blades cut people"));
}

#[test]
fn about_its_outer_end_the_arm_is_moved_the_other_way_at_the_rail() {
    let ruler = Ruler::usual(Unit::Millimetre);
    let words = |pivot, bracket| {
        let demand = SquareDemand { pivot, bracket, ..demand() };
        SquareReport::new(&SquareTest::Gap { length: 500.0, gap: 2.0 }, &demand).unwrap().describe(ruler)
    };
    assert!(words(Pivot::Rail, Some(350.0)).contains("towards the board by 1.40 mm ± "));
    assert!(words(Pivot::Rail, Some(350.0)).contains("350 mm from its pivot at the rail"));
    assert!(words(Pivot::Rail, None).contains("Move the outer end towards the board, by 0.40 mm for every 100 mm"));
    assert!(words(Pivot::Outer, Some(350.0)).contains("Move the arm away from the board by 1.40 mm ± "));
    assert!(
        words(Pivot::Outer, None).contains("Move the end at the rail away from the board, by 0.40 mm for every 100 mm")
    );
}

#[test]
fn lengths_that_no_blank_has_are_told() {
    let report = |test| SquareReport::new(&test, &demand());
    let diagonals = |first, second| SquareTest::Diagonals { width: 300.0, height: 400.0, first, second };
    assert!(report(diagonals(500.0, 500.4)).unwrap().warning().is_none());
    let warning = report(diagonals(503.0, 503.0)).unwrap();
    assert!(warning.warning().unwrap().contains("the diagonals are 3.00 mm longer overall"), "{warning:?}");
    assert!(report(diagonals(100.0, 900.0)).unwrap_err().contains("no corner has such lengths"));
    assert!(report(diagonals(0.0, 500.0)).unwrap_err().contains("the first diagonal is 0 mm"));
    let misread = report(SquareTest::Sides { arm: 300.0, opposite: 400.0, cut: 300.0 }).unwrap();
    assert!(misread.warning().unwrap().contains("is more than an arm is ever off"));
}
