//! How wide the letters of DejaVu Sans are, without the font.

use std::sync::LazyLock;

/// The list that the font gives, see the test below: first the height of capitals and the width of what the font lacks, then each
/// letter, as a hexadecimal number, from which on letters have another width. All are units of the font.
const WIDTHS: &str = include_str!("dejavu_sans.widths");

struct LetterWidths {
    /// Height of the capitals.
    capitals: f64,
    /// Letters from which on letters have a width, rising.
    runs: Vec<(u32, f64)>,
}

/// Returns the width of a line in DejaVu Sans as a multiple of the height of its capitals.
pub(super) fn dejavu_width(content: &str) -> f64 {
    static KNOWN: LazyLock<LetterWidths> = LazyLock::new(LetterWidths::read);
    content.chars().map(|letter| KNOWN.of(letter)).sum::<f64>() / KNOWN.capitals
}

impl LetterWidths {
    fn read() -> Self {
        let mut runs = Vec::new();
        let mut capitals = 1.0;
        for line in WIDTHS.lines() {
            let Some((word, Ok(number))) = line.split_once(' ').map(|(word, number)| (word, number.parse())) else {
                continue;
            };
            match u32::from_str_radix(word, 16) {
                Ok(letter) => runs.push((letter, number)),
                Err(_) => capitals = number,
            }
        }
        Self { capitals, runs }
    }

    fn of(&self, letter: char) -> f64 {
        let after = self.runs.partition_point(|(first, _)| *first <= u32::from(letter));
        after.checked_sub(1).and_then(|at| self.runs.get(at)).map_or(0.0, |(_, width)| *width)
    }
}

#[cfg(all(test, feature = "pdf"))]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic")]

    use std::fmt::Write as _;
    use std::path::Path;

    use super::{LetterWidths, WIDTHS};

    /// The font has no letters beyond.
    const LAST: char = '\u{1FFFF}';

    /// `BACKLINE_BLESS=1` writes the list anew.
    #[test]
    fn the_widths_are_those_of_the_font() {
        let face = ttf_parser::Face::parse(dejavu::sans::regular(), 0).unwrap();
        // The font does not say how high its capitals are, but it has an H.
        let capitals = face.glyph_bounding_box(face.glyph_index('H').unwrap()).unwrap().y_max;
        // What the font lacks is drawn as its box, the first of its glyphs.
        let width = |letter: char| face.glyph_hor_advance(face.glyph_index(letter).unwrap_or_default()).unwrap_or(0);
        let mut list = format!("capitals {capitals}\n");
        let mut last = None;
        for letter in '\0'..=LAST {
            let width = width(letter);
            if last != Some(width) {
                writeln!(list, "{:x} {width}", u32::from(letter)).unwrap();
            }
            last = Some(width);
        }
        if std::env::var_os("BACKLINE_BLESS").is_some_and(|value| value == "1") && list != WIDTHS {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/drawing/dejavu_sans.widths");
            std::fs::write(path, list).unwrap();
            panic!("the list was written anew");
        }
        assert!(list == WIDTHS, "the list is not that of the font; run the test with BACKLINE_BLESS=1");
        let known = LetterWidths::read();
        let off = |letter: char| (known.of(letter) - f64::from(width(letter))).abs();
        assert!(('\0'..=LAST).step_by(7).all(|letter| off(letter) < 0.5));
    }
}
