//! PDF: drawings, documents of several pages, and drawings divided into pages.

mod content;
mod document;
mod embedded;
mod helvetica;
mod images;
mod letters;
mod tiled;
mod units;

use super::facts::step_of;
use super::{Facts, Family, Format, KeptCurves, NumberUnit, YAxis};
use crate::tolerance::READ_BACK_MM;

pub use document::pdf_pages;
pub use tiled::tiled_pdf;

impl Format {
    /// PDF, a page at true size, with curves as curves.
    pub const PDF: Self = Self::of(&document::Pdf);
}

/// What PDF is.
static FACTS: Facts = Facts {
    name: "pdf",
    title: "PDF",
    y: YAxis::Up,
    curves: KeptCurves::All,
    step: step_of(content::DECIMALS),
    slack: READ_BACK_MM,
    unit: NumberUnit::Point,
    unit_is_obeyed: true,
    has_pages: true,
};

/// All formats of PDF.
pub(super) const FAMILY: Family = Family { facts: &FACTS, drawings: &[&document::Pdf], programs: &[], reader: None };
