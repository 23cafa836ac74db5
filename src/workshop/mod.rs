//! The workshop sheet: what the bench needs to make a mat, on one printed page, and a list of the mats on a cover.
//!
//! Each page is a [`Drawing`] of the size of its paper. Text is measured with the widths of the fonts that PDF uses, so
//! that nothing overlaps and nothing is cut off; what does not fit on the page of a mat goes on to another page.
//!
//! ```
//! use backline::export::{Options, pdf_pages};
//! use backline::job::{Job, Syntax};
//! use backline::workshop::{Letterhead, pages};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = Job::read("name = 'Harbour print'\nunit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]", Syntax::Toml)?;
//! let resolved = job.resolve();
//! let mat = resolved.sound().ok_or("the job has errors; see resolved.problems")?;
//! let letterhead = Letterhead { paper: kurbo::Size::new(210.0, 297.0), margin: 12.0 };
//! let sheets = pages(&[(mat, resolved.problems.as_slice())], &letterhead);
//! assert_eq!(sheets.len(), 1);
//! let pdf = pdf_pages("Workshop sheets", &sheets, &Options::default())?;
//! assert!(pdf.bytes.starts_with(b"%PDF"));
//! # Ok(())
//! # }
//! ```

mod chains;
mod cover;
mod flow;
mod look;
mod particulars;
mod plan;
mod section;
mod sheet;
mod words;

use kurbo::{Point, Rect, Size};

use crate::drawing::Drawing;
use crate::mat::Mat;
use crate::problem::Problem;

use flow::Flow;
use plan::Plan;
use sheet::Sheet;

/// The paper of workshop sheets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letterhead {
    /// Width and height in millimetres; at least those of A5.
    pub paper: Size,
    /// What stays blank on every side, in millimetres.
    pub margin: f64,
}

/// Width in millimetres of the column with the section and the picture.
const SIDE_COLUMN: f64 = 62.0;
/// Space between columns and between parts of the page, in millimetres.
const SPACE: f64 = 5.0;
/// The least share of the page that the measured drawing keeps, however much there is to read.
const LEAST_PLAN: f64 = 0.4;

/// Draws a page for every mat, more where the notes of one are long, and before several mats a cover that lists them.
///
/// With each mat come the problems of its job, of which the warnings are printed.
#[must_use]
pub fn pages(mats: &[(&Mat, &[Problem])], letterhead: &Letterhead) -> Vec<Drawing> {
    let mut sheets: Vec<Sheet> = Vec::new();
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
fn mat_pages(mat: &Mat, problems: &[Problem], letterhead: &Letterhead) -> Vec<Sheet> {
    let mut sheet = Sheet::new(&mat.name, letterhead);
    sheet.heading(&mat.name, &words::quantity(mat));
    sheet.closing(&words::steps(mat));
    let room = sheet.room();
    let text_width = room.width() - SIDE_COLUMN - SPACE;
    // The text does not depend on how the drawing comes out, but for the list of openings.
    let most = room.height() * (1.0 - LEAST_PLAN);
    let side_height = section::HEIGHT + SPACE + look::HEIGHT;
    let text = |uneven: bool| Flow::new(&particulars::lines(mat, problems, uneven), text_width);
    let lower_height = |flow: &Flow| flow.height().max(side_height).min(most);
    let mut flow = text(false);
    let mut plan = Plan::new(mat, upper(room, lower_height(&flow)));
    if plan.is_uneven() {
        flow = text(true);
        plan = Plan::new(mat, upper(room, lower_height(&flow)));
    }
    let lower = Rect::new(room.x0, room.y1 - lower_height(&flow), room.x1, room.y1);
    plan.draw(&mut sheet);
    let side = Rect::new(lower.x1 - SIDE_COLUMN, lower.y0, lower.x1, lower.y1);
    section::draw(mat, Rect::new(side.x0, side.y0, side.x1, side.y0 + section::HEIGHT), &mut sheet);
    look::draw(mat, Rect::new(side.x0, side.y0 + section::HEIGHT + SPACE, side.x1, side.y1), &mut sheet);
    let mut rest = flow.draw(Rect::new(lower.x0, lower.y0, lower.x0 + text_width, lower.y1), &mut sheet);
    let mut sheets = vec![sheet];
    while let Some(flow) = rest {
        let mut sheet = Sheet::new(&mat.name, letterhead);
        sheet.heading(&mat.name, "continued");
        let room = sheet.room();
        rest = flow.draw(Rect::from_origin_size(room.origin(), (text_width, room.height())), &mut sheet);
        sheets.push(sheet);
    }
    sheets
}

/// Returns the part of the page above the words.
fn upper(room: Rect, lower_height: f64) -> Rect {
    Rect::from_points(room.origin(), Point::new(room.x1, room.y1 - lower_height - SPACE))
}
