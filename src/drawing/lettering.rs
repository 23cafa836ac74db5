//! Text as PDF prints it: how wide a line is, and where a paragraph breaks.

use super::Helvetica;
use super::dejavu_widths::dejavu_width;

/// The letters of printed text: Helvetica where it has every letter of a line, DejaVu Sans for other lines.
///
/// A font that the user gives for such lines has other widths; what is laid out for a page is set in these two.
#[derive(Debug, Clone, Copy)]
pub struct Lettering;

/// Room that a line needs above its capitals, for accents, as a share of the height of capitals (Helvetica, `Aring`:
/// 936 thousandths of the font size, its capitals 718).
pub const ABOVE_CAPS: f64 = 0.31;
/// Room that a line needs below its baseline, as a share of the height of capitals (Helvetica, `FontBBox`: 207
/// thousandths of the font size, its capitals 718).
pub const BELOW_BASELINE: f64 = 0.31;

impl Lettering {
    /// Returns the width in millimetres of a line whose capitals are `cap_height` millimetres high.
    #[must_use]
    pub fn width(content: &str, cap_height: f64) -> f64 {
        let other = || dejavu_width(content);
        Helvetica::width(content).map_or_else(other, |width| width / Helvetica::CAP_SHARE) * cap_height
    }

    /// Breaks a text into lines that fit into a width in millimetres; see [`wrap`].
    #[must_use]
    pub fn wrap(text: &str, width: f64, cap_height: f64) -> Vec<String> {
        // A line is set in one font, which its parts do not tell: the wider one counts for all of a text that needs both.
        let plain = Helvetica::width(text).is_some();
        wrap(text, width, |part| {
            let own = Self::width(part, cap_height);
            if plain { own } else { own.max(dejavu_width(part) * cap_height) }
        })
    }
}

/// Breaks a text into lines that fit into a width, between words where that can be done.
///
/// `measure` says how wide letters are; it is asked for each word once and must count letter by letter. There is at least
/// one line.
#[must_use]
pub fn wrap(text: &str, width: f64, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let space = measure(" ");
    let mut lines = Vec::new();
    let (mut line, mut used) = (String::new(), 0.0);
    for word in text.split_whitespace() {
        let needed = measure(word);
        if !line.is_empty() {
            if used + space + needed <= width {
                line.push(' ');
                line.push_str(word);
                used += space + needed;
                continue;
            }
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        if needed <= width {
            line.push_str(word);
            used = needed;
            continue;
        }
        for letter in word.chars() {
            let needed = measure(letter.encode_utf8(&mut [0; 4]));
            if !line.is_empty() && used + needed > width {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(letter);
            used += needed;
        }
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::{Lettering, wrap};

    #[test]
    fn lines_fit_and_no_word_is_lost() {
        let measure = |text: &str| text.chars().count() as f64;
        for (text, width, expected) in [
            ("one two three", 7.0, vec!["one two", "three"]),
            ("a verylongword b", 6.0, vec!["a", "verylo", "ngword", "b"]),
            ("", 5.0, vec![""]),
            ("abc", 0.5, vec!["a", "b", "c"]),
        ] {
            assert_eq!(wrap(text, width, measure), expected);
        }
    }

    #[test]
    fn a_line_is_as_wide_as_its_font_says() {
        // Helvetica: M 833, a 556, t 278 thousandths of the font size, capitals 718.
        assert!((Lettering::width("Mat", 7.18) - 16.67).abs() < 1e-9);
        // DejaVu Sans, tables hmtx and glyf: Ł is 1151 units wide, H 1493 high.
        assert!((Lettering::width("Ł", 1493.0) - 1151.0).abs() < 1e-6);
        assert!(Lettering::width("漢字", 3.0) > 0.0);
    }
}
