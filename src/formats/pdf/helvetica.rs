//! How text in Helvetica, and the font itself, are written into the file.

use pdf_writer::{Name, Pdf, Ref};

use crate::drawing::Helvetica;

/// Returns a line as a string of the page and its width as a share of the font size, if WinAnsi has all its letters.
pub(super) fn set(content: &str) -> Option<(Vec<u8>, f64)> {
    let width = Helvetica::width(content)?;
    let mut string = Vec::with_capacity(content.len() + 8);
    string.push(b'(');
    for letter in content.chars() {
        push_code(&mut string, Helvetica::code(letter)?);
    }
    string.push(b')');
    Some((string, width))
}

/// Writes the font, which is not inside the file because every reader has it.
pub(super) fn write(pdf: &mut Pdf, id: Ref) {
    pdf.type1_font(id).base_font(Name(b"Helvetica")).encoding_predefined(Name(b"WinAnsiEncoding"));
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
    use super::set;

    #[test]
    fn sets_a_line() {
        let (string, width) = set("Mat (ö").unwrap_or_default();
        assert_eq!(String::from_utf8_lossy(&string), "(Mat \\(\\366)");
        assert!((width - 2.834).abs() < 1e-12);
        assert!(set("漢").is_none());
    }
}
