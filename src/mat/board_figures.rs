//! Figures among the words for a board: plies, lengths, points, and those that say nothing known.

use std::ops::Range;

use super::board_error::BoardError;
use super::board_thickness::Thickness;
use crate::length;

/// A word of a text, in small letters, and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Word {
    pub(super) text: String,
    pub(super) range: Range<usize>,
}

/// What the words at a place say with figures.
pub(super) enum BoardFigure {
    /// A thickness, and how many words it takes.
    Thickness(Result<(Thickness, Range<usize>), BoardError>, usize),
    /// Figures that are not understood.
    Unknown(BoardError),
}

/// Numbers of plies in words.
const NUMBERS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
/// No length has more words than this: `1 1/2 mm`.
const MOST_WORDS: usize = 3;

/// Reads figures at the front of some words of a text; `None` if there are none.
pub(super) fn figure_at(text: &str, rest: &[Word]) -> Option<BoardFigure> {
    let first = rest.first()?;
    if let Some((count, length)) = plies(rest) {
        let range = range_of(rest, length);
        let stated = Thickness::of_plies(count).map(|thickness| (thickness, range.clone()));
        return Some(BoardFigure::Thickness(stated.map_err(|message| BoardError::thickness(range, message)), length));
    }
    if !first.text.contains(char::is_numeric) {
        let is_ply = matches!(first.text.as_str(), "ply" | "plies");
        let message = "`ply` has no number before it".to_owned();
        return is_ply.then(|| BoardFigure::Unknown(BoardError::unknown(first.range.clone(), message)));
    }
    if text.get(..first.range.start).is_some_and(|before| before.trim() == "-") {
        let message = "no board has a thickness below zero".to_owned();
        return Some(BoardFigure::Thickness(Err(BoardError::thickness(first.range.clone(), message)), 1));
    }
    for length in (1..=MOST_WORDS.min(rest.len())).rev() {
        let range = range_of(rest, length);
        let written = text.get(range.clone()).unwrap_or_default();
        if let Some(mm) = points(written).or_else(|| length::parse(written, None).ok()) {
            let stated = Thickness::of_mm(mm).map(|thickness| (thickness, range.clone()));
            return Some(BoardFigure::Thickness(
                stated.map_err(|message| BoardError::thickness(range, message)),
                length,
            ));
        }
    }
    let message = match rest.get(1).map(|word| word.text.as_str()) {
        Some("sheet" | "sheets") => {
            "board sold by sheets is not board sold by plies: 4-sheet is about 1 mm thick, 4-ply about 1.4 mm"
                .to_owned()
        }
        Some("gsm" | "lb" | "lbs" | "g" | "grams") => "a weight does not say how thick the board is".to_owned(),
        _ if ["gsm", "lb", "lbs"].iter().any(|unit| first.text.ends_with(unit)) => {
            "a weight does not say how thick the board is".to_owned()
        }
        _ => format!("`{}` is a figure that is not understood", text.get(first.range.clone()).unwrap_or_default()),
    };
    Some(BoardFigure::Unknown(BoardError::unknown(first.range.clone(), message)))
}

/// Reads a number of plies, `8ply`, `8 ply` or `eight ply`, and how many words it takes.
fn plies(rest: &[Word]) -> Option<(u32, usize)> {
    let first = rest.first()?.text.as_str();
    let count = |text: &str| {
        let named = NUMBERS.iter().zip(1..).find(|(number, _)| **number == text).map(|(_, count)| count);
        named.or_else(|| text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().unwrap_or(u32::MAX)))
    };
    if let Some(number) =
        ["ply", "plies"].iter().find_map(|word| first.strip_suffix(word)).filter(|number| !number.is_empty())
    {
        return Some((count(number)?, 1));
    }
    let is_ply = rest.get(1).is_some_and(|word| matches!(word.text.as_str(), "ply" | "plies"));
    Some((count(first).filter(|_| is_ply)?, 2))
}

/// Reads a calliper in points, thousandths of an inch, in millimetres: `60 pt` (S. Saitzyk, *Art Hardware*, 1987).
fn points(written: &str) -> Option<f64> {
    let small = written.to_lowercase();
    let number = ["pt", "pts", "point", "points"].iter().find_map(|word| small.strip_suffix(word))?;
    length::parse(&format!("{} thou", number.trim_end_matches(['-', ' '])), None).ok()
}

fn range_of(rest: &[Word], length: usize) -> Range<usize> {
    let end = |word: &Word| word.range.end;
    rest.first().map_or(0, |word| word.range.start)
        ..length.checked_sub(1).and_then(|last| rest.get(last)).map_or(0, end)
}

/// Splits a text into words, at spaces, commas, brackets and hyphens.
pub(super) fn words(text: &str) -> Vec<Word> {
    let splits = |letter: char| {
        letter.is_whitespace() || matches!(letter, ',' | ';' | '(' | ')' | '-' | '‐' | '‑' | '–' | '—' | '_' | ':')
    };
    let mut words = Vec::new();
    let mut start = None;
    for (at, letter) in text.char_indices().chain([(text.len(), ' ')]) {
        match (start, splits(letter)) {
            (None, false) => start = Some(at),
            (Some(from), true) => {
                words.extend(text.get(from..at).map(|word| Word { text: word.to_lowercase(), range: from..at }));
                start = None;
            }
            _ => {}
        }
    }
    words
}

/// Joins words with a space between them.
pub(super) fn joined(words: &[Word]) -> String {
    words.iter().map(|word| word.text.as_str()).collect::<Vec<_>>().join(" ")
}
