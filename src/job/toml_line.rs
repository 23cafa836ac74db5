//! What a framer may have meant by a line that is no TOML, seen in the line itself.

use std::ops::Range;

use toml::de::DeTable;

use super::bare_value::{as_value, of_bare};
use super::wording::{Wording, quote};

/// A line of a text that is cut into its key and its value.
struct TomlLine<'t> {
    /// Where the line starts in the text.
    start: usize,
    /// The line without its comment and the space round it.
    text: &'t str,
    /// Key and value, and where the value starts within `text`, if there is an equals sign.
    assignment: Option<(&'t str, &'t str, usize)>,
}

/// Says what is wrong at a place of a text that a TOML parser refuses, with the bytes at fault; `None` if nothing is recognised.
pub(super) fn diagnose(text: &str, at: usize) -> Option<(Range<usize>, Wording)> {
    // What is not closed is noticed at the start of a later line, or at the end.
    let before = text.get(..at)?;
    let line_start = match before.strip_suffix('\n') {
        Some(earlier) if text.get(at..).is_some_and(|rest| rest.trim().is_empty()) => {
            earlier.rfind('\n').map_or(0, |end| end + 1)
        }
        _ => before.rfind('\n').map_or(0, |end| end + 1),
    };
    let line = TomlLine::at(text, line_start);
    too_deep(text)
        .or_else(|| line.curly())
        .or_else(|| unclosed(text, at))
        .or_else(|| line.repeated(text, at))
        .or_else(|| line.without_equals())
        .or_else(|| line.bad_key())
        .or_else(|| line.value(at))
}

impl<'t> TomlLine<'t> {
    fn at(text: &'t str, start: usize) -> Self {
        let rest = text.get(start..).unwrap_or_default();
        let line = rest.split('\n').next().unwrap_or_default();
        let indent = line.len() - line.trim_start().len();
        let line = without_comment(line).trim();
        let assignment = outside_texts(line).find(|&(_, letter)| letter == '=').map(|(at, _)| {
            let value = line.get(at + 1..).unwrap_or_default();
            let space = value.len() - value.trim_start().len();
            (line.get(..at).unwrap_or_default().trim(), value.trim(), at + 1 + space)
        });
        Self { start: start + indent, text: line, assignment }
    }

    fn range(&self, within: Range<usize>) -> Range<usize> {
        self.start + within.start..self.start + within.end
    }

    fn whole(&self) -> Range<usize> {
        self.range(0..self.text.len())
    }

    /// Typographic quotation marks outside of a text in straight ones.
    fn curly(&self) -> Option<(Range<usize>, Wording)> {
        let (at, mark) = outside_texts(self.text).find(|(_, letter)| CURLY.contains(letter))?;
        let straight: String = self.text.chars().map(straightened).collect();
        let wording = Wording::new(
            format!("{mark} is a typographic quotation mark"),
            format!("write straight marks: {}", quote(&straight)),
        );
        Some((self.range(at..at + mark.len_utf8()), wording))
    }

    /// A key or a table that stands in the text before.
    fn repeated(&self, text: &str, at: usize) -> Option<(Range<usize>, Wording)> {
        let before = text.get(..self.start)?;
        let alone = format!("{}\n", self.text);
        let key = match self.assignment {
            // Several keys in one inline table.
            Some((_, value, _)) if value.starts_with('{') && DeTable::parse(&alone).is_err() => {
                let key = word_at(text, at);
                let earlier = text.get(self.start..at)?;
                let again = text.get(at + key.len()..)?.trim_start().starts_with('=') && earlier.contains(key);
                return (again && !key.is_empty()).then(|| (at..at + key.len(), Wording::repeated_key(key)));
            }
            Some((key, ..)) => key,
            None => self.text.trim_matches(['[', ']', ' ']),
        };
        let both_sound = DeTable::parse(before).is_ok() && DeTable::parse(&alone).is_ok();
        if !both_sound {
            return None;
        }
        if self.assignment.is_some() {
            return Some((self.range(0..key.len()), Wording::repeated_key(key)));
        }
        let help = format!("put the keys of both under one [{key}], or write [[{key}]] twice for a list");
        let wording = Wording::new(format!("the table `{}` is given twice", quote(key)), help);
        Some((self.whole(), wording))
    }

    /// A line that is neither a key with a value nor a header.
    fn without_equals(&self) -> Option<(Range<usize>, Wording)> {
        if self.assignment.is_some() || self.text.is_empty() {
            return None;
        }
        let text = self.text;
        if text.starts_with("//") || text.starts_with("/*") || text.starts_with("--") || text.starts_with(';') {
            let words = text.trim_start_matches(['/', '*', '-', ';', ' ']);
            let wording = Wording::new("a comment starts with #", format!("write # {}", quote(words)));
            return Some((self.whole(), wording));
        }
        if let Some(header) = text.strip_prefix('[') {
            let name = header.trim_matches(['[', ']', ' ']);
            if let Some((table, _)) = name.split_once(char::is_whitespace) {
                let help = format!("write [{0}]; of several tables each has the header [[{0}]]", quote(table));
                return Some((self.whole(), Wording::new("a header is one word, without a number or a name", help)));
            }
            let header = if text.starts_with("[[") { format!("[[{name}]]") } else { format!("[{name}]") };
            let wording = Wording::new("this table header is malformed", format!("write {}", quote(&header)));
            return Some((self.whole(), wording));
        }
        if text.starts_with('<') {
            let help = "write lines such as unit = \"in\"; `backline new` prints a file to start from";
            return Some((self.whole(), Wording::new("this is neither TOML nor JSON", help)));
        }
        if text.starts_with(|letter: char| letter.is_ascii_digit()) {
            let help = format!("write key = {}, with the key that it is for", as_value(text));
            return Some((self.whole(), Wording::new("this value has no key", help)));
        }
        if let Some((key, value)) = text.split_once(':') {
            let key = key.strip_prefix("- ").unwrap_or(key);
            let value = as_value(value.trim());
            let wording = Wording::new(
                "a key and its value are joined by =",
                format!("write {} = {value}", quote(key.trim().trim_matches('"'))),
            );
            let at = text.find(':').unwrap_or_default();
            return Some((self.range(at..at + 1), wording));
        }
        let (key, value) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let help = match value.trim() {
            "" => format!("write {} = and its value", quote(key)),
            value => format!("write {} = {}", quote(key), as_value(value)),
        };
        Some((self.whole(), Wording::new(format!("there is no = after `{}`", quote(key)), help)))
    }

    /// A key with spaces or signs in it.
    fn bad_key(&self) -> Option<(Range<usize>, Wording)> {
        let (key, ..) = self.assignment?;
        if key.is_empty() {
            return Some((self.whole(), Wording::new("the key before = is missing", "write key = value")));
        }
        let parts = key.split('.').map(str::trim);
        if key.starts_with('<') {
            let help = "write lines such as unit = \"in\"; `backline new` prints a file to start from";
            return Some((self.whole(), Wording::new("this is neither TOML nor JSON", help)));
        }
        let plain =
            |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-');
        if key.contains(['"', '\'']) || parts.clone().all(plain) {
            return None;
        }
        let joined = key.split_whitespace().collect::<Vec<_>>().join("_");
        let help = if joined.split('.').all(plain) {
            format!("join the words of a key with _: write {joined}; a key with other characters needs quotation marks")
        } else {
            format!("a key with special characters needs quotation marks: write \"{}\" = …", quote(key))
        };
        let wording = Wording::new(format!("`{}` is not a key", quote(key)), help);
        Some((self.range(0..key.len()), wording))
    }

    /// A value that is not written as TOML wants it.
    fn value(&self, at: usize) -> Option<(Range<usize>, Wording)> {
        let (_, value, start) = self.assignment?;
        if value.is_empty() {
            return Some((
                self.range(start..start),
                Wording::new("the value is missing", "write a value after the equals sign"),
            ));
        }
        if value.starts_with(['"', '\'']) {
            return self.broken_text(value, start);
        }
        if value.starts_with(['[', '{']) {
            return self.item(at);
        }
        let wording = of_bare(value)?;
        Some((self.range(start..start + value.len()), wording))
    }

    /// An item of a list, or a value of a table in braces, that is not written as TOML wants it.
    fn item(&self, at: usize) -> Option<(Range<usize>, Wording)> {
        let within = at.checked_sub(self.start)?.min(self.text.len());
        let separator = |letter: char| matches!(letter, ',' | '[' | ']' | '{' | '}' | '=');
        let signs: Vec<(usize, char)> = outside_texts(self.text).filter(|&(_, letter)| separator(letter)).collect();
        let from = signs.iter().rev().find(|(sign, _)| *sign < within).map_or(0, |(sign, _)| sign + 1);
        let to = signs.iter().find(|(sign, _)| *sign >= from.max(within)).map_or(self.text.len(), |(sign, _)| *sign);
        let raw = self.text.get(from..to)?;
        let item = raw.trim();
        let start = from + raw.len() - raw.trim_start().len();
        if item.is_empty() {
            let sign = self.text.get(within..)?.chars().next()?;
            let wording = match sign {
                ']' | '}' => Wording::new(
                    format!("`{sign}` closes nothing, or a value is missing before it"),
                    "remove it, or write the value",
                ),
                _ => Wording::new("a value is missing here", "write it, or remove the character before it"),
            };
            return Some((self.range(within..within + sign.len_utf8()), wording));
        }
        let words: Vec<&str> = item.split_whitespace().collect();
        if words.len() > 1 && words.iter().all(|word| word.parse::<f64>().is_ok()) {
            let wording = Wording::new("a comma is missing between two values", format!("write {}", words.join(", ")));
            return Some((self.range(start..start + item.len()), wording));
        }
        if item.starts_with(['"', '\'']) {
            return self.broken_text(item, start);
        }
        Some((self.range(start..start + item.len()), of_bare(item)?))
    }

    /// A text whose quotation marks or backslashes are not sound.
    fn broken_text(&self, value: &str, start: usize) -> Option<(Range<usize>, Wording)> {
        let mark = value.chars().next()?;
        let range = self.range(start..start + value.len());
        let inner = value.get(1..)?;
        let closed = !inner.is_empty() && inner.ends_with(mark);
        let content = inner.strip_suffix(mark).unwrap_or(inner);
        if mark == '"' && content.contains('\\') && !content.contains('"') {
            let message = "in text, `\\` starts an escape such as \\n or \\\"";
            return Some((
                range,
                Wording::new(
                    message,
                    format!("write single quotation marks: '{}', or / in file names", quote(content)),
                ),
            ));
        }
        if let Some(end) = content.find(mark)
            && let Some((key, _)) = content.get(end + 1..)?.split_once('=')
            && key.starts_with(char::is_whitespace)
        {
            let from = start + 1 + end + 1 + key.len() - key.trim_start().len();
            let wording =
                Wording::new("this line has a second key", format!("put {} on a line of its own", quote(key.trim())));
            return Some((self.range(from..start + value.len()), wording));
        }
        if closed && content.contains(mark) {
            let content = quote(content);
            let help = match mark {
                '"' if content.contains('\'') => {
                    format!("write \\\" for each inch mark: \"{}\"", content.replace('"', "\\\""))
                }
                '"' => format!("text with an inch mark \" in it: write '{content}', or \\\" for each of them"),
                _ => format!("text with a ' in it: write \"{}\"", content.replace('"', "\\\"")),
            };
            return Some((range, Wording::new("the text ends at the second quotation mark, before the rest", help)));
        }
        if let Some(end) = content.find(mark) {
            let rest = content.get(end + 1..).unwrap_or_default();
            let from = start + 1 + end + 1 + rest.len() - rest.trim_start().len();
            let rest = rest.trim();
            let help = if rest.chars().all(|c| matches!(c, ';' | ',')) {
                "remove it".to_owned()
            } else {
                "remove it, put it into the text, or start a comment with #; an inch mark in a text is \\\"".to_owned()
            };
            let wording = Wording::new(format!("`{}` follows the end of the text", quote(rest)), help);
            return Some((self.range(from..from + rest.len()), wording));
        }
        if !closed {
            let wording = Wording::new(
                "the text has no closing quotation mark",
                format!("write {mark}{}{mark}", quote(inner.trim_end())),
            );
            return Some((range, wording));
        }
        None
    }
}

/// Typographic marks that word processors put in place of straight ones.
pub(super) const CURLY: [char; 10] = ['“', '”', '„', '‟', '«', '»', '‘', '’', '‚', '‹'];

fn straightened(letter: char) -> char {
    match letter {
        '‘' | '’' | '‚' | '‹' => '\'',
        letter if CURLY.contains(&letter) => '"',
        letter => letter,
    }
}

/// Brackets in each other to this depth are beyond what any file needs.
const DEEPEST: usize = 60;

fn too_deep(text: &str) -> Option<(Range<usize>, Wording)> {
    let mut depth = 0_usize;
    for (at, letter) in outside_texts(text) {
        match letter {
            '[' | '{' => depth += 1,
            ']' | '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return Some((
                at..at + 1,
                Wording::new("tables or lists are nested too deeply", "no file needs so much nesting"),
            ));
        }
    }
    let steps = text.lines().map(|line| line.matches('.').count()).max().unwrap_or_default();
    let wording = || Wording::new("tables or lists are nested too deeply", "no file needs so much nesting");
    (steps > 1000).then(|| (0..0, wording()))
}

/// A bracket that is not closed before the place where this is noticed.
fn unclosed(text: &str, at: usize) -> Option<(Range<usize>, Wording)> {
    let mut open: Vec<(usize, char)> = Vec::new();
    for (position, letter) in outside_texts(text.get(..at)?) {
        match letter {
            '[' | '{' => open.push((position, letter)),
            ']' | '}' => drop(open.pop()),
            _ => {}
        }
    }
    let &(position, bracket) = open.last()?;
    let line = text.get(position..)?.split('\n').next()?;
    let line = without_comment(line).trim_end();
    let balance = outside_texts(line).fold(0_i32, |depth, (_, letter)| match letter {
        '[' | '{' => depth + 1,
        ']' | '}' => depth - 1,
        _ => depth,
    });
    // A list over several lines may be sound up to the place.
    let same_line = position + line.len() >= at;
    if balance <= 0 || (!same_line && !next_is_key(text, at)) && at < text.trim_end().len() {
        return None;
    }
    let partner = if bracket == '[' { ']' } else { '}' };
    let cure = format!("write {}{partner}", quote(line));
    Some((position..position + 1, Wording::new(format!("`{bracket}` is not closed"), cure)))
}

/// Tells whether a key with a value, or a header, stands in the line of a place.
fn next_is_key(text: &str, at: usize) -> bool {
    let start = text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    let line = TomlLine::at(text, start);
    line.assignment.is_some() || line.text.starts_with('[')
}

/// Returns the bare word at a place.
fn word_at(text: &str, at: usize) -> &str {
    let rest = text.get(at..).unwrap_or_default();
    let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '-')).unwrap_or(rest.len());
    rest.get(..end).unwrap_or_default()
}

/// Returns a line up to its comment.
fn without_comment(line: &str) -> &str {
    let comment = outside_texts(line).find(|&(_, letter)| letter == '#').map_or(line.len(), |(at, _)| at);
    line.get(..comment).unwrap_or(line)
}

/// Returns the letters of a text that stand outside of texts in straight quotation marks, none of which runs on beyond its
/// line, and outside of comments, of which only the # counts.
fn outside_texts(text: &str) -> impl Iterator<Item = (usize, char)> + '_ {
    let mut inside: Option<char> = None;
    let mut escaped = false;
    text.char_indices().filter(move |&(_, letter)| match inside {
        _ if letter == '\n' => {
            inside = None;
            true
        }
        Some(_) if escaped => {
            escaped = false;
            false
        }
        Some(mark) => {
            escaped = mark == '"' && letter == '\\';
            if mark == letter && mark != '#' {
                inside = None;
            }
            false
        }
        None => {
            inside = matches!(letter, '"' | '\'' | '#').then_some(letter);
            !matches!(letter, '"' | '\'')
        }
    })
}
