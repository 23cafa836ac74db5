//! The order of cuts sets and turns as rarely as any order can, and never more often than opening after opening.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::random::Random;
use backline::bench::{Assembly, BoardEdge, Changes, Cut, CutOrder, Cutter, Guide, Settings, Setup, Stop};
use backline::job::{Syntax, WrittenJob};

/// Cuts with settings drawn from so few numbers that many agree.
fn board(random: &mut Random, cuts: usize, numbers: usize, board: usize) -> Vec<Setup> {
    (0..cuts)
        .map(|_| {
            let blade = usize::from(random.once_in(6));
            if random.once_in(5) {
                // Some cuts share a pencil line.
                let line = random.below(3);
                return Setup {
                    guide: Guide::Off,
                    stops: [Stop::Away; 2],
                    lie: 1000 * board + 4 + 3 * blade + line,
                    blade,
                };
            }
            let mut number = || i64::try_from(random.below(numbers)).unwrap();
            let (guide, near, far) = (Guide::At(number()), Stop::At(number()), Stop::At(number()));
            let far = if random.once_in(8) { Stop::Away } else { far };
            Setup { guide, stops: [near, far], lie: 1000 * board + random.below(4), blade }
        })
        .collect()
}

/// Goes through all orders of some cuts.
fn permutations(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let shorter = permutations(count - 1);
    let put_in = |order: &Vec<usize>, place: usize| {
        let mut order = order.clone();
        order.insert(place, count - 1);
        order
    };
    shorter.iter().flat_map(|order| (0..count).map(move |place| put_in(order, place))).collect()
}

fn in_order<'b>(board: &'b [Setup], order: &[usize]) -> Vec<&'b Setup> {
    order.iter().map(|&cut| &board[cut]).collect()
}

/// Every cut must be made once.
fn assert_complete(boards: &[Vec<Setup>], order: &CutOrder) {
    assert_eq!(boards.len(), order.sequence.len());
    for (board, sequence) in boards.iter().zip(&order.sequence) {
        let mut cuts = sequence.clone();
        cuts.sort_unstable();
        assert_eq!(cuts, (0..board.len()).collect::<Vec<_>>());
    }
    let all = boards.iter().zip(&order.sequence).flat_map(|(board, sequence)| in_order(board, sequence));
    assert_eq!(order.changes, Changes::along(all));
}

#[test]
fn one_board_takes_what_the_best_of_all_orders_takes() {
    let mut random = Random::new(1);
    let orders: Vec<_> = (0..=6).map(permutations).collect();
    for _ in 0..150 {
        let (cuts, numbers) = (random.below(7), 1 + random.below(4));
        let board = board(&mut random, cuts, numbers, 0);
        let best = orders[cuts].iter().map(|order| Changes::along(in_order(&board, order))).min().unwrap();
        let order = CutOrder::best(std::slice::from_ref(&board));
        assert_complete(std::slice::from_ref(&board), &order);
        assert_eq!(order.changes, best, "{board:?}");
        assert!(order.is_proven());
    }
}

#[test]
fn two_boards_take_what_the_best_of_all_orders_takes() {
    let mut random = Random::new(2);
    let orders: Vec<_> = (0..=4).map(permutations).collect();
    for _ in 0..100 {
        let numbers = 1 + random.below(3);
        let boards = [0, 1].map(|index| {
            let cuts = random.below(5);
            board(&mut random, cuts, numbers, index)
        });
        let all = orders[boards[0].len()].iter().flat_map(|upper| {
            let (boards, orders) = (&boards, &orders);
            orders[boards[1].len()].iter().map(move |lower| {
                Changes::along(in_order(&boards[0], upper).into_iter().chain(in_order(&boards[1], lower)))
            })
        });
        let order = CutOrder::best(&boards);
        assert_complete(&boards, &order);
        assert_eq!(order.changes, all.min().unwrap(), "{boards:?}");
    }
}

#[test]
fn no_order_is_worse_than_the_listed_one_or_better_than_the_bound() {
    let mut random = Random::new(3);
    let mut proven = 0;
    for round in 0..24 {
        let (cuts, numbers) = (20 + random.below(60), 2 + random.below(if round % 2 == 0 { 4 } else { 40 }));
        let boards: Vec<_> = (0..1 + round % 3).map(|index| board(&mut random, cuts, numbers, index)).collect();
        let order = CutOrder::best(&boards);
        assert_complete(&boards, &order);
        assert!(order.changes <= Changes::along(boards.iter().flatten()));
        assert!(order.at_least <= order.changes);
        // The guide is set once for each of its numbers, or comes over from the board before.
        assert_eq!(order.at_least.guide, order.changes.guide);
        proven += usize::from(order.is_proven());
    }
    println!("{proven} of 24 orders are proven to be the best");
}

fn changes(guide: u32, stops: u32, laid: u32) -> Changes {
    Changes { guide, stops, laid, blade: 1 }
}

fn settings(job: &str) -> Settings {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap();
    Settings::new(mat, &Cutter::usual(mat.ruler()), Assembly::Taped)
}

#[test]
fn a_mat_with_a_heavier_bottom_sets_the_guide_twice() {
    let settings =
        settings("unit = 'in'\nborder = { left = 3, right = 3, top = 3, bottom = 4 }\nopening.size = [8, 10]");
    assert_eq!(settings.changes, changes(2, 5, 4));
    assert_eq!(settings.side_by_side, changes(3, 5, 4));
    assert!(settings.is_proven());
}

#[test]
fn openings_along_one_side_are_cut_with_the_guide_set_once() {
    let job = "unit = 'in'\nborder = 2\nopening.size = [2, 3]\narrangement = { rows = 1, columns = 3, gap = 1 }";
    let settings = settings(job);
    let top = |cut: &&Cut| cut.edge == BoardEdge::Top;
    let cuts: Vec<&Cut> = settings.steps.iter().filter_map(|step| settings.cut(step)).collect();
    assert_eq!(cuts.iter().copied().filter(top).count(), 3);
    // Border all round and the two long sides: 2 in. The second opening begins 5 in from the side, and the third one
    // 8 in, where the guide does not reach and comes off.
    assert_eq!(settings.changes.guide, 3);
    assert_eq!(cuts.iter().filter(|cut| cut.is_to_pencil_line()).count(), 2);
    assert_eq!(settings.side_by_side.guide, 8);
}

#[test]
fn a_run_is_set_once_and_every_mat_is_laid_for_every_setting() {
    let job = "unit = 'in'\nquantity = 5\nborder = 3\nopening.size = [8, 10]";
    let settings = settings(job);
    assert_eq!(settings.mats, 5);
    assert_eq!(settings.run(), changes(1, 2, 20));
    // All borders are alike, so that the next mat finds everything as it has to be.
    assert_eq!(settings.one_by_one(), changes(1, 2, 20));
}

#[test]
fn one_mat_after_the_other_goes_on_where_the_last_one_left_the_cutter() {
    let job =
        "unit = 'in'\nquantity = 3\nborder = { left = 3, right = 3, top = 3, bottom = 4 }\nopening.size = [8, 10]";
    let settings = settings(job);
    let mut setups: Vec<Setup> = Vec::new();
    for mat in 0..3 {
        let of_mat = settings.steps.iter().map(|step| Setup { lie: step.setup.lie + 100 * mat, ..step.setup });
        setups.extend(of_mat);
    }
    assert_eq!(settings.one_by_one(), Changes::along(&setups));
    assert!(settings.run().guide < settings.one_by_one().guide);
}
