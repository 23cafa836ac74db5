//! The choice of a font for each line of text: Helvetica, which every reader has, or a font inside the file.

use pdf_writer::{Name, Pdf, Ref};

use super::embedded::Embedded;
use super::helvetica;
use super::units::ObjectNumbers;
use crate::drawing::Helvetica;
use crate::formats::ExportError;
use crate::formats::letters::quoted;

/// Name on the page of the font that every reader has.
const BUILT_IN: Name<'static> = Name(b"F1");
/// Name on the page of the font inside the file.
const INSIDE: Name<'static> = Name(b"F2");

/// A line of text as the page shows it.
pub(super) struct EncodedText {
    /// Name of the font on the page.
    pub(super) font: Name<'static>,
    /// Height of the capitals as a share of the font size.
    pub(super) cap_share: f64,
    /// Width of the line as a share of the font size.
    pub(super) width: f64,
    /// The string for the operator that shows it, with its delimiters.
    pub(super) string: Vec<u8>,
}

/// The fonts of a document as they come into use.
pub(super) struct DocumentFonts<'a> {
    given: Option<&'a [u8]>,
    uses_built_in: bool,
    inside: Option<Embedded<'a>>,
    /// Lines with letters that run from right to left.
    turned: Vec<String>,
}

impl<'a> DocumentFonts<'a> {
    /// Takes the font file for letters that Helvetica does not have; `None` for DejaVu Sans.
    pub(super) fn new(given: Option<&'a [u8]>) -> Self {
        Self { given, uses_built_in: false, inside: None, turned: Vec::new() }
    }

    /// Sets a line of text.
    pub(super) fn set(&mut self, content: &str) -> Result<EncodedText, ExportError> {
        if let Some((string, width)) = helvetica::set(content) {
            self.uses_built_in = true;
            return Ok(EncodedText { font: BUILT_IN, cap_share: Helvetica::CAP_SHARE, width, string });
        }
        if content.chars().any(runs_left) {
            self.turned.push(quoted(content));
        }
        let inside = match &mut self.inside {
            Some(inside) => inside,
            none => none.insert(Embedded::new(self.given)?),
        };
        let (string, width) = inside.set(content);
        Ok(EncodedText { font: INSIDE, cap_share: inside.cap_share(), width, string })
    }

    /// Returns what the user must know about the text.
    pub(super) fn notes(&self) -> Vec<String> {
        let missing = self.inside.as_ref().map_or("", Embedded::missing);
        let boxes = (!missing.is_empty()).then(|| {
            format!(
                "the PDF font has no letters for {}; they are drawn as boxes; give a font that has them with --font",
                quoted(missing)
            )
        });
        let turned = self.turned.iter().map(|line| {
            format!(
                "PDF text is set letter by letter from left to right, which is wrong for {line}; check it in the file"
            )
        });
        boxes.into_iter().chain(turned).collect()
    }

    /// Writes the fonts in use and returns them with their names on the page.
    pub(super) fn write(
        &self,
        pdf: &mut Pdf,
        numbers: &mut ObjectNumbers,
    ) -> Result<Vec<(Name<'static>, Ref)>, ExportError> {
        let mut fonts = Vec::new();
        if self.uses_built_in {
            let id = numbers.next();
            helvetica::write(pdf, id);
            fonts.push((BUILT_IN, id));
        }
        if let Some(inside) = &self.inside {
            fonts.push((INSIDE, inside.write(pdf, numbers)?));
        }
        Ok(fonts)
    }
}

/// Tells whether a letter belongs to a script that runs from right to left: Hebrew, Arabic and their kin.
fn runs_left(letter: char) -> bool {
    matches!(letter, '\u{590}'..='\u{8FF}' | '\u{FB1D}'..='\u{FDFF}' | '\u{FE70}'..='\u{FEFC}')
}

#[cfg(test)]
mod tests {
    use super::{BUILT_IN, DocumentFonts, INSIDE};

    #[test]
    fn takes_helvetica_where_it_has_every_letter() {
        let mut letters = DocumentFonts::new(None);
        for (content, font) in [("Öl 3 3/16 × 10½ in “x”", BUILT_IN), ("Łódź", INSIDE), ("漢", INSIDE), ("", BUILT_IN)]
        {
            assert!(letters.set(content).is_ok_and(|line| line.font == font), "{content}");
        }
    }

    #[test]
    fn notes_boxes_and_lines_that_run_left() {
        let mut letters = DocumentFonts::new(None);
        for content in ["Łódź", "漢字", "字\u{7}", "שלום"] {
            assert!(letters.set(content).is_ok());
        }
        let notes = letters.notes();
        assert_eq!(notes.len(), 2);
        assert!(notes[0].contains("“漢字U+0007”"), "{notes:?}");
        assert!(notes[1].contains("“שלום”"), "{notes:?}");
    }
}
