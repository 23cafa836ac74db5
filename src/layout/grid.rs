//! Rows and columns: which opening lies in which cell, and how large the group is.

use kurbo::{Point, Size};

use crate::job::{Arrangement, Justify, Measure, Scope, WrittenRepeat};
use crate::problem::Problem;

/// More openings than this in one mat are taken for a slip of the pen.
pub(super) const MOST_OPENINGS: usize = 20_000;

/// The bars in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Gap {
    /// As wide as this many millimetres.
    Width(f64),
    /// As wide as the borders.
    Equal,
    /// Whatever borders and openings leave.
    Fill,
}

/// Rows and columns of a group of openings. All lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OpeningGrid {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// The upright bars, then the level ones.
    pub(super) gaps: [Gap; 2],
    /// Share of the spare height above an opening; `None` if the openings of a row share a line instead.
    align: f64,
    sight_line: Option<f64>,
    justify: Justify,
}

impl OpeningGrid {
    /// Makes a grid of rows and columns with bars of one width, everything in the middle of its place.
    pub(super) const fn even(rows: usize, columns: usize, gap: f64) -> Self {
        let gaps = [Gap::Width(gap); 2];
        Self { rows, columns, gaps, align: 0.5, sight_line: None, justify: Justify::Centre }
    }

    /// Reads an arrangement for a number of openings; one opening fills all cells.
    pub(super) fn read(arrangement: Option<&Arrangement>, openings: usize, scope: &Scope) -> Result<Self, Problem> {
        let Some(arrangement) = arrangement else {
            return Ok(Self::even(1, openings, scope.usual().gap));
        };
        let read = |key: &'static str, gap: &Option<Measure>, usual: Gap| match gap {
            None => Ok(usual),
            Some(Measure::Text(word)) if word == "equal" => Ok(Gap::Equal),
            Some(Measure::Text(word)) if word == "fill" => Ok(Gap::Fill),
            Some(gap) => scope.key(key).mm(gap).map(Gap::Width),
        };
        let gap = read("gap", &arrangement.gap, Gap::Width(scope.usual().gap))?;
        let gaps = [read("column_gap", &arrangement.column_gap, gap)?, read("row_gap", &arrangement.row_gap, gap)?];
        let (rows, columns) = cells(arrangement, openings, scope)?;
        if let Some(line) = arrangement.sight_line.filter(|line| !(0.0..=1.0).contains(line)) {
            let message = format!("a sight line at {line} of the height lies outside the openings");
            return Err(scope
                .key("sight_line")
                .error("arrangement", message, "give a share from 0 (top) to 1 (bottom)")
                .with_ratio("sight_line", line));
        }
        let (align, sight_line) = (arrangement.align.share(), arrangement.sight_line);
        Ok(Self { rows, columns, gaps, align, sight_line, justify: arrangement.justify })
    }

    /// Reads how often a group is repeated.
    pub(super) fn read_repeat(repeat: &WrittenRepeat, scope: &Scope) -> Result<Self, Problem> {
        let (rows, columns) = (repeat.rows.unwrap_or(1), repeat.columns.unwrap_or(1));
        let gap = repeat.gap.as_ref().map_or(Ok(scope.usual().gap), |gap| scope.key("gap").mm(gap))?;
        check_count(rows, columns, scope)?;
        Ok(Self::even(rows, columns, gap))
    }

    /// Returns the sum of the bars in each direction; bars whose width is not known yet count as none.
    pub(super) fn gap_sums(&self) -> Size {
        let sum = |gap: Gap, count: usize| gap.known() * count.saturating_sub(1) as f64;
        let [upright, level] = self.gaps;
        Size::new(sum(upright, self.columns), sum(level, self.rows))
    }

    /// Returns the size of the group and the top left corner of each opening within it, in the order of the openings.
    pub(super) fn place(&self, sizes: &[Size]) -> (Size, Vec<Point>) {
        let widest =
            |cells: &mut dyn Iterator<Item = &Size>, side: fn(&Size) -> f64| cells.map(side).fold(0.0, f64::max);
        let widths: Vec<f64> = (0..self.columns)
            .map(|column| widest(&mut sizes.iter().skip(column).step_by(self.columns), |size| size.width))
            .collect();
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
        let [upright, level] = self.gaps;
        let lefts = starts(&widths, upright.known());
        let rows: Vec<OpeningRow> = sizes.chunks(self.columns.max(1)).map(|row| self.row(row)).collect();
        let heights: Vec<f64> = rows.iter().map(|row| row.height).collect();
        let tops = starts(&heights, level.known());
        let corners = rows.iter().zip(&tops).flat_map(|(row, &top)| {
            let across = row.sizes.iter().zip(&row.drops).zip(widths.iter().zip(&lefts));
            across.map(move |((size, drop), (width, left))| {
                Point::new(left + (width - size.width) * self.justify.share(), top + drop)
            })
        });
        let corners = corners.collect();
        let group = Size::new(widths.iter().sum(), heights.iter().sum()) + self.gap_sums();
        (group, corners)
    }

    /// Works out how far the openings of a row lie below its top.
    fn row<'s>(&self, sizes: &'s [Size]) -> OpeningRow<'s> {
        let most = |of: &dyn Fn(&Size) -> f64| sizes.iter().map(of).fold(0.0, f64::max);
        match self.sight_line {
            None => {
                let height = most(&|size| size.height);
                OpeningRow {
                    sizes,
                    height,
                    drops: sizes.iter().map(|size| (height - size.height) * self.align).collect(),
                }
            }
            Some(line) => {
                let above = most(&|size| line * size.height);
                let below = most(&|size| (1.0 - line) * size.height);
                OpeningRow {
                    sizes,
                    height: above + below,
                    drops: sizes.iter().map(|size| above - line * size.height).collect(),
                }
            }
        }
    }
}

/// A row of openings: its height and how far each lies below its top.
struct OpeningRow<'s> {
    sizes: &'s [Size],
    height: f64,
    drops: Vec<f64>,
}

impl Gap {
    /// Returns the width, zero if it is not known yet.
    fn known(self) -> f64 {
        match self {
            Self::Width(width) => width,
            Self::Equal | Self::Fill => 0.0,
        }
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
    let count = check_count(rows, columns, scope)?;
    let last_row_used = openings > (rows - 1) * columns;
    if openings > 1 && (openings > count || !last_row_used) {
        return Err(scope
            .error(
                "contradiction",
                format!("{rows} rows of {columns} make {count} places, but there are {openings} openings"),
                "change `rows` or `columns`, or give one opening to be repeated in every place",
            )
            .with_count("rows", rows)
            .with_count("columns", columns)
            .with_count("openings", openings));
    }
    Ok((rows, columns))
}

fn check_count(rows: usize, columns: usize, scope: &Scope) -> Result<usize, Problem> {
    let count = rows.saturating_mul(columns);
    if count == 0 || count > MOST_OPENINGS {
        let message = format!("{rows} rows of {columns} openings cannot be cut from one mat");
        return Err(scope
            .error("arrangement", message, format!("give 1 to {MOST_OPENINGS} openings in all"))
            .with_count("rows", rows)
            .with_count("columns", columns)
            .with_count("most", MOST_OPENINGS));
    }
    Ok(count)
}
