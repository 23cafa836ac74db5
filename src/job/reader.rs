//! Job files read from TOML or JSON text, and the places in them that problems point to.

use std::fmt;
use std::ops::Range;

use serde::de::DeserializeOwned;

use super::defaults::TwoTexts;
use super::fault::FaultKind;
use super::key_tables::{Described, KeyTables};
use super::node::SourceNode;
use super::syntax::{BYTE_ORDER_MARK, Syntax};
use super::syntax_fault::SyntaxFault;
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
    let readable = readable(text).ok_or_else(|| too_long(text))?;
    let (own, mark) = body(readable);
    let texts = TwoTexts { own, mark, shop: None };
    let root = SourceNode::read(own, syntax).map_err(|fault| error_of(fault, &texts))?;
    decode(&root, &texts, syntax, tables)
}

/// Reads a value from the tree of a file; `texts` are those in which its places lie.
pub(super) fn decode<T: DeserializeOwned>(
    root: &SourceNode<'_>,
    texts: &TwoTexts<'_>,
    syntax: Syntax,
    tables: impl FnOnce() -> Option<KeyTables>,
) -> Result<T, ReadError> {
    T::deserialize(root).map_err(|fault| {
        let range = fault.range.clone().unwrap_or(0..0);
        let wording = wording(&fault.kind, &range, root, texts, syntax, tables);
        error_of(SyntaxFault { range, wording }, texts)
    })
}

/// Returns the tables of a kind of file.
pub(super) fn tables_of<T: Described>() -> KeyTables {
    KeyTables::of::<T>()
}

/// Returns a fault with its place in the whole text.
pub(super) fn error_of(fault: SyntaxFault, texts: &TwoTexts<'_>) -> ReadError {
    let SyntaxFault { range, wording: Wording { message, help } } = fault;
    ReadError { range: texts.placed(texts.first_line(range)), message, help }
}

/// Refuses a text that is longer than any file of ours.
pub(super) fn too_long(text: &str) -> ReadError {
    ReadError {
        range: 0..0,
        message: format!("the file is {:.1} MiB, more than the limit of 4 MiB", mebibytes(text)),
        help: "check that it is the right file".to_owned(),
    }
}

/// Words a fault; a stray key needs the tables of the file.
fn wording(
    kind: &FaultKind,
    range: &Range<usize>,
    root: &SourceNode<'_>,
    texts: &TwoTexts<'_>,
    syntax: Syntax,
    tables: impl FnOnce() -> Option<KeyTables>,
) -> Wording {
    let stray = match kind {
        FaultKind::UnknownKey { key, known } => root.place_of_key(range).and_then(|(path, value)| {
            let value = texts.part(&value.range)?;
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
    let (own, mark) = body(readable(text)?);
    let root = SourceNode::read(own, syntax).ok()?;
    locate_in(&TwoTexts { own, mark, shop: None }, &root, place)
}

/// Returns a text that is not longer than what is read.
pub(super) fn readable(text: &str) -> Option<&str> {
    (text.len() <= LONGEST_TEXT).then_some(text)
}

/// Returns the bytes at which a place lies; `root` is what the texts say.
pub(super) fn locate_in(texts: &TwoTexts<'_>, root: &SourceNode<'_>, place: &Place) -> Option<Range<usize>> {
    let steps = place.path.steps();
    let value = root.follow(&steps);
    if std::ptr::eq(value, root) {
        return None;
    }
    let part = place.within.as_ref().and_then(|within| {
        let raw = texts.part(&value.range)?;
        Some(shifted(part_of_string(raw, value.text()?, within)?, value.range.start))
    });
    Some(texts.placed(texts.first_line(part.unwrap_or_else(|| value.range.clone()))))
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
