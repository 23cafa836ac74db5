//! Dimensions: chains of distances along one side of a figure, whose numbers never run into each other.
//!
//! A number stands beside the middle of its part of the dimension line where there is room for it. Where there is
//! not, it moves outwards to a row of its own and a thin line leads to it, in such a way that no line runs through
//! another number.

use kurbo::{Point, Vec2};

use super::letter_height::TEXT as FIGURE_CAP;
use super::lettering::{ABOVE_CAPS, BELOW_BASELINE};
use super::{Anchor, Drawing, Lettering, Mark, Role, Text};
use crate::dimensions::DimensionKind;
use crate::pairs::pairs;
use crate::tolerance::SAME_LENGTH_MM;

/// Distance in millimetres between the dimension line and the first row of figures.
const GAP: f64 = 1.0;
/// Height in millimetres that a line of figures needs.
const LINE_HEIGHT: f64 = (1.0 + ABOVE_CAPS + BELOW_BASELINE) * FIGURE_CAP;
/// Distance in millimetres between the baselines of two rows.
const ROW: f64 = 1.65 * FIGURE_CAP;
/// Space in millimetres between two columns of figures beside an upright line.
const COLUMN_GAP: f64 = 1.6;
/// Least space in millimetres between two numbers one above the other, and between a number and a line.
const SPACE: f64 = 0.4;
/// Least space in millimetres between two numbers side by side: with less, 5 and 1/2 would be read as five and a half.
const WORD_SPACE: f64 = 3.0;
/// The same where one of the two reaches out of its part of the line.
const WIDE_SPACE: f64 = 4.5;
/// Most rows: more are not read any more, they are searched.
const MOST_ROWS: usize = 5;
/// Length in millimetres of an arrow head.
const ARROW: f64 = 1.6;
/// How far a witness line reaches beyond the dimension line, in millimetres.
const BEYOND: f64 = 0.8;

/// The side of a figure along which a chain runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChainSide {
    /// Above it.
    Top,
    /// Below it.
    Bottom,
    /// Left of it, the figures upright.
    Left,
    /// Right of it, the figures upright.
    Right,
}

/// Distances along a side of a figure, one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    side: ChainSide,
    /// Places on the axis in millimetres on the sheet.
    stops: Vec<f64>,
    numbers: Vec<PlacedNumber>,
    /// Width of each column of figures, of upright chains.
    columns: Vec<f64>,
    rows: usize,
}

/// A number with its place.
#[derive(Debug, Clone, PartialEq)]
struct PlacedNumber {
    content: String,
    /// The sizes that it tells.
    dimensions: Vec<DimensionKind>,
    center: f64,
    /// Half the room that it takes along the axis.
    half: f64,
    row: usize,
    /// Whether it stays between its stops.
    roomy: bool,
}

impl PlacedNumber {
    /// Tells whether it can stand beside another one in the same row.
    fn is_clear_of(&self, other: &Self, side: ChainSide) -> bool {
        let space = match (side.is_upright(), self.roomy && other.roomy) {
            (true, _) => SPACE,
            (false, true) => WORD_SPACE,
            (false, false) => WIDE_SPACE,
        };
        (self.center - other.center).abs() >= self.half + other.half + space
    }

    /// Tells whether a line to another number can pass through its row.
    fn lets_pass(&self, line: f64) -> bool {
        (self.center - line).abs() >= self.half + SPACE
    }
}

impl ChainSide {
    const fn is_upright(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }

    /// Returns a point by its place on the axis and how far outside a line it lies.
    fn point(self, along: f64, line: f64, outside: f64) -> Point {
        match self {
            Self::Top => Point::new(along, line - outside),
            Self::Bottom => Point::new(along, line + outside),
            Self::Left => Point::new(line - outside, along),
            Self::Right => Point::new(line + outside, along),
        }
    }
}

impl Chain {
    /// Lays out the numbers between stops, which stand in rising order in millimetres on the sheet; there is one stop
    /// more than there are numbers.
    ///
    /// Returns `None` if the numbers do not fit into a few rows.
    #[must_use]
    pub fn new(side: ChainSide, stops: Vec<f64>, numbers: Vec<String>) -> Option<Self> {
        let mut numbers: Vec<PlacedNumber> = numbers
            .into_iter()
            .zip(pairs(&stops))
            .map(|(content, (from, to))| {
                let half =
                    if side.is_upright() { 0.5 * LINE_HEIGHT } else { 0.5 * Lettering::width(&content, FIGURE_CAP) };
                let center = 0.5 * (from + to);
                let space = if side.is_upright() { SPACE } else { WORD_SPACE };
                let roomy = 0.5 * (to - from) >= half + 0.5 * space;
                PlacedNumber { content, dimensions: Vec::new(), center, half, row: usize::MAX, roomy }
            })
            .collect();
        // Numbers that fit between their stops come first: they never meet.
        numbers.iter_mut().filter(|number| number.roomy).for_each(|number| number.row = 0);
        for index in 0..numbers.len() {
            if numbers.get(index)?.row != 0 {
                let row = (0..MOST_ROWS).find(|&row| is_free(&numbers, index, row, side))?;
                numbers.get_mut(index)?.row = row;
            }
        }
        let rows = numbers.iter().map(|number| number.row + 1).max().unwrap_or(0);
        let widest = |row| {
            let of_row = numbers.iter().filter(|number| number.row == row);
            of_row.map(|number| Lettering::width(&number.content, FIGURE_CAP)).fold(0.0, f64::max)
        };
        let columns = (0..rows).map(widest).collect();
        Some(Self { side, stops, numbers, columns, rows })
    }

    /// Returns the chain with the sizes that its numbers tell, a list for each number from the first one on.
    #[must_use]
    pub fn telling(mut self, dimensions: impl IntoIterator<Item = Vec<DimensionKind>>) -> Self {
        for (number, dimensions) in self.numbers.iter_mut().zip(dimensions) {
            number.dimensions = dimensions;
        }
        self
    }

    /// Returns the places between which distances are shown, in millimetres on the sheet.
    #[must_use]
    pub fn stops(&self) -> &[f64] {
        &self.stops
    }

    /// Returns how far in millimetres the figures reach outwards from the dimension line.
    #[must_use]
    pub fn depth(&self) -> f64 {
        if self.side.is_upright() {
            self.column_start(self.rows) - COLUMN_GAP + GAP
        } else {
            GAP + ROW * self.rows as f64
        }
    }

    /// Returns how far in millimetres numbers reach beyond the first and the last stop, along the axis.
    #[must_use]
    pub fn overhang(&self) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else {
            return (0.0, 0.0);
        };
        self.numbers.iter().fold((0.0, 0.0), |(before, after): (f64, f64), number| {
            (before.max(first - (number.center - number.half)), after.max(number.center + number.half - last))
        })
    }

    /// Returns how far outside the line a column of figures starts.
    fn column_start(&self, row: usize) -> f64 {
        GAP + self.columns.iter().take(row).map(|width| width + COLUMN_GAP).sum::<f64>()
    }

    /// Draws the dimension line at a place across the axis, with arrows, numbers and the lines that lead to them.
    pub fn draw(&self, line: f64, drawing: &mut Drawing) {
        let point = |along, outside| self.side.point(along, line, outside);
        for ((&from, &to), number) in pairs(&self.stops).zip(&self.numbers) {
            let points = vec![point(from, 0.0), point(to, 0.0)];
            drawing.add(Role::Dimension, line_of(points, &number.dimensions));
            let along = (point(to, 0.0) - point(from, 0.0)).normalize();
            if to - from > 2.5 * ARROW {
                draw_arrow(point(from, 0.0), along, &number.dimensions, drawing);
                draw_arrow(point(to, 0.0), -along, &number.dimensions, drawing);
            } else {
                // No room for two arrows: a stroke across each end, as builders draw them.
                let across = Vec2::new(along.x - along.y, along.x + along.y) * (0.35 * ARROW);
                for stop in [from, to] {
                    let at = point(stop, 0.0);
                    drawing.add(Role::Dimension, line_of(vec![at - across, at + across], &number.dimensions));
                }
            }
        }
        self.numbers.iter().for_each(|number| self.draw_number(number, line, drawing));
    }

    fn draw_number(&self, number: &PlacedNumber, line: f64, drawing: &mut Drawing) {
        let place = |outside| self.side.point(number.center, line, outside);
        let (start, at, anchor) = match self.side {
            ChainSide::Top => {
                let start = GAP + ROW * number.row as f64;
                (start, place(start), Anchor::Middle)
            }
            ChainSide::Bottom => {
                let start = GAP + ROW * number.row as f64;
                (start, place(start + FIGURE_CAP), Anchor::Middle)
            }
            side => {
                let start = self.column_start(number.row);
                let anchor = if side == ChainSide::Left { Anchor::End } else { Anchor::Start };
                (start, place(start) + Vec2::new(0.0, 0.5 * FIGURE_CAP), anchor)
            }
        };
        if number.row > 0 {
            drawing.add(Role::Dimension, line_of(vec![place(0.0), place(start - 0.4)], &number.dimensions));
        }
        let text = Text::new(number.content.clone(), at, FIGURE_CAP, anchor).telling(number.dimensions.clone());
        drawing.add(Role::Label, Mark::Text(text));
    }

    /// Returns the sizes that end at a place on the axis.
    fn ending_at(&self, along: f64) -> Vec<DimensionKind> {
        let ends = |(from, to): (&f64, &f64)| [from, to].iter().any(|stop| (*stop - along).abs() < SAME_LENGTH_MM);
        let numbers = pairs(&self.stops).zip(&self.numbers).filter(|(stops, _)| ends(*stops));
        numbers.flat_map(|(_, number)| number.dimensions.iter().copied()).collect()
    }

    /// Draws a witness line from a point of the figure, a little away from it, to the dimension line; it has the names of the
    /// sizes that end there.
    pub fn draw_witness(&self, from: Point, line: f64, drawing: &mut Drawing) {
        let along = if self.side.is_upright() { from.y } else { from.x };
        let end = self.side.point(along, line, BEYOND);
        let way = end - from;
        // A gap of a millimetre keeps the witness line from looking like a part of the figure.
        if way.hypot() > 1.0 + BEYOND {
            drawing.add(Role::Dimension, line_of(vec![from + way.normalize(), end], &self.ending_at(along)));
        }
    }
}

/// Tells whether a number can stand in a row: beside the numbers there, off the lines that lead to others, and with no
/// number in the way of its own line.
fn is_free(numbers: &[PlacedNumber], index: usize, row: usize, side: ChainSide) -> bool {
    let Some(own) = numbers.get(index) else {
        return false;
    };
    let others = numbers.iter().enumerate().filter(|(other, number)| *other != index && number.row != usize::MAX);
    others.map(|(_, other)| other).all(|other| match other.row.cmp(&row) {
        std::cmp::Ordering::Equal => other.is_clear_of(own, side),
        // The line to the other one passes through this row.
        std::cmp::Ordering::Greater => own.lets_pass(other.center),
        std::cmp::Ordering::Less => other.lets_pass(own.center),
    })
}

/// Makes a line of the sizes of some names.
fn line_of(points: Vec<Point>, dimensions: &[DimensionKind]) -> Mark {
    Mark::Line { points, dimensions: dimensions.to_vec() }
}

fn draw_arrow(tip: Point, along: Vec2, dimensions: &[DimensionKind], drawing: &mut Drawing) {
    let across = Vec2::new(-along.y, along.x) * (0.25 * ARROW);
    let tail = tip + along * ARROW;
    drawing.add(Role::Dimension, line_of(vec![tail + across, tip, tail - across], dimensions));
}

#[cfg(test)]
mod tests {
    use super::{Chain, ChainSide};

    fn chain(side: ChainSide, lengths: &[f64], number: &str) -> Option<Chain> {
        let mut stops = vec![0.0];
        lengths.iter().for_each(|length| stops.push(stops.last().unwrap_or(&0.0) + length));
        Chain::new(side, stops, lengths.iter().map(|_| number.to_owned()).collect())
    }

    fn rows(chain: &Chain) -> Vec<usize> {
        chain.numbers.iter().map(|number| number.row).collect()
    }

    #[test]
    fn numbers_with_room_stand_in_one_row() {
        let chain = chain(ChainSide::Top, &[20.0, 30.0, 20.0], "2 1/16").unwrap_or_else(|| panic!("no chain"));
        assert_eq!(rows(&chain), [0, 0, 0]);
        assert!((chain.depth() - (1.0 + 1.65 * super::FIGURE_CAP)).abs() < 1e-12);
    }

    #[test]
    fn a_narrow_part_between_wide_ones_keeps_its_number_beside_it() {
        let chain = chain(ChainSide::Top, &[30.0, 4.0, 30.0], "2 1/16").unwrap_or_else(|| panic!("no chain"));
        assert_eq!(rows(&chain), [0, 0, 0]);
    }

    #[test]
    fn a_whole_number_and_a_fraction_are_not_read_as_one() {
        let chain = chain(ChainSide::Top, &[8.0, 2.0, 8.0], "1/2").unwrap_or_else(|| panic!("no chain"));
        assert_eq!(rows(&chain), [0, 1, 0]);
    }

    #[test]
    fn crowded_numbers_move_outwards_and_never_meet() {
        for side in [ChainSide::Top, ChainSide::Bottom, ChainSide::Left, ChainSide::Right] {
            let chain = chain(side, &[2.4; 17], "12 15/16");
            let Some(chain) = chain else {
                // Flat numbers are wider than what five rows hold.
                assert!(!side.is_upright());
                continue;
            };
            for (index, a) in chain.numbers.iter().enumerate() {
                for b in chain.numbers.iter().skip(index + 1) {
                    assert!(a.row != b.row || a.is_clear_of(b, side), "{a:?} {b:?}");
                    assert!(a.row <= b.row || b.lets_pass(a.center), "{a:?} {b:?}");
                    assert!(b.row <= a.row || a.lets_pass(b.center), "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        assert_eq!(chain(ChainSide::Top, &[0.5; 60], "12 15/16"), None);
    }

    #[test]
    fn a_number_wider_than_a_chain_hangs_over() {
        let chain = chain(ChainSide::Top, &[2.0], "12 15/16").unwrap_or_else(|| panic!("no chain"));
        let (before, after) = chain.overhang();
        assert!(before > 2.0 && (before - after).abs() < 1e-12);
    }
}
