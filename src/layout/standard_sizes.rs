//! Lists of standard sizes, as data with their source; there is no single standard list.

use kurbo::Size;

use crate::length::Unit;

/// A list of standard outer sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct StandardSizes {
    /// The name by which a job calls it.
    pub name: &'static str,
    /// Where the sizes are published.
    pub source: &'static str,
    /// Unit of the sizes.
    pub unit: Unit,
    /// Shorter and longer side of each size.
    pub sizes: &'static [[f64; 2]],
}

/// The built-in lists.
pub const STANDARD_SIZES: &[StandardSizes] = &[
    StandardSizes {
        name: "cci",
        source: "CCI Notes 11/5, Matting Works on Paper, Canadian Conservation Institute",
        unit: Unit::Inch,
        sizes: &[[8.0, 10.0], [10.0, 12.0], [14.0, 18.0], [16.0, 22.0], [22.0, 28.0], [28.0, 36.0]],
    },
    StandardSizes {
        name: "print-room",
        source: "M. T. Jackson, The Museum (1917), p. 175",
        unit: Unit::Inch,
        sizes: &[[14.0, 18.0], [22.0, 28.0], [28.0, 40.0]],
    },
    StandardSizes {
        name: "library",
        source: "N. Balloffet & J. Hille, Preservation and Conservation for Libraries and Archives (ALA Editions 2005), section 6",
        unit: Unit::Inch,
        sizes: &[[14.0, 18.0], [20.0, 24.0], [22.0, 28.0], [28.0, 40.0]],
    },
    StandardSizes {
        name: "student",
        source: "E. Stapel, Matting and Presentation (college handout)",
        unit: Unit::Inch,
        sizes: &[[11.0, 14.0], [14.0, 18.0], [16.0, 20.0]],
    },
    StandardSizes {
        name: "iso-a",
        source: "ISO 216, A4 to A0",
        unit: Unit::Millimetre,
        sizes: &[[210.0, 297.0], [297.0, 420.0], [420.0, 594.0], [594.0, 841.0], [841.0, 1189.0]],
    },
];

/// Sizes in which sheets of board are sold.
pub const BOARD_SHEET_SIZES: &[StandardSizes] = &[
    StandardSizes {
        name: "standard sheet",
        source: "M. Douglas, Boards (markdouglasphoto.com)",
        unit: Unit::Inch,
        sizes: &[[32.0, 40.0]],
    },
    StandardSizes {
        name: "large sheet",
        source: "frame-shop FAQ, question 11 (artisticframing.biz)",
        unit: Unit::Inch,
        sizes: &[[40.0, 60.0]],
    },
    StandardSizes {
        name: "metric sheet",
        source: "common practice, no source",
        unit: Unit::Millimetre,
        sizes: &[[815.0, 1120.0]],
    },
    StandardSizes {
        name: "large metric sheet",
        source: "common practice, no source",
        unit: Unit::Millimetre,
        sizes: &[[1120.0, 1630.0]],
    },
];

impl StandardSizes {
    /// Returns the built-in list with a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        STANDARD_SIZES.iter().find(|list| list.name == name)
    }

    /// Returns the sizes in millimetres, the shorter side as the width.
    pub fn in_mm(&self) -> impl Iterator<Item = Size> + '_ {
        self.sizes.iter().map(|&[width, height]| Size::new(width, height) * self.unit.millimetres())
    }
}
