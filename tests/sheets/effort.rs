//! Effort pays: the plan is the same on any number of cores, and more effort never gives a dearer one.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::ops::ControlFlow;

use crate::common::random::Random;
use backline::sheets::cutting::{Effort, Piece, Plan, Progress, Rules, SizeInUnits, StockSheet, Task, plan};

/// An order that no bound proves soon: pieces of many sizes from two kinds of sheets.
fn task(random: &mut Random) -> Task {
    let mut side = || 6 + random.below(20) as i64;
    let sizes: Vec<SizeInUnits> = (0..14).map(|_| SizeInUnits { width: side(), height: side() }).collect();
    let pieces = sizes.into_iter().map(|size| Piece {
        size,
        quantity: 1 + random.below(4) as u32,
        turnable: !random.once_in(3),
        value: None,
    });
    let pieces = pieces.collect();
    let sheet = |width, height, price, on_hand| StockSheet {
        size: SizeInUnits { width, height },
        on_hand,
        price,
        offcut: false,
        turnable: true,
    };
    let stock = vec![sheet(32, 40, 1200, None), sheet(40, 60, 2350, None), sheet(25, 30, 650, Some(2))];
    Task { pieces, stock, rules: Rules { kerf: random.below(2) as i64, ..Rules::default() } }
}

fn planned(task: &Task, rounds: u64, cores: usize) -> Plan {
    let effort = Effort { iterations: rounds, tidying: 60, seed: 3, run: 250, cores };
    plan(task, &effort, &mut |_| ControlFlow::Continue(()))
}

#[test]
fn the_plan_is_the_same_on_any_number_of_cores() {
    let mut random = Random::new(7);
    for _ in 0..4 {
        let task = task(&mut random);
        let alone = planned(&task, 3_000, 1);
        for cores in [2, 3, 8] {
            assert_eq!(planned(&task, 3_000, cores), alone, "{cores} cores: {task:?}");
        }
    }
}

#[test]
fn more_effort_never_loses_a_plan() {
    let mut random = Random::new(8);
    let mut gained = 0;
    for _ in 0..6 {
        let task = task(&mut random);
        let mut last: Option<(i64, i64)> = None;
        for rounds in [250, 500, 1_000, 2_000, 4_000] {
            let plan = planned(&task, rounds, 2);
            let found = (plan.cost, -plan.bound);
            assert!(
                last.is_none_or(|last| found.0 <= last.0 && found.1 <= last.1),
                "{rounds}: {found:?} after {last:?}"
            );
            gained += u32::from(last.is_some_and(|last| found.0 < last.0));
            last = Some(found);
        }
    }
    assert!(gained > 0, "no order became cheaper");
}

#[test]
fn a_watcher_is_asked_for_all_runs_and_stops_them_all() {
    let task = task(&mut Random::new(9));
    for cores in [1, 3] {
        let effort = Effort { iterations: u64::MAX, tidying: 60, seed: 3, run: 600, cores };
        let mut asked: Vec<Progress> = Vec::new();
        let found = plan(&task, &effort, &mut |progress| {
            asked.push(*progress);
            if asked.len() < 40 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        assert!(found.left_over.is_empty());
        // Told is the best of all runs, which never becomes dearer.
        assert!(asked.windows(2).all(|pair| pair[1].cost <= pair[0].cost), "{asked:?}");
        assert!(found.cost <= asked.last().unwrap().cost);
    }
}
