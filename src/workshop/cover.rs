//! The cover: a list of the mats of a document, to tick off.

use kurbo::{Point, Size};

use super::sheet::{BOX, CAP, LINE, Sheet};
use super::{Letterhead, words};
use crate::drawing::{Anchor, Lettering};
use crate::mat::Mat;
use crate::problem::{Problem, Severity};

/// Space in millimetres between columns.
const GUTTER: f64 = 4.0;

/// A mat in the list, broken into the lines of its columns.
struct Entry {
    name: Vec<String>,
    boards: Vec<String>,
    size: String,
    quantity: String,
    warnings: usize,
    /// Index of the first page of the mat among the pages of all mats.
    start: usize,
}

/// Widths of the columns in millimetres; they follow from what stands in them.
struct Columns {
    quantity: f64,
    size: f64,
    name: f64,
    boards: f64,
}

/// Lists the mats, with the page on which each begins; `starts` counts without the cover.
pub(super) fn pages(mats: &[(&Mat, &[Problem])], starts: &[usize], letterhead: &Letterhead) -> Vec<Sheet> {
    // The list gives its own length to the page numbers in it.
    let mut covers = 1;
    loop {
        let sheets = list(mats, starts, covers, letterhead);
        if sheets.len() <= covers {
            return sheets;
        }
        covers = sheets.len();
    }
}

fn list(mats: &[(&Mat, &[Problem])], starts: &[usize], covers: usize, letterhead: &Letterhead) -> Vec<Sheet> {
    let count: u64 = mats.iter().map(|(mat, _)| u64::from(mat.quantity)).sum();
    let title = if count == mats.len() as u64 { "Workshop list" } else { "Workshop list (quantities in front)" };
    let beside = format!("{} kinds, {count} mats", mats.len());
    let new_sheet = || {
        let mut sheet = Sheet::new("Workshop list", letterhead);
        sheet.heading(title, &beside);
        sheet
    };
    let mut sheet = new_sheet();
    let columns = Columns::new(mats, sheet.room().size());
    let mut y = sheet.room().y0;
    let mut sheets = Vec::new();
    for ((mat, problems), start) in mats.iter().zip(starts) {
        let entry = Entry::new(mat, problems, *start, &columns);
        if y + entry.height() > sheet.room().y1 {
            sheets.push(std::mem::replace(&mut sheet, new_sheet()));
            y = sheet.room().y0;
        }
        entry.draw(y, &columns, covers, &mut sheet);
        y += entry.height();
    }
    sheets.push(sheet);
    sheets
}

impl Columns {
    fn new(mats: &[(&Mat, &[Problem])], room: Size) -> Self {
        let widest = |words: &dyn Fn(&Mat) -> String| {
            mats.iter().map(|(mat, _)| Lettering::width(&words(mat), CAP)).fold(0.0, f64::max)
        };
        let (quantity, size) = (widest(&words::quantity), widest(&size));
        let page = Lettering::width("page 9999", CAP);
        let rest = room.width - BOX - quantity - size - page - 4.0 * GUTTER;
        Self { quantity, size, name: 0.55 * rest, boards: 0.45 * rest }
    }
}

impl Entry {
    fn new(mat: &Mat, problems: &[Problem], start: usize, columns: &Columns) -> Self {
        let boards: Vec<&str> = mat.layers.iter().map(|layer| layer.board.name.as_str()).collect();
        Self {
            name: Lettering::wrap(&mat.name, columns.name, CAP),
            boards: Lettering::wrap(&boards.join(" / "), columns.boards, CAP),
            size: size(mat),
            quantity: words::quantity(mat),
            warnings: problems.iter().filter(|problem| problem.severity == Severity::Warning).count(),
            start,
        }
    }

    fn lines(&self) -> usize {
        self.name.len().max(self.boards.len()) + usize::from(self.warnings > 0)
    }

    fn height(&self) -> f64 {
        LINE * self.lines() as f64 + 2.6
    }

    fn draw(&self, top: f64, columns: &Columns, covers: usize, sheet: &mut Sheet) {
        let (left, right) = (sheet.room().x0, sheet.room().x1);
        let baseline = |line: usize| top + LINE * (line as f64 + 1.0);
        sheet.tick_box(Point::new(left, baseline(0)));
        let mut x = left + BOX;
        let mut column = |lines: &[String], width: f64| {
            for (index, line) in lines.iter().enumerate() {
                sheet.text(line, Point::new(x, baseline(index)), Anchor::Start);
            }
            x += width + GUTTER;
        };
        column(std::slice::from_ref(&self.quantity), columns.quantity);
        column(std::slice::from_ref(&self.size), columns.size);
        let mut name = self.name.clone();
        if self.warnings > 0 {
            name.push(if self.warnings == 1 { "1 warning".to_owned() } else { format!("{} warnings", self.warnings) });
        }
        column(&name, columns.name);
        column(&self.boards, columns.boards);
        let page = format!("page {}", covers + self.start + 1);
        sheet.text(&page, Point::new(right, baseline(0)), Anchor::End);
        let foot = top + self.height() - 0.8;
        sheet.rule(Point::new(left, foot), Point::new(right, foot));
    }
}

fn size(mat: &Mat) -> String {
    mat.ruler.show_size(mat.outer.width, mat.outer.height)
}
