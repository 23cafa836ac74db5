//! Notes that formats with stroked letters share.

use super::letters;

/// Returns the note about letters that the stroke font lacks: one sentence if there are some.
pub(super) fn about_missing(letters: &str) -> Option<String> {
    (!letters.is_empty()).then(|| {
        let letters = letters::quoted(letters);
        format!("the stroke font has no letters for {letters}; they are drawn as boxes")
    })
}

#[cfg(test)]
mod tests {
    use super::about_missing;

    #[test]
    fn names_each_missing_letter() {
        assert_eq!(about_missing(""), None);
        let expected = "the stroke font has no letters for “漢字”; they are drawn as boxes";
        assert_eq!(about_missing("漢字").as_deref(), Some(expected));
    }
}
