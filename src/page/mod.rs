//! The kit for printed pages: margins, lines of text that flow from page to page, tables, boxes to tick, cautions, bars to check
//! the scale, and sheets of labels.
//!
//! Templates, tiles, workshop sheets, bench cards, sheet plans and labels are made with it. Letter heights are in
//! [`letter_height`](crate::drawing::letter_height).
//!
//! ```
//! use backline::page::{BladeTravel, cautions};
//!
//! // What a page for the bench says in its foot.
//! assert!(cautions(BladeTravel::Unknown).iter().all(|caution| caution.ends_with('.')));
//! ```

mod cautions;
mod flow;
#[cfg(feature = "sheets")]
mod label;
mod marks;
mod scale_bar;
mod sheet;
mod table;

pub use cautions::{BladeTravel, cautions};
pub(crate) use cautions::{TEMPLATE_CAUTION, TILE_CAUTION};
pub(crate) use flow::{Flow, Paragraph, ParagraphText, RunningHead, height_of};
#[cfg(feature = "sheets")]
pub(crate) use label::{Label, label_pages};
pub(crate) use marks::{add_area, add_line, add_rectangle, add_text, add_turned, in_drawing_order};
pub(crate) use scale_bar::{ScaleBar, draw_bar};
pub(crate) use sheet::{Form, Page};
pub(crate) use table::{ColumnWidth, PageTable, TableRow};

/// Space in millimetres that stays blank round a printed page: office printers reach to about 5 mm of the edge, and a thumb holds
/// the rest. Common practice, no source.
pub const MARGIN: f64 = 10.0;
/// The same of the pages of a tiled drawing, where every millimetre counts that the printer reaches. Common practice, no source.
pub const PRINTER_MARGIN: f64 = 6.0;
/// Distance between baselines as a multiple of the height of capitals.
pub(crate) const LEADING: f64 = 1.7;
/// The same of words on drawings at full scale: lines of 3 mm stand 5.5 mm apart.
pub(crate) const WIDE: f64 = 11.0 / 6.0;
/// The least of it, where room is scarce: accents just clear the tails above them.
pub(crate) const TIGHT: f64 = 1.0 + crate::drawing::ABOVE_CAPS + crate::drawing::BELOW_BASELINE;
