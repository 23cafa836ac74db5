//! The workshop sheet: what the bench needs to make a mat, on one printed page, and a list of the mats on a cover.
//!
//! Each page is a [`Drawing`] of the size of its paper. Text is measured with the widths of the fonts that PDF uses, so
//! that nothing overlaps and nothing is cut off; what does not fit on the page of a mat continues on another page.
//!
//! ```
//! use backline::formats::{Options, pdf_pages};
//! use backline::job::{Syntax, WrittenJob};
//! use backline::workshop::{Letterhead, pages};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = WrittenJob::read("name = 'Harbour print'\nunit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]", Syntax::Toml)?;
//! let resolved = job.resolve();
//! let mat = resolved.sound().ok_or("the job has errors; see resolved.problems")?;
//! let letterhead = Letterhead { paper: kurbo::Size::new(210.0, 297.0), margin: backline::page::MARGIN };
//! let sheets = pages(&[(mat, resolved.problems.as_slice())], &letterhead);
//! assert_eq!(sheets.len(), 1);
//! let pdf = pdf_pages("Workshop sheets", &sheets, &Options::default())?;
//! assert!(pdf.bytes.starts_with(b"%PDF"));
//! # Ok(())
//! # }
//! ```

mod chains;
mod cover;
mod goods;
mod letterhead;
mod look;
mod particulars;
mod plan;
mod section;
mod words;

use kurbo::Rect;

use crate::drawing::Drawing;
use crate::mat::Mat;
use crate::problem::Problem;

use crate::page::{BladeTravel, Flow, Page, Paragraph, RunningHead, cautions, height_of};
use letterhead::form;
use plan::MeasuredDrawing;

pub use letterhead::Letterhead;

/// Widths in millimetres of the section and the picture: above each other, or side by side.
const SIDE_WIDTHS: [f64; 2] = [62.0, 54.0];
/// Space between columns and between parts of the page, in millimetres.
const SPACE: f64 = 5.0;
/// The least share of the page that the measured drawing keeps, however much there is to read.
const LEAST_PLAN: f64 = 0.4;

/// Draws a page for every mat, more where the notes of one are long, and before several mats a cover that lists them.
///
/// With each mat come the problems of its job, of which the warnings are printed.
#[must_use]
pub fn pages(mats: &[(&Mat, &[Problem])], letterhead: &Letterhead) -> Vec<Drawing> {
    let mut sheets: Vec<Page> = Vec::new();
    let mut starts = Vec::with_capacity(mats.len());
    for (mat, problems) in mats {
        starts.push(sheets.len());
        sheets.extend(mat_pages(mat, problems, letterhead));
    }
    let covers = if mats.len() > 1 { cover::pages(mats, &starts, letterhead) } else { Vec::new() };
    let count = covers.len() + sheets.len();
    let all = covers.into_iter().chain(sheets).enumerate();
    all.map(|(index, sheet)| sheet.finish(index + 1, count)).collect()
}

/// Draws the pages of one mat.
fn mat_pages(mat: &Mat, problems: &[Problem], letterhead: &Letterhead) -> Vec<Page> {
    let form = form(&mat.name, letterhead);
    let mut sheet = Page::new(&form);
    sheet.heading(&mat.name, &words::quantity(mat));
    sheet.closing(&words::steps(mat), &cautions(BladeTravel::Unknown).join(" "));
    let room = sheet.room();
    let mut lower = LowerPart::new(room, &particulars::lines(mat, problems, false));
    let mut plan = MeasuredDrawing::new(mat, lower.above);
    if plan.is_uneven() {
        // The drawing does not show where each opening lies, so that the words must.
        lower = LowerPart::new(room, &particulars::lines(mat, problems, true));
        plan = MeasuredDrawing::new(mat, lower.above);
    }
    plan.draw(&mut sheet);
    section::draw(mat, lower.section, &mut sheet);
    look::draw(mat, lower.look, &mut sheet);
    let head = RunningHead { name: mat.name.clone(), beside: "continued".to_owned(), small_print: String::new() };
    let mut flow = Flow::beside(form, head, sheet, lower.text);
    flow.write_all(&lower.words);
    flow.into_pages()
}

/// The lower part of a page: words, section and picture; and what is left above it.
struct LowerPart {
    words: Vec<Paragraph>,
    above: Rect,
    text: Rect,
    section: Rect,
    look: Rect,
}

impl LowerPart {
    /// Puts section and picture above each other or side by side, whichever leaves more to the measured drawing.
    fn new(room: Rect, paragraphs: &[Paragraph]) -> Self {
        let [stacked, beside] = SIDE_WIDTHS;
        let stacked = Self::with_columns(room, paragraphs, 1, stacked);
        let beside = Self::with_columns(room, paragraphs, 2, beside);
        if beside.above.height() > stacked.above.height() { beside } else { stacked }
    }

    fn with_columns(room: Rect, paragraphs: &[Paragraph], columns: usize, width: f64) -> Self {
        let sides = columns as f64 * (width + SPACE);
        let text_width = room.width() - sides;
        let side_height =
            if columns == 1 { section::HEIGHT + SPACE + look::HEIGHT } else { section::HEIGHT.max(look::HEIGHT) };
        let height = (height_of(paragraphs, text_width) + 1.0).max(side_height).min(room.height() * (1.0 - LEAST_PLAN));
        let top = room.y1 - height;
        let above = Rect::new(room.x0, room.y0, room.x1, top - SPACE);
        let text = Rect::new(room.x0, top, room.x0 + text_width, room.y1);
        let first = text.x1 + SPACE;
        let section = Rect::new(first, top, first + width, top + section::HEIGHT);
        let look = if columns == 1 {
            Rect::new(first, section.y1 + SPACE, first + width, room.y1)
        } else {
            Rect::new(section.x1 + SPACE, top, room.x1, room.y1)
        };
        Self { words: paragraphs.to_vec(), above, text, section, look }
    }
}
