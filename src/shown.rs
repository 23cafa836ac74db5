//! Text as it may be shown: a terminal obeys nothing in it, and it reads in the order in which it is written.

use std::borrow::Cow;

/// What stands for a mark that has no picture of its own.
const UNSEEN: char = '\u{FFFD}';

/// Returns a text in which nothing is left that a terminal would obey: control characters have their pictures of Unicode
/// (U+2400 and on), or U+FFFD, which also stands for marks that turn the direction of reading.
///
/// Line breaks and tabs are control characters too; see [`shown_lines`].
pub(crate) fn shown(text: &str) -> Cow<'_, str> {
    if text.chars().all(|letter| picture(letter) == letter) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(picture).collect())
}

/// The same for a text of several lines: line breaks and tabs stay.
pub(crate) fn shown_lines(text: &str) -> Cow<'_, str> {
    let kept = |letter: char| if matches!(letter, '\n' | '\t') { letter } else { picture(letter) };
    if text.chars().all(|letter| kept(letter) == letter) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(kept).collect())
}

/// Returns what is shown in place of a character.
pub(crate) fn picture(letter: char) -> char {
    match letter {
        '\0'..='\u{1F}' => char::from_u32(0x2400 + u32::from(letter)).unwrap_or(UNSEEN),
        '\u{7F}' => '\u{2421}',
        // The second set of control characters, and every mark of the bidirectional algorithm (UAX #9, table 4).
        '\u{80}'..='\u{9F}'
        | '\u{61C}'
        | '\u{200E}'
        | '\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2066}'..='\u{2069}' => UNSEEN,
        // Line and paragraph separators break lines in some terminals.
        '\u{2028}' | '\u{2029}' => UNSEEN,
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::{shown, shown_lines};

    #[test]
    fn nothing_is_left_that_a_terminal_obeys() {
        for (text, expected) in [
            ("é 漢 3 1/4\"", "é 漢 3 1/4\""),
            ("\u{1b}[31mred\u{7}", "␛[31mred␇"),
            ("\u{9b}2J", "\u{fffd}2J"),
            ("a\u{202e}b\u{2066}c", "a\u{fffd}b\u{fffd}c"),
            ("one\ntwo\t\u{7f}", "one␊two␉␡"),
        ] {
            assert_eq!(shown(text), expected);
        }
        assert_eq!(shown_lines("one\r\n\ttwo\u{85}"), "one␍\n\ttwo\u{fffd}");
        let every: String = (0..=0x2FFF).filter_map(char::from_u32).collect();
        assert!(!shown(&every).chars().any(char::is_control));
    }
}
