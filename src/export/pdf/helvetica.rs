//! Helvetica in the encoding WinAnsi: its letters, its widths, and how it is named in the file.

use pdf_writer::{Name, Pdf, Ref};

/// Height of the capitals as a share of the font size (`CapHeight 718` in Adobe's Core 14 AFM file of Helvetica).
pub(super) const CAP_SHARE: f64 = 0.718;

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

/// Returns a line as a string of the page and its width as a share of the font size, if WinAnsi has all its letters.
pub(super) fn set(content: &str) -> Option<(Vec<u8>, f64)> {
    let mut string = Vec::with_capacity(content.len() + 2);
    let mut width = 0u32;
    string.push(b'(');
    for letter in content.chars() {
        let code = code(letter)?;
        width += u32::from(*WIDTHS.get(usize::from(code).checked_sub(32)?)?);
        push_code(&mut string, code);
    }
    string.push(b')');
    Some((string, f64::from(width) / 1000.0))
}

/// Writes the font, which is not inside the file because every reader has it.
pub(super) fn write(pdf: &mut Pdf, id: Ref) {
    pdf.type1_font(id).base_font(Name(b"Helvetica")).encoding_predefined(Name(b"WinAnsiEncoding"));
}

/// Returns the code of a letter in WinAnsi.
fn code(letter: char) -> Option<u8> {
    match letter {
        ' '..='~' | '\u{A0}'..='ÿ' => u8::try_from(letter).ok(),
        _ => {
            let place = FROM_128.chars().position(|other| other == letter)?;
            u8::try_from(128 + place).ok()
        }
    }
}

/// Appends a code to a string of the page, readable where it is ASCII and octal elsewhere.
fn push_code(string: &mut Vec<u8>, code: u8) {
    match code {
        b'(' | b')' | b'\\' => string.extend_from_slice(&[b'\\', code]),
        b' '..=b'~' => string.push(code),
        _ => string.extend_from_slice(&[b'\\', b'0' + (code >> 6), b'0' + (code >> 3 & 7), b'0' + (code & 7)]),
    }
}

#[cfg(test)]
mod tests {
    use super::{FROM_128, WIDTHS, code, set};

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
            assert_eq!(code(letter), expected, "{letter}");
        }
    }

    #[test]
    fn has_a_width_for_every_letter() {
        let letters = (' '..='~').chain('\u{A0}'..='ÿ').chain(FROM_128.chars());
        for letter in letters {
            let code = code(letter).unwrap_or_default();
            assert!(WIDTHS[usize::from(code) - 32] > 0, "{letter}");
        }
    }

    #[test]
    fn sets_a_line() {
        // Widths from the AFM file: M 833, a 556, t 278, parenleft 333, odieresis 556, space 278.
        let (string, width) = set("Mat (ö").unwrap_or_default();
        assert_eq!(String::from_utf8_lossy(&string), "(Mat \\(\\366)");
        assert!((width - 2.834).abs() < 1e-12);
        assert!(set("漢").is_none());
    }
}
