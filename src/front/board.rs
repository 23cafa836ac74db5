//! One board of a mat, which draws itself.

use crate::drawing::Drawing;
use crate::formats::{ExportError, Exported, Format};
use crate::mat::{Layer, Mat};
use crate::view::View;

/// A board of a mat, with the mat that it belongs to.
#[derive(Debug, Clone, Copy)]
pub struct MatBoard<'m> {
    mat: &'m Mat,
    layer: &'m Layer,
    /// Counted from the top, the top one being 1.
    number: usize,
}

/// Parts of file names are cut off after this many letters; most file systems take 255 bytes.
const LONGEST_NAME: usize = 100;

impl Mat {
    /// Returns its boards from the top one, which touches the glass, to the lowest.
    pub fn boards(&self) -> impl Iterator<Item = MatBoard<'_>> {
        self.layers.iter().enumerate().map(|(index, layer)| MatBoard { mat: self, layer, number: index + 1 })
    }
}

impl<'m> MatBoard<'m> {
    /// Returns what it is: its material, bevel and openings.
    #[must_use]
    pub const fn layer(&self) -> &'m Layer {
        self.layer
    }

    /// Returns its number, counted from the top, the top one being 1.
    #[must_use]
    pub const fn number(&self) -> usize {
        self.number
    }

    /// Tells whether a view shows anything of it: a pen path shows nothing of a board without ruled lines.
    #[must_use]
    pub fn is_shown_by(&self, view: View) -> bool {
        view.applies(self.layer)
    }

    /// Draws it at full scale.
    #[must_use]
    pub fn draw(&self, view: View) -> Drawing {
        view.draw(self.mat, self.layer)
    }

    /// Draws it at full scale and writes that with the usual options.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the drawing without harm to it.
    pub fn write(&self, view: View, format: Format) -> Result<Exported, ExportError> {
        format.write(&self.draw(view))
    }

    /// Returns the name of the file that the command line writes of it: `stem-view.ending`, with what tells formats of one ending apart, and with the number and the name
    /// of the board between them where the mat has several.
    #[must_use]
    pub fn file_name(&self, stem: &str, view: View, format: Format) -> String {
        format!("{stem}{}-{}{}", self.file_part(), view.name, format.file_end())
    }

    /// Returns the part of a file name that tells it from the other boards: `-1-top`, or nothing where it is the only one.
    #[must_use]
    pub fn file_part(&self) -> String {
        if self.mat.layers.len() == 1 {
            return String::new();
        }
        let letters = self.layer.name.chars().take(LONGEST_NAME);
        let name: String = letters.map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect();
        format!("-{}-{name}", self.number)
    }
}
