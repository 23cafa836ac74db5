//! A bench that knows only how to set the arm, lay a part, turn it and cut, and follows a sequence on paper: it forgets how a part lay.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::collections::BTreeMap;

use backline::sheets::cutting::{CutDirection, SizeInUnits};
use backline::sheets::{Instruction, Outcome, Pattern, SequenceStep, SheetPlan};
use serde_json::Value;

/// A part at the cutter: its width and height in the drawing, and whether the height lies along the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Held<N> {
    pub(crate) width: N,
    pub(crate) height: N,
    pub(crate) by_height: bool,
}

/// What came off a sheet: sizes are width and height in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Yield<N> {
    /// Finished pieces: what the sequence calls them, and their size.
    pub(crate) pieces: Vec<(usize, N, N)>,
    pub(crate) offcuts: Vec<(N, N)>,
    pub(crate) longest_cut: N,
}

impl Held<i64> {
    fn along(self) -> i64 {
        if self.by_height { self.height } else { self.width }
    }

    fn across(self) -> i64 {
        if self.by_height { self.width } else { self.height }
    }

    fn with(self, along: i64) -> Self {
        if self.by_height { Self { height: along, ..self } } else { Self { width: along, ..self } }
    }

    /// Cuts it, and returns what comes off and what is left.
    fn cut(self, setting: i64, kerf: i64, found: &mut Yield<i64>) -> (Self, Self) {
        assert!(setting < self.along(), "nothing to cut off: {self:?} at {setting}");
        found.longest_cut = found.longest_cut.max(self.across());
        (self.with(setting), self.with(self.along() - setting - kerf))
    }
}

fn nothing_yet() -> Yield<i64> {
    Yield { pieces: Vec::new(), offcuts: Vec::new(), longest_cut: 0 }
}

/// Follows the steps of a pattern in whole units of the grid.
pub(crate) fn follow_steps(plan: &SheetPlan, pattern: &Pattern) -> Yield<i64> {
    let entry = plan.entry(pattern).unwrap();
    let [width, height] = entry.size.map(|side| plan.prepared.grid.down(side));
    let mut bench = BTreeMap::from([(0, (width, height))]);
    let mut found = nothing_yet();
    let (mut setting, mut hand) = (None, None);
    let put = |outcome: Outcome, part: Held<i64>, bench: &mut BTreeMap<usize, (i64, i64)>, found: &mut Yield<i64>| {
        let (width, height) = (part.width, part.height);
        match outcome {
            Outcome::Again(handle) => {
                assert!(bench.insert(handle.0, (width, height)).is_none(), "two parts of one name");
            }
            Outcome::Item(index) => found.pieces.push((plan.item(index).unwrap().number, width, height)),
            Outcome::Offcut => found.offcuts.push((width, height)),
            Outcome::Waste => assert!(width > 0 && height > 0),
            Outcome::Nothing => assert!(width <= 0 || height <= 0),
        }
    };
    for step in &pattern.sequence.steps {
        match *step {
            SequenceStep::Set(to) => {
                assert!(to > 0 && setting != Some(to), "the arm is set to what it is set to");
                setting = Some(to);
            }
            SequenceStep::Lay { part, along } => {
                let (width, height) = bench.remove(&part.0).unwrap();
                let held = Held { width, height, by_height: along == CutDirection::Down };
                assert!(hand.replace(held).is_none());
            }
            SequenceStep::Turn => {
                let part: Held<i64> = hand.unwrap();
                hand = Some(Held { by_height: !part.by_height, ..part });
            }
            SequenceStep::Cut(outcome) => {
                let (off, left) = hand.unwrap().cut(setting.unwrap(), plan.prepared.kerf, &mut found);
                put(outcome, off, &mut bench, &mut found);
                hand = Some(left);
            }
            SequenceStep::Leave(outcome) => put(outcome, hand.take().unwrap(), &mut bench, &mut found),
        }
    }
    assert!(bench.is_empty() && hand.is_none(), "a part was forgotten on the bench");
    found
}

/// Follows the sequence of a pattern in the JSON of a plan, knowing nothing else, in sixteenths of an inch.
pub(crate) fn follow_json(pattern: &Value, kerf: i64) -> Yield<i64> {
    let number = |value: &Value| (value.as_f64().unwrap() / 25.4 * 16.0).round() as i64;
    let mut bench = BTreeMap::from([(0, (number(&pattern["width"]), number(&pattern["height"])))]);
    let mut found = nothing_yet();
    let (mut setting, mut hand, mut cuts) = (0, None, 0);
    let put = |outcome: &Value, part: Held<i64>, bench: &mut BTreeMap<u64, (i64, i64)>, found: &mut Yield<i64>| {
        let (width, height) = (part.width, part.height);
        if let Some(handle) = outcome["handle"].as_u64() {
            assert!(bench.insert(handle, (width, height)).is_none());
        } else if let Some(piece) = outcome["piece"].as_u64() {
            found.pieces.push((piece as usize, width, height));
        } else {
            match outcome.as_str().unwrap() {
                "offcut" => found.offcuts.push((width, height)),
                "waste" => assert!(width > 0 && height > 0),
                "nothing" => assert!(width <= 0 || height <= 0),
                other => panic!("{other}"),
            }
        }
    };
    for step in pattern["sequence"].as_array().unwrap() {
        match step["do"].as_str().unwrap() {
            "set" => setting = number(&step["to"]),
            "lay" => {
                let (width, height) = bench.remove(&step["handle"].as_u64().unwrap()).unwrap();
                hand = Some(Held { width, height, by_height: step["along"] == "height" });
            }
            "turn" => hand = hand.map(|part: Held<i64>| Held { by_height: !part.by_height, ..part }),
            "cut" => {
                cuts += 1;
                assert_eq!(step["number"], cuts);
                let (off, left) = hand.unwrap().cut(setting, kerf, &mut found);
                put(&step["off"], off, &mut bench, &mut found);
                hand = Some(left);
            }
            "leave" => put(&step["left"], hand.take().unwrap(), &mut bench, &mut found),
            other => panic!("{other}"),
        }
    }
    assert!(bench.is_empty() && hand.is_none() && pattern["cuts"] == cuts);
    found
}

/// Follows printed instructions, knowing nothing but their words, the size of the sheet and the kerf, in sixteenths of an inch.
pub(crate) fn follow_words(instructions: &[Instruction], sheet: (i64, i64), kerf: i64) -> Yield<i64> {
    let mut reader =
        Reader { kerf, bench: BTreeMap::from([("the sheet".to_owned(), sheet)]), found: nothing_yet(), cuts: 0 };
    for instruction in instructions {
        if instruction.set == "No cut is needed." {
            let [only] = instruction.work.as_slice() else { panic!("one line, not {instruction:?}") };
            let outcome = only.words.strip_prefix("The sheet is ").unwrap().strip_suffix('.').unwrap();
            let (width, height) = reader.bench.remove("the sheet").unwrap();
            reader.put_down(outcome, Held { width, height, by_height: false });
            continue;
        }
        let setting = instruction.set.strip_prefix("Set the arm to ").unwrap().strip_suffix('.').unwrap();
        let setting = sixteenths(setting);
        for work in &instruction.work {
            reader.follow(&work.words, setting);
        }
    }
    assert!(reader.bench.is_empty(), "a part was forgotten on the bench: {:?}", reader.bench);
    reader.found
}

struct Reader {
    kerf: i64,
    /// Width and height of every part on the bench.
    bench: BTreeMap<String, (i64, i64)>,
    found: Yield<i64>,
    /// How many cuts were made.
    cuts: usize,
}

impl Reader {
    /// Follows a line: `Lay A with its 40 in side along the scale. Cut 3 takes off piece 1. Left: piece 1.`
    fn follow(&mut self, line: &str, setting: i64) {
        let sentences: Vec<&str> = line.strip_suffix('.').unwrap().split(". ").collect();
        let (lay, rest) = sentences.split_first().unwrap();
        let (left, actions) = rest.split_last().unwrap();
        let (names, side) = lay.strip_prefix("Lay ").unwrap().split_once(" with ").unwrap();
        let side = side.strip_suffix(" along the scale").unwrap();
        let several = names.strip_prefix("each of ");
        let left = left.strip_prefix(if several.is_some() { "Left of each: " } else { "Left: " }).unwrap();
        let names: Vec<&str> = several.unwrap_or(names).split(", ").collect();
        let before = self.cuts;
        for name in &names {
            let (width, height) =
                self.bench.remove(*name).unwrap_or_else(|| panic!("there is no {name} on the bench: {line}"));
            let mut hand = Held { width, height, by_height: by_height(side, width, height) };
            for action in actions {
                if let Some(side) = action.strip_prefix("Turn it a quarter anticlockwise: its ") {
                    hand.by_height = !hand.by_height;
                    let side = side.strip_suffix(" side now lies along the scale").unwrap();
                    assert_eq!(sixteenths(side), hand.along(), "{line}");
                } else {
                    hand = self.cut(action, hand, setting, names.len());
                }
            }
            self.put_down(left, hand);
        }
        let announced = actions.iter().filter_map(|action| action.split_once(" take")).map(|(cuts, _)| numbers(cuts));
        let announced: Vec<usize> = announced.flatten().collect();
        assert_eq!(announced, (before + 1..=self.cuts).collect::<Vec<_>>(), "{line}");
    }

    /// Makes the cuts of a sentence on one of so many parts.
    fn cut(&mut self, sentence: &str, hand: Held<i64>, setting: i64, parts: usize) -> Held<i64> {
        let (cuts, outcomes) =
            sentence.split_once(" take off ").or_else(|| sentence.split_once(" takes off ")).unwrap();
        let mut hand = hand;
        let mut made = 0;
        for outcome in outcomes.split(", ") {
            let (times, outcome) = match outcome.split_once(" × ") {
                Some((times, rest)) if times.parse::<usize>().is_ok() => (times.parse().unwrap(), rest),
                _ => (1, outcome),
            };
            for _ in 0..times {
                let (off, left) = hand.cut(setting, self.kerf, &mut self.found);
                self.put_down(outcome, off);
                (hand, made) = (left, made + 1);
            }
        }
        assert_eq!(numbers(cuts).len(), made * parts, "{sentence}");
        self.cuts += made;
        hand
    }

    /// Puts a part where the words say, and checks the size that they give.
    fn put_down(&mut self, outcome: &str, part: Held<i64>) {
        let (width, height) = (part.width, part.height);
        if outcome == "nothing" {
            assert!(width <= 0 || height <= 0);
            return;
        }
        if let Some(number) = outcome.strip_prefix("piece ") {
            self.found.pieces.push((number.parse().unwrap(), width, height));
            return;
        }
        let (name, size) = outcome.strip_suffix(')').unwrap().split_once(" (").unwrap();
        let (shown_width, shown_height) = size.split_once(" × ").unwrap();
        assert_eq!((sixteenths(&format!("{shown_width} in")), sixteenths(shown_height)), (width, height), "{outcome}");
        match name {
            "waste" => {}
            "offcut" => self.found.offcuts.push((width, height)),
            name => {
                assert!(self.bench.insert(name.to_owned(), (width, height)).is_none(), "two parts are called {name}")
            }
        }
    }
}

/// Tells which side the words name: `its 40 in side`, or of a square `its width, 16 in,`.
fn by_height(side: &str, width: i64, height: i64) -> bool {
    if let Some(length) = side.strip_prefix("its ").unwrap().strip_suffix(" side") {
        let length = sixteenths(length);
        assert!(width != height && (length == width || length == height), "{side}: {width} × {height}");
        return length == height;
    }
    assert_eq!(width, height);
    side.starts_with("its height, ")
}

/// Lists the numbers of cuts: `Cut 3`, `Cuts 3 and 4, one each,`, `Cuts 3 to 6, 2 each,`.
fn numbers(cuts: &str) -> Vec<usize> {
    let cuts = cuts.split(',').next().unwrap();
    if let Some(only) = cuts.strip_prefix("Cut ") {
        return vec![only.parse().unwrap()];
    }
    let cuts = cuts.strip_prefix("Cuts ").unwrap();
    let (first, last) = cuts.split_once(" and ").or_else(|| cuts.split_once(" to ")).unwrap();
    (first.parse().unwrap()..=last.parse().unwrap()).collect()
}

/// Reads a length of whole sixteenths of an inch.
fn sixteenths(text: &str) -> i64 {
    let mm = backline::length::parse(text, None).unwrap();
    let sixteenths = mm / 25.4 * 16.0;
    assert!((sixteenths - sixteenths.round()).abs() < 1e-9, "{text} is not a whole number of sixteenths");
    sixteenths.round() as i64
}

/// Returns a size in sixteenths of an inch.
pub(crate) fn in_sixteenths(plan: &SheetPlan, size: SizeInUnits) -> (i64, i64) {
    let side = |units: i64| (plan.prepared.grid.mm(units) / 25.4 * 16.0).round() as i64;
    (side(size.width), side(size.height))
}
