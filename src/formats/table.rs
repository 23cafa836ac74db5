//! The one table of file formats, and the formats in it by name.

use super::exporter::Exporter;
use super::family::Family;
use super::format::Format;
use super::page_format::{PageFormat, TileFormat};
use super::program_format::ProgramFormat;
use super::reader::Reader;
use crate::checked::Checked;
use crate::problem::{KeyPath, Problem};
use crate::program::{Controller, Tool};

/// Every family of formats, in the order in which help and documents list them.
pub const FAMILIES: &[&Family] = &[
    &super::svg::FAMILY,
    #[cfg(feature = "pdf")]
    &super::pdf::FAMILY,
    &super::dxf::FAMILY,
    &super::hpgl::FAMILY,
    &super::polylines::TEXT_FAMILY,
    &super::polylines::JSON_FAMILY,
    &super::gcode::FAMILY,
    #[cfg(feature = "pictures")]
    &super::png::FAMILY,
];

/// Lists every format for drawings, in the order in which help and documents list them.
pub fn drawing_formats() -> impl Iterator<Item = &'static dyn Exporter> {
    FAMILIES.iter().flat_map(|family| family.drawings).copied()
}

/// Lists every format for machines, in the order in which help and documents list them.
pub fn program_formats() -> impl Iterator<Item = &'static dyn ProgramFormat> {
    FAMILIES.iter().flat_map(|family| family.programs).copied()
}

/// Lists every format for pages and pictures, in the order in which help and documents list them.
pub fn page_formats() -> impl Iterator<Item = &'static dyn PageFormat> {
    FAMILIES.iter().filter_map(|family| family.pages)
}

/// Lists every format for drawings divided into pages, in the order in which help and documents list them.
pub fn tile_formats() -> impl Iterator<Item = &'static dyn TileFormat> {
    FAMILIES.iter().filter_map(|family| family.tiles)
}

/// Lists everything that reads files, in the order in which help and documents list them.
pub fn readers() -> impl Iterator<Item = &'static dyn Reader> {
    FAMILIES.iter().filter_map(|family| family.reader)
}

/// Tells whether files of some format have an ending, in letters of either case.
#[must_use]
pub fn is_ending(ending: &str) -> bool {
    let drawings = drawing_formats().map(|format| format.extension());
    let programs = program_formats().map(|format| format.extension());
    let pages = page_formats().map(|format| format.facts().name);
    drawings.chain(programs).chain(pages).any(|known| known.eq_ignore_ascii_case(ending))
}

/// Returns the format for drawings with a name, for example `svg`.
#[must_use]
pub fn format(name: &str) -> Option<&'static dyn Exporter> {
    drawing_formats().find(|format| format.name() == name)
}

/// Returns the format for pages with a name or an ending, for example `pdf`, in letters of either case.
#[must_use]
pub fn page_format(name: &str) -> Option<&'static dyn PageFormat> {
    page_formats().find(|format| format.facts().name.eq_ignore_ascii_case(name))
}

/// Returns the format for drawings divided into pages with a name, for example `pdf`, in letters of either case.
#[must_use]
pub fn tile_format(name: &str) -> Option<&'static dyn TileFormat> {
    tile_formats().find(|format| format.facts().name.eq_ignore_ascii_case(name))
}

/// Returns the format for machines with a name, for example `dxf-r12`.
#[must_use]
pub fn program_format(name: &str) -> Option<&'static dyn ProgramFormat> {
    program_formats().find(|format| format.name() == name)
}

/// Returns the format that a controller reads, if it suits controller and tools; problems have their places in the profile.
pub fn format_of(controller: &Controller, tools: &[Tool]) -> Checked<&'static dyn ProgramFormat> {
    let Some(format) = program_format(&controller.format) else {
        let names: Vec<&str> = program_formats().map(|format| format.name()).collect();
        let message = format!("there is no format `{}` for machines", controller.format);
        let place = KeyPath::root().key("format");
        let help = format!("use one of {}", names.join(", "));
        return Checked::wrong(vec![Problem::error("format", place, message, help)]);
    };
    Checked::if_sound(format, format.check(controller, tools))
}

impl Format {
    /// Returns every format for drawings, in the order in which help and documents list them.
    pub fn all() -> impl Iterator<Item = Self> {
        drawing_formats().map(Self::of)
    }

    /// Returns the format with a name, for example `svg`: for names that a person types.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        Self::all().find(|format| format.name() == name)
    }
}

#[cfg(test)]
mod tests {
    use super::{Format, drawing_formats};

    #[test]
    fn every_format_has_a_constant() {
        let constants =
            [Format::SVG, Format::PDF, Format::DXF, Format::DXF_R2000, Format::HPGL, Format::POLYLINES, Format::JSON];
        let names = |formats: &mut dyn Iterator<Item = Format>| formats.map(Format::name).collect::<Vec<_>>();
        assert_eq!(names(&mut constants.into_iter()), names(&mut Format::all()));
        assert_eq!(drawing_formats().count(), constants.len());
        assert_eq!(Format::by_name("pdf"), Some(Format::PDF));
        assert_eq!(Format::by_name("PDF"), None);
    }
}
