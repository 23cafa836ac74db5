//! Base64, in which SVG carries pictures (RFC 4648, section 4).

/// The letters for six bits.
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Adds bytes in Base64, filled up with `=`.
pub(super) fn push_base64(out: &mut Vec<u8>, bytes: &[u8]) {
    out.reserve(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let bits = (0..3).fold(0, |bits, at| bits << 8 | usize::from(group.get(at).copied().unwrap_or(0)));
        for at in 0..4 {
            // Two letters hold one byte, three hold two.
            let letter = LETTERS.get(bits >> (18 - 6 * at) & 63).filter(|_| at <= group.len());
            out.push(letter.copied().unwrap_or(b'='));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::push_base64;

    #[test]
    fn bytes_are_written_as_the_standard_says() {
        // RFC 4648, section 10.
        for (text, expected) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            let mut out = Vec::new();
            push_base64(&mut out, text.as_bytes());
            assert_eq!(out, expected.as_bytes());
        }
        let mut out = Vec::new();
        push_base64(&mut out, &[0xFB, 0xFF, 0xBF]);
        assert_eq!(out, b"+/+/");
    }
}
