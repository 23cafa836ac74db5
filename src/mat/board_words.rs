//! The one vocabulary of board: plies, thickness, colour and core in any place of a board's name.

use std::ops::Range;

use super::board_error::BoardError;
use super::board_figures::{BoardFigure, Word, figure_at, joined, words};
use super::board_thickness::Thickness;
use crate::colour::{Colour, ColourTable};
use crate::length::{self, Unit};

/// What the words for a board say.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct BoardWords {
    /// The words that say neither thickness nor core, in small letters with a space between them: what tells boards apart.
    pub kind: String,
    /// What they say of its thickness.
    pub thickness: Thickness,
    /// Colour of its face, if they name one.
    pub colour: Option<Colour>,
    /// Colour of its core, if they name one.
    pub core: Option<Colour>,
    /// What is doubtful about its colour.
    pub doubt: Option<BoardError>,
}

/// Words that say nothing of a board.
const SAYS_NOTHING: [&str; 4] = ["board", "boards", "matboard", "mountboard"];
/// Words that speak of the thickness without saying it.
const VAGUE: [&str; 7] = ["double", "triple", "quadruple", "thick", "thin", "heavyweight", "lightweight"];
/// Words that make another colour of the one that follows.
const SHADES: [&str; 10] = ["dark", "light", "pale", "deep", "bright", "mid", "medium", "warm", "cool", "soft"];
/// A word at least as much like the name of a colour as this (1 is equal) is taken for a slip of the pen.
const ALIKE: f64 = 0.93;
/// Shorter words are like too many others.
const SHORTEST_SLIP: usize = 4;

impl BoardWords {
    /// Reads the words for a board, every figure of which must be understood; `own` are colours of the user's own.
    ///
    /// ```
    /// use backline::mat::BoardWords;
    ///
    /// for text in ["8-ply rag", "rag 8 ply", "8ply rag", "Rag, 1/8 in", "rag 3.175 mm"] {
    ///     let words = BoardWords::read(text, &Default::default())?;
    ///     assert_eq!((words.kind.as_str(), words.thickness.mm()), ("rag", Some(3.175)), "{text}");
    /// }
    /// assert!(BoardWords::read("white 2297", &Default::default()).is_err());
    /// # Ok::<(), backline::mat::BoardError>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Returns a [`BoardError`] for a figure that says nothing known, a word such as `double` that speaks of the thickness without
    /// saying it, thicknesses that contradict each other or that no board has, and a core of no known colour.
    pub fn read(text: &str, own: &ColourTable) -> Result<Self, BoardError> {
        BoardWordReader { text, own, is_name: false }.read()
    }

    /// Reads the name of a board of which more is known: figures and words that are not understood are part of the name.
    ///
    /// # Errors
    ///
    /// Returns a [`BoardError`] for thicknesses that contradict each other or that no board has.
    pub fn of_name(text: &str, own: &ColourTable) -> Result<Self, BoardError> {
        BoardWordReader { text, own, is_name: true }.read()
    }
}

struct BoardWordReader<'t> {
    text: &'t str,
    own: &'t ColourTable,
    /// Whether what is not understood is part of a name.
    is_name: bool,
}

impl BoardWordReader<'_> {
    fn read(&self) -> Result<BoardWords, BoardError> {
        let text = self.text.trim();
        // Also `#f3e7c9`, `rgb(243, 231, 201)`, and names of the user's own with figures in them.
        if let Some(colour) = Colour::by_name(text, self.own) {
            return Ok(BoardWords { kind: joined(&words(text)), colour: Some(colour), ..BoardWords::default() });
        }
        let mut thickness = Thickness::default();
        let mut left = Vec::new();
        let mut vague: Option<&Word> = None;
        let all = words(self.text);
        let mut rest = all.as_slice();
        while let Some((first, after)) = rest.split_first() {
            if let Some(length) = self.own_name(rest) {
                let (name, after) = rest.split_at(length);
                left.extend_from_slice(name);
                rest = after;
                continue;
            }
            match figure_at(self.text, rest) {
                Some(BoardFigure::Thickness(stated, length)) => {
                    thickness = self.and(thickness, stated?)?;
                    rest = rest.get(length..).unwrap_or_default();
                    continue;
                }
                Some(BoardFigure::Unknown(error)) if !self.is_name => return Err(error),
                Some(BoardFigure::Unknown(_)) => left.push(first.clone()),
                None if SAYS_NOTHING.contains(&first.text.as_str()) => {}
                None => {
                    vague = vague.or_else(|| Some(first).filter(|word| VAGUE.contains(&word.text.as_str())));
                    left.push(first.clone());
                }
            }
            rest = after;
        }
        if !self.is_name {
            if let (Some(word), None) = (vague, thickness.mm()) {
                let message = format!("`{}` does not say how thick the board is", word.text);
                return Err(BoardError::unknown(word.range.clone(), message));
            }
            // "2 mm thick white" is white.
            left.retain(|word| word.text != "thick");
        }
        let core = self.take_core(&mut left)?;
        let (colour, doubt) = self.colour(&left);
        Ok(BoardWords { kind: joined(&left), thickness, colour, core, doubt })
    }

    fn and(&self, thickness: Thickness, (stated, range): (Thickness, Range<usize>)) -> Result<Thickness, BoardError> {
        thickness.and(stated).map_err(|[one, other]| {
            let message = format!("the board cannot be both {one} and {other} thick");
            BoardError { range, message, help: "keep one of the two".to_owned() }
        })
    }

    /// Returns how many of the words at the front are a name with a figure in it among the user's own.
    fn own_name(&self, rest: &[Word]) -> Option<usize> {
        if self.own.is_empty() {
            return None;
        }
        (1..=rest.len()).rev().find(|length| {
            let name = rest.get(..*length).map(joined).unwrap_or_default();
            name.contains(char::is_numeric) && self.own.keys().any(|own| joined(&words(own)) == name)
        })
    }

    /// Takes the colour of the core and the word `core` out of the words.
    fn take_core(&self, left: &mut Vec<Word>) -> Result<Option<Colour>, BoardError> {
        let Some(at) = left.iter().position(|word| matches!(word.text.as_str(), "core" | "cored")) else {
            return Ok(None);
        };
        let before = left.get(..at).unwrap_or_default();
        let longest = (0..at).find_map(|from| {
            let name = before.get(from..).map(joined)?;
            Colour::by_name(&name, self.own).map(|colour| (from, colour))
        });
        match longest {
            Some((from, colour)) => {
                let is_joint = |word: &&Word| matches!(word.text.as_str(), "with" | "and");
                let from = if before.get(..from).and_then(<[Word]>::last).as_ref().is_some_and(is_joint) {
                    from - 1
                } else {
                    from
                };
                left.drain(from..=at);
                Ok(Some(colour))
            }
            None if self.is_name => Ok(None),
            None => {
                let range = left.get(at.saturating_sub(1)).map_or(0, |word| word.range.start)
                    ..left.get(at).map_or(0, |word| word.range.end);
                let message = "the colour of the core is not understood".to_owned();
                let help = "put a colour before the word, such as black core, or give `core` in a table: { name = \"rag\", core = \"black\" }";
                Err(BoardError { range, message, help: help.to_owned() })
            }
        }
    }

    /// Returns the colour that words name, and what is doubtful about that.
    fn colour(&self, left: &[Word]) -> (Option<Colour>, Option<BoardError>) {
        if let Some(colour) = Colour::by_name(&joined(left), self.own) {
            return (Some(colour), None);
        }
        let runs = (1..left.len()).rev().find_map(|length| {
            let named = |run: &[Word]| Colour::by_name(&joined(run), self.own);
            // The last word of several is the one that the others go with; linen is a cloth beside other words.
            (0..=left.len() - length).rev().find_map(|from| {
                let run = left.get(from..from + length).filter(|run| joined(run) != "linen")?;
                Some((from, run, named(run)?))
            })
        });
        let Some((from, run, colour)) = runs else { return (None, self.slip(left)) };
        let shade = from
            .checked_sub(1)
            .and_then(|before| left.get(before))
            .filter(|word| SHADES.contains(&word.text.as_str()) || Colour::by_name(&word.text, self.own).is_some());
        let doubt = shade.map(|shade| {
            let (whole, known) = (format!("{} {}", shade.text, joined(run)), joined(run));
            let range = shade.range.start..run.last().map_or(shade.range.end, |word| word.range.end);
            let message = format!("there is no colour called \"{whole}\", so it is shown as {known}");
            BoardError { range, message, help: OWN_COLOUR.to_owned() }
        });
        (Some(colour), doubt)
    }

    /// Looks for a word that is nearly that for a colour.
    fn slip(&self, left: &[Word]) -> Option<BoardError> {
        left.iter().filter(|word| word.text.chars().count() >= SHORTEST_SLIP).find_map(|word| {
            let near = Colour::nearest_name(&word.text, self.own, ALIKE)?;
            let message =
                format!("\"{}\" is nearly the colour \"{near}\", but not quite, so no colour is shown", word.text);
            let help = format!("write {near}, or {OWN_COLOUR}");
            Some(BoardError { range: word.range.clone(), message, help })
        })
    }
}

/// How to say a colour that has no name here.
const OWN_COLOUR: &str =
    "give the board a `colour`, such as colour = \"#7a1f2b\", or add the name to the job's `colours`";

/// Reads the thickness of a board from a text that says nothing else: plies, points or a length; a bare number is in the `default`
/// unit.
///
/// # Errors
///
/// Returns a [`BoardError`] if it says something else, or a thickness that no board has.
pub fn read_thickness(text: &str, default: Option<Unit>) -> Result<Thickness, BoardError> {
    match BoardWords::read(text, &ColourTable::new()) {
        Ok(BoardWords { kind, thickness, core: None, .. }) if kind.is_empty() && thickness.mm().is_some() => {
            return Ok(thickness);
        }
        // What is wrong with plies is said better there.
        Err(error) if text.to_lowercase().contains("pl") => return Err(error),
        _ => {}
    }
    let mm = length::parse(text, default).map_err(|error| BoardError {
        range: error.range,
        message: error.message,
        help: format!("{}; or give plies, such as 4-ply", error.help),
    })?;
    Thickness::of_mm(mm).map_err(|message| BoardError::thickness(0..text.len(), message))
}

/// Reads how many millimetres thick a board is from a length, which may be zero where there is none, or from words for the board that
/// say it, such as `8-ply rag`; a bare number is in the `default` unit.
///
/// # Errors
///
/// Returns a [`BoardError`] if the words are not understood or do not say it.
pub fn board_thickness(text: &str, default: Option<Unit>) -> Result<f64, BoardError> {
    let error = match length::parse(text, default) {
        Ok(mm) => return Ok(mm),
        Err(error) => error,
    };
    let said = BoardWords::read(text, &ColourTable::new()).map(|words| words.thickness.mm());
    match said {
        Ok(Some(mm)) => Ok(mm),
        _ if !text.contains(char::is_alphabetic) || length::unit_named(text).is_some() => {
            Err(BoardError { range: error.range, message: error.message, help: error.help })
        }
        Ok(None) => {
            let message = format!("`{}` does not say how thick the board is", text.trim());
            Err(BoardError::thickness(0..text.len(), message))
        }
        Err(error) => Err(BoardError::thickness(error.range, error.message)),
    }
}
