//! A bench that knows only how to set the arm, take a piece, turn it and cut, and follows a sequence on paper.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::collections::BTreeMap;

use backline::sheets::cutting::Size;
use backline::sheets::{Instruction, Outcome, Pattern, SheetPlan, Step};

/// A piece on the bench: along the scale, square to it, and whether that is the other way round than in the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lying<N> {
    pub(crate) along: N,
    pub(crate) across: N,
    pub(crate) turned: bool,
}

/// What came off a sheet. Sizes are the way round that they lay in the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Yield<N> {
    /// Finished pieces: what the sequence calls them, and their size.
    pub(crate) pieces: Vec<(usize, N, N)>,
    pub(crate) offcuts: Vec<(N, N)>,
    pub(crate) longest_cut: N,
}

impl<N: Copy> Lying<N> {
    fn turn(self) -> Self {
        Self { along: self.across, across: self.along, turned: !self.turned }
    }

    fn in_sheet(self) -> (N, N) {
        if self.turned { (self.across, self.along) } else { (self.along, self.across) }
    }
}

/// Follows the steps of a pattern in whole units of the grid.
pub(crate) fn follow_steps(plan: &SheetPlan, pattern: &Pattern) -> Yield<i64> {
    let entry = plan.entry(pattern).unwrap();
    let [width, height] = entry.size.map(|side| plan.prepared.grid.down(side));
    let kerf = plan.prepared.kerf;
    let mut bench = BTreeMap::from([(0, Lying { along: width, across: height, turned: false })]);
    let mut found = Yield { pieces: Vec::new(), offcuts: Vec::new(), longest_cut: 0 };
    let (mut setting, mut hand) = (None, None);
    let put = |outcome: Outcome, part: Lying<i64>, bench: &mut BTreeMap<usize, Lying<i64>>, found: &mut Yield<i64>| {
        let (width, height) = part.in_sheet();
        match outcome {
            Outcome::Again(handle) => assert!(bench.insert(handle.0, part).is_none(), "two pieces of one name"),
            Outcome::Item(index) => found.pieces.push((plan.item(index).unwrap().number, width, height)),
            Outcome::Offcut => found.offcuts.push((width, height)),
            Outcome::Waste => assert!(part.along > 0 && part.across > 0),
            Outcome::Nothing => assert!(part.along <= 0),
        }
    };
    for step in &pattern.sequence.steps {
        match *step {
            Step::Set(to) => {
                assert!(to > 0 && setting != Some(to), "the arm is set to what it is set to");
                setting = Some(to);
            }
            Step::Take(handle) => assert!(hand.replace(bench.remove(&handle.0).unwrap()).is_none()),
            Step::Turn => hand = Some(hand.unwrap().turn()),
            Step::Cut(outcome) => {
                let part: Lying<i64> = hand.unwrap();
                let off = setting.unwrap();
                assert!(off < part.along, "nothing to cut off");
                found.longest_cut = found.longest_cut.max(part.across);
                put(outcome, Lying { along: off, ..part }, &mut bench, &mut found);
                hand = Some(Lying { along: part.along - off - kerf, ..part });
            }
            Step::Leave(outcome) => put(outcome, hand.take().unwrap(), &mut bench, &mut found),
        }
    }
    assert!(bench.is_empty() && hand.is_none(), "a piece was forgotten on the bench");
    found
}

/// Follows printed instructions, knowing nothing but their words, the size of the sheet and the kerf, in sixteenths of an inch.
pub(crate) fn follow_words(instructions: &[Instruction], sheet: (i64, i64), kerf: i64) -> Yield<i64> {
    let sheet = Lying { along: sheet.0, across: sheet.1, turned: false };
    let mut bench = BTreeMap::from([("the sheet".to_owned(), sheet)]);
    let mut found = Yield { pieces: Vec::new(), offcuts: Vec::new(), longest_cut: 0 };
    for instruction in instructions {
        let setting = instruction.set.strip_prefix("Set the arm to ").unwrap().strip_suffix('.').unwrap();
        let setting = sixteenths(setting);
        for line in &instruction.work {
            let (work, left) = line.strip_suffix('.').unwrap().split_once(". Left: ").unwrap();
            let tokens: Vec<&str> = work.strip_prefix("Take ").unwrap().split(", ").collect();
            let is_action = |token: &&str| token.starts_with("turn it") || token.starts_with("cut ");
            let first = tokens.iter().position(is_action).unwrap();
            let (names, actions) = tokens.split_at(first);
            for name in names {
                let name = name.strip_prefix("each of ").unwrap_or(name);
                let hand = bench.remove(name).unwrap_or_else(|| panic!("there is no {name} on the bench: {line}"));
                let hand = act(actions, hand, setting, kerf, &mut bench, &mut found);
                put_down(left, hand, &mut bench, &mut found);
            }
        }
    }
    assert!(bench.is_empty(), "a piece was forgotten on the bench: {bench:?}");
    found
}

fn act(
    actions: &[&str],
    mut hand: Lying<i64>,
    setting: i64,
    kerf: i64,
    bench: &mut BTreeMap<String, Lying<i64>>,
    found: &mut Yield<i64>,
) -> Lying<i64> {
    let (mut announced, mut made) = (0, 0);
    for action in actions {
        if *action == "turn it" {
            assert_eq!(announced, made);
            hand = hand.turn();
            continue;
        }
        let outcome = match action.split_once(": ") {
            Some((count, outcome)) => {
                let count = count.strip_prefix("cut ").unwrap();
                assert_eq!(announced, made);
                announced += count.strip_suffix(" times").map_or(1, |count| count.parse().unwrap());
                outcome
            }
            None => action,
        };
        let (times, outcome) = match outcome.split_once(" × ") {
            Some((times, rest)) if times.parse::<usize>().is_ok() => (times.parse().unwrap(), rest),
            _ => (1, outcome),
        };
        for _ in 0..times {
            assert!(setting < hand.along, "nothing to cut off: {actions:?}");
            found.longest_cut = found.longest_cut.max(hand.across);
            put_down(outcome, Lying { along: setting, ..hand }, bench, found);
            hand.along -= setting + kerf;
            made += 1;
        }
    }
    assert_eq!(announced, made, "{actions:?}");
    hand
}

/// Puts a part where the words say, and checks the size that they give.
fn put_down(outcome: &str, part: Lying<i64>, bench: &mut BTreeMap<String, Lying<i64>>, found: &mut Yield<i64>) {
    let (width, height) = part.in_sheet();
    if outcome == "nothing" {
        assert!(part.along <= 0);
        return;
    }
    if let Some(number) = outcome.strip_prefix("piece ") {
        found.pieces.push((number.parse().unwrap(), width, height));
        return;
    }
    let (name, size) = outcome.strip_suffix(')').unwrap().split_once(" (").unwrap();
    let (shown_width, shown_height) = size.split_once(" × ").unwrap();
    assert_eq!((sixteenths(&format!("{shown_width} in")), sixteenths(shown_height)), (width, height), "{outcome}");
    match name {
        "waste" => {}
        "offcut" => found.offcuts.push((width, height)),
        name => assert!(bench.insert(name.to_owned(), part).is_none(), "two pieces are called {name}"),
    }
}

/// Reads a length of whole sixteenths of an inch.
fn sixteenths(text: &str) -> i64 {
    let mm = backline::length::parse(text, None).unwrap();
    let sixteenths = mm / 25.4 * 16.0;
    assert!((sixteenths - sixteenths.round()).abs() < 1e-9, "{text} is no whole number of sixteenths");
    sixteenths.round() as i64
}

/// Returns a size in sixteenths of an inch.
pub(crate) fn in_sixteenths(plan: &SheetPlan, size: Size) -> (i64, i64) {
    let side = |units: i64| (plan.prepared.grid.mm(units) / 25.4 * 16.0).round() as i64;
    (side(size.width), side(size.height))
}
