//! Numbers of problems as data: whatever number a message shows is among the numbers of the problem, in its unit.
//!
//! The examples of all codes are read as they are, and with every one of their values made nothing, negative, small and large.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use backline::problem::{NumberUnit, PROBLEM_CODES, Problem, ProblemCode};

use crate::problems::Example;

/// A number that a message shows, with the unit behind it.
#[derive(Debug, PartialEq)]
struct Shown {
    value: f64,
    /// By how much the last of its figures may be rounded, either way.
    rounding: f64,
    unit: String,
}

/// Things with numbers that are their names.
const NAMED: [&str; 9] = ["opening", "openings", "corner", "piece", "board", "layer", "line", "row", "point"];

/// Codes whose messages repeat the text of a file, as it cannot be understood.
const REPEATED: [&str; 4] = ["doubtful-length", "thickness", "unit", "unreadable"];
/// Codes whose messages end with a reason that is the same for all numbers.
const REASONED: [&str; 2] = ["out-of-range", "unusual-length"];

/// Takes the user's own words out of a message, which stand in marks of quotation, and what a reading on a ruler leaves over.
fn without_quotations(message: &str) -> String {
    let mut text = message.to_owned();
    for (open, close) in [('“', '”'), ('"', '"'), ('`', '`')] {
        while let Some(start) = text.find(open) {
            let after = start + open.len_utf8();
            let Some(length) = text[after..].find(close) else { break };
            text.replace_range(start..after + length + close.len_utf8(), "_");
        }
    }
    for sign in ["(+", "(-"] {
        while let Some(start) = text.find(sign) {
            let Some(length) = text[start..].find(')') else { break };
            text.replace_range(start..=start + length, "");
        }
    }
    text
}

/// Returns the numbers of a message.
fn shown_in(message: &str) -> Vec<Shown> {
    let text = without_quotations(message);
    let words: Vec<&str> = text.split([' ', '(', ')']).filter(|word| !word.is_empty()).collect();
    let mut shown = Vec::new();
    let (mut at, mut is_named) = (0, false);
    while at < words.len() {
        let before = if at == 0 { "" } else { words[at - 1] };
        let (mut number, mut rest) = split_number(words[at]);
        at += 1;
        let Some(mut value) = value_of(number) else { continue };
        let listed = is_named && before.ends_with(',');
        is_named = NAMED.contains(&before) || listed;
        if is_named {
            continue;
        }
        // A whole number and a fraction are one number.
        if rest.is_empty()
            && !number.contains(['/', '.'])
            && let Some((fraction, after)) = words.get(at).map(|word| split_number(word))
            && fraction.contains('/')
        {
            value += value.signum() * value_of(fraction).unwrap();
            (number, rest) = (fraction, after);
            at += 1;
        }
        let unit = if rest.is_empty() { words.get(at).copied().unwrap_or_default() } else { rest };
        let unit = unit.trim_end_matches([',', ';', ':', '.']);
        // A ruler shows the nearest of its marks: sixteenths of an inch, half millimetres.
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let rounding = match unit {
            _ if number.contains('/') => 1.0 / 32.0,
            "in" | "×" => 1.0 / 32.0,
            _ if decimals > 1 => 0.51 * 0.1_f64.powi(decimals as i32),
            _ if decimals == 1 || unit == "mm" => 0.26,
            _ => 1e-6,
        };
        shown.push(Shown { value, rounding, unit: unit.to_owned() });
    }
    shown
}

/// Splits a word into the number with which it begins and the rest.
fn split_number(word: &str) -> (&str, &str) {
    let end = word.find(|letter: char| !(letter.is_ascii_digit() || "./-−".contains(letter))).unwrap_or(word.len());
    let (number, rest) = word.split_at(end);
    let trimmed = number.trim_end_matches('.');
    if trimmed.len() < number.len() { (trimmed, ".") } else { (number, rest.trim_start_matches([',', ';', ':'])) }
}

fn value_of(number: &str) -> Option<f64> {
    let number = number.replace('−', "-");
    match number.split_once('/') {
        Some((over, under)) => Some(over.parse::<f64>().ok()? / under.parse::<f64>().ok()?),
        None => number.parse().ok(),
    }
}

impl Shown {
    /// Tells whether one of the numbers of a problem is this one.
    fn is_in(&self, problem: &Problem) -> bool {
        let near = |value: f64| (value.abs() - self.value.abs()).abs() <= self.rounding * (1.0 + 1e-9);
        problem.numbers.iter().any(|number| {
            let value = number.value;
            match (number.unit, self.unit.as_str()) {
                (NumberUnit::Millimetre, "in") => near(value / 25.4),
                (NumberUnit::Millimetre, "mm") => near(value),
                (NumberUnit::Millimetre, "cm") => near(value / 10.0),
                (NumberUnit::Millimetre, "m") => near(value / 1000.0),
                (NumberUnit::Ratio, "%") => near(100.0 * value),
                (NumberUnit::Degree, "°" | "degrees") => near(value),
                (NumberUnit::Plain, _) => near(value),
                (_, "%" | "°" | "degrees" | "in" | "mm" | "cm" | "m") => false,
                // The unit stands behind the last of several: 8 × 10 in.
                _ => [1.0, 25.4, 10.0].iter().any(|unit| near(value / unit)),
            }
        })
    }
}

#[test]
fn numbers_of_messages_are_found() {
    let found = |message: &str| -> Vec<(f64, String)> {
        shown_in(message).into_iter().map(|shown| (shown.value, shown.unit)).collect()
    };
    let one = |value: f64, unit: &str| vec![(value, unit.to_owned())];
    assert_eq!(found("opening 1 reaches 1 1/16 in beyond"), one(1.0625, "in"));
    assert_eq!(found("a groove 1/16 in (+0.41 mm) deep"), one(0.0625, "in"));
    assert_eq!(found("hides 70.0 % of “8 × 10”"), one(70.0, "%"));
    assert_eq!(found("by -5 degrees."), one(-5.0, "degrees"));
    assert_eq!(found("openings 1, 2: 3 cuts"), one(3.0, "cuts"));
    assert_eq!(found("an angle of 45°, measured"), one(45.0, "°"));
    assert_eq!(openings_in("openings 1, 2: 3 cuts of opening 4 (“5”) 6 mm wide"), [1, 2, 4]);
    assert_eq!(openings_in("openings 1 and 3 overlap; opening art"), [1, 3]);
}

/// Returns the numbers of the openings that a message names: `opening 2`, `openings 1, 3`, of `openings 1 to 4` both ends.
fn openings_in(message: &str) -> Vec<usize> {
    let text = without_quotations(message);
    let words: Vec<&str> = text.split(' ').collect();
    let mut named = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let most = match *word {
            "opening" => 1,
            "openings" => usize::MAX,
            _ => continue,
        };
        let listed = words[at + 1..].iter().filter(|word| !["and", "to"].contains(word));
        let number = |word: &&str| word.trim_end_matches([',', ':', ';', '.', ')']).parse::<usize>().ok();
        let mut more = true;
        let mut listed = listed.peekable();
        let numbers = std::iter::from_fn(|| {
            let word = listed.next()?;
            // A unit behind it makes it a length.
            let is_length = listed.peek().is_some_and(|next| ["in", "mm", "cm"].contains(next));
            let found = number(word).filter(|_| more && !is_length);
            more = !word.ends_with([':', ';', '.']);
            found
        });
        named.extend(numbers.take(most));
    }
    named
}

/// Returns the messages that show a number or name an opening which their problem does not have, one for each code and wording.
fn without_numbers<'p>(problems: impl IntoIterator<Item = &'p Problem>, missing: &mut BTreeMap<String, String>) {
    for problem in problems {
        if REPEATED.contains(&problem.code) {
            continue;
        }
        let message = problem.message.split(';').next().filter(|_| REASONED.contains(&problem.code));
        let lost: Vec<Shown> =
            shown_in(message.unwrap_or(&problem.message)).into_iter().filter(|shown| !shown.is_in(problem)).collect();
        let unnamed: Vec<usize> =
            openings_in(&problem.message).into_iter().filter(|number| !problem.openings.contains(number)).collect();
        if !lost.is_empty() || !unnamed.is_empty() {
            let wording: String = problem.message.chars().filter(|letter| !letter.is_ascii_digit()).take(24).collect();
            let told = format!(
                "{}: {:?} {:?} openings {unnamed:?} {:?}",
                problem.message,
                lost.iter().map(|s| s.value).collect::<Vec<_>>(),
                problem.numbers.iter().map(|n| format!("{}={}", n.name, n.value)).collect::<Vec<_>>(),
                problem.openings
            );
            missing.entry(format!("{} {wording}", problem.code)).or_insert(told);
        }
    }
}

/// Values that a number or a length is changed to.
const OTHERS: [&str; 3] = ["0", "999", "\"0.2 mm\""];

/// Returns a file with each of its values changed to others, one at a time.
fn changed(text: &str) -> Vec<String> {
    let Ok(table) = text.parse::<toml::Table>() else { return Vec::new() };
    let mut paths = Vec::new();
    leaves(&toml::Value::Table(table.clone()), &mut Vec::new(), &mut paths);
    let mut texts = Vec::new();
    for path in paths {
        for other in OTHERS {
            let mut changed = toml::Value::Table(table.clone());
            let mut place = &mut changed;
            for step in &path {
                place = match step.parse::<usize>() {
                    Ok(index) if place.is_array() => &mut place[index],
                    _ => &mut place[step.as_str()],
                };
            }
            *place = format!("x = {other}").parse::<toml::Table>().unwrap()["x"].clone();
            texts.push(toml::to_string(&changed).unwrap());
        }
    }
    texts
}

fn leaves(value: &toml::Value, path: &mut Vec<String>, into: &mut Vec<Vec<String>>) {
    match value {
        toml::Value::Table(table) => table.iter().for_each(|(key, value)| {
            path.push(key.clone());
            leaves(value, path, into);
            path.pop();
        }),
        // Long lists are more of the same.
        toml::Value::Array(items) => items.iter().take(2).enumerate().for_each(|(index, value)| {
            path.push(index.to_string());
            leaves(value, path, into);
            path.pop();
        }),
        toml::Value::String(text) if !text.starts_with(|letter: char| letter.is_ascii_digit()) => {}
        toml::Value::Boolean(_) | toml::Value::Datetime(_) => {}
        _ => into.push(path.clone()),
    }
}

/// Adds the messages of the example of a code, as it is and changed, that show numbers without having them; returns how many files were read.
fn read_example(code: &ProblemCode, missing: &mut BTreeMap<String, String>) -> usize {
    let example = Example::of(code);
    if example.files.contains_key("command") {
        return 0;
    }
    without_numbers(example.found().iter().flat_map(|found| &found.problems), missing);
    let mut read = 1;
    for (kind, text) in &example.files {
        for text in changed(text) {
            let mut files = example.files.clone();
            files.insert(kind.clone(), text);
            let found = Example { files }.found();
            without_numbers(found.iter().flat_map(|found| &found.problems), missing);
            read += 1;
        }
    }
    read
}

#[test]
fn every_number_of_a_message_is_data() {
    let half = |from: usize| {
        let mut missing = BTreeMap::new();
        let read: usize = PROBLEM_CODES.iter().skip(from).step_by(2).map(|code| read_example(code, &mut missing)).sum();
        (read, missing)
    };
    let ((read, mut missing), (more, others)) = std::thread::scope(|scope| {
        let odd = scope.spawn(|| half(1));
        (half(0), odd.join().unwrap())
    });
    missing.extend(others);
    assert!(read + more > 1000, "{read} {more}");
    assert!(missing.is_empty(), "{missing:#?}");
}
