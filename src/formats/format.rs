//! A format as a value that is copied about.

use std::fmt;

use super::exporter::{ExportError, Exported, Exporter, Options, Source};
use crate::drawing::Drawing;

/// A format that drawings can be written in.
#[derive(Clone, Copy)]
pub struct Format(&'static dyn Exporter);

impl Format {
    /// Makes a value of a format.
    pub(in crate::formats) const fn of(exporter: &'static dyn Exporter) -> Self {
        Self(exporter)
    }

    /// Returns the name by which the format is chosen: lower case ASCII.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.0.name()
    }

    /// Returns the ending of its files, without a dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        self.0.extension()
    }

    /// Returns how names of its files end where it is written with the usual options, such as `.svg` or `-r2000.dxf`.
    #[must_use]
    pub fn file_end(self) -> String {
        self.0.file_end(&Options::default())
    }

    /// Writes a drawing at full scale with the usual options: millimetres, and curves within 0.01 mm where they become
    /// polylines.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the drawing without harm to it.
    pub fn write(self, drawing: &Drawing) -> Result<Exported, ExportError> {
        self.write_with(drawing, &Options::default())
    }

    /// Writes a drawing at full scale.
    ///
    /// # Errors
    ///
    /// Returns an [`ExportError`] if the format cannot hold the drawing without harm to it.
    pub fn write_with(self, drawing: &Drawing, options: &Options) -> Result<Exported, ExportError> {
        self.0.export(&Source::new(drawing, options))
    }
}

impl PartialEq for Format {
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name()
    }
}

impl Eq for Format {}

impl fmt::Debug for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Format({})", self.name())
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
