//! Words in ASCII for formats that know nothing else, on lines that are short enough for their readers.

/// Returns text in ASCII: control characters become spaces, and letters outside ASCII the Latin letters that come nearest.
///
/// `Élodie Müller` becomes `Elodie Muller`. A sign that no letters stand for is left out.
pub(super) fn ascii(text: &str) -> String {
    let spaced: String = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    let latin = deunicode::deunicode_with_tofu(&spaced.replace('×', "x"), "");
    latin.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

/// Breaks ASCII text between words into lines of at most `longest` bytes; only a word longer than that is itself broken.
///
/// There is always one line at least, which may be empty.
pub(super) fn lines(text: &str, longest: usize) -> Vec<&str> {
    let mut lines = Vec::new();
    let mut rest = text.trim();
    while rest.len() > longest {
        // A space just behind the line ends it, too.
        let room = rest.get(..=longest).unwrap_or(rest);
        let (line, after) = match room.rfind(' ').filter(|end| *end > 0) {
            Some(end) => (rest.get(..end), rest.get(end..)),
            None => (rest.get(..longest), rest.get(longest..)),
        };
        lines.push(line.unwrap_or(rest).trim_end());
        rest = after.unwrap_or_default().trim_start();
    }
    lines.push(rest);
    lines
}

#[cfg(test)]
mod tests {
    use super::{ascii, lines};

    #[test]
    fn names_keep_their_letters() {
        for (name, expected) in [
            ("Élodie Müller", "Elodie Muller"),
            ("Łukasz Żółć, Åse Sørensen & Þóra", "Lukasz Zolc, Ase Sorensen & Thora"),
            // As ISO 843 has it, without the macron.
            ("Ελένη", "Elene"),
            ("Ирина", "Irina"),
            ("400 × 500 mm – “Kreide”", "400 x 500 mm - \"Kreide\""),
            ("漢字", "Han Zi"),
            ("a\r\n0\tb\u{7f}\u{85}c", "a  0 b  c"),
            ("\u{E000}x\u{10FFFF}", "x"),
        ] {
            assert_eq!(ascii(name).trim(), expected, "{name}");
        }
        for letter in (0..=0x10_FFFF).filter_map(char::from_u32) {
            let written = ascii(&letter.to_string());
            assert!(written.bytes().all(|byte| (b' '..=b'~').contains(&byte)), "{letter:?} {written:?}");
        }
    }

    #[test]
    fn lines_end_between_words() {
        assert_eq!(lines("", 5), [""]);
        assert_eq!(lines("one two three", 13), ["one two three"]);
        assert_eq!(lines("one two three", 8), ["one two", "three"]);
        assert_eq!(lines("one two three", 7), ["one two", "three"]);
        assert_eq!(lines("one two three", 6), ["one", "two", "three"]);
        assert_eq!(lines("one   two", 4), ["one", "two"]);
        assert_eq!(lines("abcdefgh ij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(lines(" abcdefgh", 4), ["abcd", "efgh"]);
    }
}
