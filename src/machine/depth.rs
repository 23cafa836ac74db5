//! How deep a tool goes, as a profile says it: `"board + 0.2 mm"`, `"half board"`, `"groove"`, `"1.7 mm"`.
//!
//! A depth is a sum of terms. A term is a length, or a share of the thickness of the board or of the depth of the groove that
//! the job asks for: `board`, `half board`, `2/3 groove`, `0.5 * board`, `board / 2`, `40 % board`.

use std::ops::Range;

use crate::length::{self, LengthError, Ratio, Unit};

/// How deep a tool goes below the surface: a sum that is worked out for each board and groove.
#[derive(Debug, Clone, PartialEq)]
pub struct Depth {
    /// As it is written.
    text: String,
    terms: Vec<Term>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Term {
    is_taken_away: bool,
    of: Of,
    /// How many of that.
    share: Ratio,
}

/// What a term is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    /// The thickness of the board.
    Board,
    /// The depth of the groove.
    Groove,
    /// A millimetre.
    Length,
}

/// The names that a depth may hold.
const NAMES: [(&str, Of); 2] = [("board", Of::Board), ("groove", Of::Groove)];
const HELP: &str = "write lengths, board and groove, such as \"board + 0.2 mm\", \"half board\" or \"groove\"";

impl Depth {
    /// Reads a depth; bare numbers are millimetres.
    ///
    /// # Errors
    ///
    /// Returns what is wrong and where in the text.
    pub fn parse(text: &str) -> Result<Self, LengthError> {
        let terms = pieces(text)?
            .into_iter()
            .map(|(is_taken_away, range)| {
                let (of, share) = term(text, range)?;
                Ok(Term { is_taken_away, of, share })
            })
            .collect::<Result<Vec<Term>, LengthError>>()?;
        Ok(Self { text: text.trim().to_owned(), terms })
    }

    /// Works the depth out in millimetres for a board of a thickness and a groove of a depth, both in millimetres; `None` if it needs
    /// a groove and there is none.
    ///
    /// Sums of lengths that were written exactly come out as the `f64` nearest to them.
    #[must_use]
    pub fn of(&self, board: f64, groove: Option<f64>) -> Option<f64> {
        let mut sum = 0.0;
        for Term { is_taken_away, of, share } in &self.terms {
            let one = match of {
                Of::Board => board,
                Of::Groove => groove?,
                Of::Length => 1.0,
            };
            sum += one * share.to_f64() * if *is_taken_away { -1.0 } else { 1.0 };
        }
        Some(Ratio::near(sum).map_or(sum, Ratio::to_f64))
    }

    /// Returns the depth in millimetres if it is the same for all boards and grooves.
    #[must_use]
    pub fn fixed(&self) -> Option<f64> {
        let is_fixed = self.terms.iter().all(|term| term.of == Of::Length);
        is_fixed.then(|| self.of(0.0, None)).flatten()
    }

    /// Tells whether it follows from the depth of a groove.
    #[must_use]
    pub fn needs_groove(&self) -> bool {
        self.terms.iter().any(|term| term.of == Of::Groove)
    }

    /// Returns the depth as it is written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

fn error(range: Range<usize>, message: impl Into<String>, help: &str) -> LengthError {
    LengthError { range, message: message.into(), help: help.to_owned() }
}

/// Takes a sum apart at its signs; the hyphen of a mixed number such as `1-1/2` is none.
fn pieces(text: &str) -> Result<Vec<(bool, Range<usize>)>, LengthError> {
    let mut pieces = Vec::new();
    let (mut start, mut is_taken_away) = (0, false);
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    for (place, &(at, letter)) in letters.iter().enumerate() {
        let is_figure = |place: Option<usize>| {
            place.and_then(|place| letters.get(place)).is_some_and(|(_, letter)| letter.is_ascii_digit())
        };
        let is_hyphen = is_figure(place.checked_sub(1)) && is_figure(place.checked_add(1));
        let sign = match letter {
            '+' => false,
            '-' if !is_hyphen => true,
            '\u{2212}' => true,
            _ => continue,
        };
        let end = at + letter.len_utf8();
        let before = text.get(start..at).unwrap_or_default();
        if before.trim().is_empty() {
            return Err(error(at..end, format!("there is nothing before the `{letter}`"), HELP));
        }
        pieces.push((is_taken_away, start..at));
        (start, is_taken_away) = (end, sign);
    }
    if text.get(start..).unwrap_or_default().trim().is_empty() {
        let message = if pieces.is_empty() { "the depth is empty" } else { "there is nothing after the last + or -" };
        return Err(error(0..text.len(), message, HELP));
    }
    pieces.push((is_taken_away, start..text.len()));
    Ok(pieces)
}

/// Reads one term: what it is a share of, and how large a share.
fn term(text: &str, range: Range<usize>) -> Result<(Of, Ratio), LengthError> {
    let raw = text.get(range.clone()).unwrap_or_default();
    let start = range.start + raw.len() - raw.trim_start().len();
    let piece = raw.trim();
    let lower = piece.to_ascii_lowercase();
    let named = NAMES.iter().find_map(|(name, of)| Some((*name, *of, lower.find(name)?)));
    let Some((name, of, at)) = named else {
        if !piece.contains(|letter: char| letter.is_ascii_digit()) {
            let message = format!("`{piece}` has no meaning in a depth");
            return Err(error(start..start + piece.len(), message, HELP));
        }
        let exact = length::parse_exact(piece, Some(Unit::Millimetre));
        return exact
            .map(|share| (Of::Length, share))
            .map_err(|wrong| LengthError { range: start + wrong.range.start..start + wrong.range.end, ..wrong });
    };
    let (before, after) = (piece.get(..at).unwrap_or_default(), piece.get(at + name.len()..).unwrap_or_default());
    let whole = start..start + piece.len();
    let not_read = || error(whole.clone(), format!("`{piece}` is not a share of the {name}"), HELP);
    let share = share(before).ok_or_else(not_read)?;
    let by = after.trim();
    let share = match by.split_at_checked(1) {
        None => Some(share),
        Some(("/", number)) => number_of(number).and_then(Ratio::inverse).and_then(|by| share.times(by)),
        Some(("*", number)) => number_of(number).and_then(|by| share.times(by)),
        Some(_) => None,
    };
    share.map(|share| (of, share)).ok_or_else(not_read)
}

/// Reads the words before `board` or `groove`.
fn share(words: &str) -> Option<Ratio> {
    let lower = words.to_ascii_lowercase().replace(['*', '\u{d7}'], " ");
    let words: Vec<&str> = lower.split_whitespace().filter(|word| !matches!(*word, "a" | "of" | "the")).collect();
    match words.as_slice() {
        [] => Some(Ratio::ONE),
        ["half"] => Ratio::new(1, 2),
        ["third"] => Ratio::new(1, 3),
        ["quarter"] => Ratio::new(1, 4),
        [number, "%"] => number_of(number)?.times(Ratio::new(1, 100)?),
        [whole, part] => number_of(whole)?.plus(number_of(part).filter(|_| part.contains('/'))?),
        [one] => match one.strip_suffix('%') {
            Some(number) => number_of(number)?.times(Ratio::new(1, 100)?),
            None => number_of(one),
        },
        _ => None,
    }
}

/// Reads a whole or decimal number, or a fraction.
fn number_of(text: &str) -> Option<Ratio> {
    let text = text.trim();
    match text.split_once('/') {
        None => Ratio::decimal(text),
        Some((above, below)) => Ratio::decimal(above.trim())?.times(Ratio::decimal(below.trim())?.inverse()?),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "the nearest f64 is meant, not one near it")]

    use super::Depth;

    #[test]
    fn sums_are_worked_out_exactly() {
        for (text, expected) in [
            ("1.7 mm", 1.7),
            ("1.7", 1.7),
            ("1/16 in", 1.5875),
            ("1-1/2 mm", 1.5),
            ("board", 1.4),
            ("board + 0.2 mm", 1.6),
            ("board+0.2", 1.6),
            ("board - 0.1 mm", 1.3),
            ("board -0.1", 1.3),
            ("half board", 0.7),
            ("half the board", 0.7),
            ("half of board + 1/64 in", 1.096875),
            ("0.5 * board", 0.7),
            ("1/2 board", 0.7),
            ("1 1/2 board", 2.1),
            ("board / 2", 0.7),
            ("board * 0.5", 0.7),
            ("50% board", 0.7),
            ("50 % of board", 0.7),
            ("groove", 0.3),
            ("Groove + 0.1 mm", 0.4),
            ("board - groove", 1.1),
        ] {
            assert_eq!(Depth::parse(text).unwrap().of(1.4, Some(0.3)), Some(expected), "{text}");
        }
        let groove = Depth::parse("groove").unwrap();
        assert!(groove.needs_groove() && groove.of(1.4, None).is_none() && groove.fixed().is_none());
        assert_eq!(Depth::parse("1 mm + 1/16 in").unwrap().fixed(), Some(2.5875));
    }

    #[test]
    fn what_is_not_understood_is_pointed_at() {
        for (text, part) in [
            ("bord + 0.2 mm", "bord"),
            ("board + 0.2 mn", "mn"),
            ("board + + 1", "+"),
            ("+ 1 mm", "+"),
            ("board +", "board +"),
            ("", ""),
            ("board + twice groove", "twice groove"),
            ("board board", "board board"),
            ("board / 0", "board / 0"),
            ("board ^ 2", "board ^ 2"),
        ] {
            let error = Depth::parse(text).unwrap_err();
            let found = text.get(error.range.clone()).unwrap_or_default();
            assert!(found == part || (part == "+" && found.trim() == "+"), "{text}: {found:?} {error}");
            assert!(!error.help.is_empty(), "{text}: {error}");
        }
    }
}
