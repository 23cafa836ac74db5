//! The contract between pages and a format for them.

use super::exporter::{ExportError, Exported, Options};
use super::facts::Facts;
use crate::drawing::Drawing;
use crate::tiling::Tiled;

/// A format for what is printed or looked at: pages of text, labels, pictures.
pub trait PageFormat: Sync {
    /// Returns what its family is; the name of the family is the ending of its files, and whether it
    /// [has pages](Facts::has_pages) tells whether all pages are in one file.
    fn facts(&self) -> &'static Facts;

    /// Writes pages at true size: all of them in one file if the family has pages, else one file each.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if there is no page, or the format cannot hold one without harm to it.
    fn write_pages(&self, title: &str, pages: &[&Drawing], options: &Options) -> Result<Vec<Exported>, ExportError>;
}

/// A format for drawings that are divided into pages.
pub trait TileFormat: Sync {
    /// Returns what its family is, as [`PageFormat::facts`] does.
    fn facts(&self) -> &'static Facts;

    /// Writes the pages, to be printed at 100 %: all of them in one file if the family has pages, else one file each.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold a page without harm to it.
    fn write_tiles(&self, tiled: &Tiled, options: &Options) -> Result<Vec<Exported>, ExportError>;
}
