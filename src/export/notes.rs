//! Notes that every format with stroked letters shares.

use super::letters;
use crate::drawing::Polylines;

/// Returns the notes about the letters of a drawing: one sentence if the stroke font lacks some of them.
pub(super) fn about_letters(polylines: &Polylines) -> Vec<String> {
    if polylines.missing_letters.is_empty() {
        return Vec::new();
    }
    let letters = letters::quoted(&polylines.missing_letters);
    vec![format!("the stroke font has no letters for {letters}; they are drawn as boxes")]
}

#[cfg(test)]
mod tests {
    use super::about_letters;
    use crate::drawing::Polylines;

    #[test]
    fn names_each_missing_letter() {
        let with = |letters: &str| Polylines {
            sheet: kurbo::Size::new(100.0, 100.0),
            layers: Vec::new(),
            missing_letters: letters.to_owned(),
        };
        assert_eq!(about_letters(&with("")), Vec::<String>::new());
        let expected = "the stroke font has no letters for “漢字”; they are drawn as boxes";
        assert_eq!(about_letters(&with("漢字")), [expected]);
    }
}
