//! Simulated machines and persons with rulers: how often stated intervals hold, and which slips are caught.
//!
//! `BACKLINE_SEED` and `BACKLINE_MACHINES` run other and more machines than the few of every test run.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write;

use crate::common::fitted::{self, Fitted};
use crate::common::random::Random;
use backline::bench::{Calibration, Cutter, End, Lean, RailSide, Scale, Stops, StopsFrom};
use backline::length::{Ruler, Unit};

const THICKNESS: f64 = 1.6;
const RULERS: [(&str, f64); 3] = [("0.1 mm", 0.1), ("0.5 mm", 0.5), ("1/32 in", 25.4 / 32.0)];

fn asked(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

fn normal(random: &mut Random, deviation: f64) -> f64 {
    let radius = (-2.0 * random.between(1e-12, 1.0).ln()).sqrt();
    deviation * radius * random.between(0.0, std::f64::consts::TAU).cos()
}

/// A machine that nobody has measured, and what its maker would say of it.
fn machine(random: &mut Random) -> [Cutter; 2] {
    let mut scale = |offset: f64, stretch: f64, reach: f64| Scale {
        reach,
        offset: random.between(-offset, offset),
        stretch: random.between(-stretch, stretch),
    };
    let (guide, far, near) = (scale(1.5, 0.005, 150.0), scale(1.5, 0.005, 150.0), scale(1.5, 0.005, 150.0));
    let arm = scale(1.5, 0.002, 800.0);
    let mut maker = Cutter {
        lean: *random.pick(&[Lean::TowardGuide, Lean::AwayFromGuide]),
        guide_side: *random.pick(&[RailSide::Left, RailSide::Right]),
        starts: *random.pick(&End::BOTH),
        stops_from: *random.pick(&[StopsFrom::Board, StopsFrom::Rail]),
        ..Cutter::usual(Ruler::new(Unit::Millimetre, 2).unwrap())
    };
    let mut far = far;
    if maker.stops_from == StopsFrom::Rail {
        maker.stops.as_mut().unwrap().far.reach = 800.0;
        // Along the rail a stop is as long as the arm, and stretches as little.
        far = Scale { reach: 800.0, stretch: 0.4 * far.stretch, ..far };
    }
    let mut real = Cutter { guide, arm, stops: Some(Stops { far, near }), ..maker.clone() };
    real.lead.entry = random.between(0.5, 3.0);
    real.lead.exit = random.between(0.5, 3.0);
    real.bevel_angle_deg = random.between(35.0, 55.0);
    real.out_of_square_deg = random.between(-0.15, 0.15);
    [real, maker]
}

const NAMES: [&str; 4] = ["left", "bottom", "right", "top"];

/// One line of a record: its key, and what was set or measured, several numbers for several ends.
#[derive(Clone)]
enum Entry {
    Table(String),
    Set(String, f64),
    Measured(String, Vec<f64>),
}

fn written(entries: &[Entry], mark: f64) -> String {
    let mut out = format!("unit = 'mm'\nthickness = {THICKNESS}\nreading = {mark}\n");
    for entry in entries {
        match entry {
            Entry::Table(name) => writeln!(out, "{name}"),
            Entry::Set(key, number) => writeln!(out, "{key} = {number}"),
            Entry::Measured(key, numbers) if numbers.len() == 1 => writeln!(out, "{key} = {}", numbers[0]),
            Entry::Measured(key, numbers) => writeln!(out, "{key} = [{}, {}]", numbers[0], numbers[1]),
        }
        .unwrap();
    }
    out
}

/// Cuts the pieces that the form asks for on a machine, and measures them with a ruler.
fn measure(cutter: &Cutter, maker: &Cutter, random: &mut Random, deviation: f64, mark: f64) -> Vec<Entry> {
    let mut entries = Vec::new();
    let bevel = THICKNESS * cutter.bevel_angle_deg.to_radians().tan();
    for piece in maker.test_pieces(2, 2).unwrap() {
        let (arm, guide) = ([piece.width, piece.height], piece.sides.map(|side| side.guide));
        let mut read = |lengths: &[f64]| -> Vec<f64> {
            lengths.iter().map(|length| ((length + normal(random, deviation)) / mark).round() * mark).collect()
        };
        let mut add = |key: &str, lengths: &[f64]| Entry::Measured(key.to_owned(), read(lengths));
        let [width, height] = arm.map(|number| cutter.arm.distance(number));
        let backs = guide.map(|number| cutter.guide.distance(number));
        let [left, bottom, right, top] = backs;
        let skew = 2.0 * width * height * cutter.out_of_square_deg.to_radians().sin();
        let square_sum = width * width + height * height;
        entries.push(Entry::Table("[[piece]]".to_owned()));
        entries.push(Entry::Set("arm_for_width".to_owned(), arm[0]));
        entries.push(Entry::Set("arm_for_height".to_owned(), arm[1]));
        entries.push(add("width", &[width, width]));
        entries.push(add("height", &[height, height]));
        entries.push(add("opening_width", &[width - left - right, width - left - right]));
        entries.push(add("opening_height", &[height - top - bottom, height - top - bottom]));
        entries.push(add("diagonals", &[(square_sum - skew).sqrt(), (square_sum + skew).sqrt()]));
        let larger = backs.map(|back| if cutter.lean == Lean::TowardGuide { back - bevel } else { back });
        for (place, name) in NAMES.into_iter().enumerate() {
            let at =
                |end: End| (place + if (end == End::Far) == (cutter.guide_side == RailSide::Left) { 1 } else { 3 }) % 4;
            entries.push(Entry::Table(format!("[piece.{name}]")));
            entries.push(Entry::Set("guide".to_owned(), guide[place]));
            entries.push(add("border", &[backs[place], backs[place]]));
            entries.push(add("bevel", &[bevel]));
            for end in End::BOTH {
                let side = piece.sides[place];
                let along = if place.is_multiple_of(2) { height } else { width };
                let set = if end == End::Far { side.far } else { side.near };
                let (set, mark) = if piece.by_eye {
                    (set, set)
                } else if cutter.counts_along_rail(end) {
                    (set, along - cutter.stop_at(end).unwrap().distance(set))
                } else {
                    (set, cutter.stop_at(end).unwrap().distance(set))
                };
                let end_of_cut = mark - cutter.lead_at(end);
                let key = if piece.by_eye { "mark" } else { "stop" };
                entries.push(Entry::Set(format!("{}_{key}", end.name()), set));
                entries.push(add(&format!("{}_over", end.name()), &[larger[at(end)] - end_of_cut]));
            }
        }
    }
    entries
}

fn fit(entries: &[Entry], mark: f64, before: &Cutter) -> Result<Fitted, Vec<String>> {
    fitted::fit(&written(entries, mark), before)
}

/// Intervals of all numbers of a machine, with what they are.
fn intervals(calibration: &Calibration, real: &Cutter) -> Vec<(&'static str, f64, f64, f64)> {
    let [far, near] = calibration.stops.map(Option::unwrap);
    let [entry, exit] = calibration.leads.map(Option::unwrap);
    let (guide, arm) = (calibration.guide.unwrap(), calibration.arm.unwrap());
    let stop = |end| *real.stop_at(end).unwrap();
    let all = [
        ("guide offset", guide.offset, real.guide.offset),
        ("guide stretch", guide.stretch, real.guide.stretch),
        ("far stop offset", far.offset, stop(End::Far).offset),
        ("far stop stretch", far.stretch, stop(End::Far).stretch),
        ("near stop offset", near.offset, stop(End::Near).offset),
        ("near stop stretch", near.stretch, stop(End::Near).stretch),
        ("arm offset", arm.offset, real.arm.offset),
        ("arm stretch", arm.stretch, real.arm.stretch),
        ("entry lead", entry.estimate, real.lead.entry),
        ("exit lead", exit.estimate, real.lead.exit),
        ("bevel angle", calibration.bevel_angle_deg.unwrap().estimate, real.bevel_angle_deg),
        ("squareness", calibration.out_of_square_deg.unwrap().estimate, real.out_of_square_deg),
    ];
    all.map(|(name, estimate, known)| (name, estimate.low, estimate.high, known)).to_vec()
}

/// The share of machines that may lie beyond a bound by chance: four standard deviations of so many machines, and one machine more,
/// since few of them are far from a normal distribution and every run asks some dozens of times.
fn chance(share: f64, machines: f64) -> f64 {
    4.0 * (share * (1.0 - share) / machines).sqrt() + 1.0 / machines
}

#[test]
fn stated_intervals_hold_the_true_numbers() {
    let (seed, machines) = (asked("BACKLINE_SEED", 1), asked("BACKLINE_MACHINES", 8));
    for (ruler, mark) in RULERS {
        let mut random = Random::new(seed);
        let mut held: BTreeMap<&str, usize> = BTreeMap::new();
        let (mut fitted, mut refused, mut named) = (0, 0, 0);
        let (mut set, mut within) = (0, 0);
        for _ in 0..machines {
            let [real, maker] = machine(&mut random);
            // Nobody knows how steady a hand is: from 0.05 to 0.25 mm.
            let deviation = 0.05 * 5.0_f64.powf(random.between(0.0, 1.0));
            let entries = measure(&real, &maker, &mut random, deviation, mark);
            let calibration = match fit(&entries, mark, &maker) {
                Ok(calibration) => calibration,
                Err(problems) => {
                    if std::env::var_os("BACKLINE_SHOW").is_some() {
                        println!("  {deviation:.2} refused: {problems:#?}");
                    }
                    refused += 1;
                    continue;
                }
            };
            if std::env::var_os("BACKLINE_SHOW").is_some() {
                for warning in calibration.warnings.iter().filter(|warning| warning.code == "outlier") {
                    println!("  {deviation:.2} warned: {warning}");
                }
            }
            fitted += 1;
            named += usize::from(calibration.warnings.iter().any(|warning| warning.code == "outlier"));
            // What the profile says of a setting holds on the real machine, whether a stretch was left out of it or not.
            for wanted in [30.0, 55.5, 76.2, 95.0] {
                let settings = [
                    (calibration.cutter.set_guide(wanted), real.guide),
                    (calibration.cutter.set_arm(200.0 + wanted), real.arm),
                ];
                for (setting, scale) in settings {
                    let off = (scale.distance(setting.number) - setting.given).abs();
                    set += 1;
                    within += usize::from(off <= setting.doubt.unwrap().plus_minus);
                }
            }
            for (name, low, high, known) in intervals(&calibration, &real) {
                *held.entry(name).or_default() += usize::from((low..=high).contains(&known));
            }
        }
        println!(
            "seed {seed}, ruler {ruler}: {fitted} machines fitted, without a slip {refused} refused and {named} warned of"
        );
        println!("{within} of {set} settings are off by no more than their ±");
        let count = fitted as f64;
        // The settings of one machine are off together.
        assert!(within as f64 >= (0.9 - chance(0.9, count)) * f64::from(set), "{within} of {set}");
        for (name, held) in held {
            let share = held as f64 / count;
            println!("  {name}: {:.1} %", 100.0 * share);
            let around = 0.93 - chance(0.93, count)..=0.97 + chance(0.97, count);
            assert!(around.contains(&share), "seed {seed}, {ruler}, {name}: {held} of {fitted}");
        }
        // One clean record in twenty may be warned of, and one in two hundred refused.
        let share = |found: usize| found as f64 / machines as f64;
        assert!(share(refused + named) <= 0.05 + chance(0.05, machines as f64), "{refused} and {named} of {machines}");
    }
}

/// Spoils a record as people do, and returns what was done.
type Slip = fn(&mut [Entry], &mut Random, f64);

fn pick_measured<'e>(entries: &'e mut [Entry], random: &mut Random, keys: &[&str]) -> &'e mut Vec<f64> {
    let mut fitting: Vec<&mut Vec<f64>> = entries
        .iter_mut()
        .filter_map(|entry| match entry {
            Entry::Measured(key, numbers) if keys.iter().any(|wanted| key.ends_with(wanted)) => Some(numbers),
            _ => None,
        })
        .collect();
    let at = random.below(fitting.len());
    fitting.swap_remove(at)
}

const ALL: [&str; 6] = ["border", "width", "height", "diagonals", "_over", "bevel"];
/// Lengths that are measured along the board, large enough for the wrong unit.
const LONG: [&str; 4] = ["border", "width", "height", "diagonals"];

fn off_by(entries: &mut [Entry], random: &mut Random, by: f64) {
    let numbers = pick_measured(entries, random, &ALL);
    let sign = if random.once_in(2) { 1.0 } else { -1.0 };
    let at = random.below(numbers.len());
    numbers[at] = if numbers[at] + sign * by > 0.0 { numbers[at] + sign * by } else { numbers[at] + by };
}

fn borders_on_the_face(entries: &mut [Entry], _: &mut Random, _: f64) {
    let bevels: Vec<f64> = entries
        .iter()
        .filter_map(|entry| match entry {
            Entry::Measured(key, numbers) if key == "bevel" => Some(numbers[0]),
            _ => None,
        })
        .collect();
    let bevel = bevels.iter().sum::<f64>() / bevels.len() as f64;
    for entry in entries {
        match entry {
            Entry::Measured(key, numbers) if key == "border" => numbers.iter_mut().for_each(|number| *number -= bevel),
            _ => {}
        }
    }
}

fn inches_for_millimetres(entries: &mut [Entry], random: &mut Random, _: f64) {
    let numbers = pick_measured(entries, random, &LONG);
    numbers.iter_mut().for_each(|number| *number /= 25.4);
}

fn an_inch_off(entries: &mut [Entry], random: &mut Random, _: f64) {
    let numbers = pick_measured(entries, random, &LONG);
    numbers.iter_mut().for_each(|number| *number += 25.4);
}

fn by_one(entries: &mut [Entry], random: &mut Random, mark: f64) {
    // The next figure on the ruler: a millimetre, or an eighth of an inch.
    off_by(entries, random, if mark > 0.7 { 25.4 / 8.0 } else { 1.0 });
}

fn by_ten(entries: &mut [Entry], random: &mut Random, _: f64) {
    off_by(entries, random, 10.0);
}

/// Far and near of one side, or the sign of one end; harmless where both are alike.
fn swapped(entries: &mut [Entry], random: &mut Random, mark: f64) {
    let wanted = 1.0_f64.max(2.0 * mark);
    let ends: Vec<usize> =
        (0..entries.len()).filter(|at| matches!(&entries[*at], Entry::Measured(key, _) if key == "far_over")).collect();
    let over = |entries: &[Entry], at: usize| match &entries[at] {
        Entry::Measured(_, numbers) => numbers[0],
        _ => panic!("no over-cut"),
    };
    let far_apart = |at: &usize| (over(entries, *at) - over(entries, at + 2)).abs() >= wanted;
    let fitting: Vec<usize> = ends.into_iter().filter(far_apart).collect();
    if fitting.is_empty() {
        return by_ten(entries, random, mark);
    }
    let at = *random.pick(&fitting);
    let (far, near) = (over(entries, at), over(entries, at + 2));
    entries[at] = Entry::Measured("far_over".to_owned(), vec![near]);
    entries[at + 2] = Entry::Measured("near_over".to_owned(), vec![far]);
}

fn wrong_sign(entries: &mut [Entry], random: &mut Random, mark: f64) {
    let wanted = 0.5_f64.max(mark);
    let fitting: Vec<usize> = (0..entries.len())
        .filter(|at| matches!(&entries[*at], Entry::Measured(key, numbers) if key.ends_with("_over") && numbers[0].abs() >= wanted))
        .collect();
    if fitting.is_empty() {
        return by_ten(entries, random, mark);
    }
    if let Entry::Measured(_, numbers) = &mut entries[*random.pick(&fitting)] {
        numbers[0] = -numbers[0];
    }
}

/// Returns the places in the record of what is not as it was.
fn spoilt(clean: &[Entry], entries: &[Entry]) -> Vec<String> {
    let (mut piece, mut side, mut paths) = (0_usize, String::new(), Vec::new());
    for (clean, entry) in clean.iter().zip(entries) {
        match (clean, entry) {
            (Entry::Table(name), _) if name == "[[piece]]" => (piece, side) = (piece + 1, String::new()),
            (Entry::Table(name), _) => side = format!("{}.", &name["[piece.".len()..name.len() - 1]),
            (Entry::Measured(_, before), Entry::Measured(key, after)) if before != after => {
                paths.push(format!(" at piece[{}].{side}{key}", piece - 1));
            }
            _ => {}
        }
    }
    paths
}

#[test]
fn slips_are_refused_or_named() {
    const SLIPS: [(&str, Slip); 7] = [
        ("borders on the face", borders_on_the_face),
        ("inches for millimetres", inches_for_millimetres),
        ("an inch off", an_inch_off),
        ("one reading off by one", by_one),
        ("one reading off by ten", by_ten),
        ("far and near swapped", swapped),
        ("sign wrong", wrong_sign),
    ];
    let (seed, machines) = (asked("BACKLINE_SEED", 1), asked("BACKLINE_MACHINES", 3));
    for (ruler, mark) in RULERS {
        let mut random = Random::new(seed + 1000);
        for (name, slip) in SLIPS {
            let (mut caught, mut in_place) = (0, 0);
            for _ in 0..machines {
                let [real, maker] = machine(&mut random);
                let clean = measure(&real, &maker, &mut random, 0.1, mark);
                let mut entries = clean.clone();
                slip(&mut entries, &mut random, mark);
                let problems = match fit(&entries, mark, &maker) {
                    Ok(fit) => fit.warnings.iter().map(ToString::to_string).collect(),
                    Err(problems) => problems,
                };
                let spoilt = spoilt(&clean, &entries);
                caught += usize::from(!problems.is_empty());
                in_place +=
                    usize::from(problems.iter().any(|problem| spoilt.iter().any(|path| problem.contains(path))));
            }
            println!(
                "seed {seed}, ruler {ruler}, {name}: {caught} of {machines} are refused or named, {in_place} at their place"
            );
            let least = (0.95 - chance(0.95, machines as f64)) * machines as f64;
            assert!(caught as f64 >= least, "seed {seed}, {ruler}, {name}: {caught} of {machines}");
        }
    }
}
