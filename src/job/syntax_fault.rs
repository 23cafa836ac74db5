//! Faults of syntax: what is wrong is seen in the text at the place of the fault, not read from the words of a parser.

use std::ops::Range;

use jsonc_parser::ParseStringErrorKind;
use jsonc_parser::errors::{ParseError, ParseErrorKind};

use super::toml_line::{self, CURLY};
use super::wording::{Wording, quote};

/// What is wrong with the syntax of a text.
#[derive(Debug)]
pub(super) struct SyntaxFault {
    pub(super) range: Range<usize>,
    pub(super) wording: Wording,
}

/// What to do where several things may be meant.
const QUOTED: &str =
    "text and fractions such as 3 1/4 need quotation marks; write \\\" for an inch mark inside them, or in";

impl SyntaxFault {
    fn new(range: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { range, wording: Wording::new(message, help) }
    }

    pub(super) fn too_large(range: Range<usize>) -> Self {
        Self::new(range, "this number is larger than a computer can hold", "write a number such as 3.25")
    }

    pub(super) fn too_deep(range: Range<usize>) -> Self {
        Self::new(range, "tables or lists are nested too deeply", "no file needs so much nesting")
    }

    pub(super) fn repeated_key(key: &str, range: Range<usize>) -> Self {
        Self { range, wording: Wording::repeated_key(key) }
    }

    /// Words a text of `length` bytes with nothing in it.
    pub(super) fn empty(length: usize) -> Self {
        Self::new(length..length, "the file is empty", "`backline new` prints a job to start from")
    }

    /// Words what is wrong in a TOML text, from the place that the parser names.
    pub(super) fn toml(text: &str, error: &toml::de::Error) -> Self {
        let span = error.span().unwrap_or(0..0);
        let at = text.floor_char_boundary(span.start.min(text.len()));
        if let Some((range, wording)) = toml_line::diagnose(text, at) {
            return Self { range, wording };
        }
        let end = text.ceil_char_boundary(span.end.min(text.len()));
        Self::new(at..end, quote(error.message()), QUOTED)
    }

    /// Words what only the strict reader of JSON finds, by its place.
    pub(super) fn strict_json(text: &str, error: &serde_json::Error) -> Self {
        let line_start = match error.line() {
            0 | 1 => 0,
            line => text.match_indices('\n').nth(line - 2).map_or(text.len(), |(at, _)| at + 1),
        };
        let at = text.ceil_char_boundary((line_start + error.column().saturating_sub(1)).min(text.len()));
        Self::new(
            at..at,
            "this text contains a line break or another control character",
            "write line breaks in a text as \\n",
        )
    }

    /// Words what is wrong in a JSON text.
    pub(super) fn json(text: &str, error: &ParseError) -> Self {
        // Some faults start at the space before them.
        let at = error.range().start.min(text.len());
        let space = text.get(at..).map_or(0, |rest| rest.len() - rest.trim_start().len());
        let range = at + space..error.range().end.clamp(at + space, text.len());
        let found = text.get(range.clone()).unwrap_or_default();
        let before = text.get(..range.start).unwrap_or_default().trim_end();
        if let Some((at, mark)) = text.get(range.start..).and_then(|rest| rest.char_indices().next())
            && CURLY.contains(&mark)
        {
            let at = range.start + at;
            return Self::curly(at..at + mark.len_utf8(), mark);
        }
        if text.get(range.start..).unwrap_or_default().trim().is_empty() {
            return Self::cut_off(text);
        }
        let (message, help) = match error.kind() {
            ParseErrorKind::TrailingCommasNotAllowed | ParseErrorKind::UnexpectedComma => {
                ("there is a comma with nothing after it".to_owned(), "remove this comma")
            }
            ParseErrorKind::UnexpectedCloseBrace | ParseErrorKind::UnexpectedCloseBracket if before.ends_with(',') => {
                let comma = before.len() - 1;
                return Self::new(comma..before.len(), "there is a comma with nothing after it", "remove this comma");
            }
            ParseErrorKind::UnexpectedCloseBrace | ParseErrorKind::UnexpectedCloseBracket => {
                (format!("`{}` closes nothing", quote(found)), "remove it, or open it before")
            }
            ParseErrorKind::UnterminatedArray
            | ParseErrorKind::UnterminatedObject
            | ParseErrorKind::String(ParseStringErrorKind::UnterminatedStringLiteral) => return Self::cut_off(text),
            ParseErrorKind::ExpectedComma | ParseErrorKind::UnexpectedToken | ParseErrorKind::UnexpectedWord
                if found.starts_with(';') =>
            {
                ("values are separated by commas".to_owned(), "write , instead of ;")
            }
            ParseErrorKind::ExpectedComma if before.ends_with('0') && starts_with_zero(before) => {
                ("a number cannot start with 0".to_owned(), "leave out the 0 at the start")
            }
            ParseErrorKind::ExpectedComma if is_number_next(text, &range) => {
                (format!("the value ends before `{}`", quote(first_word(text, &range))), QUOTED)
            }
            ParseErrorKind::ExpectedComma => (
                format!("a comma is missing before `{}`", quote(first_word(text, &range))),
                "write a comma between two values, or between two keys",
            ),
            ParseErrorKind::SingleQuotedStringsNotAllowed => {
                ("JSON allows only double quotation marks".to_owned(), "write \" instead of '")
            }
            ParseErrorKind::ExpectedStringObjectProperty | ParseErrorKind::UnexpectedTokenInObject => (
                "a key in double quotation marks is needed here".to_owned(),
                "write \"name\": instead of name: or 'name':",
            ),
            ParseErrorKind::ExpectedColonAfterObjectKey => {
                ("a colon is missing after the key".to_owned(), "write \"key\": value")
            }
            ParseErrorKind::ExpectedObjectValue => ("the value is missing".to_owned(), "write a value after the colon"),
            ParseErrorKind::CommentsNotAllowed => (
                "JSON has no comments".to_owned(),
                "remove it, or put it into `notes`; TOML files have comments after #",
            ),
            ParseErrorKind::BareDecimalPointNumbersNotAllowed => (
                "a digit is missing next to the decimal point".to_owned(),
                "write 0.5 instead of .5, and 5 instead of 5.",
            ),
            ParseErrorKind::UnaryPlusNumbersNotAllowed => {
                ("a number cannot have a + before it".to_owned(), "remove the +")
            }
            ParseErrorKind::HexadecimalNumbersNotAllowed
            | ParseErrorKind::NonFiniteNumbersNotAllowed
            | ParseErrorKind::ExpectedDigit
            | ParseErrorKind::ExpectedDigitFollowingNegativeSign
            | ParseErrorKind::ExpectedPlusMinusOrDigitInNumberLiteral => {
                (format!("`{}` is not a number", quote(first_word(text, &range))), "write a number such as 3.25")
            }
            ParseErrorKind::UnexpectedWord | ParseErrorKind::UnexpectedToken => {
                let word = quote(first_word(text, &range));
                (
                    format!("`{word}` needs quotation marks"),
                    "write text in double quotation marks, and true and false in lower case",
                )
            }
            ParseErrorKind::MultipleRootJsonValues => {
                ("something follows after the end of the table".to_owned(), "remove it; a file holds one table in { }")
            }
            ParseErrorKind::NestingDepthExceeded => return Self::too_deep(range),
            ParseErrorKind::String(_) => (
                "in text, `\\` must come before one of \" \\ / b f n r t u".to_owned(),
                "write \\\\ for a backslash, or / in file names",
            ),
            other => (quote(&other.to_string()), QUOTED),
        };
        Self::new(range.start..range.start + first_word(text, &range).len(), message, help)
    }

    fn curly(range: Range<usize>, mark: char) -> Self {
        Self::new(
            range,
            format!("{mark} is a typographic quotation mark"),
            "write the straight marks \" or ' of the keyboard",
        )
    }

    /// Words a JSON text that ends before its brackets and quotation marks are closed.
    fn cut_off(text: &str) -> Self {
        let mut open = Vec::new();
        let mut in_text = None;
        let mut escaped = false;
        for (at, letter) in text.char_indices() {
            match (in_text, letter) {
                (Some(_), _) if escaped => escaped = false,
                (Some(_), '\\') => escaped = true,
                (Some(_), '"') => in_text = None,
                (Some(_), _) => {}
                (None, '"') => in_text = Some(at),
                (None, '[' | '{') => open.push((at, letter)),
                (None, ']' | '}') => drop(open.pop()),
                (None, _) => {}
            }
        }
        let end = text.trim_end().len();
        let (mark, at) = match (in_text, open.last()) {
            (Some(at), _) => ('"', at),
            (None, Some(&(at, mark))) => (mark, at),
            (None, None) => return Self::new(end..end, "the file ends too early", "write the rest of it"),
        };
        let line = text.get(..at).unwrap_or_default().matches('\n').count() + 1;
        let partner = match mark {
            '[' => ']',
            '{' => '}',
            other => other,
        };
        Self::new(
            end..end,
            format!("the file ends too early: the `{mark}` in line {line} is not closed"),
            format!("add the rest, with `{partner}` where it belongs; was the file cut off?"),
        )
    }
}

/// Returns the word, the figure or the sign at the start of a range of a text.
fn first_word<'t>(text: &'t str, range: &Range<usize>) -> &'t str {
    let rest = text.get(range.start..).unwrap_or_default();
    let plain = |letter: char| letter.is_alphanumeric() || matches!(letter, '.' | '/' | '_' | '+' | '-');
    let length = match rest.find(|letter| !plain(letter)) {
        Some(0) => rest.chars().next().map_or(0, char::len_utf8),
        Some(length) => length,
        None => rest.len(),
    };
    rest.get(..length).unwrap_or_default()
}

/// Tells whether a text ends in a 0 that no other figure stands before.
fn starts_with_zero(before: &str) -> bool {
    before
        .strip_suffix('0')
        .is_some_and(|rest| !rest.ends_with(|letter: char| letter.is_ascii_digit() || letter == '.'))
}

/// Tells whether a fraction or a unit may follow a number without quotation marks.
fn is_number_next(text: &str, range: &Range<usize>) -> bool {
    let before = text.get(..range.start).unwrap_or_default().trim_end();
    before.ends_with(|letter: char| letter.is_ascii_digit())
        && first_word(text, range).starts_with(|letter: char| letter.is_alphanumeric() || letter == '/')
}
