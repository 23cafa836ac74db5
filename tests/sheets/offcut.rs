//! At equal cost a plan leaves a large offcut, in one piece, and obeys the bench while it looks for one.

use std::ops::ControlFlow;

use backline::sheets::cutting::{Effort, Piece, Plan, PlanPart, Rules, SizeInUnits, StockSheet, Task, plan};

/// Inches in sixteenths.
const INCH: i64 = 16;

fn piece(width: i64, height: i64, quantity: u32) -> Piece {
    Piece { size: SizeInUnits { width: width * INCH, height: height * INCH }, quantity, turnable: true, value: None }
}

/// Gallery mats from boards of 32 × 40 in and 40 × 60 in that lose 1/4 in along each edge.
fn gallery(rules: Rules) -> Task {
    let stock = |width: i64, height: i64, price| StockSheet {
        size: SizeInUnits { width: width * INCH - INCH / 2, height: height * INCH - INCH / 2 },
        on_hand: None,
        price,
        offcut: false,
        turnable: true,
    };
    let smallest_offcut = Some(SizeInUnits { width: 5 * INCH, height: 5 * INCH });
    Task {
        pieces: vec![piece(16, 20, 12), piece(11, 14, 6), piece(8, 10, 8)],
        stock: vec![stock(32, 40, 12), stock(40, 60, 25)],
        rules: Rules { smallest_offcut, ..rules },
    }
}

fn largest(plan: &Plan) -> i64 {
    plan.largest_offcut().map_or(0, SizeInUnits::area)
}

#[test]
fn twelve_mats_on_six_boards_leave_a_whole_strip() {
    // A board of 31 1/2 × 39 1/2 in yields two of 16 × 20 in at most, so six boards hold two each, and no hole beside two is
    // larger than 11 1/2 × 39 1/2 in.
    let strip = (11 * INCH + INCH / 2) * (39 * INCH + INCH / 2);
    for seed in [1, 3] {
        let effort = Effort { seed, ..Effort::default() };
        let plan = plan(&gallery(Rules::default()), &effort, &mut |_| ControlFlow::Continue(()));
        assert_eq!((plan.cost, plan.left_over.as_slice()), (72, [].as_slice()), "seed {seed}");
        assert_eq!(largest(&plan), strip, "seed {seed}");
    }
}

#[test]
fn a_wanted_offcut_obeys_the_bench_and_comes_again() {
    let bench = [
        Rules { stages: Some(2), ..Rules::default() },
        Rules { longest_cut: Some(32 * INCH), ..Rules::default() },
        Rules { stages: Some(3), kerf: 3, longest_cut: Some(40 * INCH), ..Rules::default() },
    ];
    for rules in bench {
        let task = gallery(rules);
        let effort = Effort { iterations: 500, tidying: 3_000, seed: 5, ..Effort::default() };
        let once = plan(&task, &effort, &mut |_| ControlFlow::Continue(()));
        assert_eq!(once, plan(&task, &effort, &mut |_| ControlFlow::Continue(())));
        assert!(once.left_over.is_empty());
        for sheet in &once.sheets {
            assert!(rules.stages.is_none_or(|most| sheet.root.stages() <= most));
            assert!(!matches!(sheet.root.part, PlanPart::Offcut), "a sheet for nothing");
        }
    }
}
