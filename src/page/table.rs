//! Rows of cells below each other, with boxes to tick in front of them.

use kurbo::Point;

use super::LEADING;
use super::sheet::Page;
use crate::drawing::letter_height::{BESIDE, TEXT, TITLE};
use crate::drawing::{Anchor, Lettering};
use crate::tolerance::SAME_LENGTH_MM;

/// Space in millimetres between columns, and below the words of a row.
const GUTTER: f64 = 4.0;
const BELOW: f64 = 1.8;

/// How wide a column is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ColumnWidth {
    /// As wide as the widest of its cells.
    Fitting,
    /// A share of what the fitting columns leave; all shares make one.
    Share(f64),
    /// As wide as the widest of its cells, which end at its right edge.
    AtEnd,
    /// The same with numbers that are read at arm's length.
    Number,
    /// What belongs to such a number, beginning at the left edge of the column.
    BesideNumber,
}

impl ColumnWidth {
    const fn cap(self) -> f64 {
        match self {
            Self::Number => TITLE,
            Self::BesideNumber => BESIDE,
            Self::Fitting | Self::Share(_) | Self::AtEnd => TEXT,
        }
    }
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TableRow {
    /// A cell for each column; each string in it begins a line.
    pub(crate) cells: Vec<Vec<String>>,
    /// Whether there is a box to tick.
    pub(crate) boxed: bool,
}

impl TableRow {
    /// Returns a row of cells of one line each.
    pub(crate) fn new(boxed: bool, cells: impl IntoIterator<Item = String>) -> Self {
        Self { cells: cells.into_iter().map(|cell| vec![cell]).collect(), boxed }
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PageTable {
    pub(crate) columns: Vec<ColumnWidth>,
    pub(crate) rows: Vec<TableRow>,
}

impl PageTable {
    /// Returns the widths of the columns of a table of a width in millimetres.
    pub(super) fn widths(&self, width: f64) -> Vec<f64> {
        let widest = |(index, column): (usize, &ColumnWidth)| {
            let cells = self.rows.iter().filter_map(|row| row.cells.get(index)).flatten();
            cells.map(|line| Lettering::width(line, column.cap())).fold(0.0, f64::max)
        };
        let fitting: Vec<f64> = self.columns.iter().enumerate().map(widest).collect();
        let taken: f64 = self
            .columns
            .iter()
            .zip(&fitting)
            .filter(|(column, _)| !matches!(column, ColumnWidth::Share(_)))
            .map(|(_, w)| w)
            .sum();
        let gutters = GUTTER * self.columns.len().saturating_sub(1) as f64;
        let rest = (width - self.box_width() - taken - gutters).max(0.0);
        let wide = |(column, fitting): (&ColumnWidth, f64)| match column {
            ColumnWidth::Share(share) => share * rest,
            ColumnWidth::Fitting | ColumnWidth::AtEnd | ColumnWidth::Number | ColumnWidth::BesideNumber => fitting,
        };
        self.columns.iter().zip(fitting).map(wide).collect()
    }

    fn box_width(&self) -> f64 {
        if self.rows.iter().any(|row| row.boxed) { Page::BOX } else { 0.0 }
    }

    /// Returns the distance between the lines of a cell: that of its numbers is that of the whole table.
    fn pitch(&self) -> f64 {
        LEADING * self.columns.iter().map(|column| column.cap()).fold(TEXT, f64::max)
    }

    fn lines(cell: &[String], width: f64) -> Vec<String> {
        // A cell that fits exactly is not broken by rounding.
        cell.iter().flat_map(|line| Lettering::wrap(line, width + SAME_LENGTH_MM, TEXT)).collect()
    }

    /// Returns the height of a row in millimetres.
    pub(super) fn height(&self, row: &TableRow, widths: &[f64]) -> f64 {
        let lines = row.cells.iter().zip(widths).map(|(cell, width)| Self::lines(cell, *width).len());
        self.pitch() * lines.max().unwrap_or(0) as f64 + BELOW
    }

    /// Draws a row at its top left corner, with a rule below it.
    pub(super) fn draw(&self, row: &TableRow, widths: &[f64], corner: Point, page: &mut Page) {
        let baseline = |line: usize| corner.y + self.pitch() * (line as f64 + 0.8);
        if row.boxed {
            page.tick_box(Point::new(corner.x, baseline(0)));
        }
        let mut x = corner.x + self.box_width();
        for ((cell, width), column) in row.cells.iter().zip(widths).zip(&self.columns) {
            let (at, anchor) = match column {
                ColumnWidth::AtEnd | ColumnWidth::Number => (x + width, Anchor::End),
                ColumnWidth::Fitting | ColumnWidth::BesideNumber | ColumnWidth::Share(_) => (x, Anchor::Start),
            };
            for (index, line) in Self::lines(cell, *width).iter().enumerate() {
                page.text_of(line, Point::new(at, baseline(index)), column.cap(), anchor);
            }
            x += width + GUTTER;
        }
        let foot = corner.y + self.height(row, widths) - 0.8;
        page.rule(Point::new(corner.x, foot), Point::new(x - GUTTER, foot));
    }
}
