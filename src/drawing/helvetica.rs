//! Helvetica in the encoding WinAnsi: its letters and their widths, by which text is laid out and written.

/// The font that every PDF reader has.
#[derive(Debug, Clone, Copy)]
pub struct Helvetica;

/// Widths in thousandths of the font size for the codes from 32 to 255 (`WX` in Adobe's Core 14 AFM file of
/// Helvetica); 0 where WinAnsi has no letter.
#[rustfmt::skip]
const WIDTHS: [u16; 224] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, 0,
    556, 0, 222, 556, 333, 1000, 556, 556, 333, 1000, 667, 333, 1000, 0, 611, 0,
    0, 222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500, 333, 944, 0, 500, 667,
    278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
];

/// The letters of the codes from 128 to 159 (ISO 32000-1, annex D.2); a space where there is none.
const FROM_128: &str = "€ ‚ƒ„…†‡ˆ‰Š‹Œ Ž  ‘’“”•–—˜™š›œ žŸ";

impl Helvetica {
    /// Height of the capitals as a share of the font size (`CapHeight 718` in Adobe's Core 14 AFM file of Helvetica).
    pub const CAP_SHARE: f64 = 0.718;

    /// Returns the code of a letter in WinAnsi, if it has one.
    #[must_use]
    pub fn code(letter: char) -> Option<u8> {
        match letter {
            ' '..='~' | '\u{A0}'..='ÿ' => u8::try_from(letter).ok(),
            _ => {
                let place = FROM_128.chars().position(|other| other == letter)?;
                u8::try_from(128 + place).ok()
            }
        }
    }

    /// Returns the width of a line as a share of the font size; `None` if WinAnsi does not have all its letters.
    #[must_use]
    pub fn width(content: &str) -> Option<f64> {
        let thousandths: Option<u32> = content
            .chars()
            .map(|letter| WIDTHS.get(usize::from(Self::code(letter)?).checked_sub(32)?).copied().map(u32::from))
            .sum();
        thousandths.map(|width| f64::from(width) / 1000.0)
    }
}

#[cfg(test)]
mod tests {
    use super::{FROM_128, Helvetica, WIDTHS};

    #[test]
    fn codes_letters_as_winansi_does() {
        assert_eq!(FROM_128.chars().count(), 32);
        // ISO 32000-1, annex D.2, in octal there.
        for (letter, expected) in [
            ('A', Some(0o101)),
            ('€', Some(0o200)),
            ('Ž', Some(0o216)),
            ('‘', Some(0o221)),
            ('•', Some(0o225)),
            ('™', Some(0o231)),
            ('Ÿ', Some(0o237)),
            ('¼', Some(0o274)),
            ('ö', Some(0o366)),
            ('\u{81}', None),
            ('Ł', None),
            ('\n', None),
        ] {
            assert_eq!(Helvetica::code(letter), expected, "{letter}");
        }
    }

    #[test]
    fn has_a_width_for_every_letter() {
        let letters = (' '..='~').chain('\u{A0}'..='ÿ').chain(FROM_128.chars());
        for letter in letters {
            let code = Helvetica::code(letter).unwrap_or_default();
            assert!(WIDTHS[usize::from(code) - 32] > 0, "{letter}");
        }
    }

    #[test]
    fn measures_a_line() {
        // Widths from the AFM file: M 833, a 556, t 278, parenleft 333, odieresis 556, space 278.
        assert!(Helvetica::width("Mat (ö").is_some_and(|width| (width - 2.834).abs() < 1e-12));
        assert_eq!(Helvetica::width("漢"), None);
    }
}
