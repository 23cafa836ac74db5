//! Letters named in notes, in a form that cannot upset a terminal.

/// Returns letters between quotation marks, control characters among them by their code, for example `“漢字U+0007”`.
pub(super) fn quoted(letters: &str) -> String {
    let mut out = String::from('“');
    for letter in letters.chars() {
        if letter.is_control() || matches!(letter, '\u{FFFE}' | '\u{FFFF}') {
            out.push_str(&format!("U+{:04X}", u32::from(letter)));
        } else {
            out.push(letter);
        }
    }
    out.push('”');
    out
}

/// Adds a letter to a collection that holds each letter once, in order of appearance.
pub(super) fn note_once(letters: &mut String, letter: char) {
    if !letters.contains(letter) {
        letters.push(letter);
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn names_control_characters_by_their_code() {
        assert_eq!(super::quoted("a\u{7}漢"), "“aU+0007漢”");
    }

    #[test]
    fn notes_each_letter_once() {
        let mut letters = String::new();
        "abab".chars().for_each(|letter| super::note_once(&mut letters, letter));
        assert_eq!(letters, "ab");
    }
}
