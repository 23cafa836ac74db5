//! A problem as a terminal shows it: the line of the file with a mark under the fault, and the cure.

use std::fmt::Write as _;
use std::ops::Range;

use unicode_width::UnicodeWidthChar;

use crate::problem::Severity;
use crate::shown::{picture, shown, shown_lines};

/// Longer lines are shown in part, round the mark, in columns: as wide as many terminals are.
const WIDEST: usize = 140;
/// So many columns before the mark are shown of a line that is too long.
const BEFORE: usize = 40;
/// What stands for the part of a line that is left out.
const LEFT_OUT: &str = "...";
/// A tab is shown as so many spaces.
const TAB: usize = 4;

/// ReportColours of a terminal (ECMA-48, select graphic rendition), or none.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReportColours {
    level: &'static str,
    gutter: &'static str,
    help: &'static str,
    strong: &'static str,
    end: &'static str,
}

/// A line of a text, and the part of it that is marked.
#[derive(Debug)]
pub(super) struct Excerpt<'t> {
    /// Name of the file.
    pub(super) name: &'t str,
    /// Number of the line in the file, counted from one.
    pub(super) number: usize,
    /// The line without its end.
    pub(super) line: &'t str,
    /// The bytes of the line that are marked; may be empty.
    pub(super) marked: Range<usize>,
    /// What stands beside the mark; may be empty.
    pub(super) label: &'t str,
}

impl ReportColours {
    /// Returns those for problems of a severity, or none at all.
    pub(super) const fn new(severity: Severity, styled: bool) -> Self {
        if !styled {
            return Self { level: "", gutter: "", help: "", strong: "", end: "" };
        }
        let level = match severity {
            Severity::Error => "\u{1b}[1m\u{1b}[91m",
            Severity::Warning => "\u{1b}[1m\u{1b}[33m",
        };
        Self {
            level,
            gutter: "\u{1b}[1m\u{1b}[94m",
            help: "\u{1b}[1m\u{1b}[96m",
            strong: "\u{1b}[1m",
            end: "\u{1b}[0m",
        }
    }

    /// Writes the first line of a report: severity, code and message.
    pub(super) fn title(self, severity: Severity, code: &str, message: &str) -> String {
        let Self { level, strong, end, .. } = self;
        let word = match severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        let indent = " ".repeat(word.len() + code.len() + 4);
        let message = indented(message, &indent);
        format!("{level}{word}[{code}]{end}{strong}: {message}{end}")
    }
}

impl Excerpt<'_> {
    /// Writes the lines that follow a title, each with a line break before it; `help` may be empty.
    pub(super) fn write(&self, colours: ReportColours, help: &str, out: &mut String) {
        let ReportColours { level, gutter, help: helped, end, .. } = colours;
        let number = self.number.to_string();
        let blank = " ".repeat(number.len());
        let column = self.line.get(..self.marked.start).unwrap_or(self.line).chars().count() + 1;
        let view = ShownLine::of(self.line, &self.marked);
        let source = if view.text.is_empty() { String::new() } else { format!(" {}", view.text) };
        let marks = format!("{}{}", " ".repeat(view.before), "^".repeat(view.width));
        let label = if self.label.is_empty() { String::new() } else { format!(" {}", shown(self.label)) };
        let name = shown(self.name);
        // Writing to a string cannot fail.
        let _ = write!(
            out,
            "\n{blank}{gutter}--> {end}{name}:{number}:{column}\n{blank} {gutter}|{end}\n{gutter}{number} |{end}{source}"
        );
        let (space, marks) = marks.split_at(view.before);
        let _ = write!(out, "\n{blank} {gutter}|{end} {space}{level}{marks}{label}{end}");
        if !help.is_empty() {
            let help = indented(help, &format!("{blank}         "));
            let _ = write!(out, "\n{blank} {gutter}|{end}\n{blank} {gutter}= {end}{helped}help{end}: {help}");
        }
    }
}

/// A line, or a part of it, as it is shown.
struct ShownLine {
    text: String,
    /// Columns before the mark.
    before: usize,
    /// Columns of the mark, at least one.
    width: usize,
}

impl ShownLine {
    fn of(line: &str, marked: &Range<usize>) -> Self {
        let columns = |range: Range<usize>| line.get(range).unwrap_or_default().chars().map(width).sum::<usize>();
        let start = marked.start.min(line.len());
        let end = marked.end.clamp(start, line.len());
        let (before, marked) = (columns(0..start), columns(start..end).max(1));
        let whole = before + marked + columns(end..line.len());
        if whole <= WIDEST {
            let text: String = line.chars().flat_map(pictures).collect();
            return Self { text: text.trim_end().to_owned(), before, width: marked };
        }
        // A part as wide as can be, with the start of the mark in it.
        let first = before.saturating_sub(BEFORE).min(whole.saturating_sub(WIDEST));
        let last = first + WIDEST;
        let mut text = String::from(if first > 0 { LEFT_OUT } else { "" });
        let shift = text.len();
        let (mut at, mut begins) = (0, None);
        for letter in line.chars() {
            if at >= first && at < last {
                begins.get_or_insert(at);
                text.extend(pictures(letter));
            }
            at += width(letter);
        }
        if at > last {
            text.push_str(LEFT_OUT);
        }
        let begins = begins.unwrap_or(first);
        let before = before.saturating_sub(begins);
        Self { text: text.trim_end().to_owned(), before: before + shift, width: marked.min(last - begins - before) }
    }
}

/// Returns how many columns a character takes.
fn width(letter: char) -> usize {
    if letter == '\t' { TAB } else { picture(letter).width().unwrap_or(0) }
}

/// Returns what is shown in place of a character.
fn pictures(letter: char) -> impl Iterator<Item = char> {
    let (shown, count) = if letter == '\t' { (' ', TAB) } else { (picture(letter), 1) };
    std::iter::repeat_n(shown, count)
}

/// Returns a text whose second and further lines are indented.
fn indented(text: &str, indent: &str) -> String {
    shown_lines(text).replace('\n', &format!("\n{indent}"))
}

#[cfg(test)]
mod tests {
    use super::{Excerpt, ReportColours, WIDEST};
    use crate::problem::Severity;

    fn report(line: &str, marked: std::ops::Range<usize>) -> Vec<String> {
        let mut out = String::new();
        let colours = ReportColours::new(Severity::Error, false);
        Excerpt { name: "a.toml", number: 12, line, marked, label: "key" }.write(colours, "", &mut out);
        out.lines().map(str::to_owned).collect()
    }

    /// Returns what stands above the mark.
    fn above(lines: &[String]) -> String {
        let at = lines[4].chars().position(|letter| letter == '^').unwrap();
        let count = lines[4].chars().filter(|letter| *letter == '^').count();
        lines[3].chars().skip(at).take(count).collect()
    }

    #[test]
    fn the_mark_stands_under_what_it_marks() {
        let line = "\tsize = 8O";
        let lines = report(line, 9..10);
        assert_eq!(lines[1], "  --> a.toml:12:10");
        assert_eq!(above(&lines), "O");
        // Letters of China and Japan are two columns wide.
        let lines = report("name = \"漢字\" x", 16..17);
        assert_eq!(lines[4], "   |               ^ key", "{lines:#?}");
        // Nothing is marked at the end of a line.
        assert_eq!(report("size", 4..4)[4], "   |     ^ key");
    }

    #[test]
    fn a_long_line_is_shown_round_the_mark() {
        let line: String = (0..1000).map(|number| format!("{number:03} ")).collect();
        for start in [0, 40, 400, 2000, 3996] {
            let lines = report(&line, start..start + 3);
            assert_eq!(above(&lines), line[start..start + 3], "{lines:#?}");
            assert!(lines[3].chars().count() <= WIDEST + 12, "{}", lines[3]);
        }
        assert!(report(&line, 2000..3900)[4].len() < WIDEST + 20);
    }

    #[test]
    fn a_terminal_obeys_nothing_in_it() {
        let lines = report("a = '\u{1b}[2J\u{202e}\u{9b}'", 5..6).join("\n");
        assert!(!lines.contains(['\u{1b}', '\u{202e}', '\u{9b}']), "{lines}");
        assert!(lines.contains("a = '␛[2J"), "{lines}");
    }
}
