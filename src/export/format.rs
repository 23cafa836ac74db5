//! A format as a value that is copied about.

use std::fmt;

use super::{
    ExportError, Exported, Exporter, FORMATS, Options, Source, dxf, hpgl, pdf, polylines_json, polylines_text, svg,
};
use crate::drawing::Drawing;

/// A format that drawings can be written in.
#[derive(Clone, Copy)]
pub struct Format(&'static dyn Exporter);

impl Format {
    /// SVG in millimetres, with curves as curves.
    pub const SVG: Self = Self(&svg::Svg);
    /// PDF, a page at true size, with curves as curves.
    pub const PDF: Self = Self(&pdf::Pdf);
    /// DXF of release 12, which every reader knows.
    pub const DXF: Self = Self(&dxf::R12);
    /// DXF of release 2000, with arcs, circles and ellipses.
    pub const DXF_R2000: Self = Self(&dxf::R2000);
    /// HP-GL in plotter units.
    pub const HPGL: Self = Self(&hpgl::HpGl);
    /// Polylines as text, a point a line.
    pub const POLYLINES: Self = Self(&polylines_text::PolylinesText);
    /// Polylines as JSON.
    pub const JSON: Self = Self(&polylines_json::PolylinesJson);

    /// Returns every format, in the order in which help and documents list them.
    pub fn all() -> impl Iterator<Item = Self> {
        FORMATS.iter().copied().map(Self)
    }

    /// Returns the format with a name, for example `svg`: for names that a person types.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        Self::all().find(|format| format.name() == name)
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

#[cfg(test)]
mod tests {
    use super::{FORMATS, Format};

    #[test]
    fn every_format_has_a_constant() {
        let constants =
            [Format::SVG, Format::PDF, Format::DXF, Format::DXF_R2000, Format::HPGL, Format::POLYLINES, Format::JSON];
        let names = |formats: &mut dyn Iterator<Item = Format>| formats.map(Format::name).collect::<Vec<_>>();
        assert_eq!(names(&mut constants.into_iter()), names(&mut Format::all()));
        assert_eq!(FORMATS.len(), constants.len());
        assert_eq!(Format::by_name("pdf"), Some(Format::PDF));
        assert_eq!(Format::by_name("PDF"), None);
    }
}
