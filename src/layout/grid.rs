//! Rows and columns: which opening lies in which cell, and how large the group is.

use kurbo::{Point, Size};

use crate::job::{Align, Arrangement, Justify, Scope};
use crate::problem::Problem;

/// Width of the bars where a job gives none (common practice, no source).
const GAP_MM: f64 = 25.4;

/// More openings than this in one mat are taken for a slip of the pen.
pub(super) const MOST_OPENINGS: usize = 1000;

/// Rows and columns of a group of openings. All lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    pub(super) rows: usize,
    pub(super) columns: usize,
    gap: Size,
    align: Align,
    justify: Justify,
}

impl Grid {
    /// Reads an arrangement for a number of openings; one opening fills all cells.
    pub(super) fn read(arrangement: Option<&Arrangement>, openings: usize, scope: &Scope) -> Result<Self, Problem> {
        let Some(arrangement) = arrangement else {
            let gap = Size::new(GAP_MM, GAP_MM);
            return Ok(Self { rows: 1, columns: openings, gap, align: Align::Middle, justify: Justify::Centre });
        };
        let gap = match &arrangement.gap {
            Some(gap) => scope.key("gap").mm(gap)?,
            None => GAP_MM,
        };
        let own_gap = |key: &'static str, own: &Option<_>| own.as_ref().map_or(Ok(gap), |own| scope.key(key).mm(own));
        let gap = Size::new(own_gap("column_gap", &arrangement.column_gap)?, own_gap("row_gap", &arrangement.row_gap)?);
        let (rows, columns) = cells(arrangement, openings, scope)?;
        Ok(Self { rows, columns, gap, align: arrangement.align, justify: arrangement.justify })
    }

    /// Returns the sum of the bars in each direction.
    pub(super) fn gaps(&self) -> Size {
        Size::new(
            self.gap.width * self.columns.saturating_sub(1) as f64,
            self.gap.height * self.rows.saturating_sub(1) as f64,
        )
    }

    /// Returns the size of the group and the top left corner of each opening within it, in the order of the openings.
    pub(super) fn place(&self, sizes: &[Size]) -> (Size, Vec<Point>) {
        let widest =
            |cells: &mut dyn Iterator<Item = &Size>, side: fn(&Size) -> f64| cells.map(side).fold(0.0, f64::max);
        let widths: Vec<f64> = (0..self.columns)
            .map(|column| widest(&mut sizes.iter().skip(column).step_by(self.columns), |size| size.width))
            .collect();
        let heights: Vec<f64> =
            sizes.chunks(self.columns.max(1)).map(|row| widest(&mut row.iter(), |size| size.height)).collect();
        let starts = |lengths: &[f64], gap: f64| -> Vec<f64> {
            lengths
                .iter()
                .scan(0.0, |next, length| {
                    let start = *next;
                    *next += length + gap;
                    Some(start)
                })
                .collect()
        };
        let (lefts, tops) = (starts(&widths, self.gap.width), starts(&heights, self.gap.height));
        let corners =
            sizes.chunks(self.columns.max(1)).zip(heights.iter().zip(&tops)).flat_map(|(row, (&height, &top))| {
                row.iter().zip(widths.iter().zip(&lefts)).map(move |(size, (&width, &left))| {
                    Point::new(
                        left + (width - size.width) * self.justify.share(),
                        top + (height - size.height) * self.align.share(),
                    )
                })
            });
        let corners = corners.collect();
        let group = Size::new(widths.iter().sum(), heights.iter().sum()) + self.gaps();
        (group, corners)
    }
}

fn cells(arrangement: &Arrangement, openings: usize, scope: &Scope) -> Result<(usize, usize), Problem> {
    let openings = openings.max(1);
    let (rows, columns) = match (arrangement.rows, arrangement.columns) {
        (None, None) => (1, openings),
        (Some(rows), None) => (rows, openings.div_ceil(rows.max(1))),
        (None, Some(columns)) => (openings.div_ceil(columns.max(1)), columns),
        (Some(rows), Some(columns)) => (rows, columns),
    };
    let count = rows.saturating_mul(columns);
    if count == 0 || count > MOST_OPENINGS {
        let message = format!("{rows} rows of {columns} openings cannot be cut from one mat");
        return Err(scope.error("arrangement", message, format!("give 1 to {MOST_OPENINGS} openings in all")));
    }
    let last_row_used = openings > (rows - 1) * columns;
    if openings > 1 && (openings > count || !last_row_used) {
        return Err(scope.error(
            "contradiction",
            format!("{rows} rows of {columns} are {count} places, but there are {openings} openings"),
            "change `rows` or `columns`, or give one opening to be repeated in every place",
        ));
    }
    Ok((rows, columns))
}
