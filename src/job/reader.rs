//! Job files read from TOML or JSON text, and the places in them that problems point to.

use std::fmt;
use std::ops::Range;

use serde::de::DeserializeOwned;

use super::fault::FaultKind;
use super::key_tables::{Described, KeyTables};
use super::node::SourceNode;
use super::syntax::{BYTE_ORDER_MARK, Syntax};
use super::wording::{StrayKey, Wording};
use crate::problem::{KeyPath, Place, Problem};

/// Why a text is not a job.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ReadError {
    /// The bytes of the text that are at fault; empty at a place where something is missing.
    pub range: Range<usize>,
    /// What is wrong, in words.
    pub message: String,
    /// What to do about it; may be empty.
    pub help: String,
}

/// Longer texts are refused: a job with a thousand openings needs a tenth of it.
const LONGEST_TEXT: usize = 4 << 20;

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)?;
        if self.help.is_empty() { Ok(()) } else { write!(f, "; {}", self.help) }
    }
}

impl std::error::Error for ReadError {}

impl ReadError {
    /// Returns it as the problem `unreadable` of the text as a whole.
    #[must_use]
    pub fn problem(&self) -> Problem {
        Problem::error("unreadable", KeyPath::root(), self.message.as_str(), self.help.as_str())
    }
}

/// Reads a value from text.
///
/// # Errors
///
/// Returns a [`ReadError`] if the text has a fault of syntax, a key that the type does not know (then with the most
/// similar one that it knows), a value of the wrong kind, or more than 4 MiB.
pub fn read<T: DeserializeOwned>(text: &str, syntax: Syntax) -> Result<T, ReadError> {
    read_file(text, syntax, || None)
}

/// Reads a value; a key in the wrong table is shown the table that it belongs to.
///
/// # Errors
///
/// Returns a [`ReadError`] as [`read`] does.
pub fn read_described<T: DeserializeOwned + Described>(text: &str, syntax: Syntax) -> Result<T, ReadError> {
    read_file(text, syntax, || Some(KeyTables::of::<T>()))
}

fn read_file<T: DeserializeOwned>(
    text: &str,
    syntax: Syntax,
    tables: impl FnOnce() -> Option<KeyTables>,
) -> Result<T, ReadError> {
    if text.len() > LONGEST_TEXT {
        return Err(ReadError {
            range: 0..0,
            message: format!("the file is {:.1} MiB, more than the limit of 4 MiB", mebibytes(text)),
            help: "check that it is the right file".to_owned(),
        });
    }
    let (body, shift) = body(text);
    let error = |range: Range<usize>, Wording { message, help }: Wording| ReadError {
        range: shifted(first_line(body, range), shift),
        message,
        help,
    };
    let root = SourceNode::read(body, syntax).map_err(|fault| error(fault.range, fault.wording))?;
    T::deserialize(&root).map_err(|fault| {
        let range = fault.range.clone().unwrap_or(0..0);
        error(range.clone(), wording(&fault.kind, &range, &root, body, syntax, tables))
    })
}

/// Words a fault; a stray key needs the tables of the file.
fn wording(
    kind: &FaultKind,
    range: &Range<usize>,
    root: &SourceNode<'_>,
    body: &str,
    syntax: Syntax,
    tables: impl FnOnce() -> Option<KeyTables>,
) -> Wording {
    let stray = match kind {
        FaultKind::UnknownKey { key, known } => root.place_of_key(range).and_then(|(path, value)| {
            let value = body.get(value.range.clone())?;
            Some(StrayKey { key, known, path, value, syntax })
        }),
        _ => None,
    };
    match stray.and_then(|stray| Some((stray, tables()?))) {
        Some((stray, tables)) => Wording::of_stray_key(&stray, &tables),
        None => Wording::of(kind),
    }
}

/// Returns the bytes of a text at which a place lies, within one line.
///
/// A place that the file does not have, such as a key that was left out, lies at the nearest value around it: for
/// TOML the header of the table. The job as a whole lies nowhere, nor does anything in a text that cannot be read.
#[must_use]
pub fn locate(text: &str, syntax: Syntax, place: &Place) -> Option<Range<usize>> {
    let root = SourceNode::read(body(readable(text)?).0, syntax).ok()?;
    locate_in(text, &root, place)
}

/// Returns a text that is not longer than what is read.
pub(super) fn readable(text: &str) -> Option<&str> {
    (text.len() <= LONGEST_TEXT).then_some(text)
}

/// Returns the bytes of a text at which a place lies; `root` is what the text without its byte order mark says.
pub(super) fn locate_in(text: &str, root: &SourceNode<'_>, place: &Place) -> Option<Range<usize>> {
    let (body, shift) = body(text);
    let steps = place.path.steps();
    let value = root.follow(&steps);
    if std::ptr::eq(value, root) {
        return None;
    }
    let part = place.within.as_ref().and_then(|within| {
        let raw = body.get(value.range.clone())?;
        Some(shifted(part_of_string(raw, value.text()?, within)?, value.range.start))
    });
    let range = first_line(body, part.unwrap_or_else(|| value.range.clone()));
    Some(shifted(range, shift))
}

/// Returns the text without a byte order mark, and how many bytes that has.
pub(super) fn body(text: &str) -> (&str, usize) {
    text.strip_prefix(BYTE_ORDER_MARK).map_or((text, 0), |body| (body, BYTE_ORDER_MARK.len_utf8()))
}

fn shifted(range: Range<usize>, by: usize) -> Range<usize> {
    range.start + by..range.end + by
}

fn mebibytes(text: &str) -> f64 {
    text.len() as f64 / f64::from(1 << 20)
}

/// Shortens a range of several lines to the first of them, without space at its end.
fn first_line(text: &str, range: Range<usize>) -> Range<usize> {
    match text.get(range.clone()).and_then(|part| part.split_once('\n')) {
        Some((line, _)) => range.start..range.start + line.trim_end().len(),
        None => range,
    }
}

/// Returns the bytes of a string as written, quotation marks and all, that stand for a part of its text.
///
/// `None` if the part has no bytes or lies outside, or the string is joined from several lines.
fn part_of_string(written: &str, text: &str, part: &Range<usize>) -> Option<Range<usize>> {
    if part.is_empty() {
        return None;
    }
    let marks = if written.starts_with("\"\"\"") || written.starts_with("'''") { 3 } else { 1 };
    let escapes = written.starts_with('"');
    let mut at = marks;
    if marks == 3 {
        // A line break right after the marks does not count.
        let rest = written.get(at..)?;
        at += ["\r\n", "\n"].into_iter().find(|end| rest.starts_with(end)).map_or(0, str::len);
    }
    let (mut start, mut end) = (None, None);
    for (position, character) in text.char_indices() {
        if position == part.start {
            start = Some(at);
        }
        if position == part.end {
            end = Some(at);
        }
        at += written_length(written.get(at..)?, character, escapes)?;
    }
    if part.end == text.len() {
        end = Some(at);
    }
    Some(start?..end?)
}

/// Returns how many bytes stand for a character at the start of the rest of a string as written.
fn written_length(rest: &str, character: char, escapes: bool) -> Option<usize> {
    if !escapes || !rest.starts_with('\\') {
        return rest.starts_with(character).then_some(character.len_utf8());
    }
    let length = match rest.as_bytes().get(1)? {
        // JSON writes a character beyond U+FFFF as two escapes.
        b'u' if character > '\u{FFFF}' => 12,
        b'u' => 6,
        b'U' => 10,
        b'x' => 4,
        space if space.is_ascii_whitespace() => return None,
        _ => 2,
    };
    Some(length)
}
