//! Every word on standard error, but for the progress bar: one place for what `--quiet` leaves out.

use std::borrow::Cow;
use std::fmt::Display;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::shown::{picture, shown_lines};

use super::telling::words_as_data;

/// Set once, before the command runs.
static QUIET: AtomicBool = AtomicBool::new(false);

/// Chooses for the whole run whether only errors and warnings are said.
pub(super) fn be_quiet(quiet: bool) {
    QUIET.store(quiet, Ordering::Relaxed);
}

/// Tells whether only errors and warnings are said: no notes, no counts, no bar.
pub(super) fn is_quiet() -> bool {
    QUIET.load(Ordering::Relaxed)
}

/// Says a line that is worded already.
pub(super) fn line(text: impl Display) {
    let text = text.to_string();
    match words_as_data(&text) {
        Some(data) => anstream::eprint!("{data}"),
        None => anstream::eprintln!("{}", for_terminal(&text)),
    }
}

/// Says what a person who asked for quiet can do without.
pub(super) fn aside(text: impl Display) {
    if !is_quiet() {
        line(text);
    }
}

/// Says a report of problems, whose lines are complete.
pub(super) fn report(text: &str) {
    for text in text.split_inclusive('\n') {
        match words_as_data(text) {
            Some(data) => anstream::eprint!("{data}"),
            None => anstream::eprint!("{}", for_terminal(text)),
        }
    }
}

/// The colours in which reports are written: what a terminal may obey of the words that are said.
const COLOURS: [&str; 6] = ["[0m", "[1m", "[33m", "[91m", "[94m", "[96m"];

/// Returns words in which a terminal obeys nothing but line breaks, tabs and the colours of reports: names and texts of files
/// stand in them.
fn for_terminal(text: &str) -> Cow<'_, str> {
    if !text.contains('\u{1b}') {
        return shown_lines(text);
    }
    let mut safe = String::with_capacity(text.len());
    for (number, part) in text.split('\u{1b}').enumerate() {
        let colour = COLOURS.iter().find(|colour| number > 0 && part.starts_with(**colour));
        match colour {
            Some(colour) => {
                safe.push('\u{1b}');
                safe.push_str(colour);
                safe.push_str(&shown_lines(part.get(colour.len()..).unwrap_or_default()));
            }
            None => {
                if number > 0 {
                    safe.push(picture('\u{1b}'));
                }
                safe.push_str(&shown_lines(part));
            }
        }
    }
    Cow::Owned(safe)
}

/// Says why something was not done.
macro_rules! error {
    ($($words:tt)*) => { $crate::cli::say::line(format_args!("error: {}", format_args!($($words)*))) };
}

/// Says what was done but may not be what was meant.
macro_rules! warning {
    ($($words:tt)*) => { $crate::cli::say::line(format_args!("warning: {}", format_args!($($words)*))) };
}

/// Says what is good to know.
macro_rules! note {
    ($($words:tt)*) => { $crate::cli::say::aside(format_args!("note: {}", format_args!($($words)*))) };
}

pub(super) use {error, note, warning};

#[cfg(test)]
mod tests {
    use super::for_terminal;

    #[test]
    fn only_the_colours_of_reports_reach_a_terminal() {
        let report = "\u{1b}[1m\u{1b}[91merror[x]\u{1b}[0m\u{1b}[1m: é\n\tb\u{1b}[0m";
        assert_eq!(for_terminal(report), report);
        for (text, expected) in [
            ("a\u{1b}[2Jb", "a␛[2Jb"),
            ("\u{1b}]0;title\u{7}", "␛]0;title␇"),
            ("x\u{9b}31m\u{202e}y\r", "x\u{fffd}31m\u{fffd}y␍"),
            ("\u{1b}", "␛"),
        ] {
            assert_eq!(for_terminal(text), expected);
        }
    }
}
