//! The words of a line of G-code: a letter and a number each.

use crate::formats::reading::number;

/// Returns letter and number of each word of a line, comments left aside; `None` for anything else.
pub(super) fn words(line: &str) -> impl Iterator<Item = Option<(char, f64)>> + '_ {
    // A checksum follows a star in files that are sent line by line.
    let mut rest = line.split([';', '*']).next().unwrap_or_default().trim_start_matches('/');
    std::iter::from_fn(move || {
        loop {
            rest = rest.trim_start();
            match rest.chars().next()? {
                '(' => rest = rest.split_once(')').map_or("", |(_, rest)| rest),
                '%' => rest = "",
                _ => break,
            }
        }
        let letter = rest.chars().next()?;
        let after = rest.get(letter.len_utf8()..).unwrap_or_default().trim_start();
        let end = after.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(after.len());
        let (figures, left) = after.split_at(end);
        rest = left;
        let word = number(figures)
            .filter(|_| letter.is_ascii_alphabetic())
            .map(|number| (letter.to_ascii_uppercase(), number));
        if word.is_none() {
            rest = "";
        }
        Some(word)
    })
}
